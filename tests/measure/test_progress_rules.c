/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What weeks of practice changed, just below and just over what is told as better or worse. */
#include "measure/practice_change.h"
#include "support/test_main.h"

#include <math.h>

/* Three tests before and five after, each in the band for the same share and kept for so long. All
 * later ones are over all earlier ones: chance makes that in 1 of 56. */
static enum practice_verdict verdict_of(double base_share, double base_s, double later_share,
                                        double later_s, double *gained)
{
    struct practice_test base[3], later[5];
    struct practice_change change;
    for (int i = 0; i < 3; i++) {
        base[i] = (struct practice_test){base_share, 20, base_s, false};
    }
    for (int i = 0; i < 5; i++) {
        later[i] = (struct practice_test){later_share, 20, later_s, false};
    }
    ck_assert_int_eq(practice_change_of(base, 3, later, 5, &change), MEASURE_OK);
    *gained = change.change;
    return change.verdict;
}

/* A share of 20 blocks is that of (20 p + 0.5) in 21: 0.45 and 0.55 are 0.0952 apart, 0.445 and
 * 0.555 are 0.1048. */
START_TEST(a_tenth_of_the_time_is_a_change)
{
    double gained;
    ck_assert_int_eq(verdict_of(0.45, NAN, 0.55, NAN, &gained), PRACTICE_NONE);
    ck_assert_double_eq_tol(gained, 2.0 / 21.0, 1e-9);
    ck_assert_int_eq(verdict_of(0.445, NAN, 0.555, NAN, &gained), PRACTICE_BETTER);
    ck_assert_double_eq_tol(gained, 2.2 / 21.0, 1e-9);
    ck_assert_int_eq(verdict_of(0.55, NAN, 0.45, NAN, &gained), PRACTICE_NONE);
    ck_assert_int_eq(verdict_of(0.555, NAN, 0.445, NAN, &gained), PRACTICE_WORSE);
}
END_TEST

START_TEST(kept_for_a_quarter_longer_is_a_change)
{
    double gained;
    ck_assert_int_eq(verdict_of(0.48, 100.0, 0.52, 124.0, &gained), PRACTICE_NONE);
    ck_assert_int_eq(verdict_of(0.48, 100.0, 0.52, 126.0, &gained), PRACTICE_BETTER);
    ck_assert_int_eq(verdict_of(0.52, 124.0, 0.48, 100.0, &gained), PRACTICE_NONE);
    ck_assert_int_eq(verdict_of(0.52, 126.0, 0.48, 100.0, &gained), PRACTICE_WORSE);
}
END_TEST

/* Five later tests, all over those of before but one, which is over two of them. Of the 792 ways in
 * which five of twelve may lie 19 are no worse (Mann and Whitney 1947), 0.0240; of the 462 of five
 * in eleven 12 are, 0.0260. */
START_TEST(chance_is_one_in_forty_on_either_side)
{
    for (int before = 6; before <= 7; before++) {
        struct practice_test base[7], later[5];
        struct practice_change change;
        for (int i = 0; i < before; i++) {
            base[i] = (struct practice_test){0.30 + 0.01 * i, 20, NAN, false};
        }
        for (int i = 0; i < 5; i++) {
            later[i] = (struct practice_test){i == 2 ? 0.315 : 0.60 + 0.01 * i, 20, NAN, false};
        }
        ck_assert_int_eq(practice_change_of(base, (size_t)before, later, 5, &change), MEASURE_OK);
        ck_assert_double_eq_tol(change.better_p, before == 7 ? 19.0 / 792.0 : 12.0 / 462.0, 1e-9);
        ck_assert_int_eq(change.verdict == PRACTICE_BETTER, before == 7);
        ck_assert_int_eq(practice_change_of(later, 5, base, (size_t)before, &change), MEASURE_OK);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("progress_rules");
    TCase *tests = tcase_create("progress_rules");
    tcase_add_test(tests, a_tenth_of_the_time_is_a_change);
    tcase_add_test(tests, kept_for_a_quarter_longer_is_a_change);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, chance_is_one_in_forty_on_either_side);
    return test_main(suite);
}
