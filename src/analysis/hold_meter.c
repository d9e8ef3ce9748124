/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/hold_meter.h"

#include "analysis_inside.h"
#include "analysis_signal.h"
#include "insight_inside.h"
#include "piece_cuts.h"

#include "measure/hold_pair.h"
#include "measure/hold_stream.h"
#include "measure/rules.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PIECE_S 60.0
#define PIECE_SAMPLES 8192 /* of a fast rig a piece is shorter */
#define PIECE_GAP_S 2.0    /* nothing for longer: a piece ends before it */
#define MINUTES_MAX ((size_t)(HOLD_MOST_S / MINUTE_ROW_S) + 2)

struct hold_meter {
    int hold, channel_count;
    bool minutes_only; /* steps are not looked for, nor what costs as much */
    bool begun, over, failed;
    int64_t start_us;
    double piece_from_s, last_s;
    struct sample *waiting; /* of the piece that is not over */
    size_t count, room;
    struct up_watch watch;
    struct piece_cuts cuts;
    double *minute_up_s;
    struct hold_settings settings[CHANNELS_MAX];
    double zero_mm[CHANNELS_MAX], far_mm[CHANNELS_MAX]; /* heights of two ranges */
    struct hold_stream *stream[CHANNELS_MAX];           /* NULL: no height */
    struct auxiliary_sums sums;
    struct hold_health_watch *health;
    struct hold_result result; /* what is summed up in it */
};

#define FAR_TENTHS 10000

static const struct placing_record *placing_of(const struct session_record *record,
                                               const struct hold_meter *meter)
{
    return analysis_placing_of(record, record->hold[meter->hold].build);
}

static double height_of(const struct hold_meter *meter, const struct session_record *record,
                        const struct analysis *analysis, int channel, int32_t range)
{
    return analysis_height_mm(record, analysis, record->hold[meter->hold].build, channel, range);
}

struct hold_meter *hold_meter_create(const struct session_record *record,
                                     const struct analysis *analysis, int hold)
{
    struct hold_meter *meter = calloc(1, sizeof *meter);
    if (meter == NULL) {
        return NULL;
    }
    meter->hold = hold;
    const struct placing_record *placing = placing_of(record, meter);
    meter->channel_count = placing->channel_count;
    meter->room = PIECE_SAMPLES;
    meter->waiting = malloc(meter->room * sizeof *meter->waiting);
    meter->minute_up_s = calloc(MINUTES_MAX, sizeof *meter->minute_up_s);
    meter->health = hold_health_begin(placing->channel_count);
    bool there = meter->waiting != NULL && meter->minute_up_s != NULL && meter->health != NULL;
    for (int c = 0; c < meter->channel_count; c++) {
        analysis_hold_settings(record, analysis, &record->hold[hold], c, &meter->settings[c]);
        meter->zero_mm[c] = height_of(meter, record, analysis, c, 0);
        meter->far_mm[c] = height_of(meter, record, analysis, c, FAR_TENTHS);
        if (placing->channel[c].role != ROLE_AUXILIARY) {
            meter->stream[c] =
                hold_stream_create(&meter->settings[c], placing->announced_rate_hz, HOLD_MOST_S);
            there = there && meter->stream[c] != NULL;
        }
    }
    up_watch_begin(&meter->watch, record, hold, meter->settings);
    if (!there) {
        hold_meter_destroy(meter);
        return NULL;
    }
    return meter;
}

void hold_meter_destroy(struct hold_meter *meter)
{
    struct hold_health unused;
    if (meter == NULL) {
        return;
    }
    for (int c = 0; c < CHANNELS_MAX; c++) {
        hold_stream_destroy(meter->stream[c]);
    }
    hold_health_end(meter->health, &unused);
    free(meter->waiting);
    free(meter->minute_up_s);
    free(meter);
}

/* ---- cuts ---- */

static void add_up(struct hold_meter *meter, struct hold_cut cut)
{
    meter->result.sat_up_times++;
    meter->result.sat_up_s += cut.to_s - cut.from_s;
    for (size_t m = (size_t)(cut.from_s / MINUTE_ROW_S); m < MINUTES_MAX; m++) {
        double from_s = (double)m * MINUTE_ROW_S;
        if (from_s >= cut.to_s) {
            break;
        }
        meter->minute_up_s[m] += fmin(cut.to_s, from_s + MINUTE_ROW_S) - fmax(cut.from_s, from_s);
    }
    piece_cuts_up(&meter->cuts, cut);
}

