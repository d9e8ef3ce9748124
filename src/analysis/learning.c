/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/learning.h"

#include "analysis/hold_use.h"
#include "analysis/practice_band.h"
#include "analysis_inside.h"
#include "base/clock.h"
#include "measure/rules.h"

#include <math.h>
#include <string.h>

/* Sessions taken in: tests, pieces, ratings. What follows stands in learning_conclude.c. */

void learning_begin(struct learning *learning)
{
    memset(learning, 0, sizeof *learning);
    learning->total_most_s = INFINITY;
    learning->board_mm = NAN;
    learning->asks_item = -1;
    learning->piece = piece_length_first((double)NAN);
}

/* The learning's channel of this name; a new one where it has room. -1: none. */
static int channel_of(struct learning *learning, const char *name)
{
    for (int c = 0; c < learning->channel_count; c++) {
        if (strcmp(learning->channel[c], name) == 0) {
            return c;
        }
    }
    if (learning->channel_count == CHANNELS_MAX) {
        return -1;
    }
    memcpy(learning->channel[learning->channel_count], name, CHANNEL_NAME_SIZE);
    return learning->channel_count++;
}

static bool was_practised(const struct hold_record *hold)
{
    return (hold->purpose == PURPOSE_PIECE || hold->purpose == PURPOSE_RIDE) &&
           hold->status != HOLD_RUNNING;
}

/* Since the last practice before a time; INFINITY: there was none. */
static double ms_since_practice(const struct learning *learning, int64_t at_ms)
{
    for (int d = learning->day_count - 1; d >= 0; d--) {
        if (learning->day[d].practised && learning->day[d].at_ms < at_ms) {
            return (double)(at_ms - learning->day[d].at_ms);
        }
    }
    return INFINITY;
}

/* ---- a test ---- */

/* Is there something to say of how the band was kept? */
static bool has_kept_band(const struct session_record *record, const struct analysis *analysis,
                          int index, int channel)
{
    const struct hold_result *result = &analysis->hold[index];
    const struct hold_summary *summary = &result->summary[channel];
    return record->hold[index].target >= 0 && analysis->body[channel] && result->has[channel] &&
           summary->status == MEASURE_OK && summary->has_band;
}

/* What speaks against where the posture was beside the target; TEST_COUNTS: nothing. */
static enum test_left_out doubt_of(const struct session_record *record,
                                   const struct analysis *analysis, int index)
{
    const struct hold_record *hold = &record->hold[index];
    bool tied = true, slipped = false, any = false;
    for (int c = 0; c < analysis->channel_count; c++) {
        if (has_kept_band(record, analysis, index, c)) {
            any = true;
            tied = tied && hold_is_beside_target(record, analysis, index, c);
            slipped = slipped || analysis->tie[hold->build][c].found.kind == TIE_FOUND_ENDS;
        }
    }
    return !any                            ? TEST_NO_BAND
           : !tied                         ? TEST_NOT_TIED
           : slipped                       ? TEST_SLIPPED
           : analysis->hold[index].stepped ? TEST_MOVED
                                           : TEST_COUNTS;
}

static int board_of(const struct learning *learning, const char *channel)
{
    int at = 0;
    while (at < learning->board_count && strcmp(learning->board_channel[at], channel) != 0) {
        at++;
    }
    return at;
}

/* How far the board lay off the first day's when it was read last on a hold's build, the worst of
 * the parts that have a band; 0 where that is nothing to ask about. */
static double board_apart_mm(const struct learning *learning, const struct session_record *record,
                             const struct analysis *analysis, int index)
{
    const int build = record->hold[index].build;
    double apart_mm[CHANNELS_MAX] = {0.0}, worst_mm = 0.0;
    for (int i = 0; i < record->tie_reading_count; i++) {
        const struct tie_reading_record *reading = &record->tie_reading[i];
        int c = reading->channel;
        int at = reading->rest == REST_PADS && reading->build == build
                     ? board_of(learning, analysis_placing_of(record, build)->channel[c].name)
                     : learning->board_count;
        if (at < learning->board_count) {
            apart_mm[c] = fabs(reading->value_mm - learning->board_range_mm[at]);
        }
    }
    for (int c = 0; c < analysis->channel_count; c++) {
        worst_mm =
            has_kept_band(record, analysis, index, c) ? fmax(worst_mm, apart_mm[c]) : worst_mm;
    }
    return worst_mm > BOARD_APART_MM ? worst_mm : 0.0;
}

/* False: none has a band, or room. */
static bool take_channels(struct learning *learning, const struct session_record *record,
                          const struct analysis *analysis, int index, struct learning_test *test)
{
    bool any = false;
    for (int c = 0; c < analysis->channel_count; c++) {
        const struct hold_summary *summary = &analysis->hold[index].summary[c];
        bool there = has_kept_band(record, analysis, index, c);
        int at = there ? channel_of(learning, analysis->channel_name[c]) : -1;
        if (at < 0) {
            continue;
        }
        double blocks =
            summary->effective_n > 0.0 ? summary->effective_n : summary->kept_s / BLOCK_LENGTH_S;
        any = test->has[at] = true;
        test->result[at] = (struct practice_test){summary->in_band_share, blocks,
                                                  summary->sustain_s, !summary->sustain_reached};
        test->offset_mm[at] = summary->offset_mm;
        test->steadiness_mm[at] = summary->steadiness_mm;
        test->cues_per_min[at] = summary->cues_per_min;
    }
    return any;
}

