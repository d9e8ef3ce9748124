/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A day of runs from its records: what counts, what is left out, what is compared. Legs are made
 * from the model with a drag area and a wind that the test knows. */
#include "analysis/drag.h"
#include "analysis/drag_course.h"
#include "measure/air.h"
#include "measure/rules.h"
#include "support/drag_day.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

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

static struct leg_record *add_leg(double speed, double wind, double drag_m2, bool back)
{
    const struct drag_rider rider = drag_usual_rider(85.0);
    const struct drag_state state = {
        .speed_m_per_s = speed, .wind_m_per_s = wind, .drag_m2 = drag_m2};
    return drag_day_add_leg(record, state, &rider, 1000.0, back);
}

/* The design's eight runs, A B B A A B B A; least squares with the order as a covariate, computed
 * apart: A .251050, B-A -.0055000 (-.00781838 to -.00318162), SD .00127546. */
static void add_eight(void)
{
    drag_day_eight(record);
}

START_TEST(a_day_of_laps_is_compared)
{
    start(COURSE_LAPS);
    add_eight();
    drag_make(record, drag);
    const struct setup_difference *d = &drag->compare.difference[1];
    ck_assert_int_eq(drag->lack, DRAG_LACKS_NOTHING);
    ck_assert_double_eq_tol(drag->run[0].mean.drag_m2, .2521, 1e-12);
    ck_assert_double_eq_tol(drag->compare.setup[0].mean, .251050, 5e-7);
    ck_assert_double_eq_tol(d->difference, -.0055000, 5e-8);
    ck_assert_double_eq_tol(d->low, -.00781838, 5e-9);
    ck_assert_double_eq_tol(d->high, -.00318162, 5e-9);
    ck_assert_double_eq_tol(drag->compare.repeatability, .00127546, 5e-9);
    ck_assert_double_eq_tol(drag_usual_m2(drag), .248300, 5e-7); /* .251050 and .245550 */
    drag->compare.setup[1].holds = 0; /* one without a run has no say, whatever stands there */
    ck_assert_double_eq_tol(drag_usual_m2(drag), .251050, 5e-7);
    drag->compare.setup[0].holds = 0;
    ck_assert_double_nan(drag_usual_m2(drag));
    ck_assert_int_eq(d->verdict, VERDICT_LOWER);
    ck_assert(!drag->setup[1].unlike);
    /* the level is known worse: 2.5 % (at 11 m/s) and what the runs leave, in quadrature */
    ck_assert_double_eq_tol(drag->setup[0].level_half_width_m2, .0125, .0008);
    finish();
}
END_TEST

START_TEST(three_runs_are_too_few)
{
    start(COURSE_LAPS);
    add_eight();
    record->run[7].rejected = true;
    drag_make(record, drag);
    ck_assert(drag->setup[0].few && !drag->setup[1].few);
    ck_assert_int_eq(drag->setup[0].runs, 3);
    ck_assert_int_eq(drag->setup[0].left_out, 1);
    ck_assert_int_eq(drag->run[7].state, DRAG_RUN_REJECTED);
    ck_assert_int_eq(drag->compare.setup[0].holds, 0);
    ck_assert_int_eq(drag->compare.difference[1].verdict, VERDICT_NOT_COMPARABLE);
    ck_assert(!drag->compare.difference[1].has_interval);
    finish();
}
END_TEST

START_TEST(satellites_are_not_good_enough)
{
    start(COURSE_LAPS);
    add_eight();
    record->run[0].speed_from = RIDE_SOURCE_SATELLITES;
    drag_make(record, drag);
    ck_assert_int_eq(drag->run[0].state, DRAG_RUN_SATELLITES);
    ck_assert_double_eq_tol(drag->run[0].mean.drag_m2, .2521, 1e-12); /* shown, not compared */
    ck_assert(drag->setup[0].few);
    finish();
}
END_TEST

