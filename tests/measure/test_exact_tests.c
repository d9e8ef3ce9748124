/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Rank tests of few values. 'by counting': all orders were gone through in Python. */
#include "support/test_main.h"

#include "measure/exact_tests.h"

#include <math.h>

/* SciPy 1.10.1: mannwhitneyu(later, base, alternative='greater', method='exact'). */
START_TEST(practice_against_three_base_tests)
{
    const double base[] = {.52, .58, .55}, later[] = {.57, .66, .70, .69, .78, .81};
    double u, p;
    ck_assert_int_eq(mann_whitney(later, 6, base, 3, &u, &p), MEASURE_OK);
    ck_assert_double_eq_tol(u, 17.0, 1e-12);
    ck_assert_double_eq_tol(p, 0.023809523809523808, 1e-12);
    ck_assert_int_eq(mann_whitney(later + 1, 5, base, 3, &u, &p), MEASURE_OK);
    ck_assert_double_eq_tol(u, 15.0, 1e-12);
    ck_assert_double_eq_tol(p, 1.0 / 56.0, 1e-12); /* the smallest there is */
}
END_TEST

START_TEST(ties_count_half)
{
    const double base[] = {.5, .6, .7}, later[] = {.6, .7, .7, .9}, same[] = {.4, .4, .4};
    double u, p;
    ck_assert_int_eq(mann_whitney(later, 4, base, 3, &u, &p), MEASURE_OK);
    ck_assert_double_eq_tol(u, 9.5, 1e-12);
    ck_assert_double_eq_tol(p, 7.0 / 35.0, 1e-12); /* by counting */
    ck_assert_int_eq(mann_whitney(same, 2, same, 3, &u, &p), MEASURE_OK);
    ck_assert_double_eq_tol(u, 3.0, 1e-12);
    ck_assert_double_eq_tol(p, 1.0, 1e-12);
}
END_TEST

START_TEST(what_can_t_be_ranked)
{
    double many[EXACT_VALUES_MAX + 1] = {0}, u = -1, p = -1, none = NAN;
    int s;
    ck_assert_int_eq(mann_whitney(many, 0, many, 3, &u, &p), MEASURE_TOO_FEW);
    ck_assert_int_eq(mann_whitney(many, 3, many, 0, &u, &p), MEASURE_TOO_FEW);
    ck_assert_int_eq(mann_whitney(many, EXACT_VALUES_MAX, many, 1, &u, &p), MEASURE_BAD_SETTING);
    ck_assert_int_eq(mann_whitney(&none, 1, many, 1, &u, &p), MEASURE_NOT_FINITE);
    ck_assert_int_eq(mann_whitney(many, 1, &none, 1, &u, &p), MEASURE_NOT_FINITE);
    ck_assert_int_eq(kendall_rising(many, 1, &s, &p), MEASURE_TOO_FEW);
    ck_assert_int_eq(kendall_rising(many, EXACT_VALUES_MAX + 1, &s, &p), MEASURE_BAD_SETTING);
    ck_assert_double_eq(p, -1.0);
}
END_TEST

/* A row of n whose S is this: rising, with so many pairs turned round. */
static double p_of(int n, int s)
{
    double values[EXACT_VALUES_MAX], p = NAN;
    int turned = (n * (n - 1) / 2 - s) / 2, found = 0;
    for (int i = 0; i < n; i++) {
        values[i] = i;
    }
    for (int from = n - 1; from > 0 && turned > 0; from--) {
        for (int i = 0; i < from && turned > 0; i++, turned--) { /* bubbles, one pair each */
            double swap = values[i];
            values[i] = values[i + 1];
            values[i + 1] = swap;
        }
    }
    ck_assert_int_eq(kendall_rising(values, (size_t)n, &found, &p), MEASURE_OK);
    ck_assert_int_eq(found, s);
    return p;
}

/* The usual table of P(S >= s), and the numbers of inversions counted in Python. */
START_TEST(kendall_s_table)
{
    static const struct {
        int n, s;
        double p;
    } table[] = {
        {4, 6, 0.0416667},   {5, 8, 0.0416667},   {5, 10, 0.0083333}, {6, 11, 0.0277778},
        {6, 13, 0.0083333},  {8, 16, 0.0305060},  {8, 18, 0.0155754}, {10, 21, 0.0362751},
        {10, 23, 0.0233113}, {10, 25, 0.0143047}, {3, 3, 1.0 / 6.0},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        ck_assert_double_eq_tol(p_of(table[i].n, table[i].s), table[i].p, 5e-8);
    }
    ck_assert_double_eq_tol(p_of(60, -1770), 1.0, 1e-12);
    ck_assert_double_gt(p_of(60, 2), 0.49);
    ck_assert_double_lt(p_of(60, 2), 0.5);
}
END_TEST

START_TEST(the_base_of_the_example_and_what_follows_rise)
{
    const double tests[] = {.52, .58, .55, .57, .66, .70, .69, .78, .81}; /* 16 of 18: later-base */
    double p;
    int s, base;
    ck_assert_int_eq(kendall_rising(tests, 3, &base, &p), MEASURE_OK);
    ck_assert_int_eq(base, 1);
    ck_assert_int_eq(kendall_rising(tests, 9, &s, &p), MEASURE_OK);
    ck_assert_int_eq(s, 30); /* by counting: 33 pairs rise, 3 fall */
}
END_TEST

