/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What each record says for itself in the list of what has happened, and what is left away where
 * it is not known. */
#include "say/event.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct session_record *record;
static struct analysis *analysis;
static struct event event;

static void begin(void)
{
    record = malloc(sizeof *record);
    analysis = analysis_create();
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    record->placing_count = 2;
    for (int p = 0; p < 2; p++) {
        record->placing[p].channel_count = 2;
        strcpy(record->placing[p].channel[0].name, "head");
        strcpy(record->placing[p].channel[1].name, "chest");
    }
    record->setup_count = record->build_count = 2;
    for (int i = 0; i < 2; i++) {
        record->setup[i].number = i + 1;
        record->build[i].setup = record->build[i].placing = i;
        record->build[i].ordinal = i + 1;
    }
    analysis->channel_count = 2;
    strcpy(analysis->channel_name[0], "head");
    strcpy(analysis->channel_name[1], "chest");
    analysis->body[0] = analysis->body[1] = true;
    /* behind the last there may be what was taken back, or is of no sensor that is there now */
    strcpy(analysis->channel_name[2], "hips");
    analysis->body[2] = true;
    analysis->target[0][2] = (struct channel_target){.has = true, .height_mm = 700.0};
    analysis->hold[0].has[2] = true;
    record->band[0].limited[2] = true;
    strcpy(record->placing[0].channel[2].name, "hips");
}

static void end(void)
{
    analysis_destroy(analysis);
    free(record);
}

static void check_event(enum effect_kind effect, int index, enum event_kind kind, const char *what,
                        const char *text)
{
    memset(&event, 0x5a, sizeof event);
    say_event(record, analysis, effect, index, &event);
    ck_assert_str_eq(event.what, what);
    ck_assert_str_eq(event.text, text);
    ck_assert_int_eq(event.kind, kind);
}

START_TEST(people_and_sensors)
{
    strcpy(record->rider.code, "R-07");
    strcpy(record->rider.name, "winter group");
    check_event(EFFECT_RIDER, 0, EVENT_PEOPLE, "rider", "R-07  winter group");
    strcpy(record->rider.watch_for, "left hip");
    check_event(EFFECT_RIDER, 0, EVENT_PEOPLE, "rider", "R-07  winter group  watch for: left hip");
    strcpy(record->bike.name, "training bike");
    check_event(EFFECT_BIKE, 0, EVENT_PEOPLE, "bike", "training bike");
    check_event(EFFECT_PLACING, 0, EVENT_PEOPLE, "sensors", "head, chest");
    strcpy(record->placing[1].rig_id, "bench-a");
    check_event(EFFECT_PLACING, 1, EVENT_PEOPLE, "sensors",
                "head, chest of rig bench-a, fixed anew");
}
END_TEST

START_TEST(setups_and_builds)
{
    check_event(EFFECT_SETUP, 0, EVENT_SETUP, "setup 1", "");
    strcpy(record->setup[0].intent, "as it came");
    check_event(EFFECT_SETUP, 0, EVENT_SETUP, "setup 1", "as it came");
    record->setup[0].bike.value[BIKE_SPACERS] = 20.0;
    record->setup[1].bike.value[BIKE_SPACERS] = 0.0;
    check_event(EFFECT_SETUP, 1, EVENT_SETUP, "setup 2", "spacers 20 to 0");
    check_event(EFFECT_BUILD, 1, EVENT_SETUP, "setup 2", "build 2");
    strcpy(record->setup[1].intent, "spacers out");
    check_event(EFFECT_SETUP, 1, EVENT_SETUP, "setup 2", "spacers out: spacers 20 to 0");
    check_event(EFFECT_BUILD, 1, EVENT_SETUP, "setup 2", "build 2: spacers out");
}
END_TEST

