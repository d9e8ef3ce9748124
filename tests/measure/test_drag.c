/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Air, forces, laps and pairs against the worked example of Martin et al. 1998 and figures computed
 * apart from this program (in double precision, from the published formulas). */
#include "reference.h"
#include "trial.h"

#include "measure/air.h"
#include "measure/drag_leg.h"
#include "measure/drag_plan.h"
#include "measure/drag_run.h"
#include "measure/rules.h"

START_TEST(density_of_air)
{
    /* CIPM-2007, computed from its coefficients */
    const struct {
        struct air air;
        double density;
    } rows[] = {{{20, 101325, .5}, 1.199314},
                {{15, 101325, 0}, 1.225521},
                {{25, 95000, .6}, 1.101972},
                {{35, 100000, .7}, 1.114005}};
    double density = 7.0, warmer;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        ck_assert_int_eq(air_density(&rows[i].air, &density), MEASURE_OK);
        reference_printed("CIPM-2007", density, rows[i].density, 5e-7);
    }
    /* +1 K is -0.37 % */
    ck_assert_int_eq(air_density(&(struct air){20, 101325, .5}, &density), MEASURE_OK);
    ck_assert_int_eq(air_density(&(struct air){21, 101325, .5}, &warmer), MEASURE_OK);
    ck_assert_double_eq_tol(warmer / density - 1.0, -.0037, .00005);
    density = 7.0;
    const struct air none[] = {{20, 1013.25, .5}, {20, 101325, 50}, {20, 101325, -.1},
                               {-21, 101325, .5}, {51, 101325, .5}, {NAN, 101325, .5},
                               {20, 49999, .5},   {20, NAN, .5},    {20, 101325, NAN},
                               {20, 110001, .5}};
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++) {
        ck_assert_int_eq(air_density(&none[i], &density), MEASURE_BAD_SETTING);
    }
    ck_assert_double_eq(density, 7.0);
    ck_assert_int_eq(air_density(&(struct air){-20, 50000, 0}, &density), MEASURE_OK);
    ck_assert_int_eq(air_density(&(struct air){50, 110000, 1}, &density), MEASURE_OK);
}
END_TEST

/* The appendix of the paper: 471.8 m in 56.42 s up a rise of .003, wind 2.94 m/s from 310 degrees,
 * heading 340. Its tyres, its g; its drag area .2565 with the wheels' .0044. */
static struct drag_state paper_state(struct drag_rider *rider)
{
    *rider = drag_usual_rider(90.0);
    rider->rolling = .0032;
    rider->gravity_m_per_s2 = 9.81;
    double t = 56.42;
    return (struct drag_state){
        .speed_m_per_s = 471.8 / t,
        .wind_m_per_s = 2.94 * cos(30.0 * acos(-1.0) / 180.0),
        .slope = .003,
        .drag_m2 = .2565 + DRAG_WHEELS_M2,
        .density_kg_per_m3 = 1.2234,
        .gained_j_per_s = drag_kinetic_j(rider, 8.28, 8.45) / t,
    };
}

START_TEST(paper_s_power)
{
    struct drag_rider rider;
    struct drag_state state = paper_state(&rider);
    struct drag_power power = drag_power_of(&state, &rider);
    /* Martin et al. 1998, appendix: 213 W; its parts computed */
    reference_printed("paper's power", power.rider_w, 213, .5);
    reference_printed("power", power.rider_w, 213.373196, 5e-7);
    reference_printed("air", power.air_w, 158.803, 5e-4);
    reference_printed("rolling", power.rolling_w, 23.626, 5e-4);
    reference_printed("bearings", power.bearings_w, 1.369, 5e-4);
    reference_printed("slope", power.slope_w, 22.149, 5e-4);
    reference_printed("kinetic", power.kinetic_w, 2.305, 5e-4);
    reference_printed("sum", power.sum_w, 208.252, 5e-4);
}
END_TEST