/* Of its session, or so soon after one of another that it is the same day's. */
static bool is_second(const struct learning *learning, const struct learning_test *test)
{
    for (int t = 0; t < learning->test_count; t++) {
        const struct learning_test *before = &learning->test[t];
        double apart_ms = fabs((double)(test->at_ms - before->at_ms));
        if (before->left_out == TEST_COUNTS &&
            (before->session == test->session ||
             apart_ms < TEST_SAME_DAY_H * (double)CLOCK_HOUR_MS)) {
            return true;
        }
    }
    return false;
}

static void take_test(struct learning *learning, int64_t id, const struct session_record *record,
                      const struct analysis *analysis, int index)
{
    const struct hold_record *hold = &record->hold[index];
    const struct hold_result *result = &analysis->hold[index];
    if (learning->test_count == LEARNING_TESTS_MAX) {
        learning->too_many++;
        return;
    }
    struct learning_test *test = &learning->test[learning->test_count];
    memset(test, 0, sizeof *test);
    test->at_ms = record->started_ms + (int64_t)(result->start_s * 1e3);
    test->session = id;
    test->hold = hold->number;
    test->power_w = result->auxiliary_mean[AUXILIARY_POWER];
    test->cadence_per_min = result->auxiliary_mean[AUXILIARY_CADENCE];
    test->posture_share = result->posture_share;
    test->guessed_share = hold->guessed_share;
    test->board_apart_mm = board_apart_mm(learning, record, analysis, index);
    double since_ms = ms_since_practice(learning, test->at_ms);
    test->phase = isinf(since_ms)                                      ? PHASE_BASE
                  : since_ms >= KEEP_FIRST_DAYS * (double)CLOCK_DAY_MS ? PHASE_KEEP
                                                                       : PHASE_PRACTICE;
    test->left_out = take_channels(learning, record, analysis, index, test)
                         ? doubt_of(record, analysis, index)
                         : TEST_NO_BAND;
    if (hold->status != HOLD_COMPLETE || hold->rejected || hold->kept_afterwards) {
        test->left_out = TEST_NOT_WHOLE;
    } else if (test->left_out != TEST_COUNTS) {
        ;
    } else if (test->posture_share < TEST_POSTURE_SHARE) {
        test->left_out = TEST_AWAY;
    } else if (since_ms < TEST_APART_H * (double)CLOCK_HOUR_MS) {
        test->left_out = TEST_TOO_SOON;
    } else if (is_second(learning, test)) {
        test->left_out = TEST_SECOND;
    }
    learning->test_count++;
}

/* ---- a day ---- */

static void take_pieces(struct learning *learning, const struct session_record *record,
                        const struct analysis *analysis, struct learning_day *day)
{
    double told = 0.0;
    int count = 0;
    for (int h = 0; h < record->hold_count; h++) {
        const struct hold_record *hold = &record->hold[h];
        bool lost;
        double length_s = analysis->hold[h].duration_s;
        double share = hold_worst_share(analysis, h, &lost);
        if (!was_practised(hold)) {
            continue;
        }
        day->practised = true;
        if (hold->purpose == PURPOSE_RIDE) {
            day->ride_s += length_s;
            continue;
        }
        day->pieces++;
        day->piece_s += length_s;
        day->longest_s = fmax(day->longest_s, length_s);
        if (told_during(hold->told) && isfinite(share)) {
            told += share;
            count++;
        }
        if (isfinite(share) && !hold->rejected) {
            learning->piece.length_s = isfinite(hold->planned_s) ? hold->planned_s : length_s;
            piece_length_next(&learning->piece,
                              hold->status == HOLD_COMPLETE && piece_kept(share, lost, (double)NAN),
                              day->sore);
        }
    }
    day->told_share = count > 0 ? told / count : (double)NAN;
}

static void take_ride(struct learning *learning, const struct learning_day *day,
                      const struct session_record *record, const struct analysis *analysis,
                      int hold)
{
    struct learning_ride ride = {.session = day->session};
    ride.at_ms = day->at_ms + (int64_t)(analysis->hold[hold].start_s * 1e3);
    if (!ride_summary_of(record, analysis, hold, &ride.summary)) {
        return;
    }
    ride.board_apart_mm = board_apart_mm(learning, record, analysis, hold);
    ride.doubt = record->hold[hold].rejected ? TEST_NOT_WHOLE : doubt_of(record, analysis, hold);
    if (learning->ride_count == LEARNING_RIDES_MAX) {
        learning->ride_count--;
        memmove(&learning->ride[0], &learning->ride[1],
                (size_t)learning->ride_count * sizeof learning->ride[0]);
    }
    learning->ride[learning->ride_count++] = ride;
}

