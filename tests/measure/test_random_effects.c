/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Means of unequal worth together, against R's metafor and printed figures. */
#include "reference.h"

#include "base/random.h"
#include "measure/distribution.h"
#include "measure/random_effects.h"
#include "support/test_seed.h"

#define EXPECTED "random-effects-expected.csv"

static struct random_effects fit;

static void check_value(const char *which, const char *quantity, double got, double digits)
{
    double tolerance;
    char what[120];
    snprintf(what, sizeof what, "random effects, %s %s", which, quantity);
    reference_check(what, got, reference_expected(EXPECTED, which, quantity, &tolerance), digits);
}

static void check_limits(const char *which, double middle, double half, double digits)
{
    check_value(which, "ci95_lower", middle - half, digits);
    check_value(which, "ci95_upper", middle + half, digits);
}

static void check_data(const char *data, const double *value, const double *variance, size_t count)
{
    struct random_effects_input input = {.value = value, .variance = variance, .count = count};
    struct random_effects_estimate e;
    char which[60];
    ck_assert_int_eq(random_effects_fit(&input, &fit), MEASURE_OK);
    ck_assert_int_eq(random_effects_estimate(&fit, 0, -1, &e), MEASURE_OK);
    snprintf(which, sizeof which, "%s_PM_z", data);
    const double digits = 12.0;
    check_value(which, "mu", e.value, digits);
    check_value(which, "se", e.se, digits);
    check_limits(which, e.value, normal_quantile(0.975) * e.se, digits);
    check_value(which, "tau2", fit.tau2, digits);
    double t = t_quantile(0.975, (double)count - 1.0), knapp = e.se * sqrt(fit.scale);
    snprintf(which, sizeof which, "%s_PM_knha", data);
    check_value(which, "se", knapp, digits);
    check_limits(which, e.value, t * knapp, digits);
    snprintf(which, sizeof which, "%s_PM_adhoc", data);
    check_value(which, "se", e.se_modified, digits);
    check_limits(which, e.value, e.half_width, digits);
}

/* Colditz and others 1994: 13 trials. */
START_TEST(thirteen_trials)
{
    double value[13], variance[13];
    struct reference_table *table = reference_table("vaccine-13-logrr.csv");
    ck_assert_uint_eq(table->rows, 13);
    for (size_t i = 0; i < 13; i++) {
        value[i] = table->value[i][1];
        variance[i] = table->value[i][2];
    }
    free(table);
    check_data("vaccine", value, variance, 13);
}
END_TEST

/* Four values that differ by less than their variances: tau^2 is 0, and the modified interval is
 * not narrower than the plain one. */
START_TEST(alike)
{
    const double value[] = {1.2, 0.9, 1.1, 1.05}, variance[] = {0.04, 0.05, 0.03, 0.06};
    check_data("homog4", value, variance, 4);
    struct random_effects_input input = {.value = value, .variance = variance, .count = 4};
    struct random_effects_estimate e;
    ck_assert_int_eq(random_effects_fit(&input, &fit), MEASURE_OK);
    ck_assert_double_eq(fit.tau2, 0.0);
    ck_assert_int_eq(random_effects_estimate(&fit, 0, -1, &e), MEASURE_OK);
    ck_assert_double_lt(fit.scale, 1.0);
    ck_assert_double_eq(e.se_modified, e.se);
}
END_TEST

/* Own computation: three holds' means with their standard errors. */
START_TEST(three_holds)
{
    const double value[] = {412.0, 414.5, 411.2}, variance[] = {.64, .81, .49};
    struct random_effects_input input = {.value = value, .variance = variance, .count = 3};
    struct random_effects_estimate e;
    ck_assert_int_eq(random_effects_fit(&input, &fit), MEASURE_OK);
    ck_assert_int_eq(random_effects_estimate(&fit, 0, -1, &e), MEASURE_OK);
    reference_printed("three holds, tau^2 (Paule-Mandel)", fit.tau2, 2.265387, 5e-7);
    reference_printed("three holds, mean", e.value, 412.506227, 5e-7);
    reference_printed("three holds, SE", e.se, 0.984243, 5e-7);
    reference_printed("three holds, half-width", e.half_width, 4.2349, 5e-5);
    ck_assert_double_eq_tol(fit.scale, 1.0, 1e-12); /* what defines the method */
}
END_TEST