/* Marks of what is waiting. */
static void take_marks(struct hold_meter *meter, const struct session_record *record)
{
    for (int m = 0; m < record->mark_count; m++) {
        const struct mark_record *mark = &record->mark[m];
        int64_t at = meter->count > 0 ? mark->sample - meter->waiting[0].number : -1;
        if (mark->hold == meter->hold && mark->cut && at >= 0 && at < (int64_t)meter->count) {
            piece_cuts_mark(&meter->cuts, m,
                            (double)(meter->waiting[at].time_us - meter->start_us) / 1e6);
        }
    }
}

/* ---- a piece ---- */

static void look_for_steps(struct hold_meter *meter, const struct analysis *analysis)
{
    for (int c = 0; c < meter->channel_count; c++) {
        double step_mm, at_s, other_mm;
        bool others = false, moved = false;
        if (meter->stream[c] == NULL ||
            !hold_stream_look(meter->stream[c], meter->over, &step_mm, &at_s)) {
            continue;
        }
        for (int other = 0; other < meter->channel_count && analysis->body[c]; other++) {
            if (other == c || !analysis->body[other] || meter->stream[other] == NULL) {
                continue;
            }
            bool known = hold_stream_step_at(meter->stream[other], at_s, &other_mm) == MEASURE_OK;
            others = true;
            moved = moved || analysis_stepped_along(known, other_mm, step_mm);
        }
        meter->result.step_alone[c] = others && !moved;
    }
}

/* x and y of the piece; the first two parts of the body (insight.c). */
static void look_together(struct hold_meter *meter, const struct hold_input *x,
                          const struct hold_input *y)
{
    struct ellipse both[2] = {meter->result.ellipse};
    if (hold_pair_piece(x, y, &both[1]) == MEASURE_OK) {
        int first = meter->result.together ? 0 : 1;
        meter->result.together =
            ellipse_pool(both + first, 2 - first, &meter->result.ellipse) == MEASURE_OK;
    }
}

static void add_auxiliaries(struct hold_meter *meter, const struct session_record *record,
                            size_t count, struct signal *signal)
{
    for (size_t i = 0; i < count; i++) { /* valid is not wanted any more */
        signal->valid[i] = 0;
        for (size_t k = 0; k < signal->input.cut_count; k++) {
            signal->valid[i] |= signal->time_s[i] >= signal->cut[k].from_s &&
                                signal->time_s[i] < signal->cut[k].to_s;
        }
    }
    auxiliary_add(placing_of(record, meter), meter->waiting, count, signal->valid, &meter->sums);
}

/* The first count samples of what is waiting, up to to_s; times are the hold's. */
static bool add_piece(struct hold_meter *meter, const struct session_record *record,
                      const struct analysis *analysis, size_t count, double to_s)
{
    struct signal signal[2]; /* of the channel, and of the one it is looked at with */
    struct hold_cut cut[PIECE_CUTS_MAX];
    double from_s = meter->piece_from_s;
    int x = -1, y = -1, build = record->hold[meter->hold].build;
    bool there = signal_allocate(&signal[0], count);
    there = signal_allocate(&signal[1], count) && there;
    double up_since_s = meter->watch.sat.up ? meter->watch.sat.since_s : (double)NAN;
    size_t cuts = piece_cuts_take(&meter->cuts, from_s, to_s, up_since_s, cut);
    double shift_s = (double)(meter->waiting[0].time_us - meter->start_us) / 1e6 - from_s;
    insight_pick_channels(analysis, &x, &y);
    for (int c = 0; there && c < meter->channel_count; c++) {
        struct signal *at = &signal[c == y];
        signal_fill(record, analysis, build, c, meter->waiting, count, at);
        for (size_t i = 0; i < count; i++) {
            at->time_s[i] += shift_s;
        }
        memcpy(at->cut, cut, cuts * sizeof *cut);
        at->input.cut_count = cuts;
        at->input.duration_s = to_s - from_s;
        if (meter->stream[c] != NULL) {
            there = hold_stream_add(meter->stream[c], &at->input, from_s) != MEASURE_NO_MEMORY;
        }
        if (c == x && !meter->minutes_only) {
            look_together(meter, &signal[0].input, &signal[1].input);
        }
    }
    if (there) {
        add_auxiliaries(meter, record, count, &signal[0]);
    }
    signal_free(&signal[0]);
    signal_free(&signal[1]);
    return there;
}