/* Backwards through the leg: force, then drag by the wind that is known. */
static double paper_drag(double power_w)
{
    struct drag_rider rider;
    struct drag_state state = paper_state(&rider);
    double v = state.speed_m_per_s, length_m = 471.8;
    struct drag_leg leg = {.length_m = length_m,
                           .duration_s = 56.42,
                           .work_j = power_w * 56.42,
                           .speed_m_per_s = v,
                           .speed_squared = v * v,
                           .in_m_per_s = 8.28,
                           .out_m_per_s = 8.45,
                           .climb_m = length_m * sin(atan(.003))};
    double through = v + state.wind_m_per_s;
    return 2.0 * drag_leg_force_n(&leg, &rider) / (state.density_kg_per_m3 * through * through) -
           DRAG_WHEELS_M2;
}

START_TEST(paper_s_power_backwards)
{
    reference_printed("213 W", paper_drag(213.0), .255902, 7e-7);
    reference_printed("213.373196 W", paper_drag(213.373196), .256500, 7e-7);
}
END_TEST

START_TEST(forces_of_a_leg)
{
    /* computed apart */
    const double t[] = {0, 1, 2, 3, 4, 5}, v[] = {10.0, 10.1, 10.2, 10.2, 10.3, 10.3};
    const double p[] = {230, 240, 250, 245, 235, 240};
    struct drag_samples samples = {t, v, p, 6};
    struct drag_rider rider = drag_usual_rider(85.0);
    struct drag_leg leg;
    double drag = 0.0;
    ck_assert_double_eq_tol(rider.wheels_kg, 1.447462, 5e-7);
    ck_assert_int_eq(drag_leg_make(&samples, 0, 5, NAN, NAN, 0.0, &leg), MEASURE_OK);
    reference_printed("length", leg.length_m, 50.95, 1e-9);
    reference_printed("work", leg.work_j, 1205.0, 1e-9);
    ck_assert_double_eq(leg.duration_s, 5.0);
    reference_printed("mean speed", leg.speed_m_per_s, 10.190726, 5e-7);
    reference_printed("mean squared speed", leg.speed_squared, 103.858275, 5e-7);
    reference_printed("kinetic", drag_kinetic_j(&rider, 10.0, 10.3), 263.2325, 5e-5);
    double bearings = rider.bearing_n + rider.bearing_n_per_m_per_s * leg.speed_m_per_s;
    reference_printed("bearings", bearings, .179659, 5e-7);
    reference_printed("force", drag_leg_force_n(&leg, &rider), 14.402615, 5e-7);
    ck_assert_int_eq(drag_of_lap(&leg, &rider, 1.2, &drag), MEASURE_OK);
    reference_printed("drag", drag, .231126, 5e-7);
    /* border speeds that are given stand; a climb costs */
    ck_assert_int_eq(drag_leg_make(&samples, 1, 4, 10.0, 10.3, 0.1, &leg), MEASURE_OK);
    ck_assert_double_eq(leg.in_m_per_s, 10.0);
    ck_assert_double_eq(leg.out_m_per_s, 10.3);
    struct drag_leg flat = leg;
    flat.climb_m = 0.0;
    ck_assert_double_eq_tol(drag_leg_force_n(&flat, &rider) - drag_leg_force_n(&leg, &rider),
                            85 * 9.80665 * .1 / leg.length_m, 1e-9);
}
END_TEST

START_TEST(no_leg_of_nothing)
{
    double t[] = {0, 1, 1, 3}, v[] = {10, 10, 10, 10}, p[] = {200, 200, 200, 200};
    struct drag_samples samples = {t, v, p, 4};
    struct drag_rider rider = drag_usual_rider(85.0);
    struct drag_leg leg = {.length_m = -7.0};
    double drag = -7.0;
    ck_assert_int_eq(drag_leg_make(&samples, 2, 2, NAN, NAN, 0, &leg), MEASURE_TOO_FEW);
    ck_assert_int_eq(drag_leg_make(&samples, 0, 4, NAN, NAN, 0, &leg), MEASURE_TOO_FEW);
    ck_assert_int_eq(drag_leg_make(&samples, 0, 3, NAN, NAN, 0, &leg), MEASURE_UNSORTED);
    t[2] = 2;
    p[3] = NAN;
    ck_assert_int_eq(drag_leg_make(&samples, 0, 3, NAN, NAN, 0, &leg), MEASURE_NOT_FINITE);
    v[0] = v[1] = v[2] = 0.0;
    ck_assert_int_eq(drag_leg_make(&samples, 0, 2, NAN, NAN, 0, &leg), MEASURE_CONSTANT);
    ck_assert_double_eq(leg.length_m, -7.0);
    /* coasting: no force is left for the air */
    leg = (struct drag_leg){100, 10, 0, 10, 100, 10, 10, 0};
    ck_assert_int_eq(drag_of_lap(&leg, &rider, 1.2, &drag), MEASURE_CONSTANT);
    leg.work_j = 2500;
    ck_assert_int_eq(drag_of_lap(&leg, &rider, 0.0, &drag), MEASURE_BAD_SETTING);
    leg.in_m_per_s = NAN;
    ck_assert_int_eq(drag_of_lap(&leg, &rider, 1.2, &drag), MEASURE_NOT_FINITE);
    ck_assert_double_eq(drag, -7.0);
}
END_TEST

