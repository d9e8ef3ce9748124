/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* One course has one length: what a wheel has otherwise is seen. Legs are made from the model. */
#include "analysis/drag.h"
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

/* A wheel that makes of length and speed so many times as much. */
static void by_wheel(struct drag_leg *sums, double times)
{
    sums->length_m *= times;
    sums->speed_m_per_s *= times;
    sums->speed_squared *= times * times;
    sums->in_m_per_s *= times;
    sums->out_m_per_s *= times;
}

/* Ridden at 11 m/s over length_m, by such a wheel. */
static void add_leg(double length_m, double times, double drag_m2, bool back)
{
    const struct drag_rider rider = drag_usual_rider(85.0);
    const struct drag_state state = {.speed_m_per_s = 11.0, .drag_m2 = drag_m2};
    by_wheel(&drag_day_add_leg(record, state, &rider, length_m, back)->sums, times);
}

/* Eight runs of the design, A B B A A B B A, by a wheel of each. */
static void add_eight(double times_of_second)
{
    drag_day_eight(record);
    for (int l = 0; l < record->leg_count; l++) {
        bool second = record->run[record->leg[l].run].setup == 1;
        by_wheel(&record->leg[l].sums, second ? times_of_second : 1.0);
    }
}

START_TEST(another_wheel_widens_the_interval)
{
    start(COURSE_LAPS);
    add_eight(1.0049);
    drag_make(record, drag);
    double narrow = drag->compare.difference[1].standard_error;
    ck_assert(!drag->setup[1].other_wheel && !drag->setup[0].other_wheel);
    ck_assert_int_eq(drag->compare.difference[1].verdict, VERDICT_LOWER);
    finish();
    start(COURSE_LAPS);
    add_eight(1.01); /* 1 % of speed is 3.2 % of drag at 11 m/s: worked apart as the level's part */
    drag_make(record, drag);
    const struct drag_setup_result *setup = &drag->setup[1];
    ck_assert(setup->other_wheel && !drag->setup[0].other_wheel);
    ck_assert_double_eq_tol(setup->longer, .01, 1e-9);
    /* force of air .5 * 1.199314 * .25105 * 121 = 18.2159 N, of rolling 3.3343, of bearings .1867:
     * share 1.193288, times .01 of .25105 with 2 more for the square */
    ck_assert_double_eq_tol(setup->wheel_m2, (1.193288 + 2.0) * .01 * .25105, 2e-6);
    ck_assert_double_eq_tol(drag->compare.difference[1].standard_error,
                            hypot(narrow, setup->wheel_m2), 2e-5);
    /* which would have been called lower, by the wheel's percent on top of the true .0055 */
    ck_assert_double_lt(drag->compare.difference[1].difference, -.012);
    ck_assert_int_eq(drag->compare.difference[1].verdict, VERDICT_CANNOT_TELL);
    finish();
    start(COURSE_LAPS);
    add_eight(.9945);
    drag_make(record, drag);
    ck_assert(drag->setup[1].other_wheel);
    ck_assert_double_eq_tol(drag->setup[1].longer, -.0055, 1e-9);
    finish();
}
END_TEST

/* By marks that are a second or two off a length scatters from run to run: SD 2.5 m of 250 (by
 * hand: six degrees of freedom), so 3 standard errors of a difference of two means of four are 2.1
 * %. */
START_TEST(lengths_that_scatter_are_no_other_wheel)
{
    static const double off[] = {1.0087, .9913};
    static const struct {
        double times;
        bool other;
    } cases[] = {{1.020, false}, {1.023, true}};
    for (size_t i = 0; i < 2; i++) {
        start(COURSE_LAPS);
        record->setup_count = 4; /* two of them without a run */
        for (int r = 0; r < 8; r++) {
            int setup = r % 2;
            drag_day_add_run(record, setup);
            add_leg(250.0, off[r / 2 % 2] * (setup == 1 ? cases[i].times : 1.0), .25, false);
        }
        drag_make(record, drag);
        ck_assert_msg(drag->setup[1].other_wheel == cases[i].other, "%g", cases[i].times);
        finish();
    }
}
END_TEST

START_TEST(a_run_by_another_wheel_is_marked)
{
    static const double times[] = {1.0, 1.0095, 1.0105, 1.0, 1.0};
    start(COURSE_LAPS);
    for (int i = 0; i < 5; i++) {
        drag_day_add_run(record, i % 2);
        add_leg(250.0, times[i], .25, false);
    }
    drag_make(record, drag);
    for (int i = 0; i < 5; i++) {
        ck_assert_int_eq(drag->run[i].other_length, i == 2);
        ck_assert_double_eq_tol(drag->run[i].longer, times[i] - 1.0, 1e-9);
        ck_assert_int_eq(drag->run[i].state, DRAG_RUN_COUNTS); /* it counts all the same */
    }
    /* one that does not count has no say in what is usual */
    record->run[2].rejected = true;
    drag_make(record, drag);
    ck_assert_double_eq_tol(drag->lap_length_m, 250.0 * (3.0 + 1.0095) / 4.0, 1e-9);
    finish();
}
END_TEST

START_TEST(laps_are_held_against_the_length_that_was_said)
{
    static const struct {
        double said_m;
        bool differs;
    } cases[] = {{NAN, false}, {250.0, false}, {251.2, false}, {251.3, true}, {248.7, true}};
    start(COURSE_LAPS);
    drag_day_add_run(record, 0);
    add_leg(250.0, 1.0, .25, false);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        record->drag.course_length_m = cases[i].said_m;
        drag_make(record, drag);
        ck_assert_msg(drag->lap_differs == cases[i].differs, "%g m", cases[i].said_m);
    }
    finish();
    /* one way is ridden from mark to mark, not from turn to turn */
    start(COURSE_OUT_AND_BACK);
    record->drag.course_length_m = 1000.0;
    drag_day_add_run(record, 0);
    add_leg(900.0, 1.0, .25, false);
    add_leg(900.0, 1.0, .25, true);
    drag_make(record, drag);
    ck_assert(!drag->lap_differs && isnan(drag->lap_length_m));
    finish();
}
END_TEST

START_TEST(ways_of_two_lengths_are_told)
{
    start(COURSE_OUT_AND_BACK);
    drag_day_add_run(record, 0);
    add_leg(913.0, 1.0, .25, false);
    add_leg(886.5, 1.0, .25, true); /* 2.94 % of their mean */
    add_leg(914.0, 1.0, .25, false);
    add_leg(886.0, 1.0, .25, true); /* 3.11 % */
    drag_make(record, drag);
    ck_assert(!drag->leg[0].uneven && !drag->leg[1].uneven);
    ck_assert(drag->leg[2].uneven && drag->leg[3].uneven);
    ck_assert_int_eq(drag->leg[2].state, DRAG_LEG_USED);
    finish();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("drag lengths");
    TCase *tests = tcase_create("drag lengths");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, another_wheel_widens_the_interval);
    tcase_add_test(tests, lengths_that_scatter_are_no_other_wheel);
    tcase_add_test(tests, a_run_by_another_wheel_is_marked);
    tcase_add_test(tests, laps_are_held_against_the_length_that_was_said);
    tcase_add_test(tests, ways_of_two_lengths_are_told);
    return test_main(suite);
}
