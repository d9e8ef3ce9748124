/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What sessions that are taken in one after the other leave behind: the board on the pads. */
#include "support/test_main.h"

#include "analysis/learning.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* A session in which the board was read so often on the head's sensor. */
static void take(struct learning *learning, int count, const double *range_mm, double height_mm)
{
    static int64_t id;
    struct session_record *record = calloc(1, sizeof *record);
    struct analysis *analysis = analysis_create();
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    record->build_count = record->placing_count = 1;
    record->placing[0].channel_count = 1;
    snprintf(record->placing[0].channel[0].name, CHANNEL_NAME_SIZE, "head");
    record->tie_reading_count = count;
    for (int i = 0; i < count; i++) {
        record->tie_reading[i] = (struct tie_reading_record){
            .rest = REST_PADS, .value_mm = range_mm[i], .plate_height_mm = height_mm - 1 + i};
    }
    learning_take(learning, ++id, record, analysis);
    analysis_destroy(analysis);
    free(record);
}

/* 25 mm off and less it is the first day's; further it begins again, with what was read last: a
 * board that lay askew at first is no day's. */
START_TEST(the_first_days_board)
{
    static const double first[] = {412.5}, near[] = {437.0}, askew[] = {440.0, 415.0};
    static const double anew[] = {460.0, 438.0};
    struct learning *learning = malloc(sizeof *learning);
    ck_assert_ptr_nonnull(learning);
    learning_begin(learning);
    ck_assert_int_eq(learning->board_count, 0);
    take(learning, 1, first, 931);
    ck_assert_int_eq(learning->board_count, 1);
    ck_assert_str_eq(learning->board_channel[0], "head");
    ck_assert_double_eq(learning->board_range_mm[0], 412.5);
    ck_assert_double_eq(learning->board_mm, 930);
    take(learning, 1, near, 931);
    ck_assert_double_eq(learning->board_range_mm[0], 412.5);
    take(learning, 2, askew, 931);
    ck_assert_double_eq(learning->board_range_mm[0], 412.5);
    ck_assert_double_eq(learning->board_mm, 931); /* as it was said last */
    take(learning, 2, anew, 931);
    ck_assert_double_eq(learning->board_range_mm[0], 438.0);
    ck_assert_int_eq(learning->board_count, 1);
    take(learning, 1, near, 1); /* heights told from the board: 0 was not said of it */
    take(learning, 1, near, NAN);
    ck_assert_double_eq(learning->board_mm, 931);
    take(learning, 2, anew, 0); /* the last reading has 0, the one before -1 */
    ck_assert_double_eq(learning->board_mm, -1);
    free(learning);
}
END_TEST

/* Answered once it stays so, until it is answered otherwise. */
START_TEST(a_yes_to_keeping_discomfort_is_remembered)
{
    static const enum answer said[] = {0, ANSWER_YES, 0, ANSWER_NO, 0};
    static const enum answer known[] = {0, ANSWER_YES, ANSWER_YES, ANSWER_NO, ANSWER_NO};
    struct learning *learning = malloc(sizeof *learning);
    struct session_record *record = calloc(1, sizeof *record);
    struct analysis *analysis = analysis_create();
    ck_assert(learning != NULL && record != NULL && analysis != NULL);
    session_record_clear(record);
    learning_begin(learning);
    for (int i = 0; i < 5; i++) {
        record->rider.health = said[i];
        learning_take(learning, i + 1, record, analysis);
        ck_assert_int_eq(learning->health, known[i]);
    }
    analysis_destroy(analysis);
    free(record);
    free(learning);
}
END_TEST

/* A studio's long guided holds of setups 1 and 2, each to its own target, head and chest kept so
 * long. */
static void hold_of(struct session_record *record, struct analysis *analysis, int setup,
                    const double kept_s[2], bool lost)
{
    int h = record->hold_count++;
    record->hold[h] = (struct hold_record){.guided = true, .build = setup, .target = setup};
    record->build[setup].setup = setup;
    analysis->hold[h].counts = true;
    analysis->hold[h].duration_s = 180;
    for (int c = 0; c < 2; c++) {
        analysis->hold[h].has[c] = true;
        analysis->hold[h].summary[c] = (struct hold_summary){
            .has_band = true, .sustain_s = kept_s[c], .sustain_reached = lost && kept_s[c] < 180};
    }
}

/* Two thirds of what the part that was kept worst was kept for, on the setup that was chosen, in
 * the band that it is practised by; where it was lost at all, of that. */