/* Half a second and two seconds apart: 0.5 (200 + 220) 0.5 + 0.5 (220 + 180) 2 = 505 J. */
START_TEST(a_leg_of_uneven_samples)
{
    const double t[] = {3, 3.5, 5.5}, v[] = {10, 11, 9}, p[] = {200, 220, 180};
    struct drag_samples samples = {t, v, p, 3};
    struct drag_leg leg;
    ck_assert_int_eq(drag_leg_make(&samples, 0, 2, NAN, NAN, 0, &leg), MEASURE_OK);
    ck_assert_double_eq_tol(leg.work_j, 505.0, 1e-12);
    ck_assert_double_eq_tol(leg.duration_s, 2.5, 1e-12);
    ck_assert_double_eq_tol(leg.length_m, 25.25, 1e-12);
}
END_TEST

START_TEST(speed_at_a_border)
{
    const double t[] = {0, 1, 2, 3, 4}, v[] = {10, 11, 13, 11, 10};
    struct drag_samples samples = {t, v, v, 5};
    ck_assert_double_eq_tol(drag_border_speed(&samples, 2), 35.0 / 3.0, 1e-12);
    ck_assert_double_eq_tol(drag_border_speed(&samples, 0), 10.5, 1e-12);
    ck_assert_double_eq_tol(drag_border_speed(&samples, 4), 10.5, 1e-12);
    /* twice a second: those 1.5 s before and behind belong to it, those 2 s away do not */
    double often_t[13], often_v[13];
    for (int i = 0; i < 13; i++) {
        often_t[i] = 0.5 * i;
        often_v[i] = i < 3 || i > 9 ? 1000.0 : 10.0;
    }
    often_v[3] = 17.0;
    often_v[9] = 24.0;
    samples = (struct drag_samples){often_t, often_v, often_v, 13};
    ck_assert_double_eq_tol(drag_border_speed(&samples, 6), 13.0, 1e-12);
    /* of 1.5 s and 1.6 s away the first alone */
    const double near_t[] = {.4, 2, 3.5, 3.6}, near_v[] = {1000, 10, 16, 1000};
    samples = (struct drag_samples){near_t, near_v, near_v, 4};
    ck_assert_double_eq_tol(drag_border_speed(&samples, 1), 13.0, 1e-12);
}
END_TEST

START_TEST(indoor_laps)
{
    /* computed apart: 400 m, 85 kg, 1.2 kg/m3, Crr .004 */
    const struct {
        double t, power, in, out, drag;
    } rows[] = {{36.2, 262, 11.02, 11.05, .266852},
                {36.4, 258, 11.05, 10.98, .269965},
                {36.1, 264, 10.98, 11.08, .264635},
                {36.3, 259, 11.08, 11.03, .268184}};
    struct drag_rider rider = drag_usual_rider(85.0);
    struct drag_value values[4];
    for (size_t i = 0; i < 4; i++) {
        double v = 400.0 / rows[i].t;
        struct drag_leg leg = {
            400.0, rows[i].t, rows[i].power * rows[i].t, v, v * v, rows[i].in, rows[i].out, 0.0};
        values[i].length_m = 400.0;
        ck_assert_int_eq(drag_of_lap(&leg, &rider, 1.2, &values[i].drag_m2), MEASURE_OK);
        reference_printed("lap", values[i].drag_m2, rows[i].drag, 5e-7);
    }
    struct drag_run_mean mean;
    ck_assert_int_eq(drag_run_mean_of(values, 4, &mean), MEASURE_OK);
    ck_assert_double_eq_tol(mean.drag_m2, (.266852 + .269965 + .264635 + .268184) / 4, 5e-7);
    ck_assert(!mean.has_interval);
}
END_TEST

