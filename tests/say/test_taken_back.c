/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* How it is told what was taken back, record by record, and what is in force afterwards. */
#include "say/taken_back.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static struct session_record *record;
static char text[400];

static void begin(void)
{
    record = malloc(sizeof *record);
    ck_assert_ptr_nonnull(record);
    session_record_clear(record);
    record->setup_count = record->build_count = record->hold_count = 2;
    for (int i = 0; i < 2; i++) {
        record->setup[i].number = i + 1;
        record->build[i].setup = i;
        record->build[i].ordinal = 1;
        record->hold[i] = (struct hold_record){.number = i + 1, .status = HOLD_COMPLETE};
    }
    strcpy(record->setup[1].intent, "spacers out");
    record->run_count = record->leg_count = 1;
    record->run[0].number = 3;
    record->leg[0].run = 0;
    record->leg[0].number = 2;
    memset(text, 0, sizeof text);
}

static void end(void)
{
    free(record);
}

static bool changed(enum effect_kind kind, int index, const void *to)
{
    return say_back_changed(text, sizeof text, record, kind, index, to);
}

START_TEST(what_is_told_of_an_act_with_several_records)
{
    /* a hold rather than the capture it was read in, what was made rather than what was changed */
    ck_assert_int_gt(say_back_rank(EFFECT_HOLD, false), say_back_rank(EFFECT_CAPTURE, false));
    ck_assert_int_gt(say_back_rank(EFFECT_SETUP, false), say_back_rank(EFFECT_BUILD, false));
    ck_assert_int_gt(say_back_rank(EFFECT_CAPTURE, true), say_back_rank(EFFECT_RUN, false));
}
END_TEST

START_TEST(a_build)
{
    struct build_record to = record->build[1];
    ck_assert(!changed(EFFECT_BUILD, 1, &to));
    to.slipped = ANSWER_YES;
    ck_assert(changed(EFFECT_BUILD, 1, &to));
    ck_assert_str_eq(text, "whether a sensor slipped before setup 2, build 1: not known to yes");
    record->build[1].moved = ANSWER_NO;
    to.moved = ANSWER_YES;
    ck_assert(changed(EFFECT_BUILD, 1, &to)); /* the first of the two is told */
    ck_assert_str_eq(text, "whether a sensor moved at setup 2, build 1: no to yes");
}
END_TEST

START_TEST(a_setup)
{
    struct setup_record to = record->setup[1];
    to.number = 4;
    ck_assert(changed(EFFECT_SETUP, 1, &to));
    ck_assert_str_eq(text, "setup 2 is number 4");
    to.number = 2;
    strcpy(to.intent, "pads down");
    ck_assert(changed(EFFECT_SETUP, 1, &to));
    ck_assert_str_eq(text, "setup 2: 'spacers out' to 'pads down'");
    to = record->setup[1];
    record->setup[1].bike.value[BIKE_SPACERS] = 20.0;
    to.bike.value[BIKE_SPACERS] = 0.0;
    ck_assert(changed(EFFECT_SETUP, 1, &to));
    ck_assert_str_eq(text, "setup 2: spacers 20 to 0");
}
END_TEST

START_TEST(a_hold)
{
    struct hold_record to = record->hold[0];
    ck_assert(!changed(EFFECT_HOLD, 0, &to));
    to.status = HOLD_RUNNING;
    ck_assert(changed(EFFECT_HOLD, 0, &to));
    ck_assert_str_eq(text, "the stop: hold 1 goes on");
    to.status = HOLD_STOPPED;
    ck_assert(changed(EFFECT_HOLD, 0, &to));
    ck_assert_str_eq(text, "the stop: hold 1 is stopped");
    to.rejected = true;
    ck_assert(changed(EFFECT_HOLD, 0, &to));
    ck_assert_str_eq(text, "hold 1 is left out again");
    record->hold[0].rejected = true;
    to.rejected = false;
    ck_assert(changed(EFFECT_HOLD, 0, &to));
    ck_assert_str_eq(text, "hold 1 counts again");
}
END_TEST

