/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Several comparisons at once, equivalence, and two means. */
#include "reference.h"

#include "base/random.h"
#include "measure/holm.h"
#include "measure/statistics.h"

START_TEST(holm_reference)
{
    struct reference_table *table = reference_table("pvalues.csv");
    /* the set's name is text: rows come as a10, b6, c4, d5 */
    const struct {
        const char *name;
        size_t first, count;
    } sets[] = {{"padjust_a10", 0, 10},
                {"padjust_b6", 10, 6},
                {"padjust_c4", 16, 4},
                {"padjust_d5", 20, 5}};
    for (size_t s = 0; s < 4; s++) {
        double p[10], adjusted[10], worst = 16.0, tolerance;
        for (size_t i = 0; i < sets[s].count; i++) {
            p[i] = table->value[sets[s].first + i][2];
        }
        ck_assert_int_eq(holm_adjust(p, sets[s].count, adjusted), MEASURE_OK);
        for (size_t i = 0; i < sets[s].count; i++) {
            char quantity[40];
            snprintf(quantity, sizeof quantity, "holm_%zu", i + 1);
            double want =
                reference_expected("comparison-expected.csv", sets[s].name, quantity, &tolerance);
            worst = fmin(worst, reference_digits(adjusted[i], want));
        }
        printf("  reference: Holm, %s (R 4.2.2): %.1f digits (12.0 wanted)\n", sets[s].name, worst);
        ck_assert_double_ge(worst, 12.0);
    }
    free(table);
    /* own computation, in place */
    double p[] = {.01, .02, .03, .005}, want[] = {.03, .04, .04, .02};
    ck_assert_int_eq(holm_adjust(p, 4, p), MEASURE_OK);
    for (int i = 0; i < 4; i++) {
        ck_assert_double_eq_tol(p[i], want[i], 1e-15);
    }
}
END_TEST

START_TEST(holm_guards)
{
    double p[] = {0.2, NAN}, q[] = {0.5, 1.5}, out[80] = {0}, many[80] = {0};
    ck_assert_int_eq(holm_adjust(p, 2, out), MEASURE_NOT_FINITE);
    ck_assert_int_eq(holm_adjust(q, 2, out), MEASURE_NOT_FINITE);
    ck_assert_int_eq(holm_adjust(q, 0, out), MEASURE_OK);
    ck_assert_int_eq(holm_adjust(q, 1, out), MEASURE_OK);
    ck_assert_double_eq(out[0], 0.5);
    ck_assert_int_eq(holm_adjust(many, 80, out), MEASURE_BAD_SETTING);
}
END_TEST

START_TEST(equivalence_worked)
{
    /* own computation */
    struct equivalence e;
    ck_assert_int_eq(equivalence_test(0.8, 0.6, 6, 3, &e), MEASURE_OK);
    reference_printed("worked equivalence, t lower", e.t_lower, 6.3333, 5e-5);
    reference_printed("worked equivalence, t upper", e.t_upper, -3.6667, 5e-5);
    reference_printed("worked equivalence, p", e.p, .005248, 5e-7);
    reference_printed("worked equivalence, 90 % low", e.low_90, -0.3659, 5e-5);
    reference_printed("worked equivalence, 90 % high", e.high_90, 1.9659, 5e-5);
    ck_assert(e.equivalent);
    ck_assert_int_eq(equivalence_test(0.8, 0.6, 6, 1.9, &e), MEASURE_OK);
    ck_assert(!e.equivalent);
    ck_assert_double_gt(e.p, 0.05);
    ck_assert_int_eq(equivalence_test(0.8, 0.0, 6, 3, &e), MEASURE_BAD_SETTING);
    ck_assert_int_eq(equivalence_test(NAN, 1.0, 6, 3, &e), MEASURE_BAD_SETTING);
    ck_assert_int_eq(equivalence_test(0.8, 1.0, 0, 3, &e), MEASURE_BAD_SETTING);
    ck_assert_int_eq(equivalence_test(0.8, 1.0, 6, NAN, &e), MEASURE_BAD_SETTING);
}
END_TEST

static void expect(const char *which, const struct mean_difference *d)
{
    const char *file = "comparison-expected.csv";
    double tolerance;
    char what[80];
    const struct {
        const char *quantity;
        double got;
    } rows[] = {{"diff", d->difference}, {"se", d->se}, {"t", d->t},
                {"df", d->df},           {"p", d->p},   {"ci95_lower", d->low},
                {"ci95_upper", d->high}};
    for (size_t i = 0; i < 7; i++) {
        snprintf(what, sizeof what, "%s %s (R 4.2.2)", which, rows[i].quantity);
        reference_check(what, rows[i].got,
                        reference_expected(file, which, rows[i].quantity, &tolerance), 9);
    }
}

