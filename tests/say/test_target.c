/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/target.h"

#include "base/numbers.h"
#include "support/test_main.h"

#include <math.h>

static const char *waits(struct target_wait wait)
{
    static char text[SAY_SIZE];
    say_target_waits(text, sizeof text, &wait);
    return text;
}

START_TEST(what_a_capture_waits_for)
{
    struct target_wait wait = {.elapsed_s = 12.4,
                               .planned_s = 20.0,
                               .settled = true,
                               .half_width_mm = (double)NAN,
                               .until_mm = 3.0};
    ck_assert_str_eq(waits(wait), "0:12, at 0:20 it is seen how long it takes");
    wait.proposed = true;
    wait.elapsed_s = 31.2;
    wait.planned_s = 45.0;
    ck_assert_str_eq(waits(wait), "0:31 of 0:45  not known yet, wanted \u00B13 mm, 14 s left");
    wait.half_width_mm = 3.1;
    ck_assert_str_eq(waits(wait), "0:31 of 0:45  known to \u00B14, wanted \u00B13 mm, 14 s left");
    wait.until_mm = 2.5;
    ck_assert_str_eq(waits(wait), "0:31 of 0:45  known to \u00B14, wanted \u00B12.5 mm, 14 s left");
    wait.settled = false; /* however small it looks */
    ck_assert_str_eq(waits(wait), "0:31 of 0:45  not settled yet, 14 s left");
    wait.elapsed_s = 45.3;
    ck_assert_str_eq(waits(wait), "0:45 of 0:45  not settled yet, 0 s left");
}
END_TEST

START_TEST(what_came_of_it)
{
    char text[SAY_SIZE];
    say_target_kept(text, sizeof text, 2.2, 3.0, true);
    ck_assert_str_eq(text, "target kept, known to \u00B13 mm");
    say_target_kept(text, sizeof text, 3.0, 3.0, true);
    ck_assert_str_eq(text, "target kept, known to \u00B13 mm");
    say_target_kept(text, sizeof text, 3.4, 3.0, true);
    ck_assert_str_eq(text, "target kept, known to \u00B14 mm (\u00B13 wanted)");
    say_target_kept(text, sizeof text, (double)NAN, 3.0, true);
    ck_assert_str_eq(text, "target kept, but too short to say how well it is known");
    say_target_kept(text, sizeof text, 1.0, 3.0, false);
    ck_assert_str_eq(
        text, "target kept, but the rider had not settled: how well it is known can't be said");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("target in words");
    TCase *tests = tcase_create("target");
    tcase_add_test(tests, what_a_capture_waits_for);
    tcase_add_test(tests, what_came_of_it);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
