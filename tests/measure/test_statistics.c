/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Plain statistics against the certified values of the NIST Statistical Reference Datasets, and
 * against published or worked values named beside each check. */
#include "reference.h"

#include "base/random.h"
#include "measure/statistics.h"
#include "support/test_seed.h"

static void univariate(const char *name, double digits_mean, double digits_sd)
{
    double values[REFERENCE_MAX], mean, sd, r1, tolerance;
    char file[60], what[80];
    snprintf(file, sizeof file, "%s.txt", name);
    size_t n = reference_numbers(file, values, REFERENCE_MAX);
    ck_assert_uint_eq(n,
                      (size_t)reference_expected("univariate-expected.csv", name, "n", &tolerance));
    ck_assert_int_eq(statistics_mean_sd(values, n, &mean, &sd), MEASURE_OK);
    ck_assert_int_eq(statistics_autocorrelation(values, n, &r1), MEASURE_OK);
    snprintf(what, sizeof what, "NIST StRD %s mean", name);
    reference_check(what, mean,
                    reference_expected("univariate-expected.csv", name, "mean", &tolerance),
                    digits_mean);
    snprintf(what, sizeof what, "NIST StRD %s standard deviation", name);
    reference_check(what, sd, reference_expected("univariate-expected.csv", name, "sd", &tolerance),
                    digits_sd);
    snprintf(what, sizeof what, "NIST StRD %s autocorrelation of lag 1", name);
    reference_check(what, r1, reference_expected("univariate-expected.csv", name, "r1", &tolerance),
                    digits_sd < 12 ? digits_sd : 12);
}

START_TEST(nist_univariate)
{
    univariate("Lew", 14, 12);
    univariate("Lottery", 14, 12);
    univariate("Mavro", 14, 12);
    univariate("Michelso", 14, 12);
    univariate("PiDigits", 14, 12);
    univariate("NumAcc1", 14, 12);
    univariate("NumAcc2", 14, 12);
    /* The decimals of the last two do not fit doubles: exact arithmetic on the doubles reaches 9.5
     * and 8.3. */
    univariate("NumAcc3", 14, 9);
    univariate("NumAcc4", 14, 8);
}
END_TEST

START_TEST(nist_line)
{
    struct reference_table *data = reference_table("Norris.csv");
    double x[60], y[60], tolerance;
    for (size_t i = 0; i < data->rows; i++) {
        x[i] = data->value[i][0];
        y[i] = data->value[i][1];
    }
    struct line_fit fit;
    const char *file = "regression-expected.csv";
    ck_assert_int_eq(statistics_line(x, y, data->rows, &fit), MEASURE_OK);
    reference_check("NIST StRD Norris intercept", fit.intercept,
                    reference_expected(file, "Norris", "b0", &tolerance), 11);
    reference_check("NIST StRD Norris slope", fit.slope,
                    reference_expected(file, "Norris", "b1", &tolerance), 12);
    reference_check("NIST StRD Norris standard error of slope", fit.slope_se,
                    reference_expected(file, "Norris", "se_b1", &tolerance), 11);
    reference_check("NIST StRD Norris residual SD", fit.residual_sd,
                    reference_expected(file, "Norris", "residual_sd", &tolerance), 11);
    free(data);
}
END_TEST

START_TEST(creep_line)
{
    /* own computation: t = 2.5 + 5 i s, mm; slope per minute. */
    double y[] = {410.2, 410.9, 411.1, 411.9, 412.2, 412.8,
                  412.9, 413.7, 414.1, 414.2, 415.0, 415.3};
    double minutes[12], robust;
    struct line_fit fit;
    for (int i = 0; i < 12; i++) {
        minutes[i] = (2.5 + 5.0 * i) / 60.0;
    }
    ck_assert_int_eq(statistics_line(minutes, y, 12, &fit), MEASURE_OK);
    reference_printed("worked creep, slope", fit.slope, 5.46713, 5e-6);
    reference_printed("worked creep, standard error", fit.slope_se, 0.16403, 5e-6);
    ck_assert_int_eq(statistics_theil_sen(minutes, y, 12, &robust), MEASURE_OK);
    reference_printed("worked creep, Theil-Sen", robust, 5.40000, 5e-6);
}
END_TEST

