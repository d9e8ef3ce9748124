/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings and values that no measure can be made of are refused, one at a time (refused.h). */
#include "refused.h"

#include "measure/allan.h"
#include "measure/censored_line.h"
#include "measure/drag_leg.h"
#include "measure/ellipse.h"
#include "measure/exact_tests.h"
#include "measure/follow.h"
#include "measure/hampel.h"
#include "measure/hold.h"
#include "measure/spectrum.h"
#include "measure/statistics.h"
#include "measure/step_test.h"
#include "measure/steps.h"
#include "measure/still_test.h"
#include "measure/york.h"

static const double nan_or_infinite[] = {NAN, INFINITY, -INFINITY};

/* ---- series of values ---- */

START_TEST(values_that_are_none)
{
    static const double x[] = {1, 2, 3, 4, 5};
    double y[] = {2, 3, 5, 4, 6}, result, other;
    const bool seen[5] = {false};
    struct line_fit line;
    struct ellipse ellipse;
    struct trend trend;
    struct censored_line censored;
    int s;
    for (int i = 0; i < 3; i++) {
        y[3] = nan_or_infinite[i];
        ck_assert_int_eq(statistics_mean(y, 5, &result), MEASURE_NOT_FINITE);
        ck_assert_int_eq(statistics_mean_sd(y, 5, &result, &other), MEASURE_NOT_FINITE);
        ck_assert_int_eq(statistics_autocorrelation(y, 5, &result), MEASURE_NOT_FINITE);
        ck_assert_int_eq(statistics_line(x, y, 5, &line), MEASURE_NOT_FINITE);
        ck_assert_int_eq(statistics_line(y, x, 5, &line), MEASURE_NOT_FINITE);
        ck_assert_int_eq(statistics_theil_sen(x, y, 5, &result), MEASURE_NOT_FINITE);
        ck_assert_int_eq(statistics_theil_sen(y, x, 5, &result), MEASURE_NOT_FINITE);
        ck_assert_int_eq(ellipse_95(x, y, 5, &ellipse), MEASURE_NOT_FINITE);
        ck_assert_int_eq(ellipse_95(y, x, 5, &ellipse), MEASURE_NOT_FINITE);
        ck_assert_int_eq(kendall_rising(y, 5, &s, &result), MEASURE_NOT_FINITE);
        ck_assert_int_eq(trend_of(x, y, 5, &trend), MEASURE_NOT_FINITE);
        ck_assert_int_eq(trend_of(y, x, 5, &trend), MEASURE_UNSORTED);
        ck_assert_int_eq(censored_line_fit(x, y, seen, 5, &censored), MEASURE_NOT_FINITE);
        ck_assert_int_eq(censored_line_fit(y, x, seen, 5, &censored), MEASURE_NOT_FINITE);
    }
}
END_TEST

/* So many as there can be, and no result of no group. */
START_TEST(an_ellipse_of_none_adds_nothing)
{
    static const double x[] = {1, 2, 3, 4, 6}, y[] = {2, 1, 4, 3, 3};
    struct ellipse both[2] = {{0}}, pooled, alone;
    ck_assert_int_eq(ellipse_95(x, y, 5, &both[1]), MEASURE_OK);
    ck_assert_int_eq(ellipse_pool(both, 2, &pooled), MEASURE_OK);
    ck_assert_int_eq(ellipse_pool(&both[1], 1, &alone), MEASURE_OK);
    ck_assert_double_eq(pooled.var_x, alone.var_x);
    ck_assert_double_eq(pooled.mean_y, alone.mean_y);
}
END_TEST

START_TEST(sensors_readings_that_are_none)
{
    static double values[100], time_s[100];
    static uint8_t valid[100], reject[100];
    struct allan_curve curve;
    struct excursion excursion;
    struct hampel_settings settings = hampel_of_sensor();
    struct still_input input = {time_s, values, valid, 100};
    struct still_test test;
    for (int i = 0; i < 100; i++) {
        values[i] = 400.0 + (i * 7) % 5;
        time_s[i] = 0.02 * i;
        valid[i] = 1;
    }
    ck_assert_int_eq(allan_curve(values, 100, 0.0, &curve), MEASURE_BAD_SETTING);
    ck_assert_int_eq(allan_curve(values, 100, INFINITY, &curve), MEASURE_BAD_SETTING);
    ck_assert_ptr_null(spectrum_create(3, 50.0));
    ck_assert_ptr_null(spectrum_create(64, 0.0));
    ck_assert_ptr_null(spectrum_create(64, INFINITY));
    double *const of[] = {&settings.sigmas, &settings.floor, &settings.jump};
    for (int i = 0; i < 3; i++) {
        double good = *of[i];
        *of[i] = -1.0;
        ck_assert_int_eq(hampel_reject(values, 100, &settings, reject, NULL, NULL),
                         MEASURE_BAD_SETTING);
        *of[i] = 0.0; /* no floor is one */
        ck_assert_int_eq(hampel_reject(values, 100, &settings, reject, NULL, NULL),
                         of[i] == &settings.floor ? MEASURE_OK : MEASURE_BAD_SETTING);
        *of[i] = NAN;
        ck_assert_int_eq(hampel_reject(values, 100, &settings, reject, NULL, NULL),
                         MEASURE_BAD_SETTING);
        *of[i] = good;
    }
    settings.half_window = 0;
    ck_assert_int_eq(hampel_reject(values, 100, &settings, reject, NULL, NULL),
                     MEASURE_BAD_SETTING);
    values[60] = NAN;
    ck_assert_int_eq(excursion_find(values, 50, values + 50, 50, &excursion), MEASURE_NOT_FINITE);
    ck_assert_int_eq(excursion_find(values + 50, 50, values, 50, &excursion), MEASURE_NOT_FINITE);
    ck_assert_int_eq(still_test(&input, &test), MEASURE_NOT_FINITE);
    valid[60] = 0; /* what is not valid may be anything */
    ck_assert_int_eq(still_test(&input, &test), MEASURE_OK);
    time_s[70] = NAN;
    ck_assert_int_eq(still_test(&input, &test), MEASURE_NOT_FINITE);
    time_s[70] = time_s[69];
    ck_assert_int_eq(still_test(&input, &test), MEASURE_UNSORTED);
}
END_TEST