START_TEST(wind_on_laps_withholds_the_verdict)
{
    start(COURSE_LAPS);
    record->drag.indoors = false;
    add_eight();
    drag_make(record, drag);
    ck_assert_int_eq(drag->withheld, DRAG_WITHHELD_WIND_NOT_SAID);
    ck_assert_int_eq(drag->compare.difference[1].verdict, VERDICT_NOT_COMPARABLE);
    record->air[0].wind_m_per_s = 1.0;
    drag_make(record, drag);
    ck_assert_int_eq(drag->withheld, DRAG_WITHHELD_NOT);
    ck_assert_int_eq(drag->compare.difference[1].verdict, VERDICT_LOWER);
    record->air[0].wind_m_per_s = 1.1;
    drag_make(record, drag);
    ck_assert_int_eq(drag->withheld, DRAG_WITHHELD_WIND);
    ck_assert(!drag->compare.difference[1].has_interval);
    finish();
}
END_TEST

START_TEST(what_is_lacking_is_found_in_order)
{
    start(COURSE_LAPS);
    add_eight();
    record->air_count = 0;
    drag_make(record, drag);
    ck_assert_int_eq(drag->lack, DRAG_LACKS_AIR);
    ck_assert_int_eq(drag->run[0].state, DRAG_RUN_LACKS);
    ck_assert_int_eq(drag->leg[0].state, DRAG_LEG_NOT_WORKED);
    record->drag.mass_kg = NAN;
    drag_make(record, drag);
    ck_assert_int_eq(drag->lack, DRAG_LACKS_MASS);
    record->drag.course = COURSE_NOT_SAID;
    drag_make(record, drag);
    ck_assert_int_eq(drag->lack, DRAG_LACKS_COURSE);
    ck_assert_int_eq(drag->compare.status, MEASURE_TOO_FEW);
    finish();
}
END_TEST

START_TEST(pairs_solve_for_the_wind)
{
    start(COURSE_OUT_AND_BACK);
    drag_day_add_run(record, 0);
    add_leg(10.2, .8, .25, false);
    add_leg(11.6, -.8, .25, true);
    add_leg(10.4, .5, .26, false);
    add_leg(11.4, -.5, .26, true);
    drag_make(record, drag);
    const struct drag_run_result *run = &drag->run[0];
    ck_assert_int_eq(run->state, DRAG_RUN_COUNTS);
    ck_assert_int_eq(run->mean.count, 2);
    ck_assert_double_eq_tol(run->mean.drag_m2, .255, 1e-9);
    ck_assert_double_eq_tol(run->wind_m_per_s, .65, 1e-9);
    ck_assert_double_eq_tol(drag->leg[0].drag_m2, .25, 1e-9);
    ck_assert_double_eq_tol(drag->leg[1].wind_m_per_s, -.8, 1e-9);
    ck_assert(!run->gusty);
    /* a leg that is left out takes its other way with it */
    record->leg[1].left_out = true;
    drag_make(record, drag);
    ck_assert_int_eq(drag->leg[0].state, DRAG_LEG_ALONE);
    ck_assert_int_eq(drag->leg[1].state, DRAG_LEG_LEFT_OUT);
    ck_assert_double_eq_tol(drag->run[0].mean.drag_m2, .26, 1e-9);
    ck_assert_int_eq(drag->run[0].legs_used, 2);
    record->leg[2].left_out = true;
    drag_make(record, drag);
    ck_assert_int_eq(drag->run[0].state, DRAG_RUN_NO_LEGS);
    finish();
}
END_TEST

/* 2 m on 1000 m, uphill on the way out: known, it is taken out to the last digit; not known, most
 * of it is taken for wind. Tyres on a slope press by its cosine,
 * which is left out: 2e-6 of them. */