static void take_ratings(const struct session_record *record, struct learning_day *day)
{
    for (int item = 0; item < RATING_ITEMS; item++) {
        day->discomfort[item] = day->morning[item] = NAN;
    }
    for (int r = 0; r < record->rating_count; r++) {
        const struct rating_record *rating = &record->rating[r];
        day->sign = day->sign || rating_ends_practice(rating);
        day->rated = day->rated || !rating->morning;
        day->sore =
            day->sore || (!rating->morning && rating_worst_discomfort(rating) >= PIECE_DISCOMFORT);
        for (int item = 0; item < RATING_ITEMS; item++) {
            double *at = rating->morning ? &day->morning[item] : &day->discomfort[item];
            if (!isnan(rating->value[item])) {
                *at = rating->value[item]; /* the last one is that of the end */
            }
        }
    }
}

/* How long the posture of the chosen setup was kept in the studio, in the band that it may be
 * practised by, where that is known; none was chosen: of all setups. */
static void take_studio(struct learning *learning, const struct session_record *record,
                        const struct analysis *analysis)
{
    int chosen = record->settings.chosen_setup;
    struct practice_kept kept;
    if (chosen > 0) {
        struct practice_band band;
        int setup = session_record_setup(record, chosen);
        practice_band_find(record, analysis, setup, &band);
        kept = practice_kept_of(record, analysis, setup, &band);
    } else {
        kept = practice_kept_of_all(record, analysis);
    }
    double kept_s = isfinite(kept.gone_after_s) ? kept.gone_after_s : kept.kept_s;
    if (isfinite(kept_s)) {
        learning->piece = piece_length_first(kept_s);
    }
}

/* ---- the board ---- */

/* The range at the session's end stands for it, whatever was read before the board lay right: a day
 * that was placed anew begins again. */
static void take_board(struct learning *learning, const struct session_record *record)
{
    bool taken[CHANNELS_MAX] = {false}, any = false;
    for (int i = record->tie_reading_count - 1; i >= 0; i--) {
        const struct tie_reading_record *reading = &record->tie_reading[i];
        if (reading->rest != REST_PADS) {
            continue;
        }
        const char *channel =
            analysis_placing_of(record, reading->build)->channel[reading->channel].name;
        int at = board_of(learning, channel);
        bool said = isfinite(reading->plate_height_mm) && !tie_reading_is_datum(reading);
        learning->board_mm = said && !any ? reading->plate_height_mm : learning->board_mm;
        any = any || said;
        if (at == CHANNELS_MAX || taken[at]) {
            continue;
        }
        taken[at] = true;
        bool anew = at == learning->board_count ||
                    fabs(reading->value_mm - learning->board_range_mm[at]) > BOARD_ANEW_MM;
        if (anew) {
            memcpy(learning->board_channel[at], channel, CHANNEL_NAME_SIZE);
            learning->board_range_mm[at] = reading->value_mm;
            learning->board_count += at == learning->board_count;
        }
    }
}

static void take_session(struct learning *learning, int64_t id, const struct session_record *record,
                         const struct analysis *analysis)
{
    bool any = false;
    learning->target_from =
        record->target_count > 0 && record->band_count > 0 ? id : learning->target_from;
    learning->health = record->rider.health != 0 ? record->rider.health : learning->health;
    for (int h = 0; h < record->hold_count; h++) {
        any = any || record->hold[h].purpose != PURPOSE_NONE;
    }
    if (!any) {
        take_studio(learning, record, analysis);
        return;
    }
    if (learning->day_count == LEARNING_DAYS_MAX) {
        learning->too_many++;
        return;
    }
    memcpy(learning->rider_code, record->rider.code, sizeof learning->rider_code);
    struct learning_day *day = &learning->day[learning->day_count];
    memset(day, 0, sizeof *day);
    day->at_ms = record->started_ms;
    day->session = id;
    day->test = -1;
    for (int h = 0; h < record->hold_count; h++) {
        if (record->hold[h].purpose == PURPOSE_TEST && record->hold[h].status != HOLD_RUNNING) {
            day->test = day->test < 0 && learning->test_count < LEARNING_TESTS_MAX
                            ? learning->test_count
                            : day->test;
            take_test(learning, id, record, analysis, h);
        }
    }
    take_ratings(record, day);
    take_pieces(learning, record, analysis, day);
    day->untold = day->practised && !day->rated && record->rider.health == ANSWER_YES;
    for (int h = 0; h < record->hold_count; h++) {
        take_ride(learning, day, record, analysis, h);
    }
    learning->day_count++;
}

void learning_take(struct learning *learning, int64_t id, const struct session_record *record,
                   const struct analysis *analysis)
{
    take_session(learning, id, record, analysis);
    take_board(learning, record); /* behind its tests, which are held against the days before */
}
