/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Limits of several means against one, against published tables and R. */
#include "support/test_main.h"

#include "measure/distribution.h"
#include "measure/many_to_one.h"

#include <math.h>

/* As many values of the first as of each other: correlations of 1/2. */
static struct many_to_one even(int count)
{
    struct many_to_one family = {.count = count};
    for (int i = 0; i < count; i++) {
        family.own[i] = 1.0;
        family.one[i] = 1.0;
    }
    return family;
}

/* Dunnett 1964, Biometrics 20, table II (two-sided, 5 %): two decimals. The further decimals are
 * R 4.2.2's mvtnorm 1.1-3, qmvt(0.95, tail = "both.tails"). */
START_TEST(equal_groups)
{
    static const struct {
        int count;
        double df, limit;
    } rows[] = {{2, 10, 2.5686}, {5, 20, 2.7346},  {9, 5, 3.9707},         {2, 1, 17.369},
                {3, 2, 6.0646},  {19, 20, 3.1990}, {19, INFINITY, 2.8914}, {4, 15, 2.727}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct many_to_one family = even(rows[i].count);
        double limit = many_to_one_limit(&family, rows[i].df, 0.95);
        ck_assert_msg(fabs(limit - rows[i].limit) < 0.0015 * fmax(1.0, rows[i].limit / 4.0),
                      "%d differences, %g df: %.4f for %.4f", rows[i].count, rows[i].df, limit,
                      rows[i].limit);
    }
}
END_TEST

/* The same of R, with 4 values of the first and 1, 2, 3, 6 of the others. */
START_TEST(unequal_groups)
{
    struct many_to_one family = {.count = 4, .own = {1.0, 1.0 / 2.0, 1.0 / 3.0, 1.0 / 6.0}};
    for (int i = 0; i < 4; i++) {
        family.one[i] = sqrt(1.0 / 4.0);
    }
    ck_assert_double_eq_tol(many_to_one_limit(&family, 11.0, 0.95), 2.88145, 0.001);
    family.one[0] = -family.one[0]; /* the side of a difference is nobody's matter */
    ck_assert_double_eq_tol(many_to_one_limit(&family, 11.0, 0.95), 2.88145, 0.001);
}
END_TEST

/* Holds A A B B C C D D A A with their order taken out, 5 degrees of freedom: R's qmvt with the
 * correlations of that design. Order within setups: A 1 2 9 10, the others two in a row. */
START_TEST(an_order_taken_out)
{
    static const double arm[] = {3.5 - 5.5, 5.5 - 5.5, 7.5 - 5.5};
    double within = 4.5 * 4.5 * 2.0 + 3.5 * 3.5 * 2.0 + 3.0 * 0.5;
    struct many_to_one family = {.count = 3};
    for (int i = 0; i < 3; i++) {
        family.own[i] = 1.0 / 2.0;
        family.one[i] = sqrt(1.0 / 4.0);
        family.two[i] = arm[i] / sqrt(within);
    }
    ck_assert_double_eq_tol(many_to_one_limit(&family, 5.0, 0.95), 3.36289, 0.0015);
}
END_TEST

START_TEST(where_it_ends)
{
    struct many_to_one one = even(1), none = even(0), family = even(3);
    ck_assert_double_eq_tol(many_to_one_limit(&one, 6.0, 0.95), 2.446912, 1e-6);
    ck_assert(isinf(many_to_one_limit(&none, 6.0, 0.95)));
    ck_assert(isinf(many_to_one_limit(&family, 0.0, 0.95)));
    ck_assert(isinf(many_to_one_limit(&family, 6.0, 1.0)));
    ck_assert(isinf(many_to_one_limit(&family, 6.0, 0.0)));
    struct many_to_one most = even(MANY_TO_ONE_MOST);
    ck_assert(isfinite(many_to_one_limit(&most, 6.0, 0.95)));
    most.count++;
    ck_assert(isinf(many_to_one_limit(&most, 6.0, 0.95)));
    /* what is all in common is one difference, near enough and on the careful side */
    for (int i = 0; i < 3; i++) {
        family.own[i] = 0.0;
    }
    double common = many_to_one_limit(&family, 6.0, 0.95);
    ck_assert(common > 2.446912 && common < 1.035 * 2.446912);
    family.one[1] = 0.0;
    ck_assert(isinf(many_to_one_limit(&family, 6.0, 0.95)));
    /* and what has nothing in common is independent: Sidak 1967, normal case in closed form */
    for (int i = 0; i < 3; i++) {
        family.own[i] = 1.0;
        family.one[i] = 0.0;
    }
    ck_assert_double_eq_tol(many_to_one_limit(&family, INFINITY, 0.95),
                            normal_quantile(0.5 + 0.5 * cbrt(0.95)), 1e-5);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("many_to_one");
    TCase *tests = tcase_create("many_to_one");
    tcase_add_test(tests, equal_groups);
    tcase_add_test(tests, unequal_groups);
    tcase_add_test(tests, an_order_taken_out);
    tcase_add_test(tests, where_it_ends);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
