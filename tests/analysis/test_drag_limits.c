/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A day of as many setups, runs, legs and readings of the air as there can be, and means over legs
 * of unlike length. Legs are made from the model. */
#include "analysis/drag.h"
#include "analysis/drag_course.h"
#include "analysis/drag_height.h"
#include "measure/air.h"
#include "support/drag_day.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>

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

static struct leg_record *add_leg(double speed, double wind, double drag_m2, double length_m,
                                  bool back)
{
    const struct drag_rider rider = drag_usual_rider(85.0);
    const struct drag_state state = {
        .speed_m_per_s = speed, .wind_m_per_s = wind, .drag_m2 = drag_m2};
    return drag_day_add_leg(record, state, &rider, length_m, back);
}

/* Setups in turn; legs as they go on the runs. */
static void fill(enum course_kind course)
{
    start(course);
    record->setup_count = SETUPS_MAX;
    record->air_count = AIRS_MAX;
    for (int a = 1; a < AIRS_MAX; a++) {
        record->air[a] = record->air[0];
    }
    for (int s = 0; s < SETUPS_MAX; s++) {
        record->setup[s].number = s + 1;
    }
    for (int r = 0; r < RUNS_MAX; r++) {
        drag_day_add_run(record, r % SETUPS_MAX);
        for (int l = 0; l < LEGS_MAX / RUNS_MAX; l++) {
            bool back = course == COURSE_OUT_AND_BACK && l % 2 == 1;
            struct leg_record *leg =
                add_leg(11.0, 0.0, .25 + .0001 * (r % SETUPS_MAX), 1000.0, back);
            leg->piece_m = 1000.0 / LEG_PIECES_MAX;
            leg->piece_count = LEG_PIECES_MAX;
            for (int p = 0; p < LEG_PIECES_MAX; p++) {
                leg->piece[p] = (struct leg_piece){leg->sums.work_j / LEG_PIECES_MAX, 11.0, 11.0};
            }
        }
    }
}

START_TEST(a_day_that_is_full)
{
    static const enum course_kind courses[] = {COURSE_LAPS, COURSE_OUT_AND_BACK};
    for (size_t i = 0; i < sizeof courses / sizeof courses[0]; i++) {
        fill(courses[i]);
        ck_assert_int_eq(record->leg_count, LEGS_MAX);
        drag_make(record, drag);
        ck_assert_int_eq(drag->compare.setup_count, SETUPS_MAX);
        for (int r = 0; r < RUNS_MAX; r++) {
            ck_assert_int_eq(drag->run[r].state, DRAG_RUN_COUNTS);
            ck_assert_int_eq(drag->run[r].legs_used, LEGS_MAX / RUNS_MAX);
            ck_assert_double_eq_tol(drag->run[r].mean.drag_m2, .25 + .0001 * (r % SETUPS_MAX),
                                    1e-9);
        }
        ck_assert_double_eq_tol(drag_residual_of(record, drag, LEGS_MAX - 1, LEG_PIECES_MAX - 1),
                                0.0, 1e-9);
        for (int s = 0; s < SETUPS_MAX; s++) { /* two or three runs each are too few */
            ck_assert_int_eq(drag->setup[s].runs, s < RUNS_MAX % SETUPS_MAX ? 3 : 2);
            ck_assert(drag->setup[s].few);
            ck_assert_int_eq(drag->compare.difference[s].first_setup, 1);
        }
        ck_assert_double_eq_tol(drag_usual_speed(record, drag), 11.0, 1e-9);
        record->drag.indoors = false; /* on laps in wind that nobody told of nothing is said */
        drag_make(record, drag);
        ck_assert_int_eq(drag->withheld, courses[i] == COURSE_LAPS ? DRAG_WITHHELD_WIND_NOT_SAID
                                                                   : DRAG_WITHHELD_NOT);
        finish();
    }
}
END_TEST

