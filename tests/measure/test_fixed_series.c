/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Fixed series of known kind: autoregressive ones for block means and their interval, a Gaussian
 * band for counted crossings. tests/measure/data/README.md names their making. */
#include "reference.h"

#include "measure/block.h"
#include "measure/statistics.h"

#define EXPECTED "ar1-expected.csv"
#define LONGEST 20000

static double value[LONGEST], at[LONGEST];
static struct block block[LONGEST];

static double expected(const char *which, const char *quantity)
{
    double tolerance;
    return reference_expected(EXPECTED, which, quantity, &tolerance);
}

static void check_value(const char *which, const char *quantity, double got, double digits)
{
    char what[80];
    snprintf(what, sizeof what, "%s %s", which, quantity);
    reference_check(what, got, expected(which, quantity), digits);
}

static void series(const char *which)
{
    char file[60];
    double mean, sd, lag_1;
    struct line_fit line;
    struct mean_interval interval;
    snprintf(file, sizeof file, "%s.txt", which);
    size_t n = reference_numbers(file, value, LONGEST);
    for (size_t i = 0; i < n; i++) {
        at[i] = (double)i;
    }
    ck_assert_int_eq(statistics_mean_sd(value, n, &mean, &sd), MEASURE_OK);
    ck_assert_int_eq(statistics_autocorrelation(value, n, &lag_1), MEASURE_OK);
    ck_assert_int_eq(statistics_line(at, value, n, &line), MEASURE_OK);
    check_value(which, "mean", mean, 12);
    check_value(which, "sd", sd, 12);
    check_value(which, "r1", lag_1, 11);
    check_value(which, "trend_slope", line.slope, 11);
    check_value(which, "ols_se_trend", line.slope_se, 11);
    /* plain batch means: the blocks' scatter without their autocorrelation */
    double length = expected(which, "batch_length");
    size_t made = blocks_make(at, value, n, 0.0, (double)n, length, length, block, LONGEST);
    ck_assert_double_eq((double)made, expected(which, "batches"));
    ck_assert_int_eq(blocks_mean_interval(block, made, &interval), MEASURE_OK);
    check_value(which, "se_mean_batch", interval.sd / sqrt((double)made), 11);
    /* the interval's own standard error against theory, sd sqrt(tau/n), with blocks as short
     * against the correlation as 2.5 s are against a posture's wander, and longer ones */
    double phi = (expected(which, "tau_theory") - 1.0) / (expected(which, "tau_theory") + 1.0);
    double theory = sqrt(expected(which, "tau_theory") / (1.0 - phi * phi) / (double)n);
    for (double blocks = 20; blocks <= 160; blocks *= 2) {
        made = blocks_make(at, value, n, 0.0, (double)n, blocks, blocks, block, LONGEST);
        ck_assert_int_eq(blocks_mean_interval(block, made, &interval), MEASURE_OK);
        printf("  reference: %s, SE of the mean from blocks of %.0f: %.4f of theory\n", which,
               blocks, interval.se / theory);
        ck_assert_double_eq_tol(interval.se / theory, 1.0, 0.25);
    }
}

START_TEST(autocorrelated)
{
    series("ar1-phi00-n2000");
    series("ar1-phi50-n5000");
    series("ar1-phi95-n20000");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("fixed_series");
    TCase *tests = tcase_create("fixed_series");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, autocorrelated);
    return test_main(suite);
}