START_TEST(a_known_rise_is_taken_out)
{
    struct drag_rider rider = drag_usual_rider(85.0);
    start(COURSE_OUT_AND_BACK);
    drag_day_add_run(record, 0);
    for (int way = 0; way < 2; way++) {
        double speed = way == 0 ? 9.6 : 11.9;
        const struct drag_state state = {.speed_m_per_s = speed,
                                         .wind_m_per_s = way == 0 ? .2 : -.2,
                                         .slope = way == 0 ? .002 : -.002,
                                         .drag_m2 = .25};
        struct leg_record *leg = drag_day_add_leg(record, state, &rider, 1000.0, way == 1);
        leg->piece_m = 25.0;
        leg->piece_count = 1;
        leg->piece[0] = (struct leg_piece){leg->sums.work_j / 40.0, speed, speed};
    }
    record->drag.course_length_m = 1000.0;
    record->drag.rise_m = 2.0;
    drag_make(record, drag);
    ck_assert_double_eq_tol(drag->leg[0].drag_m2, .25, 1e-6);
    ck_assert_double_eq_tol(drag->leg[0].wind_m_per_s, .2, 1e-4);
    ck_assert_double_eq_tol(drag_residual_of(record, drag, 0, 0), 0.0, 1e-3);
    ck_assert_double_eq_tol(drag_residual_of(record, drag, 1, 0), 0.0, 1e-3);
    ck_assert_double_eq(drag_grade_of(record, 0), .002);
    record->drag.course_length_m = NAN; /* a rise over no length that was said is no slope */
    ck_assert_double_eq(drag_grade_of(record, 0), 0.0);
    record->drag.course_length_m = 1000.0;
    record->drag.course_length_m = 2000.0; /* half as steep is no longer right */
    drag_make(record, drag);
    ck_assert(fabs(drag->leg[0].wind_m_per_s - .2) > .1);
    record->drag.rise_m = NAN;
    drag_make(record, drag);
    ck_assert_double_eq_tol(drag->leg[0].wind_m_per_s, .7199, 5e-5); /* both computed apart */
    ck_assert_double_eq_tol(drag->leg[0].drag_m2, .251550, 5e-7);
    finish();
}
END_TEST

START_TEST(wind_and_gusts_of_pairs)
{
    start(COURSE_OUT_AND_BACK);
    drag_day_add_run(record, 0);
    add_leg(10.0, 1.9, .25, false);
    add_leg(11.6, -1.9, .25, true);
    add_leg(10.0, 1.15, .25, false); /* .75 further off than .7 */
    add_leg(11.6, -1.15, .25, true);
    add_leg(10.0, 2.1, .25, false);
    add_leg(11.6, -2.1, .25, true);
    drag_make(record, drag);
    ck_assert(!drag->leg[0].gusty && drag->leg[2].gusty && drag->run[0].gusty);
    ck_assert_int_eq(drag->leg[4].state, DRAG_LEG_WINDY);
    ck_assert_int_eq(drag->leg[5].state, DRAG_LEG_WINDY);
    ck_assert_int_eq(drag->run[0].mean.count, 2);
    finish();
}
END_TEST

/* A speed in the wrong unit: no rider's drag, and no number. */
START_TEST(what_no_rider_has_is_not_used)
{
    start(COURSE_OUT_AND_BACK);
    drag_day_add_run(record, 0);
    add_leg(10.0, .5, .099, false);
    add_leg(11.6, -.5, .099, true);
    add_leg(10.0, .5, 1.01, false);
    add_leg(11.6, -.5, 1.01, true);
    drag_make(record, drag);
    for (int l = 0; l < 4; l++) {
        ck_assert_int_eq(drag->leg[l].state, DRAG_LEG_NO_RIDER);
    }
    ck_assert_int_eq(drag->run[0].state, DRAG_RUN_NO_LEGS);
    finish();
    start(COURSE_LAPS);
    drag_day_add_run(record, 0);
    add_leg(10.0, 0, .099, false);
    add_leg(10.0, 0, .101, false);
    add_leg(10.0, 0, .99, false);
    drag_make(record, drag);
    ck_assert_int_eq(drag->leg[0].state, DRAG_LEG_NO_RIDER);
    ck_assert_int_eq(drag->leg[1].state, DRAG_LEG_USED);
    ck_assert_int_eq(drag->leg[2].state, DRAG_LEG_USED);
    ck_assert_double_eq(drag->matters_m2, .005); /* nobody said another */
    finish();
}
END_TEST

