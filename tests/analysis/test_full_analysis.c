/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A session in which there is as much of everything as there is room for is worked out right to the
 * last setup, build, hold and channel, and no step looks behind them: under the sanitizer that ends
 * the program. */
#include "support/bikes.h"
#include "support/test_main.h"

#include "analysis/across.h"
#include "analysis/analysis.h"
#include "analysis/check.h"
#include "analysis/hold_use.h"
#include "analysis/insight.h"
#include "analysis/learning.h"
#include "analysis/plan_of_hour.h"
#include "analysis/plate_ends.h"
#include "analysis/setup_ratings.h"
#include "analysis/slip.h"
#include "analysis/visits.h"
#include "base/random.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { BODY = 6, POWER = 6, REFERENCE = 7, READINGS = 120 }; /* of 30 s at 4 a second */
#define RATE_HZ 4.0
#define STEP_US 250000 /* a fraction of a second that is exact in binary */
#define RANGE_MM 400.0
#define LOWER_MM 2.0 /* each setup than the one before */

static struct session_record *record;
static struct analysis *analysis;

static int hold_setup(int hold)
{
    return record->build[record->hold[hold].build].setup;
}

/* One sensor of the body always, all of them in the holds of the first build and the last (numbers
 * of many holds take their time), and in the captures of their targets. */
static bool sees(int capture, int channel)
{
    int hold = capture < HOLDS_MAX ? capture : HOLDS_MAX - TARGETS_MAX + capture % TARGETS_MAX;
    return channel == 0 || channel == POWER || capture < 4 || hold >= HOLDS_MAX - 4 ||
           (capture >= HOLDS_MAX && capture < HOLDS_MAX + 4);
}

/* Every capture's samples are of its own; looked up from, a hold's range is shorter by
 * what its setup is lower. */
static bool samples_of(void *context, int64_t first, int64_t last, const struct sample **samples,
                       size_t *count)
{
    static struct sample made[READINGS];
    (void)context;
    ck_assert_int_eq(last - first + 1, READINGS);
    int capture = (int)(first / READINGS);
    double range_mm = RANGE_MM - (capture < HOLDS_MAX ? LOWER_MM * hold_setup(capture) : 0.0);
    struct random_source random;
    random_seed(&random, (uint64_t)capture);
    for (int i = 0; i < READINGS; i++) {
        made[i] = (struct sample){.number = first + i, .time_us = STEP_US * (first + i)};
        for (int c = 0; c < CHANNELS_MAX; c++) {
            double mm = c == POWER ? 200.0 : range_mm + 0.5 * random_normal(&random);
            made[i].range_tenth_mm[c] = (int32_t)lround(10 * mm);
            made[i].quality[c] = sees(capture, c) ? READING_GOOD : READING_MISSING;
        }
    }
    *samples = made;
    *count = READINGS;
    return true;
}

static void fill_sensors(void)
{
    record->placing_count = PLACINGS_MAX;
    for (int p = 0; p < PLACINGS_MAX; p++) {
        struct placing_record *placing = &record->placing[p];
        *placing =
            (struct placing_record){.channel_count = CHANNELS_MAX, .announced_rate_hz = RATE_HZ};
        for (int c = 0; c < CHANNELS_MAX; c++) {
            struct channel_record *channel = &placing->channel[c];
            channel->role = c < BODY ? ROLE_BODY : c == REFERENCE ? ROLE_REFERENCE : ROLE_AUXILIARY;
            channel->gain = 1.0;
            channel->mounted = c != POWER;
            channel->mount = (struct sensor_mount){CARRIER_FRAME, 100.0, 400.0, 0.0, 1};
            snprintf(channel->name, sizeof channel->name, "%s%.0d", c == POWER ? "power" : "part",
                     c == POWER ? 0 : c + 1);
        }
    }
}

static void fill_setups(void)
{
    record->setup_count = SETUPS_MAX;
    for (int s = 0; s < SETUPS_MAX; s++) {
        record->setup[s] = (struct setup_record){.number = s + 1, .bike = usual_bike()};
        record->setup[s].bike.value[BIKE_PAD_RISE] -= s % 5;
        record->setup[s].bike.value[BIKE_SPACERS] += floor(s / 5.0);
    }
    record->build_count = BUILDS_MAX;
    for (int b = 0; b < BUILDS_MAX; b++) {
        record->build[b] = (struct build_record){.setup = b % SETUPS_MAX,
                                                 .placing = b * PLACINGS_MAX / BUILDS_MAX,
                                                 .ordinal = 1 + b / SETUPS_MAX,
                                                 .first_sample = 4 * (int64_t)b * READINGS};
    }
    record->tie_reading_count = TIES_MAX;
    for (int t = 0; t < TIES_MAX; t++) {
        record->tie_reading[t] = (struct tie_reading_record){.build = t / 4,
                                                             .channel = t % 4,
                                                             .value_mm = 300.0,
                                                             .plate_height_mm = 700.0,
                                                             .at_sample = 4 * (t / 4) * READINGS};
    }
}

