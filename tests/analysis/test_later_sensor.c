/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A sensor that came when half of the holds were over: what was held before has nothing of it, and
 * loses nothing by it. */
#include "plain_session.h"

#include "analysis/across.h"
#include "analysis/hold_use.h"
#include "analysis/learning.h"
#include "analysis/practice_band.h"
#include "analysis/ride_summary.h"
#include "analysis/slip.h"

#include <string.h>

static struct problem problem;

/* The first build with the first sensor alone, fixed anew for the second. */
static void come_later(void)
{
    record->placing[1] = record->placing[0];
    record->placing[0].channel_count = 1;
    record->placing_count = 2;
    record->build[1].placing = 1;
}

static void make(void)
{
    ck_assert_msg(analysis_make(record, samples_of, NULL, analysis, &problem), "%s",
                  problem.sentence);
}

START_TEST(what_was_held_before_has_nothing_of_it)
{
    double mean_mm[HOLDS];
    make();
    for (int h = 0; h < HOLDS; h++) {
        mean_mm[h] = analysis->hold[h].summary[0].mean_mm;
    }
    come_later();
    make();
    ck_assert_int_eq(analysis->channel_count, CHANNELS);
    for (int h = 0; h < HOLDS; h++) {
        const struct hold_result *result = &analysis->hold[h];
        ck_assert_double_eq(result->summary[0].mean_mm, mean_mm[h]);
        for (int c = 0; c < CHANNELS; c++) {
            ck_assert(result->has[c] == (c == 0 || h >= 2));
        }
        ck_assert(!result->together || h >= 2);
    }
    ck_assert_int_eq(analysis_estimate(analysis, 1, 0)->holds, 0);
    ck_assert(!analysis->target[0][1].has && analysis->target[1][1].has);
    ck_assert_int_eq(analysis->tie[0][1].kind, TIE_NONE); /* of which there was one before */
    ck_assert_int_ne(hold_use_of(record, analysis, 0, 1), HOLD_USED);
    ck_assert_int_eq(slip_unanswered(record, analysis), -1);
}
END_TEST

/* Practice, rides and several sessions ask each sensor for itself. */
START_TEST(what_asks_of_all_sensors_asks_those_that_were_there)
{
    struct practice_band band;
    struct ride_summary ride;
    struct learning *learning = malloc(sizeof *learning);
    ck_assert_ptr_nonnull(learning);
    come_later();
    record->hold[0].purpose = record->hold[2].purpose = PURPOSE_RIDE;
    record->hold[1].purpose = PURPOSE_TEST;
    make();
    for (int c = 0; c < CHANNELS; c++) { /* as if they had been long enough */
        analysis->hold[0].course[c].quarter[0].to_s = analysis->hold[2].course[c].quarter[0].to_s =
            5.0;
    }
    ck_assert(ride_summary_of(record, analysis, 0, &ride) && ride.channel_count == 1);
    ck_assert(ride_summary_of(record, analysis, 2, &ride) && ride.channel_count == 2);
    learning_begin(learning);
    learning_take(learning, 1, record, analysis);
    learning_conclude(learning);
    ck_assert_int_eq(learning->ride_count, 2);
    ck_assert_int_eq(learning->ride[0].summary.channel_count, 1);
    ck_assert_int_eq(learning->test_count, 1);
    practice_band_find(record, analysis, 0, &band);
    struct practice_kept kept = practice_kept_of_all(record, analysis);
    ck_assert(isnan(kept.kept_s) || kept.kept_s <= 20.0);
    struct across_session sessions[] = {{1, record, analysis}, {2, record, analysis}};
    struct across *across = across_make_visits(sessions, 2, &problem);
    ck_assert_msg(across != NULL, "%s", problem.sentence);
    across_destroy(across);
    free(learning);
}
END_TEST

/* Without the samples of a capture nothing is made of it, and it is said which lack. */
static bool not_there(void *context, int64_t first, int64_t last, const struct sample **samples,
                      size_t *count)
{
    const int64_t *lacks = context;
    return (last < *lacks || first > *lacks) && samples_of(NULL, first, last, samples, count);
}

START_TEST(samples_that_are_not_there_are_told)
{
    struct band_proposal proposals[BAND_PROPOSALS_MAX];
    struct hold_summary summary;
    struct target_estimate estimate;
    const struct cue_settings cue = {10.0, 10.0, 1.0, 0.2, 0.7, 0.5, 0.5};
    int64_t lacks = HOLDS * READINGS + 5; /* of the first target */
    make();
    ck_assert_int_eq(
        analysis_propose_band(record, analysis, 0, 0, &cue, not_there, &lacks, proposals), 0);
    ck_assert(!analysis_make(record, not_there, &lacks, analysis, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "target"));
    lacks = 2 * READINGS + 7; /* of the third hold */
    ck_assert(!analysis_make(record, not_there, &lacks, analysis, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "hold 3"));
    ck_assert(!analysis_add_hold(record, 2, not_there, &lacks, analysis, &problem));
    ck_assert(
        !analysis_stretch(record, analysis, 0, 0, lacks, lacks, not_there, &lacks, NULL, &summary));
    ck_assert(!analysis_target_stretch(record, analysis, 0, 0, lacks, lacks, not_there, &lacks,
                                       &estimate));
    record->placing[0].channel[2].role = ROLE_BODY; /* nothing hangs on a plate: that hold alone */
    ck_assert(!analysis_add_hold(record, 2, not_there, &lacks, analysis, &problem));
    ck_assert(analysis_add_hold(record, 1, not_there, &lacks, analysis, &problem));
    record->placing[0].channel[2].role = ROLE_REFERENCE;
    lacks = -1;
    make();
    ck_assert(analysis_add_hold(record, -1, samples_of, NULL, analysis, &problem));
    ck_assert_int_eq(/* of a plate there is no target */
                     analysis_propose_band(record, analysis, 0, 2, &cue, samples_of, NULL,
                                           proposals),
                     0);
    record->target[0].entered_mm[0] = 880.0; /* what was entered stands before what was captured */
    make();
    ck_assert_double_eq(analysis->target[0][0].height_mm, 880.0);
    ck_assert(analysis->target[0][1].has && analysis->target[0][1].height_mm != 880.0);
    record->target[0].capture = -1; /* entered */
    ck_assert_int_eq(
        analysis_propose_band(record, analysis, 0, 0, &cue, samples_of, NULL, proposals), 0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("later_sensor");
    TCase *tests = tcase_create("later_sensor");
    suite_add_tcase(suite, tests);
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, what_was_held_before_has_nothing_of_it);
    tcase_add_test(tests, what_asks_of_all_sensors_asks_those_that_were_there);
    tcase_add_test(tests, samples_that_are_not_there_are_told);
    return test_main(suite);
}
