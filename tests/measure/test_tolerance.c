/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Tolerance factors against computed and published figures. */
#include "reference.h"

#include "measure/tolerance.h"

START_TEST(tolerance_factors)
{
    struct reference_table *table = reference_table("k-normal.csv");
    double worst_howe = 16.0, off_5 = 0.0, off_20 = 0.0;
    for (size_t i = 0; i < table->rows; i++) {
        const double *row = table->value[i];
        double two;
        ck_assert_int_eq(tolerance_two_sided(row[0], row[1], row[2], &two), MEASURE_OK);
        worst_howe = fmin(worst_howe, reference_digits(two, row[4]));
        if (row[0] >= 20) {
            off_20 = fmax(off_20, fabs(two / row[3] - 1.0));
        } else if (row[0] >= 5) {
            off_5 = fmax(off_5, fabs(two / row[3] - 1.0));
        }
    }
    printf("  reference: Howe's factors, %zu (SciPy): %.1f digits (9.0 wanted)\n", table->rows,
           worst_howe);
    printf("  reference: Howe's approximation against exact: within %.2f %% from n 5, %.2f %% from "
           "n 20\n",
           100 * off_5, 100 * off_20);
    ck_assert_double_ge(worst_howe, 9.0);
    ck_assert_double_le(off_5, 0.02);
    ck_assert_double_le(off_20, 0.0081);
    free(table);
    double k;
    /* e-Handbook 7.2.6.3 [V]: n 43, 90 %, 99 %. Its 'exact' 2.210167 is the factor of another
     * question (arguments swapped in the printed call); the exact one is 2.2228252. */
    tolerance_two_sided(43, .90, .99, &k);
    reference_printed("e-Handbook 7.2.6.3, Howe", k, 2.217316, 5e-7);
    const struct {
        double n, share, factor;
    } rows[] = {{5, .95, 5.09},  {8, .95, 3.74},  {10, .95, 3.38}, {12, .95, 3.16},
                {15, .95, 2.95}, {20, .95, 2.75}, {24, .95, 2.65}, {30, .95, 2.55},
                {60, .95, 2.33}, {10, .90, 2.84}, {12, .90, 2.65}, {24, .90, 2.23}};
    /* own computation, equal to published figures */
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tolerance_two_sided(rows[i].n, rows[i].share, .95, &k);
        char what[60];
        snprintf(what, sizeof what, "k2, n %.0f, %.0f %%/95 %%", rows[i].n, 100 * rows[i].share);
        reference_printed(what, k, rows[i].factor, 0.0051);
    }
    ck_assert_int_eq(tolerance_two_sided(1.5, .9, .9, &k), MEASURE_TOO_FEW);
    ck_assert_int_eq(tolerance_two_sided(NAN, .9, .9, &k), MEASURE_BAD_SETTING);
    ck_assert_int_eq(tolerance_two_sided(5, 1.0, .9, &k), MEASURE_BAD_SETTING);
    ck_assert_int_eq(tolerance_two_sided(5, .9, NAN, &k), MEASURE_BAD_SETTING);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("tolerance");
    TCase *tests = tcase_create("tolerance");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, tolerance_factors);
    return test_main(suite);
}