/* 1000 m at a steady speed. */
static struct drag_leg steady_leg(double power_w, double v)
{
    return (struct drag_leg){1000.0, 1000.0 / v, power_w * 1000.0 / v, v, v * v, v, v, 0.0};
}

static struct drag_pair pair_of(double out_w, double back_w, double climb_m)
{
    struct drag_rider rider = drag_usual_rider(85.0);
    struct drag_leg out = steady_leg(out_w, 10.2), back = steady_leg(back_w, 11.6);
    struct drag_pair pair = {NAN, NAN};
    out.climb_m = climb_m;
    back.climb_m = -climb_m;
    ck_assert_int_eq(drag_of_pair(&out, &back, &rider, 1.2, &pair), MEASURE_OK);
    return pair;
}

START_TEST(drag_and_wind_of_a_pair)
{
    /* computed apart from drag .25, wind .8 */
    const double out_w = 226.406568, back_w = 249.853791;
    struct drag_rider rider = drag_usual_rider(85.0);
    struct drag_leg out = steady_leg(out_w, 10.2), back = steady_leg(back_w, 11.6);
    double alone[2] = {0};
    reference_printed("force out", drag_leg_force_n(&out, &rider), 18.15, 5e-7);
    reference_printed("force back", drag_leg_force_n(&back, &rider), 17.496, 5e-7);
    struct drag_pair pair = pair_of(out_w, back_w, 0.0);
    reference_printed("drag", pair.drag_m2, .250000, 5e-7);
    reference_printed("wind", pair.wind_m_per_s, .800000, 5e-7);
    pair = pair_of(226.4, 249.9, 0.0);
    reference_printed("drag, power rounded", pair.drag_m2, .250023, 5e-7);
    reference_printed("wind, power rounded", pair.wind_m_per_s, .799300, 5e-7);
    ck_assert_int_eq(drag_of_lap(&out, &rider, 1.2, &alone[0]), MEASURE_OK);
    ck_assert_int_eq(drag_of_lap(&back, &rider, 1.2, &alone[1]), MEASURE_OK);
    reference_printed("as if without wind, out", alone[0], .290754, 5e-7);
    reference_printed("as if without wind, back", alone[1], .216706, 5e-7);
    /* sqrt k = (sqrt F1 + sqrt F2)/(v1 + v2) at steady speed */
    double root = (sqrt(18.15) + sqrt(17.496)) / (10.2 + 11.6);
    ck_assert_double_eq_tol(2 * root * root / 1.2, .25, 1e-7);
}
END_TEST

/* The same ride on a road that rises by so much, and nobody knows: the wind takes it up. */
static double drag_on_grade(double grade)
{
    struct drag_rider rider = drag_usual_rider(85.0);
    double rise_w = rider.mass_kg * rider.gravity_m_per_s2 * grade / rider.efficiency;
    return pair_of(226.406568 + rise_w * 10.2, 249.853791 - rise_w * 11.6, 0.0).drag_m2 / .25 - 1.0;
}

START_TEST(what_a_pair_forgives)
{
    /* computed apart, in percent */
    reference_printed("grade .05 %", 100 * drag_on_grade(.0005), -.035, 6e-4);
    reference_printed("grade .1 %", 100 * drag_on_grade(.001), -.098, 6e-4);
    reference_printed("grade .2 %", 100 * drag_on_grade(.002), -.31, 6e-3);
    /* a power scale of 1 % */
    double scaled = pair_of(226.406568 * 1.01, 249.853791 * 1.01, 0).drag_m2 / .25 - 1.0;
    reference_printed("power 1 %", 100 * scaled, 1.2, .06);
    /* known rise is taken out */
    struct drag_rider rider = drag_usual_rider(85.0);
    double rise_w = rider.mass_kg * rider.gravity_m_per_s2 * .002 / rider.efficiency;
    ck_assert_double_eq_tol(
        pair_of(226.406568 + rise_w * 10.2, 249.853791 - rise_w * 11.6, 2.0).drag_m2, .25, 1e-7);
}
END_TEST

