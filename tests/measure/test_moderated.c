/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Repeatability learnt from more than the session at hand. */
#include "support/test_main.h"

#include "measure/moderated.h"
#include "measure/rules.h"

#include <math.h>

/* R 4.2.2, limma 3.54: squeezeVar(c(2.1, 60.2, 8.7, 22.5, 5.3, 140.1, 9.9, 1.4, 27.7, 11.2), df =
 * c(4, 6, 3, 8, 5, 4, 7, 6, 5, 4)): df.prior 2.13768939289, var.prior 8.999316087. */
static const struct spread ten[] = {{2.1, 4},   {60.2, 6}, {8.7, 3}, {22.5, 8}, {5.3, 5},
                                    {140.1, 4}, {9.9, 7},  {1.4, 6}, {27.7, 5}, {11.2, 4}};

START_TEST(expected_as_limma_has_it)
{
    struct spread expected;
    ck_assert(spread_expected(ten, 10, &expected));
    ck_assert_double_eq_tol(expected.df, 2.13768939289, 1e-8);
    ck_assert_double_eq_tol(expected.variance, 8.999316087, 1e-8);
}
END_TEST

/* Smyth 2004, section 3, by hand: (4 x 2 + 6 x 12) / 10 */
START_TEST(two_are_weighed_by_their_degrees_of_freedom)
{
    struct spread both = spread_together((struct spread){2, 4}, (struct spread){12, 6});
    ck_assert_double_eq_tol(both.variance, 8.0, 1e-12);
    ck_assert_double_eq_tol(both.df, 10.0, 1e-12);
    struct spread none = {0, 0}, one = {7, 3};
    both = spread_together(none, one);
    ck_assert_double_eq(both.variance, 7.0);
    both = spread_together(one, none);
    ck_assert_double_eq(both.df, 3.0);
    both = spread_together(one, (struct spread){5, (double)INFINITY});
    ck_assert_double_eq(both.variance, 5.0);
    ck_assert(isinf(both.df));
}
END_TEST

START_TEST(variances_alike_are_worth_without_end)
{
    const struct spread alike[] = {{4.0, 5}, {4.0, 5}, {4.0, 5}};
    struct spread expected;
    ck_assert(spread_expected(alike, 3, &expected));
    ck_assert(isinf(expected.df));
    ck_assert_double_eq_tol(expected.variance, 4.0, 1e-12);
}
END_TEST

START_TEST(nothing_from_nothing)
{
    const struct spread bad[] = {{0.0, 5},          {(double)NAN, 4},      {3.0, 0},
                                 {3.0, 4},          {(double)INFINITY, 4}, {3.0, (double)INFINITY},
                                 {3.0, (double)NAN}};
    struct spread expected;
    ck_assert(!spread_expected(bad, 7, &expected));
    ck_assert_double_eq(spread_of_rider(bad, 7, (double)INFINITY).df, 4.0); /* of the fourth */
    ck_assert(!spread_expected(NULL, 0, &expected));
    ck_assert_double_eq(spread_of_rider(bad, 3, LEARNT_DAY_DF).df, 0.0);
}
END_TEST

/* 1/df = 1/sum + (1 + 1/n)/9 by hand: one session of 4: 1/(1/4 + 2/9) = 36/17; three of 4: 1/(1/12
 * + 4/27) = 108/25; never over 9. */
START_TEST(a_riders_own_sessions)
{
    const struct spread days[] = {{9.0, 4}, {16.0, 4}, {25.0, 4}};
    struct spread learnt = spread_of_rider(days, 1, LEARNT_DAY_DF);
    ck_assert_double_eq_tol(learnt.df, 36.0 / 17.0, 1e-12);
    ck_assert_double_eq_tol(learnt.variance, 9.0, 1e-12);
    learnt = spread_of_rider(days, 3, LEARNT_DAY_DF);
    ck_assert_double_eq_tol(learnt.df, 108.0 / 25.0, 1e-12);
    ck_assert_double_eq_tol(learnt.variance, 50.0 / 3.0, 1e-12);
    ck_assert_double_eq_tol(spread_of_rider(days, 3, (double)INFINITY).df, 12.0, 1e-12);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("moderated");
    TCase *tests = tcase_create("moderated");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, expected_as_limma_has_it);
    tcase_add_test(tests, two_are_weighed_by_their_degrees_of_freedom);
    tcase_add_test(tests, variances_alike_are_worth_without_end);
    tcase_add_test(tests, nothing_from_nothing);
    tcase_add_test(tests, a_riders_own_sessions);
    return test_main(suite);
}
