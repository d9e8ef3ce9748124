/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The words of progress, from tests. */
#include "support/test_main.h"

#include "measure/exact_tests.h"
#include "measure/practice_change.h"
#include "measure/rules.h"

#include <math.h>

static struct practice_change change;

static void tell(const double *base, size_t base_count, const double *later, size_t later_count)
{
    struct practice_test before[16], after[16];
    for (size_t i = 0; i < base_count; i++) {
        before[i] = (struct practice_test){base[i], 20, NAN, false};
    }
    for (size_t i = 0; i < later_count; i++) {
        after[i] = (struct practice_test){later[i], 20, NAN, false};
    }
    ck_assert_int_eq(practice_change_of(before, base_count, after, later_count, &change),
                     MEASURE_OK);
}

/* Python with SciPy 1.10.1: logits by their formula with 20 blocks each, pooled SD .26166843, t of
 * 6 df. */
START_TEST(better)
{
    const double base[] = {.52, .58, .55}, later[] = {.57, .66, .70, .69, .78, .81};
    tell(base, 3, later, 6);
    ck_assert_int_eq(change.verdict, PRACTICE_BETTER);
    ck_assert_int_eq(change.more, 0);
    ck_assert_uint_eq(change.later, 5);
    ck_assert_double_eq_tol(change.better_p, 1.0 / 56.0, 1e-12);
    ck_assert_double_eq_tol(change.worse_p, 1.0, 1e-12);
    ck_assert_double_eq_tol(change.base_share, 0.5477240070638572, 1e-9);
    ck_assert_double_eq_tol(change.later_share, 0.7205677438522796, 1e-9);
    ck_assert_double_eq_tol(change.logit_sd, 0.26166842616546404, 1e-9);
    ck_assert_double_eq_tol(change.change, 0.17284373678842246, 1e-9);
    ck_assert_double_eq_tol(change.change_low, 0.06994959085646457, 1e-6);
    ck_assert_double_eq_tol(change.change_high, 0.2568094985693421, 1e-6);
    ck_assert(!change.base_rises);
}
END_TEST

START_TEST(worse_is_its_mirror)
{
    const double base[] = {.48, .42, .45}, later[] = {.34, .30, .31, .22, .19};
    tell(base, 3, later, 5);
    ck_assert_int_eq(change.verdict, PRACTICE_WORSE);
    ck_assert_double_eq_tol(change.worse_p, 1.0 / 56.0, 1e-12);
    ck_assert_double_eq_tol(change.change, -0.17284373678842246, 1e-9);
}
END_TEST

/* All five over the base, but by less than matters. */
START_TEST(a_gain_that_does_not_matter)
{
    const double base[] = {.70, .71, .70}, later[] = {.72, .73, .72, .73, .72};
    tell(base, 3, later, 5);
    ck_assert_double_le(change.better_p, PROGRESS_P);
    ck_assert_int_eq(change.verdict, PRACTICE_NONE);
    ck_assert_int_eq(change.more, 0);
}
END_TEST

START_TEST(cannot_tell_yet)
{
    const double base[] = {.52, .68, .55}, later[] = {.5, .76, .60, .69, .78};
    tell(base, 3, later, 1);
    ck_assert_int_eq(change.verdict, PRACTICE_CANNOT_TELL);
    ck_assert_int_eq(change.more, 4); /* five are needed at the least */
    tell(base, 3, later, 3);
    ck_assert_int_eq(change.verdict, PRACTICE_CANNOT_TELL);
    ck_assert_int_ge(change.more, 2);
    ck_assert_int_le(change.more, 5);
    tell(base, 3, later, 5);
    ck_assert_int_eq(change.verdict, PRACTICE_CANNOT_TELL);
    ck_assert_int_ge(change.more, 1);
    ck_assert_int_le(change.more, 5);
    tell(base, 3, later, 0);
    ck_assert_int_eq(change.verdict, PRACTICE_CANNOT_TELL);
    ck_assert_int_eq(change.more, 5);
}
END_TEST

START_TEST(without_a_base_nothing_is_said)
{
    const double base[] = {.1, .1}, later[] = {.9, .9, .9, .9, .9};
    tell(base, 2, later, 5);
    ck_assert_int_eq(change.verdict, PRACTICE_BASE_SHORT);
    ck_assert_int_eq(change.more, 1);
    tell(base, 0, later, 5);
    ck_assert_int_eq(change.verdict, PRACTICE_BASE_SHORT);
    ck_assert_int_eq(change.more, 3);
}
END_TEST

/* Five of what came later are compared with the base: of both together an exact test has all. */
START_TEST(no_more_tests_than_an_exact_test_takes)
{
    static struct practice_test base[EXACT_VALUES_MAX];
    const struct practice_test later[] = {{.7, 20, NAN, false}, {.8, 20, NAN, false}};
    for (size_t i = 0; i < EXACT_VALUES_MAX; i++) {
        base[i] = (struct practice_test){.5 + .001 * (double)(i % 7), 20, NAN, false};
    }
    ck_assert_int_eq(practice_change_of(base, EXACT_VALUES_MAX - 5, later, 2, &change), MEASURE_OK);
    ck_assert_int_eq(practice_change_of(base, EXACT_VALUES_MAX - 4, later, 2, &change),
                     MEASURE_BAD_SETTING);
}
END_TEST

START_TEST(a_base_that_rises)
{
    const double rising[] = {.4, .5, .6}, not_all[] = {.4, .6, .6};
    tell(rising, 3, rising, 0);
    ck_assert(change.base_rises);
    tell(not_all, 3, rising, 0);
    ck_assert(!change.base_rises);
    tell(rising, 2, rising, 0);
    ck_assert(!change.base_rises);
}
END_TEST