/* All of a day's runs were steps of speed, and one run has all of the day's laps. */
START_TEST(as_many_steps_as_there_can_be)
{
    start(COURSE_LAPS);
    drag_day_add_run(record, 0)->steps = true;
    for (int l = 0; l < LEGS_MAX; l++) {
        add_leg(6.0 + l % 7, 0.0, .25, 1000.0, false)->sums.work_j += l % 2 == 0 ? 100.0 : -100.0;
    }
    drag_make(record, drag);
    ck_assert_int_eq(drag->rolling.state, DRAG_STEPS_GOOD);
    ck_assert_int_eq(drag->rolling.steps, ROLLING_STEPS_MAX);
    ck_assert_int_eq(drag->run[0].legs_used, LEGS_MAX);
    ck_assert_int_eq(drag->run[0].mean.count, DRAG_RUN_VALUES_MAX);
    for (int l = 0; l < LEGS_MAX; l++) {
        record->leg[l].left_out = l < LEGS_MAX - 7;
    }
    drag_make(record, drag);
    ck_assert_int_eq(drag->rolling.steps, 7);
    record->leg[LEGS_MAX - 1].run = 1; /* of a run that was taken back */
    record->leg_count = LEGS_MAX - 1;
    drag_make(record, drag);
    ck_assert_int_eq(drag->rolling.steps, 6);
    finish();
}
END_TEST

/* Laps of 1000 m at 10 m/s and of 500 m at 12.5 m/s: over the length that was ridden 10.833 m/s,
 * its square 118.75; a lap is 750 m long. Pairs meet a wind each; the mean of them is the run's. */
START_TEST(means_are_over_the_length)
{
    start(COURSE_LAPS);
    drag_day_add_run(record, 0);
    add_leg(10.0, 0.0, .25, 1000.0, false);
    add_leg(12.5, 0.0, .28, 500.0, false);
    add_leg(20.0, 0.0, .40, 500.0, false)->left_out = true;
    drag_make(record, drag);
    const struct drag_run_result *run = &drag->run[0];
    ck_assert_int_eq(run->legs, 3);
    ck_assert_int_eq(run->legs_used, 2);
    ck_assert_double_eq_tol(run->speed_m_per_s, 32.5 / 3.0, 1e-9);
    ck_assert_double_eq_tol(run->speed_squared, (2.0 * 100.0 + 156.25) / 3.0, 1e-9);
    ck_assert_double_eq_tol(run->leg_length_m, 750.0, 1e-9);
    ck_assert_double_eq_tol(run->mean.drag_m2, .26, 1e-9);
    ck_assert(isnan(run->wind_m_per_s));
    ck_assert_double_eq_tol(drag->lap_length_m, 750.0, 1e-9);
    finish();
    start(COURSE_OUT_AND_BACK);
    drag_day_add_run(record, 0);
    add_leg(10.0, .5, .25, 1000.0, false);
    add_leg(11.6, -.5, .25, 1000.0, true);
    add_leg(10.0, .9, .28, 500.0, false);
    add_leg(11.6, -.9, .28, 500.0, true);
    drag_make(record, drag);
    ck_assert_double_eq_tol(drag->run[0].wind_m_per_s, .7, 1e-6);
    ck_assert_double_eq_tol(drag->run[0].leg_length_m, 750.0, 1e-9);
    ck_assert_double_eq_tol(drag->run[0].mean.drag_m2, .26, 1e-6);
    finish();
}
END_TEST

/* A way back may stand before its way out, and be the first of all. Of no mass nothing is worked.
 */
START_TEST(a_way_back_that_stands_first)
{
    start(COURSE_OUT_AND_BACK);
    drag_day_add_run(record, 0);
    add_leg(11.6, -.8, .25, 1000.0, true);
    add_leg(10.2, .8, .25, 1000.0, false)->pair = record->leg[0].pair;
    drag_make(record, drag);
    for (int l = 0; l < 2; l++) {
        ck_assert_int_eq(drag->leg[l].state, DRAG_LEG_USED);
        ck_assert_double_eq_tol(drag->leg[l].drag_m2, .25, 1e-9);
        ck_assert_double_eq_tol(drag->leg[l].wind_m_per_s, l == 0 ? -.8 : .8, 1e-9);
    }
    ck_assert_int_eq(drag->run[0].mean.count, 1);
    ck_assert_double_eq(drag->run[0].mean.length_m, 2000.0);
    ck_assert_double_eq_tol(drag->run[0].wind_m_per_s, .8, 1e-9);
    ck_assert_int_eq(drag_way_back(record, 1), 0);
    record->leg[2] = record->leg[0]; /* a way back that was taken back is none */
    record->leg[0].back = false;
    ck_assert_int_eq(drag_way_back(record, 1), -1);
    record->leg[0].back = true;
    record->leg[0].pair = record->leg[1].pair = 0; /* of no pair */
    ck_assert_int_eq(drag_way_back(record, 1), -1);
    record->drag.mass_kg = 0.0;
    drag_make(record, drag);
    ck_assert_int_eq(drag->lack, DRAG_LACKS_MASS);
    ck_assert_int_eq(drag->leg[0].state, DRAG_LEG_NOT_WORKED);
    finish();
}
END_TEST

