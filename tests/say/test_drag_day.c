/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What a day of runs was like, in words. */
#include "base/numbers.h"
#include "say/drag_day.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static struct session_record *record;
static struct drag_analysis *drag;

static void start(void)
{
    record = malloc(sizeof *record);
    drag = calloc(1, sizeof *drag);
    ck_assert(record != NULL && drag != NULL);
    session_record_clear(record);
    record->drag.mass_kg = 85.0;
    record->drag.course = COURSE_LAPS;
    record->run_count = 3;
    for (int r = 0; r < 3; r++) {
        run_record_clear(&record->run[r]);
        record->run[r].number = r + 1;
    }
    drag->rider.rolling = .004;
    drag->rolling = (struct drag_rolling){.run = -1, .u_rolling = .0003};
}

static void finish(void)
{
    free(record);
    free(drag);
}

static void says(const char *words)
{
    char text[SAY_SIZE];
    say_drag_steps(text, sizeof text, record, drag);
    ck_assert_str_eq(text, words);
}

static void says_of_day(const char *words)
{
    char text[SAY_SIZE];
    say_drag_day(text, sizeof text, record, drag);
    ck_assert_str_eq(text, words);
}

START_TEST(where_rolling_resistance_is_from)
{
    start();
    says("");
    says_of_day("Rider and bike 85 kg; laps; rolling resistance 0.004 (usual)");
    drag->rolling.from = DRAG_ROLLING_SAID;
    drag->rider.rolling = .0045;
    says_of_day("Rider and bike 85 kg; laps; rolling resistance 0.0045");
    drag->rolling.from = DRAG_ROLLING_STEPS;
    drag->rolling.run = 1;
    drag->rider.rolling = .00521;
    drag->rolling.u_rolling = .0002; /* 1.96 of it are .0004 */
    says_of_day("Rider and bike 85 kg; laps; rolling resistance 0.0052 (0.0048 to 0.0056), by the "
                "steps of run 2");
    record->drag.course = COURSE_OUT_AND_BACK;
    record->drag.course_length_m = 1000;
    record->drag.rise_m = 2.5;
    says_of_day("Rider and bike 85 kg; out and back over 1000 m rising by 2.5 m; rolling "
                "resistance 0.0052 (0.0048 to 0.0056), by the steps of run 2");
    finish();
}
END_TEST

START_TEST(what_steps_came_to)
{
    start();
    drag->rolling.run = 2;
    drag->rolling.steps = 7;
    drag->rolling.slowest_m_per_s = 6.0;
    drag->rolling.fastest_m_per_s = 12.0;
    /* t with 5 degrees of freedom is 2.5706: 5.14e-4 */
    drag->rolling.line = (struct rolling_line){
        .rolling = .0055, .rolling_u = .0002, .df = 5, .together = .0054, .together_u = .0002};
    drag->rolling.state = DRAG_STEPS_GOOD;
    says("Steps of run 3: 7 laps, 21.6 to 43.2 km/h: by themselves 0.0055 (0.0050 to 0.0060), with "
         "what tyres usually have 0.0054 (0.0050 to 0.0058)");
    drag->rolling.from = DRAG_ROLLING_SAID;
    record->drag.course = COURSE_OUT_AND_BACK;
    says("Steps of run 3: 7 pairs of ways, 21.6 to 43.2 km/h: by themselves 0.0055 (0.0050 to "
         "0.0060), with what tyres usually have 0.0054 (0.0050 to 0.0058); what was said is "
         "reckoned with");
    drag->rolling.state = DRAG_STEPS_FEW;
    drag->rolling.steps = 4;
    says("Steps of run 3: 4 pairs of ways can be used, 5 are needed for rolling resistance");
    drag->rolling.state = DRAG_STEPS_NARROW;
    says("Steps of run 3: from 21.6 to 43.2 km/h are too much alike for rolling resistance: ride "
         "from 22 to 43 km/h, the fastest at least 1.4 times as fast as the slowest");
    drag->rolling.state = DRAG_STEPS_WIND;
    says("Steps of run 3: no rolling resistance from laps in an unknown wind, or in too much");
    drag->rolling.state = DRAG_STEPS_NO_TYRE;
    drag->rolling.line.rolling = -.002;
    says("Steps of run 3: they come to -0.0020, which is no tyre's rolling resistance: are speed, "
         "power, mass and air right?");
    finish();
}
END_TEST

START_TEST(the_course_is_told_as_it_was_said)
{
    start();
    record->drag.course_length_m = 250.0;
    record->drag.indoors = true;
    record->drag.rise_m = 2.0; /* of laps there is none */
    says_of_day("Rider and bike 85 kg; laps of 250 m, indoors; rolling resistance 0.004 (usual)");
    record->drag.course = COURSE_OUT_AND_BACK;
    record->drag.indoors = false;
    says_of_day("Rider and bike 85 kg; out and back over 250 m rising by 2 m; rolling resistance "
                "0.004 (usual)");
    drag->rolling = (struct drag_rolling){.run = 1, .state = DRAG_STEPS_FEW, .steps = 2};
    says("Steps of run 2: 2 pairs of ways can be used, 5 are needed for rolling resistance");
    record->drag.course = COURSE_LAPS;
    says("Steps of run 2: 2 laps can be used, 5 are needed for rolling resistance");
    finish();
}
END_TEST

/* With its wind where it was said, and when it was read: the clock, or between which runs. */
START_TEST(the_air_is_told_with_when_it_was_read)
{
    struct air_record air = {.temperature_c = 18.5,
                             .pressure_hpa = 1013.0,
                             .humidity_percent = 60.0,
                             .wind_m_per_s = NAN,
                             .at_min = NAN};
    char text[SAY_SIZE];
    say_drag_air(text, sizeof text, &air);
    ck_assert_str_eq(text, "18.5 \u00b0C, 1013 hPa, 60 % before the first run");
    air.after_run = 3;
    say_drag_air(text, sizeof text, &air);
    ck_assert_str_eq(text, "18.5 \u00b0C, 1013 hPa, 60 % after run 3");
    air.wind_m_per_s = 0.5;
    air.at_min = 9 * 60 + 5;
    say_drag_air(text, sizeof text, &air);
    ck_assert_str_eq(text, "18.5 \u00b0C, 1013 hPa, 60 %, wind 0.5 m/s at 09:05");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("drag day");
    TCase *tests = tcase_create("drag day");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, where_rolling_resistance_is_from);
    tcase_add_test(tests, the_course_is_told_as_it_was_said);
    tcase_add_test(tests, the_air_is_told_with_when_it_was_read);
    tcase_add_test(tests, what_steps_came_to);
    return test_main(suite);
}
