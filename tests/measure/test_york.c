/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The line with errors both ways against published data. */
#include "reference.h"

#include "measure/york.h"

START_TEST(pearson_s_data_with_york_s_weights)
{
    /* Data as in Lybanon 1984 (Am. J. Phys. 52, 22-26); results recomputed by orthogonal distance
     * regression (SciPy 1.10.1), slope and intercept as in York et al. 2004, table II. */
    const double x[] = {0, .9, 1.8, 2.6, 3.3, 4.4, 5.2, 6.1, 6.5, 7.4};
    const double w_x[] = {1000, 1000, 500, 800, 200, 80, 60, 20, 1.8, 1};
    const double y[] = {5.9, 5.4, 4.4, 4.6, 3.5, 3.7, 2.8, 2.8, 2.4, 1.5};
    const double w_y[] = {1, 1.8, 4, 8, 20, 20, 70, 70, 100, 500};
    struct york_point points[10];
    struct york_line line;
    for (int i = 0; i < 10; i++) {
        points[i] = (struct york_point){x[i], y[i], 1 / sqrt(w_x[i]), 1 / sqrt(w_y[i]), 0};
    }
    ck_assert_int_eq(york_fit(points, 10, &line), MEASURE_OK);
    reference_printed("intercept", line.intercept, 5.479910224, 5e-10);
    reference_printed("slope", line.slope, -.480533407, 5e-10);
    reference_printed("SE of the intercept", line.intercept_se, .2949707, 5e-8);
    reference_printed("SE of the slope", line.slope_se, .0579850, 5e-8);
    reference_printed("S", line.squares, 11.866353, 5e-7);
    reference_printed("S/8", line.squares / line.df, 1.483294, 5e-7);
    /* t .975 with 8: 2.306004 (tables) */
    ck_assert_double_eq_tol(line.slope_half_width, 2.306004 * .0579850 * sqrt(1.483294), 1e-6);
}
END_TEST

START_TEST(drag_on_height)
{
    /* computed apart; with equal weights it is Deming's line: slope 2.64022e-4 */
    const double x[] = {640, 612, 598, 585, 571}, y[] = {.262, .2545, .2510, .2468, .2441};
    struct york_point points[5];
    struct york_line line;
    for (int i = 0; i < 5; i++) {
        points[i] = (struct york_point){x[i], y[i], 1.5, .003, 0};
    }
    ck_assert_int_eq(york_fit(points, 5, &line), MEASURE_OK);
    reference_printed("intercept", line.intercept, .0929502151, 5e-11);
    reference_printed("slope", line.slope, .000264021598, 5e-13);
    reference_printed("SE of the intercept", line.intercept_se, .0343655, 5e-8);
    reference_printed("SE of the slope", line.slope_se, .0000571173, 5e-11);
    reference_printed("S", line.squares, .0603, 5e-5);
    /* better than the uncertainties allow does not narrow it; t .975 with 3: 3.182446 (tables) */
    ck_assert_double_eq_tol(line.slope_half_width, 3.182446 * .0000571173, 2e-10);
}
END_TEST

START_TEST(no_line)
{
    struct york_point points[65];
    struct york_line line = {.slope = -7};
    for (int i = 0; i < 65; i++) {
        points[i] = (struct york_point){5, i, 1, 1, 0};
    }
    ck_assert_int_eq(york_fit(points, 2, &line), MEASURE_TOO_FEW);
    ck_assert_int_eq(york_fit(points, 65, &line), MEASURE_BAD_SETTING);
    ck_assert_int_eq(york_fit(points, 5, &line), MEASURE_CONSTANT);
    points[1].x = 6;
    points[0].u_x = 0;
    ck_assert_int_eq(york_fit(points, 5, &line), MEASURE_BAD_SETTING);
    points[0].u_x = 1;
    points[0].correlation = 1;
    ck_assert_int_eq(york_fit(points, 5, &line), MEASURE_BAD_SETTING);
    points[0].correlation = 0;
    points[3].y = NAN;
    ck_assert_int_eq(york_fit(points, 5, &line), MEASURE_NOT_FINITE);
    ck_assert_double_eq(line.slope, -7);
    /* Uncertainties so small that their weights, or the squares of what is left, are no numbers. */
    const struct york_point no_weight[] = {
        {1, 1, 1e-200, 1e-200, 0}, {2, 2, 1e-200, 1e-200, 0}, {3, 4, 1e-200, 1e-200, 0}};
    ck_assert_int_eq(york_fit(no_weight, 3, &line), MEASURE_CONSTANT);
    const struct york_point no_squares[] = {
        {-1, 0, 1e-75, 1e-75, 0}, {0, 1e80, 1e-75, 1e-75, 0}, {1, 0, 1e-75, 1e-75, 0}};
    ck_assert_int_eq(york_fit(no_squares, 3, &line), MEASURE_CONSTANT);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("york");
    TCase *tests = tcase_create("york");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, pearson_s_data_with_york_s_weights);
    tcase_add_test(tests, drag_on_height);
    tcase_add_test(tests, no_line);
    return test_main(suite);
}