START_TEST(no_pair_without_force)
{
    struct drag_rider rider = drag_usual_rider(85.0);
    struct drag_leg out = steady_leg(200, 10.0), back = steady_leg(10, 12.0);
    struct drag_pair pair = {-7.0, -7.0};
    ck_assert_int_eq(drag_of_pair(&out, &back, &rider, 1.2, &pair), MEASURE_CONSTANT);
    back = steady_leg(200, 10.0);
    ck_assert_int_eq(drag_of_pair(&out, &back, &rider, NAN, &pair), MEASURE_BAD_SETTING);
    ck_assert_int_eq(drag_of_pair(&out, &back, &rider, 0.0, &pair), MEASURE_BAD_SETTING);
    /* brakes on one way, whichever it is: the closed form has an answer, and it is none */
    struct drag_leg braked = steady_leg(2, 4.0), fast = steady_leg(400, 12.0);
    ck_assert_int_eq(drag_of_pair(&braked, &fast, &rider, 1.2, &pair), MEASURE_CONSTANT);
    ck_assert_int_eq(drag_of_pair(&fast, &braked, &rider, 1.2, &pair), MEASURE_CONSTANT);
    out.work_j = NAN;
    ck_assert_int_eq(drag_of_pair(&out, &back, &rider, 1.2, &pair), MEASURE_NOT_FINITE);
    ck_assert_double_eq(pair.drag_m2, -7.0);
    out = steady_leg(200, 10.0); /* equal legs: no wind */
    ck_assert_int_eq(drag_of_pair(&out, &back, &rider, 1.2, &pair), MEASURE_OK);
    ck_assert_double_eq_tol(pair.wind_m_per_s, 0.0, 1e-12);
}
END_TEST

/* Up and down a straight in the most wind that laps may have: read as in still air, drag is 0.8 %
 * too high, as the rule says. */
START_TEST(what_wind_on_laps_costs)
{
    struct drag_rider rider = drag_usual_rider(85.0);
    struct drag_state state = {.speed_m_per_s = 10.9, .drag_m2 = .25, .density_kg_per_m3 = 1.2};
    double power_w = 0.0, read_m2 = 0.0;
    for (int way = -1; way <= 1; way += 2) {
        state.wind_m_per_s = way * DRAG_LAP_WIND_MOST;
        power_w += .5 * drag_power_of(&state, &rider).rider_w;
    }
    struct drag_leg lap = steady_leg(power_w, state.speed_m_per_s);
    ck_assert_int_eq(drag_of_lap(&lap, &rider, 1.2, &read_m2), MEASURE_OK);
    reference_printed("straight", 100 * (read_m2 / .25 - 1), .8, .05);
}
END_TEST

START_TEST(value_of_a_run)
{
    struct drag_value values[9];
    struct drag_run_mean mean;
    for (int i = 0; i < 9; i++) {
        values[i] = (struct drag_value){.25 + (i % 2 ? .002 : -.002), 250.0};
    }
    ck_assert_int_eq(drag_run_mean_of(values, 0, &mean), MEASURE_TOO_FEW);
    ck_assert_int_eq(drag_run_mean_of(values, 7, &mean), MEASURE_OK);
    ck_assert(!mean.has_interval);
    ck_assert_int_eq(drag_run_mean_of(values, 8, &mean), MEASURE_OK);
    ck_assert(mean.has_interval);
    /* laps that alternate are not alike: t with 7 degrees of freedom, 2.364624 (tables), SE of 8 */
    double sd = .002 * sqrt(8.0 / 7.0);
    ck_assert_double_eq_tol(mean.half_width_m2, 2.364624 * sd / sqrt(8.0), 1e-8);
    values[0] = (struct drag_value){.30, 750.0};
    values[1] = (struct drag_value){.20, 250.0};
    ck_assert_int_eq(drag_run_mean_of(values, 2, &mean), MEASURE_OK);
    ck_assert_double_eq_tol(mean.drag_m2, .275, 1e-12); /* by length */
    ck_assert_double_eq(mean.length_m, 1000.0);
    values[1].drag_m2 = NAN;
    ck_assert_int_eq(drag_run_mean_of(values, 2, &mean), MEASURE_NOT_FINITE);
    values[1] = (struct drag_value){.20, 0.0};
    ck_assert_int_eq(drag_run_mean_of(values, 2, &mean), MEASURE_NOT_FINITE);
    static struct drag_value many[DRAG_RUN_VALUES_MAX + 1];
    for (int i = 0; i <= DRAG_RUN_VALUES_MAX; i++) {
        many[i] = (struct drag_value){.25, 250.0};
    }
    ck_assert_int_eq(drag_run_mean_of(many, DRAG_RUN_VALUES_MAX, &mean), MEASURE_OK);
    ck_assert_int_eq(drag_run_mean_of(many, DRAG_RUN_VALUES_MAX + 1, &mean), MEASURE_BAD_SETTING);
}
END_TEST