/* The share grows by too little to matter, but it is kept twice as long. */
START_TEST(kept_for_longer)
{
    struct practice_test base[3], later[5];
    for (int i = 0; i < 5; i++) {
        later[i] = (struct practice_test){0.72 + 0.01 * i, 20, 200.0 + 10 * i, i == 4};
    }
    for (int i = 0; i < 3; i++) {
        base[i] = (struct practice_test){0.68 + 0.01 * i, 20, 100.0 + 10 * i, false};
    }
    ck_assert_int_eq(practice_change_of(base, 3, later, 5, &change), MEASURE_OK);
    ck_assert_double_eq_tol(change.lasting_times, 2.0, 1e-12);
    ck_assert_int_eq(change.verdict, PRACTICE_BETTER);
    ck_assert_double_lt(change.change, PROGRESS_POINTS);
    base[1].kept_s = (double)NAN;
    ck_assert_int_eq(practice_change_of(base, 3, later, 5, &change), MEASURE_OK);
    ck_assert_double_eq_tol(change.lasting_times, 2.0, 1e-12); /* of the other two: 110 */
}
END_TEST

/* Python: logit(.8 of 24) +- 1.96 sqrt(1 / 19.7 + 1 / 5.3), and so on. */
START_TEST(a_single_test_s_interval)
{
    double low, high;
    practice_share_interval(&(struct practice_test){.8, 24, NAN, false}, &low, &high);
    ck_assert_double_eq_tol(low, 0.5875463712813446, 1e-9);
    ck_assert_double_eq_tol(high, 0.9065307326939134, 1e-9);
    practice_share_interval(&(struct practice_test){1, 24, NAN, false}, &low, &high);
    ck_assert_double_eq_tol(low, 0.7487243406077996, 1e-9);
    ck_assert_double_lt(high, 1.0);
    practice_share_interval(&(struct practice_test){.5, 2, NAN, false}, &low, &high); /* as of 4 */
    ck_assert_double_eq_tol(low, 0.14765948150555736, 1e-9);
}
END_TEST

/* About .6 an interval of .1 to each side is 0.42 logits wide to each side. Tests whose logits have
 * an SD of .17, three and two: t of 3 df (3.182) x .17 x sqrt(1/3 + 1/2) = .494 is wider; five
 * later ones make it t of 6 df (2.447) x .17 x sqrt(1/3 + 1/5) = .304. So three more, and whichever
 * side it is too wide on nothing is told. */
START_TEST(so_many_more_tests)
{
    const double base[] = {.5586, .6, .64}, same[] = {.5707, .6284}, lower[] = {.5207, .5793};
    const double higher[] = {.625, .68}, steady[] = {.600, .601, .602}, above[] = {.75, .752};
    tell(base, 3, same, 2);
    ck_assert(change.change_low < -0.1 && change.change_high > 0.1);
    ck_assert_int_eq(change.verdict, PRACTICE_CANNOT_TELL);
    ck_assert_int_eq(change.more, 3);
    tell(base, 3, lower, 2);
    ck_assert(change.change_low < -0.1 && change.change_high < 0.1);
    ck_assert_int_eq(change.verdict, PRACTICE_CANNOT_TELL);
    tell(base, 3, higher, 2);
    ck_assert(change.change_low > -0.1 && change.change_high > 0.1);
    ck_assert_int_eq(change.verdict, PRACTICE_CANNOT_TELL);
    tell(steady, 3, above, 2); /* far off, and too few to say so */
    ck_assert(change.change_low > 0.1);
    ck_assert_int_eq(change.verdict, PRACTICE_CANNOT_TELL);
    ck_assert_int_eq(change.more, 3);
}
END_TEST

/* So many more until the interval is .1 to each side, at shares all over the scale: computed in
 * Python from the formulas. Below .1 and over .9 the scale goes on as it is there. */
START_TEST(so_many_more_tests_at_every_level)
{
    static const struct {
        double level, apart;
        int more;
    } cases[] = {{.04, .04, 3}, {.2, .065, 2}, {.2, .07, 4},  {.4, .065, 2}, {.4, .07, 4},
                 {.6, .065, 2}, {.6, .07, 4},  {.8, .065, 2}, {.8, .07, 4},  {.96, .04, 3}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        double low = cases[i].level - cases[i].apart, high = cases[i].level + cases[i].apart;
        const double base[] = {low, high, cases[i].level};
        const double later[] = {low, cases[i].level, high, low, high};
        tell(base, 3, later, 5);
        ck_assert_int_eq(change.verdict, PRACTICE_CANNOT_TELL);
        ck_assert_int_eq(change.more, cases[i].more);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("practice_change");
    TCase *tests = tcase_create("practice_change");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, better);
    tcase_add_test(tests, worse_is_its_mirror);
    tcase_add_test(tests, a_gain_that_does_not_matter);
    tcase_add_test(tests, cannot_tell_yet);
    tcase_add_test(tests, without_a_base_nothing_is_said);
    tcase_add_test(tests, no_more_tests_than_an_exact_test_takes);
    tcase_add_test(tests, a_base_that_rises);
    tcase_add_test(tests, kept_for_longer);
    tcase_add_test(tests, a_single_test_s_interval);
    tcase_add_test(tests, so_many_more_tests);
    tcase_add_test(tests, so_many_more_tests_at_every_level);
    return test_main(suite);
}
