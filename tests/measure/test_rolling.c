/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Rolling resistance and drag from steps of speed, on worked values. */
#include "measure/rolling.h"
#include "support/test_main.h"

#include <math.h>

/* Computed apart by least squares (force on speed squared), for a true .250 and .0040: rho 1.2, 85
 * kg, .976, 7 to 13 m/s. */
static const double watts[] = {78.9, 106.4, 144.8, 188.3, 246.0, 307.9, 385.2};
#define STEPS (sizeof watts / sizeof watts[0])

static struct drag_leg steady(double speed, double power)
{
    return (struct drag_leg){
        1000.0, 1000.0 / speed, power * 1000.0 / speed, speed, speed * speed, speed, speed, 0.0};
}

static void take(struct rolling_step *steps)
{
    struct drag_rider rider = drag_usual_rider(85.0);
    for (size_t i = 0; i < STEPS; i++) {
        struct drag_leg leg = steady(7.0 + (double)i, watts[i]);
        steps[i] = rolling_step_of_lap(&leg, &rider);
    }
}

START_TEST(seven_steps_give_both)
{
    struct rolling_step steps[STEPS];
    struct rolling_line line;
    struct drag_rider rider = drag_usual_rider(85.0);
    take(steps);
    ck_assert_int_eq(rolling_from_steps(steps, STEPS, &rider, 1.2, &line), MEASURE_OK);
    ck_assert_double_eq_tol(line.drag_m2, .249425, 5e-7);
    ck_assert_double_eq_tol(line.drag_u, .002123, 5e-7);
    ck_assert_double_eq_tol(line.rolling, .0040543, 5e-8);
    ck_assert_double_eq_tol(line.rolling_u, .0001703, 5e-8);
    ck_assert_double_eq_tol(line.correlation, -.933, 5e-4);
    ck_assert_double_eq_tol(line.residual_sd_n, .13528, 5e-6);
    ck_assert_double_eq(line.df, 5.0);
    /* joined with .004 to .001 by hand: u of the steps is .0001703 * 2.570582 / 1.959964 =
     * .00022336, so weights 1/u2 of 2.0044e7 and 1e6 */
    ck_assert_double_eq_tol(line.together, .0040517, 1e-7);
    ck_assert_double_eq_tol(line.together_u, .00021799, 1e-7);
    /* what was taken for the coefficient before has no say in it */
    rider.rolling = .02;
    for (size_t i = 0; i < STEPS; i++) {
        struct drag_leg leg = steady(7.0 + (double)i, watts[i]);
        steps[i] = rolling_step_of_lap(&leg, &rider);
    }
    ck_assert_int_eq(rolling_from_steps(steps, STEPS, &rider, 1.2, &line), MEASURE_OK);
    ck_assert_double_eq_tol(line.rolling, .0040543, 5e-8);
}
END_TEST

START_TEST(too_few_or_too_much_alike)
{
    struct rolling_step steps[STEPS];
    struct rolling_line line;
    struct drag_rider rider = drag_usual_rider(85.0);
    take(steps);
    ck_assert_int_eq(rolling_from_steps(steps, 5, &rider, 1.2, &line), MEASURE_OK);
    ck_assert_int_eq(rolling_from_steps(steps, 4, &rider, 1.2, &line), MEASURE_TOO_FEW);
    /* 7 to 9.75 m/s are 1.39 times, to 9.85 are 1.41 */
    for (size_t i = 1; i < 5; i++) {
        steps[i].speed_squared = 9.75 * 9.75;
    }
    ck_assert_int_eq(rolling_from_steps(steps, 5, &rider, 1.2, &line), MEASURE_CONSTANT);
    steps[4].speed_squared = 9.85 * 9.85;
    ck_assert_int_eq(rolling_from_steps(steps, 5, &rider, 1.2, &line), MEASURE_OK);
    ck_assert_int_eq(rolling_from_steps(steps, 5, &rider, 0.0, &line), MEASURE_BAD_SETTING);
    rider.mass_kg = 0.0;
    ck_assert_int_eq(rolling_from_steps(steps, 5, &rider, 1.2, &line), MEASURE_BAD_SETTING);
    rider.mass_kg = 85.0;
    steps[2].speed_squared = 0.0;
    ck_assert_int_eq(rolling_from_steps(steps, 5, &rider, 1.2, &line), MEASURE_NOT_FINITE);
    steps[2].speed_squared = 81.0;
    steps[2].force_n = NAN;
    ck_assert_int_eq(rolling_from_steps(steps, 5, &rider, 1.2, &line), MEASURE_NOT_FINITE);
}
END_TEST

