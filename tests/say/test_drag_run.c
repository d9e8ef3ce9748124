/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Single runs, and what the wheel has against the course, in words. */
#include "say/drag_run.h"

#include "base/numbers.h"
#include "say/drag.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static struct session_record *record;
static struct drag_analysis *drag;
static char text[SAY_SIZE];

static void start(enum course_kind course)
{
    record = malloc(sizeof *record);
    drag = calloc(1, sizeof *drag);
    ck_assert(record != NULL && drag != NULL);
    session_record_clear(record);
    record->drag.course = course;
    record->setup_count = 2;
    record->setup[0].number = 1;
    record->setup[1].number = 2;
    record->run_count = 1;
    run_record_clear(&record->run[0]);
    record->run[0].number = 3;
    record->leg_count = 2;
    for (int l = 0; l < 2; l++) {
        leg_record_clear(&record->leg[l]);
        record->leg[l].run = 0;
        record->leg[l].number = l + 1;
        record->leg[l].back = l == 1;
        record->leg[l].pair = 1;
        record->leg[l].sums.length_m = l == 0 ? 951.6 : 912.7;
    }
}

static void finish(void)
{
    free(record);
    free(drag);
}

START_TEST(a_run_has_its_own_interval_or_none)
{
    struct drag_run_result run = {.mean = {.count = 0}};
    say_drag_run_value(text, sizeof text, &run);
    ck_assert_str_eq(text, "-");
    run.mean = (struct drag_run_mean){.drag_m2 = .24506, .count = 6};
    say_drag_run_value(text, sizeof text, &run);
    ck_assert_str_eq(text, "0.2451");
    run.mean = (struct drag_run_mean){
        .drag_m2 = .24506, .count = 8, .has_interval = true, .half_width_m2 = .00317};
    say_drag_run_value(text, sizeof text, &run);
    ck_assert_str_eq(text, "0.2451 \u00B10.0032");
    say_drag_run_interval(text, sizeof text);
    ck_assert_str_eq(text,
                     "\u00B1: 95 % of a run by itself, from 8 laps or pairs on; fewer are too "
                     "short for an uncertainty.");
}
END_TEST

