/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Steps of speed in a day of runs: rolling resistance from them, and what keeps them from giving
 * any. Legs are made from the model with tyres, drag and wind that the test knows. */
#include "analysis/drag.h"
#include "support/drag_day.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>

#define TYRES .0055

static struct session_record *record;
static struct drag_analysis *drag;

static void start(enum course_kind course)
{
    record = drag_day_create(course);
    drag = calloc(1, sizeof *drag);
    ck_assert(record != NULL && drag != NULL);
}

static void finish(void)
{
    free(record);
    free(drag);
}

static void add_run(int setup, bool steps)
{
    drag_day_add_run(record, setup)->steps = steps;
}

/* more_w: what the meter has over the model */
static void add_leg(double speed, double wind, double drag_m2, double more_w, bool back)
{
    struct drag_rider rider = drag_usual_rider(85.0);
    const struct drag_state state = {
        .speed_m_per_s = speed, .wind_m_per_s = wind, .drag_m2 = drag_m2};
    rider.rolling = TYRES;
    struct drag_leg *sums = &drag_day_add_leg(record, state, &rider, 1000.0, back)->sums;
    sums->work_j += more_w * sums->duration_s;
}

/* Seven laps of 6 to 12 m/s whose power is off by a watt, up and down. */
static void add_steps(void)
{
    add_run(0, true);
    for (int i = 0; i < 7; i++) {
        add_leg(6.0 + i, 0.0, .25, i % 2 == 0 ? 1.0 : -1.0, false);
    }
}

START_TEST(steps_set_the_rolling_resistance)
{
    start(COURSE_LAPS);
    add_steps();
    for (int i = 0; i < 8; i++) {
        add_run(i % 2, false);
        add_leg(11.0, 0.0, i % 2 == 0 ? .25 : .24, i % 4 < 2 ? .5 : -.5, false);
    }
    drag_make(record, drag);
    ck_assert_int_eq(drag->rolling.state, DRAG_STEPS_GOOD);
    ck_assert_int_eq(drag->rolling.from, DRAG_ROLLING_STEPS);
    ck_assert_int_eq(drag->rolling.steps, 7);
    ck_assert_double_eq_tol(drag->rolling.slowest_m_per_s, 6.0, 1e-9);
    ck_assert_double_eq_tol(drag->rolling.fastest_m_per_s, 12.0, 1e-9);
    const struct rolling_line *line = &drag->rolling.line;
    ck_assert_double_eq_tol(line->rolling, TYRES, 2.0 * line->rolling_u);
    ck_assert(line->together < line->rolling && line->together > .0053);
    ck_assert_double_eq(drag->rider.rolling, line->together);
    ck_assert_double_eq(drag->rolling.u_rolling, line->together_u);
    ck_assert_int_eq(drag->run[0].state, DRAG_RUN_STEPS);
    /* it has no say in the setups: four runs each, of a setup none left out */
    ck_assert_int_eq(drag->setup[0].runs, 4);
    ck_assert_int_eq(drag->setup[0].left_out, 0);
    ck_assert_int_eq(drag->compare.difference[1].verdict, VERDICT_LOWER);
    ck_assert_double_eq_tol(drag->compare.setup[0].mean, .25, .002); /* .0015 off: .257 */
    /* the level is known as the steps know it: relative, m g u over the air's force */
    double force_n = .5 * drag->setup[0].density_kg_per_m3 * drag->compare.setup[0].mean * 121.0;
    ck_assert_double_eq_tol(drag->setup[0].level.rolling,
                            85.0 * 9.80665 * line->together_u / force_n, 1e-9);
    /* what was said goes before */
    record->drag.rolling = .0045;
    drag_make(record, drag);
    ck_assert_int_eq(drag->rolling.from, DRAG_ROLLING_SAID);
    ck_assert_double_eq(drag->rider.rolling, .0045);
    ck_assert_double_eq(drag->rolling.u_rolling, .0003);
    /* left out: the usual one again */
    record->drag.rolling = NAN;
    record->run[0].rejected = true;
    drag_make(record, drag);
    ck_assert_int_eq(drag->rolling.from, DRAG_ROLLING_USUAL);
    ck_assert_int_eq(drag->rolling.run, -1);
    ck_assert_double_eq(drag->rider.rolling, .004);
    ck_assert_int_eq(drag->setup[0].left_out, 0);
    finish();
}
END_TEST

START_TEST(pairs_find_wind_and_tyres_together)
{
    start(COURSE_OUT_AND_BACK);
    add_run(1, true);
    for (int i = 0; i < 6; i++) {
        double wind = i == 5 ? 2.6 : .8, off = i % 2 == 0 ? .3 : -.3;
        add_leg(6.0 + i, wind, .25, off, false);
        add_leg(6.5 + i, -wind, .25, off, true);
    }
    drag_make(record, drag);
    ck_assert_int_eq(drag->rolling.state, DRAG_STEPS_GOOD);
    ck_assert_int_eq(drag->rolling.steps, 5); /* one was too windy */
    ck_assert_double_eq_tol(drag->rolling.line.rolling, TYRES, .0002);
    ck_assert_double_eq_tol(drag->rolling.line.drag_m2, .25, .003);
    ck_assert_double_eq_tol(drag->leg[0].wind_m_per_s, .8, .05);
    record->leg[0].left_out = true; /* takes its way back with it */
    drag_make(record, drag);
    ck_assert_int_eq(drag->rolling.state, DRAG_STEPS_FEW);
    ck_assert_double_eq(drag->rider.rolling, .004);
    finish();
}
END_TEST