/* What is waiting and earlier than to_s, or all of it, is a piece; the rest waits on. */
static void end_piece(struct hold_meter *meter, const struct session_record *record,
                      const struct analysis *analysis, double to_s, bool all)
{
    size_t count = 0;
    take_marks(meter, record);
    while (count < meter->count &&
           (all || (double)(meter->waiting[count].time_us - meter->start_us) / 1e6 < to_s)) {
        count++;
    }
    if (count == 0) {
        return;
    }
    meter->failed = !add_piece(meter, record, analysis, count, to_s) || meter->failed;
    if (!meter->minutes_only) {
        hold_health_add(meter->health, meter->waiting, count);
        look_for_steps(meter, analysis);
    }
    meter->count -= count;
    memmove(meter->waiting, meter->waiting + count, meter->count * sizeof *meter->waiting);
    meter->piece_from_s = to_s;
}

void hold_meter_sample(struct hold_meter *meter, const struct session_record *record,
                       const struct analysis *analysis, const struct sample *sample)
{
    struct hold_cut cut;
    if (!meter->begun) {
        meter->begun = true;
        meter->start_us = sample->time_us;
        meter->result.start_s = (double)sample->time_us / 1e6;
    } else {
        meter->result.lost += sample->lost_before;
    }
    double at_s = (double)(sample->time_us - meter->start_us) / 1e6;
    if (at_s - meter->last_s > PIECE_GAP_S && meter->count > 0) {
        end_piece(meter, record, analysis, meter->last_s, true);
        meter->piece_from_s = at_s;
    } else if (meter->count == 0) {
        meter->piece_from_s = at_s;
    }
    meter->waiting[meter->count++] = *sample;
    meter->last_s = at_s;
    if (up_watch_step(&meter->watch, record, analysis, sample, at_s, &cut)) {
        add_up(meter, cut);
    }
    double known_s = fmin(up_watch_known_s(&meter->watch), at_s - MARK_CUT_BEFORE_S);
    if (known_s - meter->piece_from_s >= PIECE_S) {
        end_piece(meter, record, analysis, known_s, false);
    }
    if (meter->count == meter->room) { /* not known for long, or a fast rig */
        end_piece(meter, record, analysis, at_s, true);
    }
}

void hold_meter_end(struct hold_meter *meter, const struct session_record *record,
                    const struct analysis *analysis)
{
    struct hold_cut cut;
    if (up_watch_end(&meter->watch, &cut)) {
        add_up(meter, cut);
    }
    meter->over = true;
    end_piece(meter, record, analysis, meter->last_s, true);
    meter->result.duration_s = meter->last_s;
}

/* ---- what it comes to ---- */

static int marks_of(const struct hold_meter *meter, const struct session_record *record)
{
    int count = 0;
    for (int m = 0; m < record->mark_count; m++) {
        count += record->mark[m].hold == meter->hold && record->mark[m].cut;
    }
    return count;
}

