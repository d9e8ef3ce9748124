/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The gauge's past is followed by another thread's copy of it: with what has come since, or anew.
 */
#include "session/view.h"
#include "support/test_main.h"

#include <string.h>

#define LAST (CHANNELS_MAX - 1)

/* Big: each test runs in a process of its own. */
static struct view_history from, to;

/* Points whose height is their step's number; the last channel's below 0. */
static void come(int steps)
{
    for (int i = 0; i < steps; i++, from.steps++) {
        int at = (int)(from.steps % VIEW_HISTORY);
        from.point[0][at].slow_mm = (float)from.steps;
        from.point[LAST][at].slow_mm = -(float)from.steps;
    }
}

static void assert_followed(void)
{
    int wrong = 0;
    view_history_follow(&to, &from);
    ck_assert_int_eq(to.steps, from.steps);
    ck_assert_uint_eq(to.redrawn, from.redrawn);
    for (int back = 0; back < view_history_count(&from); back++) {
        float step = (float)(from.steps - 1 - back);
        wrong += view_history_back(&to, 0, back)->slow_mm != step;
        wrong += view_history_back(&to, LAST, back)->slow_mm != -step;
    }
    ck_assert_int_eq(wrong, 0);
}

START_TEST(what_has_come_since_is_copied)
{
    static const int steps[] = {
        0,  1, 300,          7, VIEW_HISTORY - 10,   20, VIEW_HISTORY - 1, 400,
        10, 0, VIEW_HISTORY, 1, 3 * VIEW_HISTORY + 5};
    for (size_t i = 0; i < sizeof steps / sizeof steps[0]; i++) {
        come(steps[i]);
        assert_followed();
    }
    ck_assert_int_eq(view_history_count(&to), VIEW_HISTORY);
}
END_TEST

/* What was copied before is not touched again, nor what has not come. */
START_TEST(no_more_is_copied)
{
    come(900);
    assert_followed();
    to.point[0][100].slow_mm = 5555.0F;
    to.point[0][1100].slow_mm = 7777.0F;
    come(200);
    view_history_follow(&to, &from);
    view_history_follow(&to, &from);
    ck_assert_float_eq(view_history_back(&to, 0, 0)->slow_mm, 1099.0F);
    ck_assert_float_eq(view_history_back(&to, 0, 999)->slow_mm, 5555.0F);
    ck_assert_float_eq(to.point[0][1100].slow_mm, 7777.0F);
}
END_TEST

/* Other heights are known: all of it, whether something came meanwhile or not. */
START_TEST(what_was_worked_out_again_is_copied_whole)
{
    for (int more = 0; more < 2; more++) {
        come(500);
        assert_followed();
        for (int i = 0; i < VIEW_HISTORY; i++) {
            to.point[0][i].slow_mm = 5555.0F;
        }
        from.redrawn++;
        come(more);
        assert_followed();
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("history");
    TCase *tests = tcase_create("history");
    tcase_add_test(tests, what_has_come_since_is_copied);
    tcase_add_test(tests, no_more_is_copied);
    tcase_add_test(tests, what_was_worked_out_again_is_copied_whole);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