static enum measure_status run_step(void *context)
{
    struct step_test test;
    return step_test(context, &test);
}

START_TEST(a_block_that_cannot_be)
{
    double bare[] = {400.0, 400.2, 399.9, 400.1}, block[] = {380.1, 380.0, 379.8, 380.2};
    struct step_input input = {.bare_mm = bare,
                               .bare_count = 4,
                               .block_mm = block,
                               .block_count = 4,
                               .thickness_mm = 20.0,
                               .thickness_u_mm = 0.1};
    const struct wrong_field fields[] = {{&input.thickness_mm, ALL},
                                         {&input.thickness_u_mm, NOT_ZERO}};
    each_refused(fields, sizeof fields / sizeof fields[0], run_step, &input, MEASURE_BAD_SETTING);
    bare[1] = bare[2] = bare[3] = bare[0]; /* one of them may be all the same, not both */
    ck_assert_int_eq(run_step(&input), MEASURE_OK);
    block[1] = block[2] = block[3] = block[0];
    ck_assert_int_eq(run_step(&input), MEASURE_CONSTANT);
}
END_TEST

static enum measure_status run_hold(void *context)
{
    static const struct hold_settings settings = {.has_target = false};
    struct hold_summary summary;
    return hold_summarise(context, &settings, &summary);
}

START_TEST(a_hold_of_what_cannot_be)
{
    static double time_s[1500], height_mm[1500];
    static uint8_t valid[1500];
    struct hold_cut cut = {5.0, 8.0};
    struct hold_input input = {.time_s = time_s,
                               .height_mm = height_mm,
                               .valid = valid,
                               .count = 1500,
                               .duration_s = 30.0,
                               .rate_hz = 50.0,
                               .cuts = &cut,
                               .cut_count = 1};
    for (int i = 0; i < 1500; i++) {
        time_s[i] = 0.02 * i;
        height_mm[i] = 900.0 + (i * 7) % 5 + 3.0 * sin(0.05 * i);
        valid[i] = 1;
    }
    const struct wrong_field settings[] = {{&input.duration_s, NOT_ZERO},
                                           {&input.rate_hz, NOT_ZERO},
                                           {&cut.from_s, NOT_FINITE},
                                           {&cut.to_s, NOT_FINITE}};
    each_refused(settings, sizeof settings / sizeof settings[0], run_hold, &input,
                 MEASURE_BAD_SETTING);
    const struct wrong_field readings[] = {{&time_s[700], NOT_FINITE},
                                           {&height_mm[700], NOT_FINITE}};
    each_refused(readings, sizeof readings / sizeof readings[0], run_hold, &input,
                 MEASURE_NOT_FINITE);
    time_s[700] = time_s[699];
    ck_assert_int_eq(run_hold(&input), MEASURE_UNSORTED);
}
END_TEST

/* ---- what is beside a body's height ---- */