static bool same(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

static bool same_settings(const struct hold_settings *a, const struct hold_settings *b)
{
    return a->has_target == b->has_target && a->has_band == b->has_band &&
           same(a->target_mm, b->target_mm) && cue_settings_equal(&a->cue, &b->cue);
}

bool hold_meter_stands(const struct hold_meter *meter, const struct session_record *record,
                       const struct analysis *analysis)
{
    bool stands = !meter->failed && meter->cuts.marks_taken == marks_of(meter, record) &&
                  placing_of(record, meter)->channel_count == meter->channel_count;
    for (int c = 0; stands && c < meter->channel_count; c++) {
        struct hold_settings settings;
        analysis_hold_settings(record, analysis, &record->hold[meter->hold], c, &settings);
        stands = same_settings(&settings, &meter->settings[c]) &&
                 same(meter->zero_mm[c], height_of(meter, record, analysis, c, 0)) &&
                 same(meter->far_mm[c], height_of(meter, record, analysis, c, FAR_TENTHS));
    }
    return stands;
}

size_t hold_meter_rows(const struct hold_meter *meter, int channel, struct minute_row *rows,
                       size_t most)
{
    most = most < MINUTES_MAX ? most : MINUTES_MAX;
    size_t count = meter->stream[channel] != NULL
                       ? hold_stream_minutes(meter->stream[channel], meter->last_s, rows, most)
                       : 0;
    for (size_t r = 0; r < count; r++) {
        rows[r].up_s = meter->minute_up_s[r];
    }
    return count;
}

void hold_meter_result(struct hold_meter *meter, const struct session_record *record,
                       const struct analysis *analysis, struct hold_result *result)
{
    struct hold_health health = result->health;
    struct minute_row *rows = malloc(MINUTES_MAX * sizeof *rows);
    *result = meter->result;
    for (int c = 0; c < meter->channel_count; c++) {
        struct hold_summary *summary = &result->summary[c];
        if (meter->stream[c] == NULL) {
            continue;
        }
        hold_stream_summarise(meter->stream[c], meter->last_s, summary);
        result->has[c] = true;
        result->stepped = result->stepped || (analysis->body[c] && summary->stepped);
        size_t minutes = rows != NULL ? hold_meter_rows(meter, c, rows, MINUTES_MAX) : 0;
        if (minutes > 0) {
            minutes_course(rows, minutes, &result->course[c]);
        }
        if (minutes > 0 && summary->sustain_reached) {
            minutes_course_after(rows, minutes, summary->sustain_s, &result->course[c]);
        }
    }
    free(rows);
    auxiliary_means(&meter->sums, result);
    const struct capture_record *capture = &record->capture[record->hold[meter->hold].capture];
    if (!hold_health_is_of(&health, capture->first_sample, capture->last_sample,
                           meter->channel_count)) {
        hold_health_end(meter->health, &health);
        meter->health = NULL;
    }
    result->health = health;
    result->link_gap = health.link_gap;
    result->counts = analysis_hold_counts(&record->hold[meter->hold]);
    analysis_posture_share(record, meter->hold, analysis, result);
}

void hold_meter_so_far(const struct hold_meter *meter, int channel, struct hold_summary *summary)
{
    memset(summary, 0, sizeof *summary);
    summary->status = MEASURE_TOO_FEW;
    if (meter->stream[channel] != NULL) {
        hold_stream_so_far(meter->stream[channel], meter->piece_from_s, summary);
    }
}

/* ---- read again ---- */

struct reading {
    struct hold_meter *meter;
    const struct session_record *record;
    const struct analysis *analysis;
};

static void take_read(void *taker, const struct sample *samples, size_t count)
{
    const struct reading *reading = taker;
    for (size_t i = 0; i < count; i++) {
        hold_meter_sample(reading->meter, reading->record, reading->analysis, &samples[i]);
    }
}

bool hold_meter_read(struct hold_meter *meter, const struct session_record *record,
                     const struct analysis *analysis, int64_t first, int64_t last,
                     sample_source *source, void *context)
{
    struct reading reading = {meter, record, analysis};
    return samples_in_turn(source, context, first, last, take_read, &reading);
}

static struct hold_meter *read_again(const struct session_record *record, int index,
                                     bool minutes_only, sample_source *source, void *context,
                                     const struct analysis *analysis, struct problem *problem)
{
    const struct capture_record *capture = &record->capture[record->hold[index].capture];
    struct hold_meter *meter = hold_meter_create(record, analysis, index);
    if (meter == NULL) {
        problem_set(problem, "no memory for a hold's samples");
        return NULL;
    }
    meter->minutes_only = minutes_only;
    if (!hold_meter_read(meter, record, analysis, capture->first_sample, capture->last_sample,
                         source, context)) {
        problem_set(problem, "the samples of hold %d are not there", record->hold[index].number);
        hold_meter_destroy(meter);
        return NULL;
    }
    hold_meter_end(meter, record, analysis);
    if (meter->failed) {
        problem_set(problem, "no memory for a hold's samples");
        hold_meter_destroy(meter);
        return NULL;
    }
    return meter;
}

bool analysis_ride(const struct session_record *record, int index, sample_source *source,
                   void *context, struct analysis *analysis, struct problem *problem)
{
    struct hold_meter *meter = read_again(record, index, false, source, context, analysis, problem);
    if (meter == NULL) {
        return false;
    }
    hold_meter_result(meter, record, analysis, &analysis->hold[index]);
    hold_meter_destroy(meter);
    return true;
}

size_t analysis_ride_minutes(const struct session_record *record, const struct analysis *analysis,
                             int index, int channel, sample_source *source, void *context,
                             struct minute_row *rows, size_t most)
{
    struct hold_meter *meter = read_again(record, index, true, source, context, analysis, NULL);
    size_t count = meter != NULL ? hold_meter_rows(meter, channel, rows, most) : 0;
    hold_meter_destroy(meter);
    return count;
}