/* Four holds on each build, the last of them guided. */
static void fill_holds(void)
{
    record->capture_count = CAPTURES_MAX;
    for (int i = 0; i < CAPTURES_MAX; i++) {
        record->capture[i] =
            (struct capture_record){.kind = i < HOLDS_MAX ? CAPTURE_HOLD : CAPTURE_TARGET,
                                    .first_sample = (int64_t)i * READINGS,
                                    .last_sample = (int64_t)(i + 1) * READINGS - 1};
    }
    record->last_sample = (int64_t)CAPTURES_MAX * READINGS - 1;
    record->target_count = TARGETS_MAX;
    for (int t = 0; t < TARGETS_MAX; t++) {
        record->target[t].capture = HOLDS_MAX + t;
        record->target[t].build = t;
        record->target[t].kept = true;
    }
    record->band_count = BANDS_MAX;
    for (int b = 0; b < BANDS_MAX; b++) {
        for (int c = 0; c < CHANNELS_MAX; c++) {
            record->band[b].limited[c] = true;
            record->band[b].cue[c] =
                (struct cue_settings){.band_above_mm = 90, .band_below_mm = 90};
        }
    }
    record->hold_count = HOLDS_MAX;
    for (int h = 0; h < HOLDS_MAX; h++) {
        record->hold[h] = (struct hold_record){.number = h + 1,
                                               .capture = h,
                                               .build = h / 4,
                                               .target = h % TARGETS_MAX,
                                               .band = h % BANDS_MAX,
                                               .guided = h % 4 == 3,
                                               .planned_s = 30.0,
                                               .status = HOLD_COMPLETE,
                                               .guessed_share = NAN};
    }
    record->mark_count = MARKS_MAX;
    for (int m = 0; m < MARKS_MAX; m++) {
        record->mark[m] = (struct mark_record){.hold = m % HOLDS_MAX, .sample = 1};
    }
}

static void fill_the_rest(void)
{
    record->rating_count = RATINGS_MAX;
    for (int r = 0; r < RATINGS_MAX; r++) {
        record->rating[r].setup = r % SETUPS_MAX;
        record->rating[r].value[RATING_SEES_AHEAD] = 1;
    }
    record->check_count = CHECKS_MAX;
    for (int i = 0; i < CHECKS_MAX; i++) {
        struct check_record *check = &record->check[i];
        check->kind = CHECK_STEP;
        check->placing = i % PLACINGS_MAX;
        check->channel = i / PLACINGS_MAX % BODY;
        check->number_count = CHECK_NUMBERS_MAX;
        for (int n = 0; n < CHECK_NUMBERS_MAX; n++) {
            check->number[n].quantity = CHECK_SCALE_ERROR;
            check->number[n].channel = check->channel;
        }
    }
}

static void set_up(void)
{
    struct problem problem = {0};
    record = calloc(1, sizeof *record);
    analysis = analysis_create();
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    snprintf(record->rider.code, sizeof record->rider.code, "R-07");
    record->has_rider = true;
    fill_sensors();
    fill_setups();
    fill_holds();
    fill_the_rest();
    ck_assert_msg(analysis_make(record, samples_of, NULL, analysis, &problem), "%s",
                  problem.sentence);
}

static void tear_down(void)
{
    analysis_destroy(analysis);
    free(record);
}

/* What is measured and compared, against what the samples are made of. */
START_TEST(every_hold_and_every_setup_is_measured)
{
    ck_assert_int_eq(analysis->channel_count, CHANNELS_MAX);
    for (int h = 0; h < HOLDS_MAX; h++) {
        const struct hold_result *result = &analysis->hold[h];
        ck_assert(result->counts && !result->has[POWER]);
        ck_assert_double_eq_tol(result->duration_s, (READINGS - 1) / RATE_HZ, 0.2);
        ck_assert_double_eq_tol(result->auxiliary_mean[AUXILIARY_POWER], 200.0, 1e-9);
        for (int c = 0; c < BODY; c++) {
            if (!sees(h, c)) {
                ck_assert_int_eq(hold_use_of(record, analysis, h, c), HOLD_UNUSED_NO_NUMBERS);
                continue;
            }
            ck_assert_int_eq(result->summary[c].status, MEASURE_OK);
            ck_assert(result->summary[c].has_band);
            ck_assert_double_eq_tol(result->summary[c].mean_mm -
                                        analysis->hold[0].summary[c].mean_mm,
                                    -LOWER_MM * hold_setup(h), 0.5);
            ck_assert_int_eq(hold_use_of(record, analysis, h, c), HOLD_USED);
        }
    }
    for (int c = 0; c < BODY; c++) {
        const struct comparison *heights = &analysis->free_heights[c];
        ck_assert_int_eq(heights->setup_count, SETUPS_MAX);
        for (int s = 1; s < SETUPS_MAX; s++) {
            int builds = s < BUILDS_MAX % SETUPS_MAX ? 3 : 2; /* 100 on 40 setups */
            int seen = sees(4, c) ? builds : s == hold_setup(HOLDS_MAX - 1);
            ck_assert_int_eq(analysis_estimate(analysis, c, s)->builds, seen);
            ck_assert_int_eq(analysis_estimate(analysis, c, s)->holds, 3 * seen);
            ck_assert_int_eq(analysis->guided_holds[s], builds);
            ck_assert_double_eq_tol(analysis_difference(analysis, c, s)->difference,
                                    seen > 0 ? -LOWER_MM * s : 0.0, 0.5);
        }
    }
    ck_assert_int_eq(analysis_estimate(analysis, BODY, 1)->holds, 0);
}
END_TEST