START_TEST(a_run_and_a_leg)
{
    struct run_record run = record->run[0];
    struct leg_record leg = record->leg[0];
    ck_assert(!changed(EFFECT_RUN, 0, &run));
    ck_assert(!changed(EFFECT_LEG, 0, &leg));
    run.rejected = leg.left_out = true;
    ck_assert(changed(EFFECT_RUN, 0, &run));
    ck_assert_str_eq(text, "run 3 is left out again");
    ck_assert(changed(EFFECT_LEG, 0, &leg));
    ck_assert_str_eq(text, "run 3.2 is left out again");
    record->run[0].rejected = record->leg[0].left_out = true;
    run.rejected = leg.left_out = false;
    ck_assert(changed(EFFECT_RUN, 0, &run));
    ck_assert_str_eq(text, "run 3 counts again");
    ck_assert(changed(EFFECT_LEG, 0, &leg));
    ck_assert_str_eq(text, "run 3.2 counts again");
}
END_TEST

static struct session_header header(void)
{
    struct session_header to;
    session_record_header(record, &to);
    return to;
}

START_TEST(the_choice)
{
    struct session_header to = header();
    ck_assert(!changed(EFFECT_SESSION, 0, &to));
    to.settings.chosen_setup = 2;
    ck_assert(changed(EFFECT_SESSION, 0, &to));
    ck_assert_str_eq(text, "the choice: setup 2 is chosen");
    record->settings.chosen_setup = 1;
    to.settings.chosen_setup = 0;
    ck_assert(changed(EFFECT_SESSION, 0, &to));
    ck_assert_str_eq(text, "the choice of setup 1: none is chosen");
    to = header();
    strcpy(to.settings.found_by, "chin over the pads");
    ck_assert(changed(EFFECT_SESSION, 0, &to));
    ck_assert_str_eq(text, "what tells the rider of the chosen posture");
}
END_TEST

static void with_mass(struct drag_settings *drag)
{
    drag->mass_kg = 84.5;
}
static void with_matters(struct drag_settings *drag)
{
    drag->matters_m2 = 0.004;
}
static void with_course(struct drag_settings *drag)
{
    drag->course = COURSE_LAPS;
}
static void indoors(struct drag_settings *drag)
{
    drag->indoors = !drag->indoors;
}
static void with_length(struct drag_settings *drag)
{
    drag->course_length_m = 250.0;
}
static void with_rise(struct drag_settings *drag)
{
    drag->rise_m = 3.0;
}
static void with_rolling(struct drag_settings *drag)
{
    drag->rolling = 0.004;
}

static const struct {
    void (*set)(struct drag_settings *drag);
    const char *told; /* once it is taken back */
} of_the_day[] = {
    {with_mass, "the mass of rider and bike, 84.5 kg"},
    {with_matters, "the difference in drag that matters, 0.004 m2"},
    {with_course, "what was said of the course"},
    {indoors, "what was said of the course"},
    {with_length, "what was said of the course"},
    {with_rise, "what was said of the course"},
    {with_rolling, "what was said of the course"},
};

START_TEST(a_day_of_runs)
{
    struct session_header before = header();
    of_the_day[_i].set(&record->drag);
    struct session_header same = header();
    ck_assert(!changed(EFFECT_SESSION, 0, &same));
    ck_assert(changed(EFFECT_SESSION, 0, &before));
    ck_assert_str_eq(text, of_the_day[_i].told);
}
END_TEST

START_TEST(of_others_nothing_changes)
{
    const struct note_record note = {.text = "x"};
    ck_assert(!changed(EFFECT_NOTE, 0, &note));
}
END_TEST

START_TEST(what_was_made)
{
    struct analysis *analysis = analysis_create();
    ck_assert_ptr_nonnull(analysis);
    say_back_made(text, sizeof text, record, analysis, EFFECT_CAPTURE, 0);
    ck_assert_str_eq(text, "what was being read");
    say_back_made(text, sizeof text, record, analysis, EFFECT_SETUP, 0);
    ck_assert_str_eq(text, "setup 1"); /* nothing in brackets */
    strcpy(record->setup[0].intent, "as it came");
    say_back_made(text, sizeof text, record, analysis, EFFECT_SETUP, 0);
    ck_assert_str_eq(text, "setup 1 (as it came)");
    memset(record->setup[0].intent, 'a', 90); /* as much as there is room for */
    record->setup[0].intent[90] = '\0';
    say_back_made(text, sizeof text, record, analysis, EFFECT_SETUP, 0);
    ck_assert_uint_eq(strlen(text), strlen("setup 1 ()") + 90);
    /* 91 bytes, of which the last letter has two, at 89: it is cut before it */
    memset(record->setup[0].intent, 'a', 89);
    strcpy(record->setup[0].intent + 89, "\u00e4");
    say_back_made(text, sizeof text, record, analysis, EFFECT_SETUP, 0);
    ck_assert_uint_eq(strlen(text), strlen("setup 1 (") + 89 + strlen("\u2026)"));
    ck_assert_str_eq(text + strlen(text) - strlen("a\u2026)"), "a\u2026)");
    analysis_destroy(analysis);
}
END_TEST