START_TEST(rows_with_ties)
{
    const double tied[] = {1, 2, 2, 3, 1, 4}, few[] = {3, 1, 2, 2}, same[] = {5, 5, 5};
    double p;
    int s;
    ck_assert_int_eq(kendall_rising(tied, 6, &s, &p), MEASURE_OK);
    ck_assert_int_eq(s, 7);
    ck_assert_double_eq_tol(p, 92.0 / 720.0, 1e-12); /* by counting */
    ck_assert_int_eq(kendall_rising(few, 4, &s, &p), MEASURE_OK);
    ck_assert_int_eq(s, -1);
    ck_assert_double_eq_tol(p, 18.0 / 24.0, 1e-12); /* by counting */
    ck_assert_int_eq(kendall_rising(same, 3, &s, &p), MEASURE_OK);
    ck_assert_int_eq(s, 0);
    ck_assert_double_eq_tol(p, 1.0, 1e-12);
}
END_TEST

/* Slope: SciPy 1.10.1, theilslopes. Limits: the 12th slope from either end of 45 (P(S >= 23) =
 * .0233), the 2nd of 15 (P(S >= 13) = .0083), in Python. */
START_TEST(a_trend_while_practising)
{
    const double day[] = {0, 2, 4, 9, 11, 14, 16, 18, 21, 23};
    const double share[] = {.52, .58, .55, .57, .66, .70, .69, .78, .81, .75};
    struct trend trend;
    ck_assert_int_eq(trend_of(day, share, 10, &trend), MEASURE_OK);
    ck_assert_double_eq_tol(trend.slope, 0.0125, 1e-12);
    ck_assert_double_eq_tol(trend.low, 0.007857142857142856, 1e-12);
    ck_assert_double_eq_tol(trend.high, 0.01571428571428573, 1e-12);
    ck_assert_int_eq(trend.s, 35);
    ck_assert_double_eq_tol(trend.rising_p, 0.00047315917107583776, 1e-12); /* kendalltau */
    ck_assert_double_gt(trend.falling_p, 0.999);
    ck_assert_int_eq(trend_of(day, share, 6, &trend), MEASURE_OK);
    ck_assert_double_eq_tol(trend.slope, 0.012727272727272728, 1e-12);
    ck_assert_double_eq_tol(trend.low, -0.0014285714285714299, 1e-12);
    ck_assert_double_eq_tol(trend.high, 0.03, 1e-12);
}
END_TEST

START_TEST(four_values_have_a_slope_and_no_limits)
{
    const double day[] = {0, 2, 4, 9}, share[] = {.52, .58, .55, .57}, twice[] = {0, 2, 2, 9};
    struct trend trend;
    ck_assert_int_eq(trend_of(day, share, 4, &trend), MEASURE_OK);
    ck_assert_double_eq_tol(trend.slope, 0.0047777777777777645, 1e-12);
    ck_assert(isinf(trend.low) && trend.low < 0.0 && isinf(trend.high) && trend.high > 0.0);
    ck_assert_int_eq(trend_of(twice, share, 4, &trend), MEASURE_UNSORTED);
}
END_TEST

/* As many values as may be: n of the others all under these, one order in 60! rises. Values behind
 * the last are none of them. */
START_TEST(as_many_values_as_may_be)
{
    double values[EXACT_VALUES_MAX + 1], at[EXACT_VALUES_MAX + 1], u = NAN, p = NAN;
    struct trend trend;
    int s = 0;
    for (int i = 0; i < EXACT_VALUES_MAX; i++) {
        values[i] = 2.0 * i;
        at[i] = i;
    }
    values[EXACT_VALUES_MAX] = at[EXACT_VALUES_MAX] = NAN;
    ck_assert_int_eq(mann_whitney(values + 57, 3, values, 57, &u, &p), MEASURE_OK);
    ck_assert_double_eq(u, 171.0);
    ck_assert_double_eq_tol(p, 1.0 / 34220.0, 1e-15); /* 60 over 3 */
    ck_assert_int_eq(kendall_rising(values, EXACT_VALUES_MAX, &s, &p), MEASURE_OK);
    ck_assert_int_eq(s, 1770);
    ck_assert_double_lt(p, 1e-80); /* 60! is 8.3e81 */
    ck_assert_int_eq(kendall_rising(values, 2, &s, &p), MEASURE_OK);
    ck_assert_int_eq(s, 1);
    ck_assert_double_eq_tol(p, 0.5, 1e-12);
    ck_assert_int_eq(trend_of(at, values, EXACT_VALUES_MAX, &trend), MEASURE_OK);
    ck_assert_double_eq(trend.slope, 2.0);
    ck_assert_double_eq(trend.low, 2.0);
    ck_assert_double_eq(trend.high, 2.0);
}
END_TEST

/* Of five the interval goes from the smallest to the largest slope: P(S >= 10) = .0083 alone is
 * under .025. */
START_TEST(five_values_have_the_widest_limits)
{
    const double day[] = {0, 1, 2, 3, 4}, share[] = {.50, .53, .52, .60, .57};
    struct trend trend;
    ck_assert_int_eq(trend_of(day, share, 5, &trend), MEASURE_OK);
    ck_assert_double_eq_tol(trend.low, -0.03, 1e-12);
    ck_assert_double_eq_tol(trend.high, 0.08, 1e-12);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("exact_tests");
    TCase *tests = tcase_create("exact_tests");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, practice_against_three_base_tests);
    tcase_add_test(tests, ties_count_half);
    tcase_add_test(tests, what_can_t_be_ranked);
    tcase_add_test(tests, kendall_s_table);
    tcase_add_test(tests, the_base_of_the_example_and_what_follows_rise);
    tcase_add_test(tests, rows_with_ties);
    tcase_add_test(tests, a_trend_while_practising);
    tcase_add_test(tests, four_values_have_a_slope_and_no_limits);
    tcase_add_test(tests, as_many_values_as_may_be);
    tcase_add_test(tests, five_values_have_the_widest_limits);
    return test_main(suite);
}