START_TEST(level_and_difference)
{
    /* computed apart: 10.9 m/s, .25 m2, 85 kg, 1.2 kg/m3 */
    struct drag_rider rider = drag_usual_rider(85.0);
    struct drag_level level = drag_level_of(&rider, DRAG_U_ROLLING, .25, 10.9, 1.2);
    reference_printed("power", 100 * level.power, 1.8, .05);
    ck_assert_double_eq_tol(level.power, .0179628, 1e-7); /* to more digits */
    reference_printed("rolling", 100 * level.rolling, 1.4, .05);
    reference_printed("speed", 100 * level.speed, .64, .005);
    reference_printed("efficiency", 100 * level.efficiency, .61, .005);
    reference_printed("density", 100 * level.density, .3, .005);
    reference_printed("mass", 100 * level.mass, .11, .005);
    reference_printed("together", 100 * level.together, 2.5, .05);
    double squares = pow(level.power, 2) + pow(level.rolling, 2) + pow(level.speed, 2) +
                     pow(level.efficiency, 2) + pow(level.density, 2) + pow(level.mass, 2);
    ck_assert_double_eq_tol(level.together, sqrt(squares), 1e-12);
    reference_printed("unlike speeds",
                      drag_unlike_speeds_m2(&rider, .0005, 1.2, 10.9 * 10.9, 11.9 * 11.9), .00094,
                      5e-6);
    ck_assert(drag_speeds_are_unlike(10.9, 11.9));
    ck_assert(!drag_speeds_are_unlike(10.9, 11.4));
    ck_assert(!drag_speeds_are_unlike(10.0, 10.5)); /* 5 % are alike still */
    ck_assert(drag_speeds_are_unlike(10.0, 10.51));
    ck_assert(drag_speeds_are_unlike(11.5, 10.9));
}
END_TEST

START_TEST(what_drag_is_worth)
{
    /* computed apart: .005 m2 is 3 W at 10 m/s, 6 W at 12.5; .010 m2 8.2, 12.0 and 16.9 W at 11,
     * 12.5 and 14 m/s */
    reference_printed("10 m/s", drag_worth_w(.005, 10, 1.2, .976), 3, .5);
    reference_printed("12.5 m/s", drag_worth_w(.005, 12.5, 1.2, .976), 6, .5);
    reference_printed("11 m/s", drag_worth_w(.010, 11, 1.2, .976), 8.2, .05);
    reference_printed("12.5 m/s", drag_worth_w(.010, 12.5, 1.2, .976), 12.0, .05);
    reference_printed("14 m/s", drag_worth_w(.010, 14, 1.2, .976), 16.9, .05);
}
END_TEST