START_TEST(a_leg_of_what_cannot_be)
{
    double time_s[] = {0, 1, 2, 3}, speed[] = {10, 10, 10, 10}, power[] = {200, 200, 200, 200};
    struct drag_samples samples = {time_s, speed, power, 4};
    struct drag_rider rider = drag_usual_rider(85.0);
    struct drag_leg leg;
    struct drag_pair pair;
    double drag_m2;
    ck_assert_int_eq(drag_leg_make(&samples, 0, 3, NAN, NAN, 0.0, &leg), MEASURE_OK);
    ck_assert_int_eq(drag_of_lap(&leg, &rider, 0.0, &drag_m2), MEASURE_BAD_SETTING);
    ck_assert_int_eq(drag_of_pair(&leg, &leg, &rider, 0.0, &pair), MEASURE_BAD_SETTING);
    struct drag_leg wrong = leg;
    wrong.speed_squared = 0.0;
    ck_assert_int_eq(drag_of_lap(&wrong, &rider, 1.2, &drag_m2), MEASURE_BAD_SETTING);
    wrong = leg;
    wrong.climb_m = NAN;
    ck_assert_int_eq(drag_of_pair(&wrong, &leg, &rider, 1.2, &pair), MEASURE_NOT_FINITE);
    ck_assert_int_eq(drag_of_pair(&leg, &wrong, &rider, 1.2, &pair), MEASURE_NOT_FINITE);
    wrong.climb_m = 50.0; /* in 30 m: nothing is left for the air */
    ck_assert_int_eq(drag_of_pair(&wrong, &leg, &rider, 1.2, &pair), MEASURE_CONSTANT);
    ck_assert_int_eq(drag_of_pair(&leg, &wrong, &rider, 1.2, &pair), MEASURE_CONSTANT);
    double *const of[] = {time_s, speed, power};
    for (int i = 0; i < 3; i++) {
        for (int at = 0; at < 4; at += 3) {
            double good = of[i][at];
            of[i][at] = NAN;
            ck_assert_int_eq(drag_leg_make(&samples, 0, 3, NAN, NAN, 0.0, &leg),
                             MEASURE_NOT_FINITE);
            of[i][at] = good;
        }
    }
    ck_assert_int_eq(drag_leg_make(&samples, 0, 4, NAN, NAN, 0.0, &leg), MEASURE_TOO_FEW);
    ck_assert_int_eq(drag_leg_make(&samples, 2, 2, NAN, NAN, 0.0, &leg), MEASURE_TOO_FEW);
}
END_TEST

static enum measure_status run_york(void *context)
{
    struct york_line line;
    return york_fit(context, 4, &line);
}

START_TEST(a_line_of_what_cannot_be)
{
    struct york_point points[] = {{.x = 1, .y = 2.1, .u_x = 0.1, .u_y = 0.1},
                                  {.x = 2, .y = 3.9, .u_x = 0.1, .u_y = 0.1},
                                  {.x = 3, .y = 6.2, .u_x = 0.1, .u_y = 0.1},
                                  {.x = 4, .y = 7.9, .u_x = 0.1, .u_y = 0.1}};
    const struct wrong_field fields[] = {
        {&points[2].u_x, ALL}, {&points[2].u_y, ALL}, {&points[2].correlation, NOT_ZERO}};
    struct york_line line;
    each_refused(fields, sizeof fields / sizeof fields[0], run_york, points, MEASURE_BAD_SETTING);
    ck_assert_int_eq(york_fit(points, 2, &line), MEASURE_TOO_FEW);
    ck_assert_int_eq(york_fit(points, YORK_POINTS_MAX + 1, &line), MEASURE_BAD_SETTING);
}
END_TEST

START_TEST(steps_of_what_cannot_be)
{
    struct steps_setup setups[3] = {{.height_mm = 900, .u_mm = 2},
                                    {.height_mm = 890, .u_mm = 2, .change = {10}},
                                    {.height_mm = 881, .u_mm = 2, .change = {20}}};
    struct steps_input input = {.setups = setups, .setup_count = 3, .factor_count = 1, .df = 6};
    struct steps steps;
    const double wrong[] = {NAN, INFINITY, 0.0};
    ck_assert_int_eq(steps_fit(&input, &steps), MEASURE_OK);
    for (int i = 0; i < 3; i++) {
        setups[1].u_mm = wrong[i];
        ck_assert_int_eq(steps_fit(&input, &steps), MEASURE_BAD_SETTING);
    }
    setups[1].u_mm = 2;
    const int factors[] = {0, STEPS_FACTORS_MAX + 1};
    for (int i = 0; i < 2; i++) {
        input.factor_count = factors[i];
        ck_assert_int_eq(steps_fit(&input, &steps), MEASURE_BAD_SETTING);
    }
    input.factor_count = 1;
    input.setup_count = STEPS_SETUPS_MAX + 1;
    ck_assert_int_eq(steps_fit(&input, &steps), MEASURE_BAD_SETTING);
    input.setup_count = 1;
    ck_assert_int_eq(steps_fit(&input, &steps), MEASURE_TOO_FEW);
    input.setup_count = 3;
    input.df = 0.0;
    ck_assert_int_eq(steps_fit(&input, &steps), MEASURE_BAD_SETTING);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("refused_readings");
    TCase *tests = tcase_create("refused_readings");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, values_that_are_none);
    tcase_add_test(tests, an_ellipse_of_none_adds_nothing);
    tcase_add_test(tests, sensors_readings_that_are_none);
    tcase_add_test(tests, a_block_that_cannot_be);
    tcase_add_test(tests, a_hold_of_what_cannot_be);
    tcase_add_test(tests, a_leg_of_what_cannot_be);
    tcase_add_test(tests, a_line_of_what_cannot_be);
    tcase_add_test(tests, steps_of_what_cannot_be);
    return test_main(suite);
}