START_TEST(unlike_speeds_widen_the_interval)
{
    start(COURSE_LAPS);
    add_eight();
    drag_make(record, drag);
    const struct drag_rider rider = drag_usual_rider(85.0);
    double narrow = drag->compare.difference[1].standard_error;
    for (int r = 0; r < 8; r++) {
        if (record->run[r].setup == 1) {
            double value = drag->run[r].mean.drag_m2;
            int after = record->leg_count;
            record->run_count = r + 1; /* the leg once more, at 12 m/s */
            const struct drag_state state = {.speed_m_per_s = 12.0, .drag_m2 = value};
            record->leg[r].sums = drag_day_add_leg(record, state, &rider, 250.0, false)->sums;
            record->leg_count = after;
        }
        record->run_count = 8;
    }
    drag_make(record, drag);
    double u = drag_unlike_speeds_m2(&rider, DRAG_U_ROLLING, drag_day_density(), 121, 144);
    ck_assert(drag->setup[1].unlike && !drag->setup[0].unlike);
    ck_assert_double_eq_tol(drag->compare.difference[1].difference, -.0055, 1e-6);
    ck_assert_double_eq_tol(drag->compare.difference[1].standard_error, hypot(narrow, u), 1e-9);
    finish();
}
END_TEST

/* +1 K is -.37 %: between two readings the density is in between, by the order of the runs, and by
 * the clock where all have one. */
START_TEST(air_between_its_readings)
{
    start(COURSE_LAPS);
    record->air_count = 2;
    record->air[1] = record->air[0];
    record->air[1].temperature_c = 25.0;
    record->air[1].after_run = 4;
    for (int r = 0; r < 4; r++) {
        drag_day_add_run(record, 0);
    }
    double warm = 0.0, cold = drag_day_density(), at = 0.0;
    ck_assert_int_eq(air_density(&(struct air){25, 101325, .5}, &warm), MEASURE_OK);
    ck_assert(drag_density_at(record, &record->run[1], &at)); /* place 2 between .5 and 4.5 */
    ck_assert_double_eq_tol(at, cold + 1.5 / 4.0 * (warm - cold), 1e-12);
    /* not in their order: the later of the two before it, the earlier of the two behind it */
    record->air_count = 4;
    record->air[2] = record->air[0];
    record->air[3] = record->air[1];
    record->air[2].temperature_c = record->air[3].temperature_c = 15.0;
    record->air[2].after_run = -5;
    record->air[3].after_run = 9;
    ck_assert(drag_density_at(record, &record->run[1], &at));
    ck_assert_double_eq_tol(at, cold + 1.5 / 4.0 * (warm - cold), 1e-12);
    record->air_count = 2;
    record->air[0].at_min = 600;
    record->air[1].at_min = 660;
    record->run[1].at_min = 615;
    ck_assert(drag_density_at(record, &record->run[1], &at));
    ck_assert_double_eq_tol(at, cold + .25 * (warm - cold), 1e-12);
    record->run[1].at_min = 700;
    ck_assert(drag_density_at(record, &record->run[1], &at));
    ck_assert_double_eq_tol(at, warm, 1e-12);
    record->run[1].at_min = 500;
    ck_assert(drag_density_at(record, &record->run[1], &at));
    ck_assert_double_eq_tol(at, cold, 1e-12);
    record->air[1].humidity_percent = 500; /* none that can be used */
    record->air[0].pressure_hpa = NAN;
    ck_assert(!drag_density_at(record, &record->run[1], &at));
    finish();
}
END_TEST

/* Forty pieces whose readings scatter by half a newton up and down. */
static void scatter(struct leg_record *leg)
{
    leg->piece_m = 25.0;
    leg->piece_count = 40;
    for (int p = 0; p < 40; p++) {
        double scatter_j = (p % 3 - 1) * .5 * 25.0 / .976;
        leg->piece[p] = (struct leg_piece){leg->sums.work_j / 40.0 + scatter_j, 11.0, 11.0};
    }
}