START_TEST(a_target)
{
    record->target_count = record->capture_count = 1;
    struct target_record *target = &record->target[0];
    target->capture = 0;
    check_event(EFFECT_TARGET, 0, EVENT_TARGET, "target", "being taken");
    record->capture[0].last_sample = 500;
    check_event(EFFECT_TARGET, 0, EVENT_TARGET, "target", "dropped");
    target->kept = true;
    check_event(EFFECT_TARGET, 0, EVENT_TARGET, "target", "no heights");
    analysis->target[0][0] =
        (struct channel_target){.has = true, .height_mm = 884.4, .half_width_mm = 2.1};
    analysis->target[0][1] =
        (struct channel_target){.has = true, .height_mm = 780.6, .half_width_mm = (double)NAN};
    check_event(EFFECT_TARGET, 0, EVENT_TARGET, "target", "head 884 \u00b13, chest 781 mm");
    target->capture = -1;
    analysis->target[0][1].height_mm = (double)NAN;
    check_event(EFFECT_TARGET, 0, EVENT_TARGET, "target", "head 884 \u00b13 mm, as entered");
}
END_TEST

START_TEST(a_band)
{
    struct band_record *band = &record->band[0];
    record->band_count = 1;
    band->limited[0] = true;
    band->cue[0].band_above_mm = 10.0;
    band->cue[0].band_below_mm = 20.0;
    check_event(EFFECT_BAND, 0, EVENT_BAND, "band", "head +10 -20 mm");
    band->limited[1] = true;
    band->cue[1].band_above_mm = (double)INFINITY;
    band->cue[1].band_below_mm = 8.0;
    check_event(EFFECT_BAND, 0, EVENT_BAND, "band", "head +10 -20, chest none -8 mm");
}
END_TEST

/* How long it was to be; a ride, that may be open, by how long it was. */
START_TEST(what_a_hold_was_for)
{
    static const struct {
        enum hold_purpose purpose;
        bool guided;
        double planned_s, lasted_s;
        const char *running, *over;
    } rows[] = {
        {PURPOSE_NONE, false, 180.0, 181.0, "free 3 min, ", "free 3 min, "},
        {PURPOSE_NONE, true, 90.0, 91.0, "guided 90 s, ", "guided 90 s, "},
        {PURPOSE_TEST, false, 180.0, 181.0, "test 3 min, ", "test 3 min, "},
        {PURPOSE_PIECE, true, 45.0, 46.0, "guided piece 45 s, ", "guided piece 45 s, "},
        {PURPOSE_RIDE, false, 28800.0, 5400.0, "ride, ", "ride 1 h 30 min, "},
        {PURPOSE_RIDE, false, 28800.0, 0.0, "ride, ", "ride, "},
    };
    struct hold_record *hold = &record->hold[0];
    record->hold_count = 1;
    for (size_t r = 0; r < sizeof rows / sizeof rows[0]; r++) {
        char wanted[100];
        *hold = (struct hold_record){.number = 1,
                                     .planned_s = rows[r].planned_s,
                                     .purpose = rows[r].purpose,
                                     .guided = rows[r].guided,
                                     .status = HOLD_RUNNING};
        snprintf(wanted, sizeof wanted, "%ssetup 1, being recorded", rows[r].running);
        check_event(EFFECT_HOLD, 0, EVENT_HOLD, "hold 1", wanted);
        hold->status = HOLD_COMPLETE;
        analysis->hold[0].duration_s = rows[r].lasted_s;
        say_event(record, analysis, EFFECT_HOLD, 0, &event);
        snprintf(wanted, sizeof wanted, "%ssetup 1", rows[r].over);
        ck_assert_msg(strncmp(event.text, wanted, strlen(wanted)) == 0, "%s", event.text);
    }
}
END_TEST