START_TEST(the_first_piece_is_of_what_was_kept_in_the_studio)
{
    static const double all[] = {180, 180}, head[] = {60, 180}, soon[] = {30, 30};
    struct session_record *record = calloc(1, sizeof *record);
    struct analysis *analysis = analysis_create();
    struct learning *learning = malloc(sizeof *learning);
    ck_assert(record != NULL && analysis != NULL && learning != NULL);
    session_record_clear(record);
    record->setup_count = record->build_count = 2;
    record->setup[0].number = 1;
    record->setup[1].number = 2;
    record->settings.chosen_setup = 1;
    analysis->channel_count = 2;
    analysis->body[0] = analysis->body[1] = true;
    record->target_count = 2;
    record->band_count = 1;
    for (int s = 0; s < 2; s++) {
        record->target[s] = (struct target_record){.capture = s, .build = s, .kept = true};
        analysis->target[s][0].has = analysis->target[s][1].has = true;
        record->band[0].limited[s] = true;
    }
    hold_of(record, analysis, 0, all, true);
    hold_of(record, analysis, 1, soon, true);
    learning_begin(learning);
    ck_assert_double_eq(learning->piece.length_s, 30);
    learning_take(learning, 1, record, analysis);
    ck_assert_double_eq_tol(learning->piece.length_s, 120, 1e-9);
    hold_of(record, analysis, 0, head, true);
    learning_take(learning, 2, record, analysis);
    ck_assert_double_eq_tol(learning->piece.length_s, 40, 1e-9);
    hold_of(record, analysis, 0, soon, true);
    record->hold[3].target = 1; /* in the other setup's band: it tells nothing of this posture */
    learning_take(learning, 3, record, analysis);
    ck_assert_double_eq_tol(learning->piece.length_s, 40, 1e-9);
    record->settings.chosen_setup = 0; /* none yet: of all */
    learning_take(learning, 4, record, analysis);
    ck_assert_double_eq_tol(learning->piece.length_s, 20, 1e-9);
    free(learning);
    analysis_destroy(analysis);
    free(record);
}
END_TEST

static void test_of(struct learning *learning, enum learning_phase phase, double share)
{
    struct learning_test *test = &learning->test[learning->test_count++];
    *test = (struct learning_test){
        .phase = phase, .power_w = NAN, .cadence_per_min = NAN, .guessed_share = NAN};
    test->has[0] = true;
    test->result[0] = (struct practice_test){.share = share, .blocks = 24, .kept_s = 30};
}

/* What was kept weeks later is set against the last practice: of both there must be a test. */
START_TEST(what_is_kept_is_told_where_there_is_something_to_keep)
{
    static const struct {
        int practice, keep;
        bool has;
    } cases[] = {{0, 0, false}, {3, 0, false}, {0, 3, false}, {3, 3, true}, {1, 1, true}};
    struct learning *learning = malloc(sizeof *learning);
    ck_assert_ptr_nonnull(learning);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        learning_begin(learning);
        learning->channel_count = 1;
        for (int t = 0; t < cases[i].practice; t++) {
            test_of(learning, PHASE_PRACTICE, .5 + .1 * t);
        }
        for (int t = 0; t < cases[i].keep; t++) {
            test_of(learning, PHASE_KEEP, .4 + .1 * t);
        }
        learning_conclude(learning);
        ck_assert_msg(learning->of[0].has_keep == cases[i].has, "case %zu", i);
        ck_assert_int_eq(learning->counted[PHASE_KEEP], cases[i].keep);
    }
    free(learning);
}
END_TEST

/* Two tests, as long as each is better than the one before: more of them. */
START_TEST(a_base_that_rises_wants_more_tests)
{
    struct learning *learning = malloc(sizeof *learning);
    ck_assert_ptr_nonnull(learning);
    learning_begin(learning);
    learning_conclude(learning);
    int wanted = learning_base_wanted(learning);
    ck_assert_int_gt(wanted, 0);
    for (int rises = 0; rises < 2; rises++) {
        learning_begin(learning);
        learning->channel_count = 1;
        for (int t = 0; t < wanted; t++) {
            test_of(learning, PHASE_BASE, rises ? .3 + .1 * t : .5 - .1 * t);
        }
        learning_conclude(learning);
        ck_assert(rises ? learning_base_wanted(learning) > 0 : learning_base_wanted(learning) == 0);
        learning->channel_count = 0; /* nothing that could rise */
        ck_assert_int_eq(learning_base_wanted(learning), 0);
    }
    learning->channel_count = 1;
    learning->day_count = 1;
    learning->day[0].practised = true;
    ck_assert_int_eq(learning_base_wanted(learning), 0);
    free(learning);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("learning");
    TCase *tests = tcase_create("learning");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, the_first_days_board);
    tcase_add_test(tests, a_yes_to_keeping_discomfort_is_remembered);
    tcase_add_test(tests, the_first_piece_is_of_what_was_kept_in_the_studio);
    tcase_add_test(tests, what_is_kept_is_told_where_there_is_something_to_keep);
    tcase_add_test(tests, a_base_that_rises_wants_more_tests);
    return test_main(suite);
}
