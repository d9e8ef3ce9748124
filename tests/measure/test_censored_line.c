/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A line through values of which some are only limits. */
#include "support/test_main.h"

#include "measure/censored_line.h"

#include <math.h>

/* Time kept, min, at sessions 1 to 10; 8 was the whole hold twice. SciPy 1.10.1, the likelihood
 * maximised by optimize.minimize, standard errors by a numerical Hessian: .62217975, .16446738,
 * .12870774; .09226006, .01622342, .03273576; log L 3.75200310. */
START_TEST(time_kept_over_sessions)
{
    const double kept_min[] = {2.2, 2.9, 2.6, 3.8, 4.4, 4.1, 6.3, 8.0, 7.1, 8.0};
    double session[10], log_kept[10];
    bool at_least[10] = {[7] = true, [9] = true}, none[10] = {false};
    struct censored_line line;
    for (int i = 0; i < 10; i++) {
        session[i] = i + 1;
        log_kept[i] = log(kept_min[i]);
    }
    ck_assert_int_eq(censored_line_fit(session, log_kept, at_least, 10, &line), MEASURE_OK);
    ck_assert_double_eq_tol(line.intercept, 0.62217975, 1e-7);
    ck_assert_double_eq_tol(line.slope, 0.16446738, 1e-7);
    ck_assert_double_eq_tol(line.sd, 0.12870774, 1e-7);
    ck_assert_double_eq_tol(line.intercept_se, 0.09226006, 1e-6);
    ck_assert_double_eq_tol(line.slope_se, 0.01622342, 1e-6);
    ck_assert_double_eq_tol(line.sd_se, 0.03273576, 1e-6);
    ck_assert_double_eq_tol(line.log_likelihood, 3.752003103816623, 1e-8);
    ck_assert_uint_eq(line.seen, 8);
    ck_assert_double_eq(line.df, 6.0);
    /* +17.9 % a session, 14.2 to 21.7 with the normal distribution */
    ck_assert_double_eq_tol(exp(line.slope), 1.179, 5e-4);
    ck_assert_double_eq_tol(exp(line.slope - 1.96 * line.slope_se), 1.142, 5e-4);
    ck_assert_double_eq_tol(exp(line.slope + 1.96 * line.slope_se), 1.217, 5e-4);
    /* t with 6 df is 2.446912; sqrt(8 / 6) */
    ck_assert_double_eq_tol(censored_line_slope_half_width(&line),
                            2.446912 * 0.01622342 * sqrt(8.0 / 6.0), 1e-6);
    /* numpy.polyfit: as if 8 were 8 */
    ck_assert_int_eq(censored_line_fit(session, log_kept, none, 10, &line), MEASURE_OK);
    ck_assert_double_eq_tol(line.slope, 0.1512256, 1e-7);
    ck_assert_double_eq_tol(line.intercept, 0.66783914, 1e-7);
}
END_TEST

/* Motor insulation: data of Nelson and Hahn 1972 (Technometrics 14, 247-269), estimates as in
 * Schmee and Hahn 1979; SciPy 1.10.1 in the same way: -6.0192497, 4.31124717, .25918271; log L
 * -12.96545515.
 */
START_TEST(motor_insulation)
{
    static const struct {
        double celsius, hours;
        int times;
        bool at_least;
    } rows[] = {
        {150, 8064, 10, true}, {170, 1764, 1, false}, {170, 2772, 1, false}, {170, 3444, 1, false},
        {170, 3542, 1, false}, {170, 3780, 1, false}, {170, 4860, 1, false}, {170, 5196, 1, false},
        {170, 5448, 3, true},  {190, 408, 2, false},  {190, 1344, 2, false}, {190, 1440, 1, false},
        {190, 1680, 5, true},  {220, 408, 2, false},  {220, 504, 3, false},  {220, 528, 5, true},
    };
    double x[40], y[40];
    bool at_least[40];
    size_t count = 0;
    struct censored_line line;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        for (int k = 0; k < rows[i].times; k++, count++) {
            x[count] = 1000.0 / (rows[i].celsius + 273.2);
            y[count] = log10(rows[i].hours);
            at_least[count] = rows[i].at_least;
        }
    }
    ck_assert_uint_eq(count, 40);
    ck_assert_int_eq(censored_line_fit(x, y, at_least, count, &line), MEASURE_OK);
    ck_assert_double_eq_tol(line.intercept, -6.01925, 1e-5);
    ck_assert_double_eq_tol(line.slope, 4.31125, 1e-5);
    ck_assert_double_eq_tol(line.sd, 0.25918, 1e-5);
    ck_assert_double_eq_tol(line.log_likelihood, -12.96546, 1e-5);
    ck_assert_double_eq_tol(line.slope_se, 0.43666546, 1e-5);
}
END_TEST

START_TEST(what_has_no_line)
{
    const double x[] = {1, 2, 3, 4}, y[] = {1, 3, 2, 4}, straight[] = {1, 2, 3, 4};
    const double alike[] = {2, 2, 2, 2}, wrong[] = {1, NAN, 2, 3};
    const bool two[] = {false, true, false, true}, none[4] = {false};
    struct censored_line line = {.slope = 7};
    ck_assert_int_eq(censored_line_fit(x, y, two, 4, &line), MEASURE_TOO_FEW);
    ck_assert_int_eq(censored_line_fit(alike, y, none, 4, &line), MEASURE_CONSTANT);
    ck_assert_int_eq(censored_line_fit(x, straight, none, 4, &line), MEASURE_CONSTANT);
    ck_assert_int_eq(censored_line_fit(x, wrong, none, 4, &line), MEASURE_NOT_FINITE);
    ck_assert_int_eq(censored_line_fit(x, y, none, CENSORED_VALUES_MAX + 1, &line),
                     MEASURE_BAD_SETTING);
    ck_assert_double_eq(line.slope, 7.0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("censored_line");
    TCase *tests = tcase_create("censored_line");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, time_kept_over_sessions);
    tcase_add_test(tests, motor_insulation);
    tcase_add_test(tests, what_has_no_line);
    return test_main(suite);
}