static void groups(const char *file, size_t column, double *a, size_t *na, double *b, size_t *nb)
{
    struct reference_table *table = reference_table(file);
    *na = *nb = 0;
    for (size_t i = 0; i < table->rows; i++) {
        if (table->value[i][0] == 1.0) {
            a[(*na)++] = table->value[i][column];
        } else {
            b[(*nb)++] = table->value[i][column];
        }
    }
    free(table);
}

START_TEST(two_means)
{
    double a[20], b[20], ma, sa, mb, sb, tolerance;
    size_t na, nb;
    struct mean_difference d;
    struct equivalence e;
    groups("sleep-10.csv", 2, a, &na, b, &nb);
    statistics_mean_sd(a, na, &ma, &sa);
    statistics_mean_sd(b, nb, &mb, &sb);
    ck_assert_int_eq(welch_test(ma, sa, na, mb, sb, nb, &d), MEASURE_OK);
    expect("welch_sleep", &d);
    ck_assert_int_eq(pooled_test(ma, sa, na, mb, sb, nb, &d), MEASURE_OK);
    expect("pooled_sleep", &d);
    const char *names[] = {"welch_clinic_v1", "welch_clinic_v2"};
    const char *tost[] = {"tost_clinic_v1", "tost_clinic_v2"};
    for (size_t visit = 1; visit <= 2; visit++) {
        char what[60];
        const char *file = "comparison-expected.csv";
        groups("clinic-30.csv", visit, a, &na, b, &nb);
        statistics_mean_sd(a, na, &ma, &sa);
        statistics_mean_sd(b, nb, &mb, &sb);
        ck_assert_int_eq(welch_test(ma, sa, na, mb, sb, nb, &d), MEASURE_OK);
        expect(names[visit - 1], &d);
        ck_assert_int_eq(equivalence_test(d.difference, d.se, d.df, 0.6, &e), MEASURE_OK);
        snprintf(what, sizeof what, "%s p (R 4.2.2)", tost[visit - 1]);
        reference_check(what, e.p, reference_expected(file, tost[visit - 1], "p", &tolerance), 9);
        snprintf(what, sizeof what, "%s 90 %% low (R 4.2.2)", tost[visit - 1]);
        reference_check(what, e.low_90,
                        reference_expected(file, tost[visit - 1], "ci90_lower", &tolerance), 9);
        snprintf(what, sizeof what, "%s 90 %% high (R 4.2.2)", tost[visit - 1]);
        reference_check(what, e.high_90,
                        reference_expected(file, tost[visit - 1], "ci90_upper", &tolerance), 9);
        ck_assert_int_eq(e.equivalent, visit == 1);
    }
}
END_TEST

START_TEST(handbook)
{
    /* NIST/SEMATECH e-Handbook 1.3.5.3, printed */
    struct mean_difference d;
    ck_assert_int_eq(welch_test(20.14458, 6.41470, 249, 30.48101, 6.10771, 79, &d), MEASURE_OK);
    reference_printed("e-Handbook 1.3.5.3, Welch t", d.t, -12.94627, 5e-6);
    reference_printed("e-Handbook 1.3.5.3, Welch df", d.df, 136.87499, 5e-6);
    ck_assert_int_eq(pooled_test(20.14458, 6.41470, 249, 30.48101, 6.10771, 79, &d), MEASURE_OK);
    reference_printed("e-Handbook 1.3.5.3, pooled t", d.t, -12.62059, 5e-6);
    reference_printed("e-Handbook 1.3.5.3, 95 % low", d.low, -11.947653, 1e-4);
    reference_printed("e-Handbook 1.3.5.3, 95 % high", d.high, -8.725216, 1e-4);
}
END_TEST

START_TEST(two_means_guards)
{
    struct mean_difference d;
    ck_assert_int_eq(welch_test(1, 1, 1, 2, 1, 5, &d), MEASURE_TOO_FEW);
    ck_assert_int_eq(welch_test(1, 0, 5, 2, 0, 5, &d), MEASURE_CONSTANT);
    ck_assert_int_eq(pooled_test(1, 0, 5, 2, 0, 5, &d), MEASURE_CONSTANT);
    ck_assert_int_eq(welch_test(1, -1, 5, 2, 1, 5, &d), MEASURE_BAD_SETTING);
    ck_assert_int_eq(pooled_test(NAN, 1, 5, 2, 1, 5, &d), MEASURE_NOT_FINITE);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("holm");
    TCase *tests = tcase_create("holm");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, holm_reference);
    tcase_add_test(tests, holm_guards);
    tcase_add_test(tests, equivalence_worked);
    tcase_add_test(tests, two_means);
    tcase_add_test(tests, handbook);
    tcase_add_test(tests, two_means_guards);
    return test_main(suite);
}
