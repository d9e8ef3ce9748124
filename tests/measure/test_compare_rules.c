/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What is advised where a comparison cannot tell, and what may be the order's: just below and just
 * beside the numbers. */
#include "measure/compare.h"
#include "support/test_main.h"

#include "trial.h"

#include <math.h>

/* Three holds of A, then three of B, 12 mm lower; within each they fall by so much a hold, which
 * how they lie about that line makes no sure thing. B is three holds behind A on the mean. */
static const struct comparison *fallen(double mm_a_hold)
{
    static const double off[] = {1.0, -2.0, 1.0};
    struct trial *trial = trial_start(2, 5.0);
    for (int h = 0; h < 6; h++) {
        trial_add(trial, h / 3, h + 1,
                  (h < 3 ? 900.0 : 888.0) - mm_a_hold * (h % 3 - 1) + off[h % 3]);
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert(!trial->result.order_fitted);
    return &trial->result;
}

/* What is left of 12 mm without the fall, 6.3 mm, is over half of them; 5.7 are not, and the
 * interval then reaches from about the one to about the other. */
START_TEST(half_of_a_difference_must_be_left_without_the_order)
{
    const struct comparison *comparison = fallen(1.9);
    const struct setup_difference *d = &comparison->difference[1];
    ck_assert_double_eq_tol(d->difference, -12.0, 1e-9);
    ck_assert_double_eq_tol(d->low + d->high, 2.0 * -12.0, 1e-9);
    ck_assert(!compare_reaches_on(comparison, 1));
    comparison = fallen(2.1);
    d = &comparison->difference[1];
    ck_assert(compare_reaches_on(comparison, 1));
    ck_assert(!compare_reaches_on(comparison, 0));
    ck_assert_double_eq_tol(d->low + d->high, -12.0 - 5.7, 1e-9);
}
END_TEST

/* Two setups of one build each, each tied so well, whose holds lie so far apart; 3 mm
 * matter. */
static const struct setup_difference *tied_by(double u_mm, double apart_mm, double hold_mm)
{
    static const double off[] = {-1.0, 1.0, 0.0};
    struct trial *trial = trial_start(2, 3.0);
    trial->builds[0].u_build = trial->builds[1].u_build = u_mm;
    trial->input.nothing_usual = true;
    for (int h = 0; h < 6; h++) {
        trial_add(trial, h % 2, h + 1, 900.0 - apart_mm * (h % 2) + hold_mm * off[h / 2]);
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    return &trial->result.difference[1];
}

/* A plate leaves 1 mm on each build: of 1.18 mm 0.718 of the variance, of 1.21 mm 0.683. */
START_TEST(a_plate_is_asked_for_where_it_leaves_less_than_seven_tenths)
{
    const struct setup_difference *d = tied_by(1.21, 2.5, 0.1);
    ck_assert_int_eq(d->verdict, VERDICT_CANNOT_TELL);
    ck_assert_int_eq(d->advice, ADVICE_PLATE);
    d = tied_by(1.18, 2.5, 0.1);
    ck_assert_int_eq(d->verdict, VERDICT_CANNOT_TELL);
    ck_assert_int_eq(d->advice, ADVICE_BUILD_AGAIN);
}
END_TEST

/* Where the ties leave more open than the holds do, two more holds of each are asked for where
 * they would settle it, never three. */
START_TEST(few_holds_are_asked_for_though_the_ties_dominate)
{
    int asked[13] = {0}, other = 0;
    for (int i = 0; i <= 400; i++) {
        const struct setup_difference *d = tied_by(1.1, 2.0 + 0.01 * i, 1.7);
        double holds = d->standard_error * d->standard_error - d->tie_error * d->tie_error;
        ck_assert_double_lt(holds, d->tie_error * d->tie_error);
        if (d->verdict == VERDICT_CANNOT_TELL && d->advice == ADVICE_MORE_HOLDS) {
            asked[d->advice_holds]++;
        }
        other += d->advice == ADVICE_BUILD_AGAIN || d->advice == ADVICE_PLATE;
    }
    ck_assert_int_gt(asked[1], 0);
    ck_assert_int_gt(asked[2], 0);
    ck_assert_int_gt(other, 0);
    for (int holds = 3; holds <= 12; holds++) {
        ck_assert_int_eq(asked[holds], 0);
    }
}
END_TEST

/* A second opinion from twice the length on. */
START_TEST(uneven_is_twice_as_long)
{
    for (int twice = 0; twice <= 1; twice++) {
        struct trial *trial = trial_start(2, 10.0);
        for (int h = 0; h < 4; h++) {
            trial_add(trial, h % 2, h + 1, 900.0 - 8.0 * (h % 2) + (h < 2 ? 0.0 : 0.5));
            trial->holds[h].mean_se = 1.0;
            trial->holds[h].kept_s = h == 0 ? (twice ? 61.0 : 59.0) : 30.0;
        }
        ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
        ck_assert_int_eq(trial->result.uneven, twice);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rules of the comparison");
    TCase *tests = tcase_create("compare_rules");
    tcase_set_timeout(tests, 60);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, half_of_a_difference_must_be_left_without_the_order);
    tcase_add_test(tests, a_plate_is_asked_for_where_it_leaves_less_than_seven_tenths);
    tcase_add_test(tests, few_holds_are_asked_for_though_the_ties_dominate);
    tcase_add_test(tests, uneven_is_twice_as_long);
    return test_main(suite);
}