START_TEST(what_is_in_force_now)
{
    static const struct {
        enum effect_kind kind;
        int build, target, band;
        const char *told, *put_back;
    } rows[] = {
        {EFFECT_SETUP, 1, -1, -1, "; setup 2, build 1 is on the bike",
         "; setup 2, build 1 is on the bike"},
        {EFFECT_BUILD, 0, -1, -1, "; setup 1, build 1 is on the bike",
         "; setup 1, build 1 is on the bike"},
        {EFFECT_PLACING, 0, -1, -1, "; setup 1, build 1 is on the bike",
         "; setup 1, build 1 is on the bike"},
        {EFFECT_SETUP, -1, -1, -1, "", ""},
        {EFFECT_TARGET, 0, 0, -1, "; the target before stands", ""},
        {EFFECT_TARGET, 0, -1, -1, "; there is no target", ""},
        {EFFECT_BAND, 0, -1, 0, "; the band before stands", ""},
        {EFFECT_BAND, 0, -1, -1, "; there is no band", ""},
        {EFFECT_NOTE, 0, 0, 0, "", ""},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        say_back_now(text, sizeof text, record, rows[i].kind, false, rows[i].build, rows[i].target,
                     rows[i].band);
        ck_assert_str_eq(text, rows[i].told);
        say_back_now(text, sizeof text, record, rows[i].kind, true, rows[i].build, rows[i].target,
                     rows[i].band);
        ck_assert_str_eq(text, rows[i].put_back);
    }
}
END_TEST

START_TEST(a_target_that_was_there_before)
{
    struct target_record target = {.kept = true};
    say_back_target(text, sizeof text, &target, true);
    ck_assert_str_eq(text, "; the target is captured on");
    say_back_target(text, sizeof text, &target, false);
    ck_assert_str_eq(text, "; the target is kept");
    target.kept = false;
    say_back_target(text, sizeof text, &target, false);
    ck_assert_str_eq(text, "; the target is thrown away");
}
END_TEST

/* Of what one act touched: what was done before what it was done with, and what is only noted
 * (commands, sounds) last; what it made before all that it changed. */
START_TEST(each_record_has_its_rank)
{
    static const enum effect_kind falling[] = {
        EFFECT_RUN,   EFFECT_HOLD,  EFFECT_TARGET,  EFFECT_CHECK,   EFFECT_TIE_READING,
        EFFECT_SETUP, EFFECT_BUILD, EFFECT_BAND,    EFFECT_RATING,  EFFECT_MARK,
        EFFECT_NOTE,  EFFECT_RIDER, EFFECT_BIKE,    EFFECT_PLACING, EFFECT_SESSION,
        EFFECT_AIR,   EFFECT_LEG,   EFFECT_CAPTURE, EFFECT_COMMAND,
    };
    enum { RANKED = sizeof falling / sizeof falling[0] };
    ck_assert_int_eq(RANKED + 1, EFFECT_KINDS);
    for (int i = 1; i < RANKED; i++) {
        ck_assert_int_gt(say_back_rank(falling[i - 1], false), say_back_rank(falling[i], false));
        ck_assert_int_gt(say_back_rank(falling[i], true), say_back_rank(falling[0], false));
    }
    ck_assert_int_eq(say_back_rank(EFFECT_CUE_SOUND, false), say_back_rank(EFFECT_COMMAND, false));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("taken_back");
    TCase *tests = tcase_create("taken_back");
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, what_is_told_of_an_act_with_several_records);
    tcase_add_test(tests, a_build);
    tcase_add_test(tests, a_setup);
    tcase_add_test(tests, a_hold);
    tcase_add_test(tests, a_run_and_a_leg);
    tcase_add_test(tests, the_choice);
    tcase_add_loop_test(tests, a_day_of_runs, 0, sizeof of_the_day / sizeof of_the_day[0]);
    tcase_add_test(tests, of_others_nothing_changes);
    tcase_add_test(tests, what_was_made);
    tcase_add_test(tests, what_is_in_force_now);
    tcase_add_test(tests, a_target_that_was_there_before);
    tcase_add_test(tests, each_record_has_its_rank);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
