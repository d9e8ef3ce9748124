/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Prediction ellipses against computed and worked figures. */
#include "reference.h"

#include "measure/ellipse.h"

static void cloud(const char *name)
{
    char file[40];
    double x[1500], y[1500];
    struct ellipse e;
    snprintf(file, sizeof file, "%s.csv", name);
    struct reference_table *table = reference_table(file);
    for (size_t i = 0; i < table->rows; i++) {
        x[i] = table->value[i][0];
        y[i] = table->value[i][1];
    }
    ck_assert_int_eq(ellipse_95(x, y, table->rows, &e), MEASURE_OK);
    const char *expected = "ellipse-expected.csv";
    const struct {
        const char *name;
        double got;
    } rows[] = {{"mean_x", e.mean_x},
                {"mean_y", e.mean_y},
                {"var_x", e.var_x},
                {"var_y", e.var_y},
                {"cov_xy", e.cov_xy},
                {"scale_f", e.scale},
                {"area_f", e.area},
                {"semi_major_f", e.semi_major},
                {"semi_minor_f", e.semi_minor},
                {"major_axis_deg", e.angle_deg}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double tolerance;
        char what[80];
        snprintf(what, sizeof what, "%s %s", name, rows[i].name);
        reference_check(what, rows[i].got,
                        reference_expected(expected, name, rows[i].name, &tolerance), 11);
    }
    free(table);
}

START_TEST(ellipses)
{
    cloud("cloud-30");
    cloud("cloud-1500");
    /* own computation */
    const double x[] = {1, 3, 7, 5, 9, 4, 3, 6, 8, 2}, y[] = {6, 3, 9, 1, 3, 7, 4, 9, 6, 1};
    struct ellipse e;
    ck_assert_int_eq(ellipse_95(x, y, 10, &e), MEASURE_OK);
    reference_printed("worked ellipse, var x", e.var_x, 7.066667, 5e-7);
    reference_printed("worked ellipse, cov", e.cov_xy, 2.088889, 5e-7);
    reference_printed("worked ellipse, var y", e.var_y, 8.766667, 5e-7);
    reference_printed("worked ellipse, F area", e.area, 263.1021, 5e-5);
    reference_printed("worked ellipse, large eigenvalue", e.semi_major * e.semi_major / e.scale,
                      10.171873, 5e-7);
    reference_printed("worked ellipse, small eigenvalue", e.semi_minor * e.semi_minor / e.scale,
                      5.66146, 5e-6);
    const double line[] = {2, 4, 6, 8}, same[] = {1, 1, 1, 1}, bad[] = {1, NAN, 2, 3};
    ck_assert_int_eq(ellipse_95(line, line, 4, &e), MEASURE_CONSTANT);
    ck_assert_int_eq(ellipse_95(line, same, 4, &e), MEASURE_CONSTANT);
    ck_assert_int_eq(ellipse_95(line, bad, 4, &e), MEASURE_NOT_FINITE);
    ck_assert_int_eq(ellipse_95(x, y, 2, &e), MEASURE_TOO_FEW);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ellipse");
    TCase *tests = tcase_create("ellipse");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, ellipses);
    return test_main(suite);
}