START_TEST(quantiles)
{
    /* Type 7 by hand: place share x (n-1). */
    double sorted[] = {1, 2, 3, 4, 10}, q, median, mad;
    double a[] = {10, 2, 4, 1, 3};
    ck_assert_int_eq(statistics_quantile(a, 5, 0.1, &q), MEASURE_OK);
    ck_assert_double_eq_tol(q, 1.4, 1e-14);
    ck_assert_int_eq(statistics_quantile(a, 5, 0.0, &q), MEASURE_OK);
    ck_assert_double_eq(q, 1.0);
    ck_assert_int_eq(statistics_quantile(a, 5, 1.0, &q), MEASURE_OK);
    ck_assert_double_eq(q, 10.0);
    ck_assert_int_eq(statistics_quantile(a, 5, 0.9, &q), MEASURE_OK);
    ck_assert_double_eq_tol(q, 7.6, 1e-14);
    ck_assert_int_eq(statistics_mad(sorted, 5, &median, &mad), MEASURE_OK);
    ck_assert_double_eq(median, 3.0);
    ck_assert_double_eq(mad, 1.0); /* distances 2 1 0 1 7 */
    double one[] = {7};
    ck_assert_int_eq(statistics_median(one, 1, &q), MEASURE_OK);
    ck_assert_double_eq(q, 7.0);
    double even[] = {4, 1, 3, 2};
    ck_assert_int_eq(statistics_median(even, 4, &q), MEASURE_OK);
    ck_assert_double_eq(q, 2.5);
}
END_TEST

