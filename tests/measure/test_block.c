/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Block means and the interval of one hold's mean. */
#include "reference.h"

#include "base/random.h"
#include "measure/block.h"

START_TEST(means_of_blocks)
{
    /* own computation */
    const double x[50] = {31, 29, 27, 26, 24, 22, 21, 19, 18, 17, 14, 13, 13, 12, 11, 10, 11,
                          9,  12, 10, 11, 10, 9,  11, 12, 10, 9,  11, 10, 8,  10, 12, 11, 9,
                          10, 11, 9,  10, 8,  10, 9,  11, 12, 10, 11, 10, 9,  10, 11, 12};
    const double wanted[10] = {27.4, 19.4, 12.6, 10.4, 10.6, 9.6, 10.4, 9.6, 10.6, 10.4};
    double time_s[50];
    struct block blocks[10];
    for (int i = 0; i < 50; i++) {
        time_s[i] = i;
    }
    ck_assert_uint_eq(blocks_make(time_s, x, 50, 0.0, 50.0, 5.0, 1.0, blocks, 10), 10);
    for (int i = 0; i < 10; i++) {
        ck_assert_double_eq_tol(blocks[i].mean, wanted[i], 1e-12);
    }
}
END_TEST

START_TEST(interval_worked)
{
    /* own computation */
    const double y[8] = {412.4, 411.6, 413.0, 413.8, 412.9, 412.2, 411.1, 411.9};
    struct block blocks[8];
    struct mean_interval made;
    for (size_t i = 0; i < 8; i++) {
        blocks[i] = (struct block){.index = i, .mean = y[i], .count = 125};
    }
    ck_assert_int_eq(blocks_mean_interval(blocks, 8, &made), MEASURE_OK);
    reference_printed("worked block interval, mean", made.mean, 412.3625, 5e-9);
    reference_printed("worked block interval, SD", made.sd, 0.860129, 5e-7);
    reference_printed("worked block interval, r1", made.r1, 0.362268, 5e-7);
    reference_printed("worked block interval, rc", made.correlation, 0.668402, 5e-7);
    reference_printed("worked block interval, f", made.factor, 5.031391, 5e-7);
    reference_printed("worked block interval, SE", made.se, 0.682123, 5e-7);
    ck_assert_double_eq(made.df, 3.0);
    reference_printed("worked block interval, half-width", made.half_width, 2.17082, 5e-6);
    reference_printed("worked block interval, k/f - 1", made.effective_n - 1.0, 0.590, 5e-4);
}
END_TEST

START_TEST(blocks_follow_time)
{
    /* a hole in time is a hole in the grid, and its neighbours are not lag-1 neighbours */
    double t[100], x[100];
    struct block blocks[10];
    size_t n = 0;
    for (int i = 0; i < 100; i++) {
        double at = 0.1 * i;
        if (at > 2.45 && at < 5.6) {
            continue;
        }
        t[n] = at;
        x[n++] = 500.0 + i;
    }
    ck_assert_uint_eq(blocks_make(t, x, n, 0.0, 10.0, 2.5, 12.0, blocks, 10), 3);
    ck_assert_uint_eq(blocks[0].index, 0);
    ck_assert_uint_eq(blocks[1].index, 2);
    ck_assert_uint_eq(blocks[2].index, 3);
    ck_assert_uint_eq(blocks[0].count, 25);
    ck_assert_double_eq_tol(blocks[0].mean, 512.0, 1e-9);
    ck_assert_double_eq_tol(blocks[0].time_s, 1.2, 1e-9);
    /* the last block must be whole: 9.9 s hold three */
    ck_assert_uint_eq(blocks_make(t, x, n, 0.0, 9.9, 2.5, 12.0, blocks, 10), 2);
    ck_assert_uint_eq(blocks_make(t, x, n, 0.0, 10.0, 2.5, 12.0, blocks, 1), 1);
    ck_assert_uint_eq(blocks_make(t, x, 0, 0.0, 10.0, 2.5, 12.0, blocks, 10), 0);
}
END_TEST

START_TEST(interval_guards)
{
    struct block blocks[8];
    struct mean_interval made;
    for (size_t i = 0; i < 8; i++) {
        blocks[i] = (struct block){.index = i, .mean = 412.25, .count = 125};
    }
    ck_assert_int_eq(blocks_mean_interval(blocks, 8, &made), MEASURE_CONSTANT);
    ck_assert_int_eq(blocks_mean_interval(blocks, 3, &made), MEASURE_TOO_FEW);
    blocks[4].mean = NAN;
    ck_assert_int_eq(blocks_mean_interval(blocks, 8, &made), MEASURE_NOT_FINITE);
    /* alternating blocks: a negative correlation never makes the interval narrower than for
     * independent ones */
    for (size_t i = 0; i < 8; i++) {
        blocks[i].mean = i % 2 ? 1.0 : -1.0;
    }
    ck_assert_int_eq(blocks_mean_interval(blocks, 8, &made), MEASURE_OK);
    ck_assert_double_eq(made.factor, 1.0);
    ck_assert_double_eq(made.df, 7.0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("block");
    TCase *tests = tcase_create("block");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, means_of_blocks);
    tcase_add_test(tests, interval_worked);
    tcase_add_test(tests, blocks_follow_time);
    tcase_add_test(tests, interval_guards);
    return test_main(suite);
}