/* Equal variances: tau^2 is what is left of the pooled variance; means, slope and
 * intervals are those of ordinary least squares. By hand: two groups of three, orders 1 to 6. */
START_TEST(equal_variances_are_least_squares)
{
    const double value[] = {10, 13, 11, 20, 19, 24}, order[] = {1, 2, 3, 4, 5, 6};
    const double variance[] = {.5, .5, .5, .5, .5, .5};
    const int group[] = {0, 0, 0, 1, 1, 1};
    struct random_effects_input input = {value, variance, group, NULL, 6};
    struct random_effects_estimate e;
    /* squares within: 4.6667 + 14 = 18.6667, df 4 */
    ck_assert_int_eq(random_effects_fit(&input, &fit), MEASURE_OK);
    ck_assert_double_eq_tol(fit.tau2, 56.0 / 3.0 / 4.0 - 0.5, 1e-11);
    ck_assert_int_eq(random_effects_estimate(&fit, 1, 0, &e), MEASURE_OK);
    ck_assert_double_eq_tol(e.value, 21.0 - 34.0 / 3.0, 1e-12);
    ck_assert_double_eq_tol(e.se, sqrt(56.0 / 12.0 * (2.0 / 3.0)), 1e-11);
    ck_assert_double_eq_tol(e.half_width, t_quantile(.975, 4) * e.se, 1e-12);
    /* with the order: products 1 + 4 = 5 over 2 + 2 = 4, slope 1.25, squares 18.6667 - 6.25 */
    input.covariate = order;
    ck_assert_int_eq(random_effects_fit(&input, &fit), MEASURE_OK);
    double pooled = (56.0 / 3.0 - 6.25) / 3.0;
    ck_assert_double_eq_tol(fit.slope, 1.25, 1e-12);
    ck_assert_double_eq_tol(fit.tau2, pooled - 0.5, 1e-11);
    ck_assert_int_eq(random_effects_estimate(&fit, 1, 0, &e), MEASURE_OK);
    ck_assert_double_eq_tol(e.value, 21.0 - 34.0 / 3.0 - 3 * 1.25, 1e-12);
    ck_assert_double_eq_tol(e.se, sqrt(pooled * (2.0 / 3.0 + 9.0 / 4.0)), 1e-11);
}
END_TEST

/* Property: shifted and scaled values, and values in another order, say the same. */
START_TEST(equivariance)
{
    struct random_source random;
    unsigned seed = 1982;
    random_seed(&random, test_seed(seed));
    printf("  property: random effects, seed %u\n", seed);
    for (int run = 0; run < 200; run++) {
        double value[9], variance[9], order[9], value_b[9], variance_b[9], order_b[9];
        int group[9], group_b[9];
        double scale = 0.1 + 20 * random_uniform(&random), shift = 1000 * random_uniform(&random);
        for (int i = 0; i < 9; i++) {
            group[i] = i % 3;
            value[i] = 900 + 4 * random_normal(&random);
            variance[i] = 0.2 + 6 * random_uniform(&random);
            order[i] = i + random_uniform(&random);
        }
        for (int i = 0; i < 9; i++) {
            int from = (i * 4 + run) % 9;
            value_b[i] = shift + scale * value[from];
            variance_b[i] = scale * scale * variance[from];
            order_b[i] = 10 - 2 * order[from];
            group_b[i] = group[from];
        }
        struct random_effects_input a = {value, variance, group, order, 9};
        struct random_effects_input b = {value_b, variance_b, group_b, order_b, 9};
        static struct random_effects fit_b;
        struct random_effects_estimate x, y;
        ck_assert_int_eq(random_effects_fit(&a, &fit), MEASURE_OK);
        ck_assert_int_eq(random_effects_fit(&b, &fit_b), MEASURE_OK);
        ck_assert_double_eq_tol(fit_b.tau2, scale * scale * fit.tau2, 1e-6 * scale * scale);
        ck_assert_int_eq(random_effects_estimate(&fit, 2, 0, &x), MEASURE_OK);
        ck_assert_int_eq(random_effects_estimate(&fit_b, 2, 0, &y), MEASURE_OK);
        ck_assert_double_eq_tol(y.value, scale * x.value, 1e-6 * scale);
        ck_assert_double_eq_tol(y.se_modified, scale * x.se_modified, 1e-6 * scale);
    }
}
END_TEST