static int by_value(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The partial sort against the C library's full one, on random sizes, with many equal values. */
START_TEST(quantiles_against_sorting)
{
    struct random_source random;
    unsigned seed = 977;
    random_seed(&random, test_seed(seed));
    for (int run = 0; run < 3000; run++) {
        double values[200], sorted[200], q;
        size_t n = 1 + (size_t)(random_uniform(&random) * 199.0);
        double steps = run % 3 == 0 ? 4.0 : 1000.0;
        for (size_t i = 0; i < n; i++) {
            values[i] = sorted[i] = floor(random_uniform(&random) * steps);
        }
        qsort(sorted, n, sizeof sorted[0], by_value);
        double share = random_uniform(&random), place = share * (double)(n - 1);
        size_t below = (size_t)place;
        double want = sorted[below];
        if (below + 1 < n) {
            want += (place - (double)below) * (sorted[below + 1] - sorted[below]);
        }
        ck_assert_int_eq(statistics_quantile(values, n, share, &q), MEASURE_OK);
        ck_assert_msg(fabs(q - want) <= 1e-12 * (1.0 + fabs(want)), "seed %u run %d", seed, run);
    }
}
END_TEST

START_TEST(equivariance)
{
    struct random_source random;
    unsigned seed = 4711;
    random_seed(&random, test_seed(seed));
    printf("  property: shift and scale, seed %u\n", seed);
    for (int run = 0; run < 200; run++) {
        double x[40], y[40], z[40], t[40];
        double shift = 1000.0 * random_normal(&random), scale = 0.1 + 5.0 * random_uniform(&random);
        for (int i = 0; i < 40; i++) {
            t[i] = i;
            x[i] = random_normal(&random);
            y[i] = shift + scale * x[i];
        }
        double mean_x, sd_x, mean_y, sd_y, r_x, r_y, slope_x, slope_y;
        statistics_mean_sd(x, 40, &mean_x, &sd_x);
        statistics_mean_sd(y, 40, &mean_y, &sd_y);
        ck_assert_double_eq_tol(mean_y, shift + scale * mean_x, 1e-9);
        ck_assert_double_eq_tol(sd_y, scale * sd_x, 1e-9);
        statistics_autocorrelation(x, 40, &r_x);
        statistics_autocorrelation(y, 40, &r_y);
        ck_assert_double_eq_tol(r_x, r_y, 1e-9);
        statistics_theil_sen(t, x, 40, &slope_x);
        statistics_theil_sen(t, y, 40, &slope_y);
        ck_assert_double_eq_tol(slope_y, scale * slope_x, 1e-9);
        double median_x, median_y, mad_x, mad_y;
        memcpy(z, x, sizeof z);
        statistics_mad(z, 40, &median_x, &mad_x);
        memcpy(z, y, sizeof z);
        statistics_mad(z, 40, &median_y, &mad_y);
        ck_assert_double_eq_tol(median_y, shift + scale * median_x, 1e-9);
        ck_assert_double_eq_tol(mad_y, scale * mad_x, 1e-9);
    }
}
END_TEST

START_TEST(the_last_of_all)
{
    double values[] = {3, 1, 5, 2, 4}, one[] = {7}, last;
    ck_assert_int_eq(statistics_quantile(values, 5, 1.0, &last), MEASURE_OK);
    ck_assert_double_eq(last, 5.0);
    ck_assert_int_eq(statistics_quantile(one, 1, 1.0, &last), MEASURE_OK);
    ck_assert_double_eq(last, 7.0);
}
END_TEST

START_TEST(bad_input)
{
    double good[] = {1, 2, 3, 4, 5}, same[] = {2, 2, 2, 2, 2}, bad[] = {1, NAN, 3, 4, 5};
    double infinite[] = {1, (double)INFINITY, 3, 4, 5}, a = -1, b = -1;
    struct line_fit fit;
    ck_assert_int_eq(statistics_mean(good, 0, &a), MEASURE_TOO_FEW);
    ck_assert_int_eq(statistics_mean_sd(good, 1, &a, &b), MEASURE_TOO_FEW);
    ck_assert_int_eq(statistics_mean_sd(bad, 5, &a, &b), MEASURE_NOT_FINITE);
    ck_assert_int_eq(statistics_mean_sd(infinite, 5, &a, &b), MEASURE_NOT_FINITE);
    ck_assert_int_eq(statistics_autocorrelation(same, 5, &a), MEASURE_CONSTANT);
    ck_assert_int_eq(statistics_autocorrelation(good, 2, &a), MEASURE_TOO_FEW);
    ck_assert_int_eq(statistics_quantile(good, 0, 0.5, &a), MEASURE_TOO_FEW);
    ck_assert_int_eq(statistics_quantile(good, 5, 1.5, &a), MEASURE_BAD_SETTING);
    ck_assert_int_eq(statistics_quantile(good, 5, NAN, &a), MEASURE_BAD_SETTING);
    ck_assert_int_eq(statistics_quantile(bad, 5, 0.25, &a), MEASURE_NOT_FINITE);
    ck_assert_int_eq(statistics_median(bad, 5, &a), MEASURE_NOT_FINITE);
    ck_assert_int_eq(statistics_line(same, good, 5, &fit), MEASURE_CONSTANT);
    ck_assert_int_eq(statistics_line(good, good, 2, &fit), MEASURE_TOO_FEW);
    ck_assert_int_eq(statistics_line(good, bad, 5, &fit), MEASURE_NOT_FINITE);
    ck_assert_int_eq(statistics_theil_sen(same, good, 5, &a), MEASURE_CONSTANT);
    ck_assert_int_eq(statistics_theil_sen(good, good, 1, &a), MEASURE_TOO_FEW);
    ck_assert_double_eq(a, -1);
    ck_assert_double_eq(b, -1);
    ck_assert_int_eq(statistics_line(good, same, 5, &fit), MEASURE_OK);
    ck_assert_double_eq(fit.slope, 0.0);
    for (int s = MEASURE_OK; s <= MEASURE_BAD_SETTING; s++) {
        ck_assert_uint_gt(strlen(measure_status_sentence((enum measure_status)s)), 5);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("statistics");
    TCase *tests = tcase_create("statistics");
    tcase_set_timeout(tests, 30);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, nist_univariate);
    tcase_add_test(tests, nist_line);
    tcase_add_test(tests, creep_line);
    tcase_add_test(tests, quantiles);
    tcase_add_test(tests, quantiles_against_sorting);
    tcase_add_test(tests, equivariance);
    tcase_add_test(tests, the_last_of_all);
    tcase_add_test(tests, bad_input);
    return test_main(suite);
}