START_TEST(a_hold)
{
    struct hold_record *hold = &record->hold[0];
    struct hold_result *result = &analysis->hold[0];
    record->hold_count = 1;
    *hold = (struct hold_record){.number = 3, .planned_s = 60.0, .status = HOLD_RUNNING};
    check_event(EFFECT_HOLD, 0, EVENT_HOLD, "hold 3", "free 60 s, setup 1, being recorded");
    ck_assert_int_eq(event.hold, 3);
    ck_assert(!event.left_out);
    hold->status = HOLD_COMPLETE;
    hold->build = 1;
    result->has[0] = result->has[1] = true;
    result->summary[0] = (struct hold_summary){.status = MEASURE_OK,
                                               .mean_mm = 884.4,
                                               .has_interval = true,
                                               .mean_half_width_mm = 1.2,
                                               .has_band = true,
                                               .in_band_share = 0.912};
    result->summary[1] = (struct hold_summary){.status = MEASURE_OK, .mean_mm = 780.6};
    check_event(EFFECT_HOLD, 0, EVENT_HOLD, "hold 3",
                "free 60 s, setup 2 build 2: head 884 \u00b12 (91% in band), chest 781");
    result->summary[1].status = MEASURE_TOO_FEW;
    hold->guided = hold->rejected = true;
    strcpy(hold->reject_reason, "coughed");
    say_event(record, analysis, EFFECT_HOLD, 0, &event);
    ck_assert(event.left_out);
    ck_assert_ptr_null(strstr(event.text, "chest"));
    ck_assert_msg(strncmp(event.text, "guided 60 s, setup 2 build 2: head 884", 38) == 0, "%s",
                  event.text);
    ck_assert_ptr_nonnull(strstr(event.text, "coughed"));
    analysis->body[0] = false; /* no posture */
    say_event(record, analysis, EFFECT_HOLD, 0, &event);
    ck_assert_ptr_null(strstr(event.text, "head"));
}
END_TEST

START_TEST(marks_notes_ratings)
{
    record->mark_count = record->note_count = record->rating_count = record->hold_count = 1;
    record->hold[0].number = 5;
    record->mark[0] = (struct mark_record){.kind = MARK_SLID, .hold = -1};
    check_event(EFFECT_MARK, 0, EVENT_MARK, "mark", "slid");
    ck_assert_int_eq(event.hold, 0);
    record->mark[0].hold = 0;
    check_event(EFFECT_MARK, 0, EVENT_MARK, "mark", "slid, in hold 5");
    ck_assert_int_eq(event.hold, 5);
    strcpy(record->note[0].text, "no draught");
    check_event(EFFECT_NOTE, 0, EVENT_NOTE, "note", "no draught");
    rating_clear(&record->rating[0]);
    record->rating[0].setup = 1;
    say_event(record, analysis, EFFECT_RATING, 0, &event);
    ck_assert_int_eq(event.kind, EVENT_RATING);
    ck_assert_msg(strncmp(event.text, "setup 2: ", 9) == 0, "%s", event.text);
}
END_TEST

START_TEST(readings_of_one_moment_are_told_together)
{
    struct tie_reading_record *reading = record->tie_reading;
    record->tie_reading_count = 4;
    for (int i = 0; i < 4; i++) {
        reading[i] = (struct tie_reading_record){.kind = TIE_READING_PLATE,
                                                 .channel = i % 2,
                                                 .value_mm = 512.25 + i,
                                                 .at_sample = i < 3 ? 100 : 200};
    }
    reading[2].build = 1;
    reading[4] = reading[3];
    reading[4].kind = TIE_READING_TAPE;
    check_event(EFFECT_TIE_READING, 0, EVENT_HEIGHT, "plate",
                "head 512.2, chest 513.2 mm away, setup 1 build 1");
    check_event(EFFECT_TIE_READING, 2, EVENT_HEIGHT, "plate",
                "head 514.2 mm away, setup 2 build 2");
    reading[3].kind = TIE_READING_TAPE;
    check_event(EFFECT_TIE_READING, 3, EVENT_HEIGHT, "tape",
                "chest 515.2 mm over the bottom bracket, setup 1 build 1");
    reading[1].at_sample = 150;
    check_event(EFFECT_TIE_READING, 0, EVENT_HEIGHT, "plate",
                "head 512.2 mm away, setup 1 build 1");
}
END_TEST