START_TEST(how_many_laps_or_ways_count)
{
    static const struct {
        int used, of;
        const char *laps, *ways;
    } cases[] = {{1, 1, "1 lap", "1 way"},
                 {8, 8, "8 laps", "8 ways"},
                 {7, 8, "7 of 8 laps", "7 of 8 ways"},
                 {0, 1, "0 of 1 laps", "0 of 1 ways"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const struct drag_run_result run = {.legs_used = cases[i].used, .legs = cases[i].of};
        start(COURSE_LAPS);
        say_drag_run_legs(text, sizeof text, record, &run);
        ck_assert_str_eq(text, cases[i].laps);
        record->drag.course = COURSE_OUT_AND_BACK;
        say_drag_run_legs(text, sizeof text, record, &run);
        ck_assert_str_eq(text, cases[i].ways);
        finish();
    }
}
END_TEST

START_TEST(what_is_odd_about_a_run)
{
    start(COURSE_LAPS);
    say_drag_run_marks(text, sizeof text, record, drag, 0);
    ck_assert_str_eq(text, "");
    drag->run[0].other_length = true;
    drag->run[0].longer = -.0136;
    say_drag_run_marks(text, sizeof text, record, drag, 0);
    ck_assert_str_eq(text, "its laps are 1.4 % shorter by the wheel than in the other runs");
    drag->run[0].gusty = true;
    drag->run[0].longer = .0136;
    record->drag.course = COURSE_OUT_AND_BACK;
    drag->run[0].state = DRAG_RUN_NO_LEGS;
    say_drag_run_marks(text, sizeof text, record, drag, 0);
    ck_assert_str_eq(text,
                     "gusty: repeat; its ways are 1.4 % longer by the wheel than in the other "
                     "runs; no lap or pair of it can be used");
    finish();
}
END_TEST

START_TEST(what_a_lap_met)
{
    start(COURSE_OUT_AND_BACK);
    say_drag_met(text, sizeof text, record, drag, 0);
    ck_assert_str_eq(text, "");
    for (int l = 0; l < 2; l++) {
        record->leg[l].piece_m = 25.0;
        record->leg[l].sums.length_m = 900.0;
        drag->leg[l].leaves = true;
        drag->leg[l].leaves_piece = 18;
        drag->leg[l].leaves_n = l == 0 ? 4.6 : -3.2;
    }
    say_drag_met(text, sizeof text, record, drag, 0);
    ck_assert_str_eq(text,
                     "3.1 counts: 5 N more than is explained at 450 to 500 m of the course. A "
                     "gust, a brake, somebody passing?");
    say_drag_met(text, sizeof text, record, drag, 1);
    ck_assert_str_eq(text,
                     "3.2 counts: 3 N less than is explained at 400 to 450 m of the course. A "
                     "gust, a brake, somebody passing?");
    finish();
}
END_TEST

START_TEST(what_the_wheel_has_otherwise)
{
    start(COURSE_OUT_AND_BACK);
    say_drag_uneven(text, sizeof text, record, drag, 0);
    ck_assert_str_eq(text, "");
    drag->leg[0].uneven = drag->leg[1].uneven = true;
    say_drag_uneven(text, sizeof text, record, drag, 0);
    ck_assert_str_eq(text, "3.1 and 3.2 count, and are not the same stretch: 952 m out, 913 m back "
                           "by the wheel. Is a mark misplaced?");
    say_drag_uneven(text, sizeof text, record, drag, 1); /* once for both */
    ck_assert_str_eq(text, "");
    struct leg_record first = record->leg[0];
    record->leg[0] = record->leg[1]; /* the way back may stand before the way out */
    record->leg[1] = first;
    say_drag_uneven(text, sizeof text, record, drag, 1);
    ck_assert_str_eq(text, "3.1 and 3.2 count, and are not the same stretch: 952 m out, 913 m back "
                           "by the wheel. Is a mark misplaced?");
    record->leg[1].pair = 7; /* without a way back */
    say_drag_uneven(text, sizeof text, record, drag, 1);
    ck_assert_str_eq(text, "");
    record->leg[1] = record->leg[0];
    record->leg[0] = first;
    say_drag_lap_length(text, sizeof text, record, drag);
    ck_assert_str_eq(text, "");
    drag->lap_differs = true;
    drag->lap_length_m = 253.14;
    record->drag.course_length_m = 250;
    say_drag_lap_length(text, sizeof text, record, drag);
    ck_assert_str_eq(text, "By the wheel a lap is 253.1 m, and it was said to be 250.0 m: is the "
                           "wheel's size right? 1 % of it is 3 to 4 % of how high drag is.");
    say_drag_other_wheel(text, sizeof text, record, drag, 1);
    ck_assert_str_eq(text, "");
    drag->setup[1].other_wheel = true;
    drag->setup[1].longer = .0102;
    say_drag_other_wheel(text, sizeof text, record, drag, 1);
    ck_assert_str_eq(text,
                     "Setup 2's ways are 1.0 % longer by the wheel than setup 1's, over one "
                     "course: is the size of each wheel right? 1 % of it is 3 to 4 % of drag: "
                     "the interval is wider.");
    finish();
}
END_TEST

START_TEST(why_a_run_or_a_leg_does_not_count)
{
    static const struct {
        enum drag_run_state state;
        const char *words;
    } runs[] = {
        {DRAG_RUN_COUNTS, ""},
        {DRAG_RUN_REJECTED, "left out"},
        {DRAG_RUN_NO_LEGS, "no lap or pair of it can be used"},
        {DRAG_RUN_SATELLITES, "speed from satellites: not good enough for a verdict"},
        {DRAG_RUN_LACKS, "not worked out yet"},
        {DRAG_RUN_STEPS, "steps of speed, for rolling resistance"},
    };
    static const struct {
        enum drag_leg_state state;
        const char *words;
    } legs[] = {
        {DRAG_LEG_USED, ""},
        {DRAG_LEG_LEFT_OUT, "left out"},
        {DRAG_LEG_ALONE, "the other way is missing"},
        {DRAG_LEG_NO_FORCE, "nothing is left for the air: is the power right?"},
        {DRAG_LEG_WINDY, "too windy"},
        {DRAG_LEG_NO_RIDER, "no rider's drag area: are speed, power, mass and air right?"},
        {DRAG_LEG_NOT_WORKED, "not worked out yet"},
    };
    ck_assert_uint_eq(sizeof runs / sizeof runs[0], DRAG_RUN_STATES);
    ck_assert_uint_eq(sizeof legs / sizeof legs[0], DRAG_LEG_STATES);
    for (size_t i = 0; i < DRAG_RUN_STATES; i++) {
        ck_assert_str_eq(say_drag_run_state(runs[i].state), runs[i].words);
    }
    for (size_t i = 0; i < DRAG_LEG_STATES; i++) {
        ck_assert_str_eq(say_drag_leg_state(legs[i].state), legs[i].words);
    }
}
END_TEST

/* All four, the road's before the race's: where they are to be, how to see, when to stop. */
START_TEST(each_caution_stands_in_its_place)
{
    static const char *const parts[SAY_DRAG_CAUTIONS] = {
        "Closed track, or a quiet road by daylight with permission; a second person",
        "No run in a posture in which the rider does not see ahead.",
        "Stop when the wind grows, on traffic, on pain.",
        "the governing body's current text decides",
    };
    for (int i = 0; i < SAY_DRAG_CAUTIONS; i++) {
        ck_assert_ptr_nonnull(strstr(say_drag_cautions[i], parts[i]));
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("drag run");
    TCase *tests = tcase_create("drag run");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, why_a_run_or_a_leg_does_not_count);
    tcase_add_test(tests, each_caution_stands_in_its_place);
    tcase_add_test(tests, a_run_has_its_own_interval_or_none);
    tcase_add_test(tests, how_many_laps_or_ways_count);
    tcase_add_test(tests, what_is_odd_about_a_run);
    tcase_add_test(tests, what_a_lap_met);
    tcase_add_test(tests, what_the_wheel_has_otherwise);
    return test_main(suite);
}