START_TEST(what_keeps_steps_from_giving_any)
{
    start(COURSE_LAPS);
    drag_make(record, drag);
    ck_assert_int_eq(drag->rolling.state, DRAG_STEPS_NONE);
    add_run(0, true);
    for (int i = 0; i < 6; i++) {
        add_leg(10.0 + .1 * i, 0.0, .25, 0.0, false);
    }
    drag_make(record, drag);
    ck_assert_int_eq(drag->rolling.state, DRAG_STEPS_NARROW);
    finish();
    start(COURSE_LAPS);
    add_steps();
    record->drag.indoors = false; /* and nobody said how much wind there was */
    drag_make(record, drag);
    ck_assert_int_eq(drag->rolling.state, DRAG_STEPS_WIND);
    ck_assert_double_eq(drag->rider.rolling, .004);
    record->air[0].wind_m_per_s = .5;
    drag_make(record, drag);
    ck_assert_int_eq(drag->rolling.state, DRAG_STEPS_GOOD);
    record->run[0].speed_from = RIDE_SOURCE_SATELLITES;
    drag_make(record, drag);
    ck_assert_int_eq(drag->rolling.state, DRAG_STEPS_NONE);
    ck_assert_int_eq(drag->run[0].state, DRAG_RUN_SATELLITES);
    record->run[0].speed_from = RIDE_SOURCE_WHEEL;
    for (int l = 0; l < 7; l++) { /* power that grows with speed: nothing is left for the tyres */
        record->leg[l].sums.work_j *= .4 + .1 * l;
    }
    drag_make(record, drag);
    ck_assert_int_eq(drag->rolling.state, DRAG_STEPS_NO_TYRE);
    ck_assert_double_eq(drag->rider.rolling, .004);
    finish();
}
END_TEST

/* Ways of which one is missing, or on which nobody pushed, make no step. */
START_TEST(ways_without_a_pair_are_no_steps)
{
    start(COURSE_OUT_AND_BACK);
    add_run(1, true);
    for (int i = 0; i < 7; i++) {
        add_leg(6.0 + i, .2, .25, i % 2 == 0 ? .3 : -.3, false);
        add_leg(6.5 + i, -.2, .25, i % 2 == 0 ? .3 : -.3, true);
    }
    drag_make(record, drag);
    ck_assert_int_eq(drag->rolling.steps, 7);
    record->leg[1].pair = 99; /* its way out has no way back */
    record->leg[2].sums.work_j = record->leg[3].sums.work_j = 0.0;
    drag_make(record, drag);
    ck_assert_int_eq(drag->rolling.steps, 5);
    ck_assert_int_eq(drag->leg[0].state, DRAG_LEG_ALONE);
    ck_assert_int_eq(drag->leg[2].state, DRAG_LEG_NO_FORCE);
    finish();
}
END_TEST

/* In a hall there is no wind that would be too much: what the pairs call wind is the air that goes
 * round with the riders. */
START_TEST(a_hall_has_no_wind_that_is_too_much)
{
    for (int indoors = 0; indoors < 2; indoors++) {
        start(COURSE_OUT_AND_BACK);
        record->drag.indoors = indoors;
        add_run(1, true);
        for (int i = 0; i < 6; i++) {
            double wind = i == 5 ? 2.6 : i == 2 ? 1.6 : .8;
            add_leg(6.0 + i, wind, .25, i % 2 == 0 ? .3 : -.3, false);
            add_leg(6.5 + i, -wind, .25, i % 2 == 0 ? .3 : -.3, true);
        }
        drag_make(record, drag);
        ck_assert_int_eq(drag->rolling.steps, indoors ? 6 : 5);
        ck_assert_int_eq(drag->leg[10].state, indoors ? DRAG_LEG_USED : DRAG_LEG_WINDY);
        ck_assert_int_eq(drag->run[0].gusty, !indoors); /* .8, then 1.6 m/s, then .8 again */
        finish();
    }
}
END_TEST

/* More force than any tyre takes; a value that is no number. */
START_TEST(a_line_that_is_no_tyres)
{
    for (int how = 0; how < 2; how++) {
        start(COURSE_LAPS);
        add_steps();
        for (int l = 0; l < 7 && how == 0; l++) { /* 100 N, of 834 N of weight */
            record->leg[l].sums.work_j += 100.0 * record->leg[l].sums.length_m;
        }
        record->leg[3].sums.work_j = how == 1 ? NAN : record->leg[3].sums.work_j;
        drag_make(record, drag);
        ck_assert_int_eq(drag->rolling.state, DRAG_STEPS_NO_TYRE);
        ck_assert_double_eq(drag->rider.rolling, .004);
        finish();
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("drag steps");
    TCase *tests = tcase_create("drag steps");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, steps_set_the_rolling_resistance);
    tcase_add_test(tests, pairs_find_wind_and_tyres_together);
    tcase_add_test(tests, what_keeps_steps_from_giving_any);
    tcase_add_test(tests, ways_without_a_pair_are_no_steps);
    tcase_add_test(tests, a_hall_has_no_wind_that_is_too_much);
    tcase_add_test(tests, a_line_that_is_no_tyres);
    return test_main(suite);
}