/* Of all that asks of builds, setups, holds and channels there is an answer for the last ones. */
START_TEST(what_is_asked_of_the_last_ones_is_answered)
{
    struct hour_holds asked = {.each = {.holds = 3, .hold_s = 30}};
    struct plan_of_hour plan;
    struct insight_suggestion suggestion;
    struct learning *learning = malloc(sizeof *learning);
    int latest[CHECK_LATEST_MAX];
    double shift_mm;
    ck_assert_ptr_nonnull(learning);
    for (int b = 0; b < BUILDS_MAX; b++) {
        ck_assert(!analysis_moved_unanswered(record, analysis, b));
        ck_assert_int_lt(plate_ends_open(record, b), TIES_MAX);
        ck_assert_int_eq(slip_build_before(record, b), -1 /* on another placing */);
        plan_of_hour_make(record, analysis, b, NAN, &asked, &plan);
        ck_assert_int_eq(plan.holds, 3);
    }
    ck_assert_int_eq(slip_unanswered(record, analysis), -1);
    for (int s = 0; s < SETUPS_MAX; s++) {
        ck_assert_int_eq(setup_complaint(record, s), COMPLAINT_NONE);
        insight_suggest(record, analysis, s, NULL, &suggestion);
        ck_assert_int_eq(suggestion.purpose, STEPS_NOTHING);
    }
    ck_assert_int_eq(insight_suggest_from(record, analysis), SETUPS_MAX - 1); /* the lowest */
    for (int p = 0; p < PLACINGS_MAX; p++) {
        ck_assert_int_eq(check_latest(record, p, latest), BODY);
    }
    for (int i = 0; i < CHECKS_MAX; i++) {
        ck_assert_double_eq(
            check_value(&record->check[i], CHECK_SCALE_ERROR, record->check[i].channel, 0), 0.0);
        ck_assert(isnan(check_value(&record->check[i], CHECK_SCALE_ERROR, POWER, 0)));
        check_step_shifted(record, i, &shift_mm);
    }
    learning_begin(learning);
    learning_take(learning, 1, record, analysis);
    learning_conclude(learning);
    ck_assert_int_eq(learning->day_count, 0); /* a studio's */
    free(learning);
}
END_TEST

/* The most sessions, each with all setups. */
START_TEST(full_sessions_are_set_beside_each_other)
{
    struct across_session sessions[ACROSS_SESSIONS_MAX];
    struct problem problem = {0};
    record->hold_count = HOLDS_MAX / ACROSS_SESSIONS_MAX; /* of all together there is a most, too */
    for (int s = 0; s < ACROSS_SESSIONS_MAX; s++) {
        sessions[s] = (struct across_session){s + 1, record, analysis};
    }
    struct across *across = across_make(sessions, ACROSS_SESSIONS_MAX, -1, &problem);
    ck_assert_msg(across != NULL, "%s", problem.sentence);
    ck_assert_int_eq(across->session_count, ACROSS_SESSIONS_MAX);
    ck_assert_int_eq(across->channel_count, BODY);
    ck_assert_int_eq(across->setup_count, HOLDS_MAX / ACROSS_SESSIONS_MAX / 4);
    for (int s = 0; s < ACROSS_SESSIONS_MAX; s++) {
        ck_assert_int_eq(across->setup[1].number_in[s], 2);
        ck_assert_int_eq(across->setup[1].holds_in[s], 3);
        ck_assert_int_eq(visit_next(across, s, 0), s + 1 < ACROSS_SESSIONS_MAX ? s + 1 : -1);
    }
    across_destroy(across);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("full_analysis");
    TCase *tests = tcase_create("full_analysis");
    suite_add_tcase(suite, tests);
    tcase_add_unchecked_fixture(tests, set_up, tear_down);
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, every_hold_and_every_setup_is_measured);
    tcase_add_test(tests, what_is_asked_of_the_last_ones_is_answered);
    tcase_add_test(tests, full_sessions_are_set_beside_each_other);
    return test_main(suite);
}