START_TEST(a_day_of_runs)
{
    record->air_count = record->run_count = 1;
    record->leg_count = 3;
    record->air[0].temperature_c = 21.5;
    record->air[0].pressure_hpa = 1004.0;
    record->air[0].humidity_percent = 40.0;
    record->air[0].wind_m_per_s = (double)NAN;
    check_event(EFFECT_AIR, 0, EVENT_RUN, "air", "21.5 C, 1004 hPa, 40 %");
    record->air[0].wind_m_per_s = 1.5;
    check_event(EFFECT_AIR, 0, EVENT_RUN, "air", "21.5 C, 1004 hPa, 40 %, wind 1.5 m/s");
    record->run[0].number = 2;
    record->run[0].setup = 1;
    record->leg[0].run = record->leg[1].run = 0;
    record->leg[2].run = 1; /* another's */
    record->leg[2].left_out = true;
    record->leg[3].run = 0; /* taken back */
    record->leg[3].left_out = true;
    check_event(EFFECT_RUN, 0, EVENT_RUN, "run 2", "setup 2");
    strcpy(record->run[0].file, "evening.csv");
    record->leg[1].left_out = record->run[0].rejected = true;
    strcpy(record->run[0].reject_reason, "a dog");
    check_event(EFFECT_RUN, 0, EVENT_RUN, "run 2",
                "setup 2: evening.csv; 1 of 2 laps or legs left out; LEFT OUT: a dog");
}
END_TEST

START_TEST(checks_and_the_choice)
{
    record->check_count = 1;
    record->check[0] =
        (struct check_record){.kind = CHECK_STILL, .channel = -1, .verdict = CHECK_UNCERTAIN};
    strcpy(record->check[0].words, "too few readings");
    check_event(EFFECT_CHECK, 0, EVENT_CHECK, "check", "still uncertain: too few readings");
    record->check[0].channel = 1;
    record->check[0].verdict = CHECK_PASSED;
    check_event(EFFECT_CHECK, 0, EVENT_CHECK, "check", "still of chest passed: too few readings");
    check_event(EFFECT_SESSION, 2, EVENT_CHOICE, "chosen", "setup 2: the rider goes home with it");
    check_event(EFFECT_SESSION, 0, EVENT_CHOICE, "chosen", "no setup any more");
}
END_TEST

START_TEST(of_some_records_nothing_is_told)
{
    static const enum effect_kind kinds[] = {EFFECT_CAPTURE, EFFECT_COMMAND, EFFECT_CUE_SOUND,
                                             EFFECT_LEG};
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        say_event(record, analysis, kinds[i], 0, &event);
        ck_assert_str_eq(event.what, "");
        ck_assert_str_eq(event.text, "");
        ck_assert_int_eq(event.hold, 0);
    }
}
END_TEST

START_TEST(what_was_taken_back)
{
    record->mark_count = record->hold_count = 1;
    record->hold[0].number = 5;
    record->mark[0] = (struct mark_record){.kind = MARK_SLID, .hold = 0};
    say_event(record, analysis, EFFECT_MARK, 0, &event);
    say_event_taken_back(&event);
    ck_assert_str_eq(event.text, "slid, in hold 5; TAKEN BACK");
    ck_assert_int_eq(event.hold, 0);
    event.text[0] = '\0';
    say_event_taken_back(&event);
    ck_assert_str_eq(event.text, "TAKEN BACK");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("event");
    TCase *tests = tcase_create("event");
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, people_and_sensors);
    tcase_add_test(tests, setups_and_builds);
    tcase_add_test(tests, a_target);
    tcase_add_test(tests, a_band);
    tcase_add_test(tests, what_a_hold_was_for);
    tcase_add_test(tests, a_hold);
    tcase_add_test(tests, marks_notes_ratings);
    tcase_add_test(tests, readings_of_one_moment_are_told_together);
    tcase_add_test(tests, a_day_of_runs);
    tcase_add_test(tests, checks_and_the_choice);
    tcase_add_test(tests, of_some_records_nothing_is_told);
    tcase_add_test(tests, what_was_taken_back);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
