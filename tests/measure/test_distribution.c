/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* GSL's distributions behind our guards. */
#include "reference.h"

#include "measure/distribution.h"

#include <pthread.h>

START_TEST(t_and_chi2_factors)
{
    /* own computation from tables of t and chi-square: factors for the 95 % interval of s_r, and
     * t. The upper one for 2 df stands there as 6.29, made from a table of 3 digits; chi-square
     * with 2 df is exact: 6.2847. */
    const struct {
        double df, low, high, t;
    } table[] = {{2, .52, 6.28, 4.303},  {3, .57, 3.73, 3.182},  {4, .60, 2.87, 2.776},
                 {5, .62, 2.45, 2.571},  {6, .64, 2.20, 2.447},  {8, .68, 1.92, 2.306},
                 {10, .70, 1.76, 2.228}, {15, .74, 1.55, 2.131}, {20, .77, 1.44, 2.086}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        double df = table[i].df;
        char what[60];
        snprintf(what, sizeof what, "t and chi-square factors, df %.0f", df);
        ck_assert_double_eq_tol(sqrt(df / chi2_quantile(0.975, df)), table[i].low, 0.0051);
        ck_assert_double_eq_tol(sqrt(df / chi2_quantile(0.025, df)), table[i].high, 0.0051);
        reference_printed(what, t_quantile(0.975, df), table[i].t, 5e-4);
    }
}
END_TEST

START_TEST(closed_forms)
{
    /* Exact: t with 1 df is tan(pi (p - 1/2)); with 2 df a / sqrt(2 p (1-p)) with a = 2p-1;
     * chi-square with 2 df -2 ln(1-p); F with 2 and m df (m/2)((1-p)^(-2/m) - 1). */
    const double shares[] = {0.001, 0.025, 0.3, 0.6, 0.95, 0.975, 0.999};
    for (size_t i = 0; i < sizeof shares / sizeof shares[0]; i++) {
        double p = shares[i];
        char what[60];
        snprintf(what, sizeof what, "quantiles in closed form, p %.3f", p);
        reference_check(what, t_quantile(p, 1), tan(3.14159265358979323846 * (p - 0.5)), 9);
        reference_check(what, t_quantile(p, 2), (2 * p - 1) / sqrt(2 * p * (1 - p)), 9);
        reference_check(what, chi2_quantile(p, 2), -2 * log1p(-p), 9);
        reference_check(what, f_upper(4.5 * (pow(1 - p, -2.0 / 9) - 1), 2, 9), 1 - p, 9);
    }
    reference_check("normal quantile 0.975 (tables)", normal_quantile(0.975), 1.959963984540054,
                    12);
}
END_TEST

START_TEST(there_and_back)
{
    /* From 1 df on; under 1 GSL 2.7 gives NaN for many shares, which ours turns into INFINITY. */
    for (double df = 1.0; df < 400.0; df *= 1.37) {
        for (double p = 0.01; p < 1.0; p += 0.0333) {
            ck_assert_double_eq_tol(t_upper(t_quantile(p, df), df), 1.0 - p, 1e-9);
        }
        ck_assert_double_eq_tol(t_two_sided_p(t_quantile(0.975, df), df), 0.05, 1e-9);
    }
    ck_assert_double_eq_tol(t_quantile(0.975, 1e12), 1.959963984540054, 1e-9);
    ck_assert_double_eq_tol(t_quantile(0.975, (double)INFINITY), 1.959963984540054, 1e-12);
}
END_TEST

/* The library itself would abort or hand out NaN for these. */
START_TEST(outside_the_domain)
{
    const double odd[] = {0.0, 1.0, -0.5, 2.0, NAN, (double)INFINITY, -(double)INFINITY};
    for (size_t i = 0; i < sizeof odd / sizeof odd[0]; i++) {
        ck_assert_double_infinite(t_quantile(odd[i], 3));
        ck_assert_double_infinite(normal_quantile(odd[i]));
        ck_assert_double_infinite(chi2_quantile(odd[i], 3));
    }
    const double df[] = {0.0, -1.0, NAN};
    for (size_t i = 0; i < sizeof df / sizeof df[0]; i++) {
        ck_assert_double_infinite(t_quantile(0.975, df[i]));
        ck_assert_double_infinite(chi2_quantile(0.975, df[i]));
        ck_assert_double_eq(t_two_sided_p(3.0, df[i]), 1.0);
        ck_assert_double_eq(f_upper(3.0, 2.0, df[i]), 1.0);
    }
    ck_assert_double_eq(t_two_sided_p(NAN, 3), 1.0);
    ck_assert_double_eq(t_two_sided_p((double)INFINITY, 3), 0.0);
    ck_assert_double_eq(normal_upper(NAN), 1.0);
    ck_assert(t_quantile(0.999, 1e-3) > 0.0);
    ck_assert(!isnan(chi2_quantile(1e-300, 1e-3)));
}
END_TEST

static void *ask_nonsense(void *result)
{
    double *sum = result;
    for (int i = 1; i < 200; i++) {
        *sum += t_quantile(0.975, i) + (isinf(chi2_quantile(0.5, -i)) ? 1.0 : 0.0);
    }
    return NULL;
}

/* The library's error handler is turned off once, by whichever thread comes first. */
START_TEST(several_threads)
{
    pthread_t threads[4];
    double sums[4] = {0};
    for (int i = 0; i < 4; i++) {
        ck_assert_int_eq(pthread_create(&threads[i], NULL, ask_nonsense, &sums[i]), 0);
    }
    for (int i = 0; i < 4; i++) {
        pthread_join(threads[i], NULL);
    }
    for (int i = 1; i < 4; i++) {
        ck_assert_double_eq(sums[i], sums[0]);
    }
    ck_assert_double_gt(sums[0], 199.0 * 2.9);
}
END_TEST

/* So many degrees of freedom that t is the normal distribution (1.959964 by its tables), and a sum
 * of squares that any other passes. */
START_TEST(the_ends_of_the_domain)
{
    ck_assert_double_eq_tol(t_quantile(0.975, 1e9), 1.9599640, 1e-7);
    ck_assert_double_eq_tol(t_quantile(0.975, 1e8), 1.9599640, 1e-7);
    ck_assert_double_eq(f_upper(0.0, 2.0, 3.0), 1.0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("distribution");
    TCase *tests = tcase_create("distribution");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, t_and_chi2_factors);
    tcase_add_test(tests, closed_forms);
    tcase_add_test(tests, there_and_back);
    tcase_add_test(tests, outside_the_domain);
    tcase_add_test(tests, several_threads);
    tcase_add_test(tests, the_ends_of_the_domain);
    return test_main(suite);
}