/* What was measured at the run's own minute counts as before it; of two at one time, on either
 * side, one stands. */
START_TEST(air_at_the_very_minute)
{
    double at = 0.0, expected = 0.0;
    start(COURSE_LAPS);
    drag_day_add_run(record, 0)->at_min = 600;
    record->air_count = 4;
    for (int a = 0; a < 4; a++) {
        record->air[a] = record->air[0];
        record->air[a].temperature_c = 10.0 + 5.0 * a;
        record->air[a].at_min = a < 2 ? 600 : 660;
    }
    ck_assert_int_eq(air_density(&(struct air){15, 101325, .5}, &expected), MEASURE_OK);
    ck_assert(drag_density_at(record, &record->run[0], &at));
    ck_assert_double_eq_tol(at, expected, 1e-12); /* before: the later one that was read */
    record->run[0].at_min = 590;
    ck_assert_int_eq(air_density(&(struct air){10, 101325, .5}, &expected), MEASURE_OK);
    ck_assert(drag_density_at(record, &record->run[0], &at));
    ck_assert_double_eq_tol(at, expected, 1e-12); /* behind: the first */
    finish();
}
END_TEST

/* Of a run left out of which a number is known, and of one that has none. */
START_TEST(runs_without_a_number)
{
    start(COURSE_LAPS);
    drag_day_add_run(record, 0);
    drag_make(record, drag);
    ck_assert_int_eq(drag->run[0].state, DRAG_RUN_NO_LEGS);
    ck_assert_int_eq(drag->run[0].mean.count, 0);
    ck_assert(isnan(drag->run[0].speed_m_per_s) && isnan(drag->run[0].leg_length_m));
    ck_assert(isnan(drag->lap_length_m) && !drag->lap_differs);
    ck_assert_int_eq(drag->setup[0].runs, 0);
    ck_assert_int_eq(drag->setup[0].left_out, 1);
    ck_assert(!drag->setup[0].few && isnan(drag->setup[0].drag_m2));
    record->setup_count = 0; /* no setup at all */
    record->run_count = 0;
    drag_make(record, drag);
    ck_assert_int_eq(drag->compare.setup_count, 0);
    ck_assert_int_eq(drag->compare.status, MEASURE_TOO_FEW);
    finish();
}
END_TEST

/* Heights and drag of as many setups as there can be. */
START_TEST(heights_and_drag_of_all_setups)
{
    struct analysis *analysis = analysis_create();
    struct drag_height *made = calloc(1, sizeof *made);
    start(COURSE_LAPS);
    ck_assert(analysis != NULL && made != NULL);
    record->setup_count = SETUPS_MAX;
    analysis->channel_count = 1;
    analysis->body[0] = true;
    analysis->free_heights[0].setup_count = analysis->drag.compare.setup_count = SETUPS_MAX;
    for (int s = 0; s < SETUPS_MAX; s++) {
        record->setup[s].number = s + 1;
        for (int side = 0; side < 2; side++) {
            struct comparison *of =
                side == 0 ? &analysis->free_heights[0] : &analysis->drag.compare;
            double value = side == 0 ? 900.0 - s : .25 - .001 * s + .0001 * (s % 2);
            of->difference[s] = (struct setup_difference){
                .has_interval = true, .difference = -s, .low = -s - 1.0, .high = -s + 1.0};
            of->setup[s] = (struct setup_estimate){.holds = 4,
                                                   .tied = true,
                                                   .has_interval = true,
                                                   .mean = value,
                                                   .standard_error = side == 0 ? 1.0 : .001};
        }
    }
    drag_height_make(record, analysis, 0, made);
    ck_assert_int_eq(made->count, SETUPS_MAX);
    ck_assert_int_eq(made->slope_setups, SETUPS_MAX);
    ck_assert(made->has_slope);
    ck_assert_double_eq_tol(made->line.slope, .001, .0001);
    free(made);
    analysis_destroy(analysis);
    finish();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("drag limits");
    TCase *tests = tcase_create("drag limits");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, a_day_that_is_full);
    tcase_add_test(tests, as_many_steps_as_there_can_be);
    tcase_add_test(tests, means_are_over_the_length);
    tcase_add_test(tests, a_way_back_that_stands_first);
    tcase_add_test(tests, air_at_the_very_minute);
    tcase_add_test(tests, runs_without_a_number);
    tcase_add_test(tests, heights_and_drag_of_all_setups);
    return test_main(suite);
}
