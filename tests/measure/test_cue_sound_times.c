/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* When the sounds of one part that stays out come, to the tenth of a second. */
#include "measure/cue_sound.h"
#include "support/test_main.h"

START_TEST(told_at_once_then_after_5_s_then_every_15_four_times_in_all)
{
    static const double expected_s[] = {0.0, 5.0, 20.0, 35.0};
    struct cue_sound_machine machine = {0};
    const struct cue_ask ask = {0, CUE_HIGH};
    int told = 0;
    for (int i = 0; i < 3000; i++) {
        double since_s = i / 10.0;
        if (cue_sound_step(&machine, 100.0 + since_s, &ask, true) == CUE_SOUND_LOWER) {
            ck_assert_int_lt(told, 4);
            ck_assert_double_eq_tol(since_s, expected_s[told], 0.05);
            told++;
        }
    }
    ck_assert_int_eq(told, 4);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("cue_sound_times");
    TCase *tests = tcase_create("cue_sound_times");
    tcase_add_test(tests, told_at_once_then_after_5_s_then_every_15_four_times_in_all);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