/* As many as there is room for, and steps without any scatter: nothing is left to join. */
START_TEST(many_exact_steps)
{
    static struct rolling_step steps[ROLLING_STEPS_MAX + 1];
    struct rolling_line line;
    struct drag_rider rider = drag_usual_rider(85.0);
    for (int i = 0; i <= ROLLING_STEPS_MAX; i++) {
        steps[i].speed_squared = i % 2 == 0 ? 64.0 : 144.0;
        steps[i].force_n = i % 2 == 0 ? 16.0 : 28.0;
    }
    ck_assert_int_eq(rolling_from_steps(steps, ROLLING_STEPS_MAX, &rider, 1.2, &line), MEASURE_OK);
    ck_assert_double_eq_tol(line.rolling, 6.4 / (85.0 * 9.80665), 1e-12); /* 16 - 64 * 12/80 */
    ck_assert_double_eq_tol(line.together, line.rolling, 1e-9);
    ck_assert_double_lt(line.together_u, 1e-6);
    ck_assert_int_eq(rolling_from_steps(steps, ROLLING_STEPS_MAX + 1, &rider, 1.2, &line),
                     MEASURE_BAD_SETTING);
    for (int i = 0; i < ROLLING_STEPS_MAX; i++) {
        steps[i].force_n = 0.0; /* no scatter to the last digit */
    }
    ck_assert_int_eq(rolling_from_steps(steps, ROLLING_STEPS_MAX, &rider, 1.2, &line), MEASURE_OK);
    ck_assert(line.rolling == 0.0 && line.together == 0.0 && line.together_u == 0.0);
}
END_TEST

/* Made exactly, out and back in a wind: the pair's own step lies on the line once the coefficient
 * is right. */
START_TEST(a_pair_takes_its_wind_out)
{
    struct drag_rider rider = drag_usual_rider(85.0);
    rider.rolling = .005;
    for (int i = 0; i < 5; i++) {
        double speed = 6.0 + 1.5 * i;
        struct drag_state state = {
            .speed_m_per_s = speed, .drag_m2 = .25, .density_kg_per_m3 = 1.2};
        state.wind_m_per_s = .8;
        struct drag_leg out = steady(speed, drag_power_of(&state, &rider).rider_w);
        state.speed_m_per_s = speed + 1.0;
        state.wind_m_per_s = -.8;
        struct drag_leg back = steady(speed + 1.0, drag_power_of(&state, &rider).rider_w);
        struct rolling_step step;
        double wind = NAN;
        ck_assert_int_eq(rolling_step_of_pair(&out, &back, &rider, 1.2, &step, &wind), MEASURE_OK);
        ck_assert_double_eq_tol(wind, .8, 1e-9);
        ck_assert_double_eq_tol(step.force_n,
                                .005 * 85.0 * 9.80665 + .5 * 1.2 * .25 * step.speed_squared, 1e-9);
        double squared = .5 * ((speed + .8) * (speed + .8) + (speed + .2) * (speed + .2));
        ck_assert_double_eq_tol(step.speed_squared, squared, 1e-9);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rolling");
    TCase *tests = tcase_create("rolling");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, seven_steps_give_both);
    tcase_add_test(tests, too_few_or_too_much_alike);
    tcase_add_test(tests, many_exact_steps);
    tcase_add_test(tests, a_pair_takes_its_wind_out);
    return test_main(suite);
}