START_TEST(runs_compared)
{
    /* computed apart by least squares: A B B A A B B A, order as a covariate */
    const double value[] = {.2521, .2462, .2449, .2498, .2507, .2441, .2470, .2516};
    const int setup[] = {0, 1, 1, 0, 0, 1, 1, 0};
    struct trial *trial = trial_start(2, DRAG_MATTERS_M2);
    trial->input.nothing_usual = true;
    for (int i = 0; i < 8; i++) {
        trial_add(trial, setup[i], i + 1, value[i]);
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    const struct comparison *r = &trial->result;
    const struct setup_difference *d = &r->difference[1];
    reference_printed("A", r->setup[0].mean, .251050, 5e-7);
    reference_printed("B-A", d->difference, -.0055000, 5e-8);
    reference_printed("s", r->repeatability, .00127546, 5e-9);
    ck_assert_double_eq(r->repeatability_df, 5);
    reference_printed("SE", d->standard_error, .00090189, 5e-9);
    reference_printed("from", d->low, -.00781838, 5e-9);
    reference_printed("to", d->high, -.00318162, 5e-9);
    reference_printed("order", r->order_per_hold, -.0000119, 5e-8);
    ck_assert(r->order_fitted);
    ck_assert_int_eq(d->verdict, VERDICT_LOWER);
}
END_TEST

START_TEST(nothing_usual_has_a_say)
{
    /* three runs, 2 degrees of freedom: t .975 is 4.302653 (tables), SD 1 by construction */
    struct trial *trial = trial_start(1, 1.0);
    trial->input.nothing_usual = true;
    trial_add(trial, 0, 1, 9.0);
    trial_add(trial, 0, 2, 10.0);
    trial_add(trial, 0, 3, 11.0);
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert(trial->result.provisional && !trial->result.setup[0].assumed);
    ck_assert_double_eq_tol(trial->result.setup[0].half_width, 4.302653 / sqrt(3.0), 1e-5);
}
END_TEST

START_TEST(what_a_day_finds)
{
    /* computed apart; with 1 degree of freedom from the Cauchy distribution's quantiles, 12.7062
     * and tan(.3 pi) */
    const double rows[DRAG_PLACES][DRAG_PLAN_RUNS] = {{12.7, 2.2, 1.6, 1.4, 1.1},
                                                      {16.9, 3.0, 2.2, 1.8, 1.4},
                                                      {25.35, 4.4, 3.3, 2.7, 2.2},
                                                      {56.3, 9.9, 7.3, 6.1, 4.8}};
    const double sd[DRAG_PLACES] = {.9, 1.2, 1.8, 4.0};
    double found = -7.0;
    for (int place = 0; place < DRAG_PLACES; place++) {
        ck_assert_double_eq(drag_places[place].run_sd_percent, sd[place]);
        for (int i = 0; i < DRAG_PLAN_RUNS; i++) {
            ck_assert_int_eq(drag_plan_found(sd[place], drag_plan_runs[i], &found), MEASURE_OK);
            reference_printed(drag_places[place].words, found, rows[place][i], .0501);
        }
    }
    found = -7.0;
    ck_assert_int_eq(drag_plan_found(1.0, 1, &found), MEASURE_TOO_FEW);
    ck_assert_int_eq(drag_plan_found(NAN, 4, &found), MEASURE_BAD_SETTING);
    ck_assert_int_eq(drag_plan_found(0.0, 4, &found), MEASURE_BAD_SETTING);
    ck_assert_double_eq(found, -7.0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("drag");
    TCase *tests = tcase_create("drag");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, density_of_air);
    tcase_add_test(tests, paper_s_power);
    tcase_add_test(tests, paper_s_power_backwards);
    tcase_add_test(tests, forces_of_a_leg);
    tcase_add_test(tests, no_leg_of_nothing);
    tcase_add_test(tests, a_leg_of_uneven_samples);
    tcase_add_test(tests, speed_at_a_border);
    tcase_add_test(tests, indoor_laps);
    tcase_add_test(tests, drag_and_wind_of_a_pair);
    tcase_add_test(tests, what_a_pair_forgives);
    tcase_add_test(tests, no_pair_without_force);
    tcase_add_test(tests, what_wind_on_laps_costs);
    tcase_add_test(tests, value_of_a_run);
    tcase_add_test(tests, level_and_difference);
    tcase_add_test(tests, what_drag_is_worth);
    tcase_add_test(tests, runs_compared);
    tcase_add_test(tests, nothing_usual_has_a_say);
    tcase_add_test(tests, what_a_day_finds);
    return test_main(suite);
}