START_TEST(residual_is_nought_where_the_model_holds)
{
    start(COURSE_LAPS);
    drag_day_add_run(record, 0);
    struct leg_record *leg = add_leg(11.0, 0.0, .25, false);
    leg->piece_m = 25.0;
    leg->piece_count = 40;
    for (int p = 0; p < 40; p++) {
        leg->piece[p] = (struct leg_piece){leg->sums.work_j / 40.0, 11.0, 11.0};
    }
    leg->piece[7].work_j += 100.0 / .976; /* 100 J more over 25 m: 4 N */
    drag_make(record, drag);
    ck_assert_double_eq_tol(drag_residual_of(record, drag, 0, 3), 0.0, 1e-9);
    ck_assert_double_eq_tol(drag_residual_of(record, drag, 0, 7), 4.0, 1e-9);
    scatter(leg); /* and at two pieces something was met */
    leg->piece[7].work_j += 150.0 / .976;
    leg->piece[8].work_j += 150.0 / .976;
    drag_make(record, drag);
    ck_assert(drag->leg[0].leaves);
    ck_assert_int_eq(drag->leg[0].leaves_piece, 7);
    ck_assert_double_eq_tol(drag->leg[0].leaves_n, 6.0 * 38.0 / 40.0, .3);
    ck_assert_double_eq(drag_piece_place_m(record, 0, 7), 175.0);
    leg->back = true; /* a way back is told by where it was */
    ck_assert_double_eq(drag_piece_place_m(record, 0, 7), 825.0);
    leg->back = false;
    leg->left_out = true; /* what is left out is looked at no more */
    drag_make(record, drag);
    ck_assert(!drag->leg[0].leaves);
    finish();
}
END_TEST

START_TEST(every_lap_of_a_long_run_is_looked_at)
{
    start(COURSE_LAPS);
    drag_day_add_run(record, 0);
    for (int lap = 0; lap < 70; lap++) {
        scatter(add_leg(11.0, 0.0, .25, false));
    }
    record->leg[69].piece[20].work_j += 150.0 / .976;
    record->leg[69].piece[21].work_j += 150.0 / .976;
    drag_make(record, drag);
    for (int lap = 0; lap < 70; lap++) {
        ck_assert_int_eq(drag->leg[lap].leaves, lap == 69);
    }
    ck_assert_int_eq(drag->leg[69].leaves_piece, 20);
    finish();
}
END_TEST

/* The mean of those that count. */
START_TEST(the_usual_speed_is_of_runs_that_count)
{
    struct session_record *day = calloc(1, sizeof *day);
    struct drag_analysis *found = calloc(1, sizeof *found);
    ck_assert(day != NULL && found != NULL);
    for (int r = 0; r < 4; r++) {
        found->run[r].state = r == 3 ? DRAG_RUN_REJECTED : DRAG_RUN_COUNTS;
        found->run[r].speed_m_per_s = 10.0 + r;
    }
    ck_assert_double_nan(drag_usual_speed(day, found));
    day->run_count = 4;
    ck_assert_double_eq_tol(drag_usual_speed(day, found), 11.0, 1e-12);
    free(found);
    free(day);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("drag day");
    TCase *tests = tcase_create("drag day");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, a_day_of_laps_is_compared);
    tcase_add_test(tests, three_runs_are_too_few);
    tcase_add_test(tests, satellites_are_not_good_enough);
    tcase_add_test(tests, wind_on_laps_withholds_the_verdict);
    tcase_add_test(tests, what_is_lacking_is_found_in_order);
    tcase_add_test(tests, pairs_solve_for_the_wind);
    tcase_add_test(tests, a_known_rise_is_taken_out);
    tcase_add_test(tests, wind_and_gusts_of_pairs);
    tcase_add_test(tests, what_no_rider_has_is_not_used);
    tcase_add_test(tests, unlike_speeds_widen_the_interval);
    tcase_add_test(tests, air_between_its_readings);
    tcase_add_test(tests, residual_is_nought_where_the_model_holds);
    tcase_add_test(tests, every_lap_of_a_long_run_is_looked_at);
    tcase_add_test(tests, the_usual_speed_is_of_runs_that_count);
    return test_main(suite);
}