START_TEST(guards)
{
    double value[] = {1, 2, 3}, variance[] = {1, 1, 1};
    const double order[] = {7, 7, 8};
    int group[] = {0, 0, 1};
    struct random_effects_input input = {value, variance, group, order, 3};
    struct random_effects_estimate e;
    /* the order varies between the groups only */
    ck_assert_int_eq(random_effects_fit(&input, &fit), MEASURE_CONSTANT);
    input.covariate = NULL;
    ck_assert_int_eq(random_effects_fit(&input, &fit), MEASURE_OK);
    ck_assert_int_eq(random_effects_estimate(&fit, 2, 0, &e), MEASURE_TOO_FEW);
    ck_assert_int_eq(random_effects_estimate(&fit, 1, 2, &e), MEASURE_TOO_FEW);
    ck_assert_int_eq(random_effects_estimate(&fit, RANDOM_EFFECTS_GROUPS_MAX, 0, &e),
                     MEASURE_BAD_SETTING);
    ck_assert_int_eq(random_effects_estimate(&fit, 1, 0, &e), MEASURE_OK);
    ck_assert(isfinite(e.half_width));
    ck_assert_int_eq(random_effects_estimate(&fit, 0, 0, &e), MEASURE_OK); /* from itself */
    ck_assert(e.value == 0.0 && e.se == 0.0 && e.half_width == 0.0);
    input.count = 0;
    ck_assert_int_eq(random_effects_fit(&input, &fit), MEASURE_TOO_FEW);
    input.count = 1; /* one value: no scatter, no interval */
    ck_assert_int_eq(random_effects_fit(&input, &fit), MEASURE_OK);
    ck_assert_int_eq(random_effects_estimate(&fit, 0, -1, &e), MEASURE_OK);
    ck_assert(isinf(e.half_width));
    input.count = 3;
    variance[1] = 0.0;
    ck_assert_int_eq(random_effects_fit(&input, &fit), MEASURE_BAD_SETTING);
    variance[1] = NAN;
    ck_assert_int_eq(random_effects_fit(&input, &fit), MEASURE_NOT_FINITE);
    variance[1] = 1.0;
    value[2] = INFINITY;
    ck_assert_int_eq(random_effects_fit(&input, &fit), MEASURE_NOT_FINITE);
    value[2] = 3.0;
    group[0] = -1;
    ck_assert_int_eq(random_effects_fit(&input, &fit), MEASURE_BAD_SETTING);
    group[0] = 0;
    /* all the same: known variances still say how well the mean is known */
    value[0] = value[1] = value[2] = 5.0;
    ck_assert_int_eq(random_effects_fit(&input, &fit), MEASURE_OK);
    ck_assert_double_eq(fit.tau2, 0.0);
    ck_assert_int_eq(random_effects_estimate(&fit, 0, -1, &e), MEASURE_OK);
    ck_assert_double_eq(e.value, 5.0);
    ck_assert_double_gt(e.half_width, 0.0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("random_effects");
    TCase *tests = tcase_create("random_effects");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, thirteen_trials);
    tcase_add_test(tests, alike);
    tcase_add_test(tests, three_holds);
    tcase_add_test(tests, equal_variances_are_least_squares);
    tcase_add_test(tests, equivariance);
    tcase_add_test(tests, guards);
    return test_main(suite);
}
