/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis_inside.h"
#include "insight_inside.h"

#include "measure/hold_pair.h"
#include "measure/rules.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct analysis *analysis_create(void)
{
    struct analysis *analysis = calloc(1, sizeof *analysis);
    if (analysis != NULL) { /* nothing follows from nothing */
        analysis->insight.x_channel = analysis->insight.y_channel = -1;
        for (int c = 0; c < CHANNELS_MAX; c++) {
            analysis->insight.steps[c].status = MEASURE_TOO_FEW;
        }
    }
    return analysis;
}

void analysis_destroy(struct analysis *analysis)
{
    free(analysis);
}

/* ---- signals ------------------------------------------------------------------------------- */

#define CUTS_MAX 128
/* One channel's arrays of one capture. */
struct signal {
    double *time_s, *height_mm;
    uint8_t *valid;
    struct hold_cut cut[CUTS_MAX];
    struct hold_input input;
};

static void signal_free(struct signal *signal)
{
    free(signal->time_s);
    free(signal->height_mm);
    free(signal->valid);
}

static bool signal_allocate(struct signal *signal, size_t count)
{
    memset(signal, 0, sizeof *signal);
    signal->time_s = malloc((count + 1) * sizeof(double));
    signal->height_mm = malloc((count + 1) * sizeof(double));
    signal->valid = malloc(count + 1);
    return signal->time_s != NULL && signal->height_mm != NULL && signal->valid != NULL;
}

static void signal_fill(const struct session_record *record, const struct analysis *analysis,
                        int build, int channel, const struct sample *samples, size_t count,
                        struct signal *signal)
{
    int64_t start_us = count > 0 ? samples[0].time_us : 0;
    uint64_t lost = 0;
    for (size_t i = 0; i < count; i++) {
        signal->time_s[i] = (double)(samples[i].time_us - start_us) / 1e6;
        signal->height_mm[i] = analysis_height_mm(record, analysis, build, channel,
                                                  samples[i].range_tenth_mm[channel]);
        signal->valid[i] = samples[i].quality[channel] == READING_GOOD;
        lost += i > 0 ? samples[i].lost_before : 0;
    }
    signal->input.time_s = signal->time_s;
    signal->input.height_mm = signal->height_mm;
    signal->input.valid = signal->valid;
    signal->input.count = count;
    signal->input.lost = lost;
    signal->input.rate_hz = analysis_placing_of(record, build)->announced_rate_hz;
    signal->input.cuts = signal->cut;
    signal->input.duration_s = count > 0 ? signal->time_s[count - 1] : 0.0;
}

/* Stretches in which the rider sat up. */
struct cuts {
    int count;
    struct hold_cut cut[CUTS_MAX / 2];
};

static void signal_cuts(const struct session_record *record, int hold, const struct sample *samples,
                        size_t count, const struct cuts *up, struct signal *signal)
{
    for (int m = 0; m < record->mark_count && signal->input.cut_count < CUTS_MAX; m++) {
        const struct mark_record *mark = &record->mark[m];
        if (mark->hold != hold || !mark->cut || count == 0) {
            continue;
        }
        int64_t index = mark->sample - samples[0].number;
        if (index < 0 || index >= (int64_t)count) {
            continue;
        }
        double at_s = signal->time_s[index];
        signal->cut[signal->input.cut_count].from_s = at_s - MARK_CUT_BEFORE_S;
        signal->cut[signal->input.cut_count].to_s = at_s + MARK_CUT_AFTER_S;
        signal->input.cut_count++;
    }
    for (int u = 0; u < up->count && signal->input.cut_count < CUTS_MAX; u++) {
        signal->cut[signal->input.cut_count++] = up->cut[u];
    }
}

/* ---- targets ------------------------------------------------------------------------------- */

static bool analyse_target(const struct session_record *record, int target, sample_source *source,
                           void *context, struct analysis *analysis, struct problem *problem)
{
    const struct target_record *recorded = &record->target[target];
    struct channel_target *results = analysis->target[target];
    memset(results, 0, sizeof analysis->target[target]);
    for (int c = 0; c < CHANNELS_MAX; c++) {
        if (!isnan(recorded->entered_mm[c])) {
            results[c].has = true;
            results[c].height_mm = recorded->entered_mm[c];
            results[c].half_width_mm = recorded->entered_half_width_mm[c];
            results[c].steadiness_mm = NAN;
        }
    }
    if (recorded->capture < 0 || record->capture[recorded->capture].last_sample == 0) {
        return true;
    }
    const struct capture_record *capture = &record->capture[recorded->capture];
    const struct sample *samples = NULL;
    size_t count = 0;
    if (!source(context, capture->first_sample, capture->last_sample, &samples, &count)) {
        return problem_set(problem, "the samples of the target are not there");
    }
    struct signal signal;
    if (!signal_allocate(&signal, count)) {
        signal_free(&signal);
        return problem_set(problem, "no memory for a target's samples");
    }
    const struct placing_record *placing = analysis_placing_of(record, recorded->build);
    for (int c = 0; c < placing->channel_count; c++) {
        if (placing->channel[c].role != ROLE_BODY || results[c].has) {
            continue;
        }
        struct target_estimate estimate;
        signal_fill(record, analysis, recorded->build, c, samples, count, &signal);
        if (target_estimate(&signal.input, &estimate) == MEASURE_OK) {
            results[c].has = true;
            results[c].height_mm = estimate.height_mm;
            results[c].half_width_mm = estimate.has_interval ? estimate.half_width_mm : NAN;
            results[c].steadiness_mm = estimate.steadiness_mm;
            results[c].not_settled = estimate.not_settled;
        }
    }
    signal_free(&signal);
    return true;
}

/* ---- holds --------------------------------------------------------------------------------- */

void analysis_hold_settings(const struct session_record *record, const struct analysis *analysis,
                            const struct hold_record *hold, int channel,
                            struct hold_settings *settings)
{
    memset(settings, 0, sizeof *settings);
    if (hold->target >= 0 && analysis->target[hold->target][channel].has) {
        settings->has_target = true;
        settings->target_mm = analysis->target[hold->target][channel].height_mm;
        if (hold->band >= 0 && record->band[hold->band].limited[channel]) {
            settings->has_band = true;
            settings->cue = record->band[hold->band].cue[channel];
        }
    }
}

/* The first two body channels together. */
static bool analyse_together(const struct session_record *record, int index,
                             const struct sample *samples, size_t count, const struct cuts *sat,
                             struct signal *across, struct analysis *analysis)
{
    struct hold_result *result = &analysis->hold[index];
    int build = record->hold[index].build, x = -1, y = -1;
    insight_pick_channels(analysis, &x, &y);
    if (x < 0 || !result->has[x] || !result->has[y]) {
        return true;
    }
    struct signal up;
    bool there = signal_allocate(&up, count);
    if (there) {
        signal_fill(record, analysis, build, x, samples, count, across);
        signal_fill(record, analysis, build, y, samples, count, &up);
        signal_cuts(record, index, samples, count, sat, &up);
        across->input.cut_count = 0;
        signal_cuts(record, index, samples, count, sat, across);
        result->together = hold_pair(&across->input, &up.input, &result->ellipse) == MEASURE_OK;
    }
    signal_free(&up);
    return there;
}

/* Whether the body's other channels stayed where one stepped. */
static void find_steps_alone(const struct session_record *record, int index,
                             const struct sample *samples, size_t count, const struct cuts *up,
                             struct signal *signal, struct analysis *analysis)
{
    struct hold_result *result = &analysis->hold[index];
    int build = record->hold[index].build;
    for (int c = 0; result->stepped && c < analysis->channel_count; c++) {
        const struct hold_summary *stepped = &result->summary[c];
        if (!analysis->body[c] || !result->has[c] || !stepped->stepped) {
            continue;
        }
        int others = 0, moved = 0;
        for (int other = 0; other < analysis->channel_count; other++) {
            double step_mm;
            if (other == c || !analysis->body[other] || !result->has[other]) {
                continue;
            }
            signal_fill(record, analysis, build, other, samples, count, signal);
            signal_cuts(record, index, samples, count, up, signal);
            bool known = hold_step_at(&signal->input, stepped->step_at_s, &step_mm) == MEASURE_OK;
            others++;
            moved += !known || STEP_ALONE * fabs(step_mm) >= fabs(stepped->step_mm);
        }
        result->step_alone[c] = others > 0 && moved == 0;
    }
}

/* In practice alone: in the studio a fitter sees it, and marks it. */
static void find_sat_up(const struct session_record *record, int index,
                        const struct sample *samples, size_t count, const struct analysis *analysis,
                        struct hold_result *result, struct cuts *up)
{
    result->posture_share = NAN;
    if (record->hold[index].purpose == PURPOSE_NONE || count < 2) {
        return;
    }
    struct hold_settings settings[CHANNELS_MAX];
    for (int c = 0; c < CHANNELS_MAX; c++) {
        analysis_hold_settings(record, analysis, &record->hold[index], c, &settings[c]);
    }
    up->count =
        analysis_sat_up(record, analysis, index, settings, samples, count, up->cut, CUTS_MAX / 2);
    for (int u = 0; u < up->count; u++) {
        result->sat_up_times++;
        result->sat_up_s += up->cut[u].to_s - up->cut[u].from_s;
    }
}

/* Seen by all sensors of the body that have a band, and not sat up. */
static void find_posture_share(const struct session_record *record, int index,
                               struct analysis *analysis)
{
    struct hold_result *result = &analysis->hold[index];
    double seen = 1.0;
    for (int c = 0; c < analysis->channel_count; c++) {
        const struct hold_summary *summary = &result->summary[c];
        if (analysis->body[c] && result->has[c] && summary->readings > 0) {
            seen = fmin(seen, (double)summary->valid / (double)summary->readings);
        }
    }
    if (record->hold[index].purpose != PURPOSE_NONE && result->duration_s > 0.0) {
        result->posture_share = fmax(0.0, seen * (1.0 - result->sat_up_s / result->duration_s));
    }
}

static bool analyse_hold(const struct session_record *record, int index, sample_source *source,
                         void *context, struct analysis *analysis, struct problem *problem)
{
    const struct hold_record *hold = &record->hold[index];
    struct hold_result *result = &analysis->hold[index];
    const struct hold_health health =
        result->health; /* follows from the samples alone: made once */
    memset(result, 0, sizeof *result);
    result->health = health;
    for (int kind = 0; kind < AUXILIARIES; kind++) {
        result->auxiliary_mean[kind] = (double)NAN;
    }
    const struct capture_record *capture = &record->capture[hold->capture];
    result->counts = analysis_hold_counts(hold);
    if (hold->status == HOLD_RUNNING || capture->last_sample < capture->first_sample) {
        return true;
    }
    const struct sample *samples = NULL;
    size_t count = 0;
    if (!source(context, capture->first_sample, capture->last_sample, &samples, &count)) {
        return problem_set(problem, "the samples of hold %d are not there", hold->number);
    }
    struct signal signal;
    if (!signal_allocate(&signal, count)) {
        signal_free(&signal);
        return problem_set(problem, "no memory for a hold's samples");
    }
    const struct placing_record *placing = analysis_placing_of(record, hold->build);
    struct cuts up = {0};
    find_sat_up(record, index, samples, count, analysis, result, &up);
    for (int c = 0; c < placing->channel_count; c++) {
        struct hold_settings settings;
        if (placing->channel[c].role == ROLE_AUXILIARY) {
            continue; /* no height: a plain mean, below */
        }
        signal_fill(record, analysis, hold->build, c, samples, count, &signal);
        signal_cuts(record, index, samples, count, &up, &signal);
        analysis_hold_settings(record, analysis, hold, c, &settings);
        hold_summarise(&signal.input, &settings, &result->summary[c]);
        result->has[c] = true;
        result->not_settled = result->not_settled || (placing->channel[c].role == ROLE_BODY &&
                                                      result->summary[c].not_settled);
        result->stepped = result->stepped ||
                          (placing->channel[c].role == ROLE_BODY && result->summary[c].stepped);
        result->lost = signal.input.lost;
    }
    find_steps_alone(record, index, samples, count, &up, &signal, analysis);
    bool done = analyse_together(record, index, samples, count, &up, &signal, analysis);
    uint8_t *cut = signal.valid; /* not wanted any more */
    for (size_t i = 0; i < count; i++) {
        double at_s = (double)(samples[i].time_us - samples[0].time_us) / 1e6;
        cut[i] = 0;
        for (size_t k = 0; k < signal.input.cut_count; k++) {
            cut[i] |= at_s >= signal.cut[k].from_s && at_s < signal.cut[k].to_s;
        }
    }
    analysis_auxiliary_of_hold(placing, samples, count, cut, result);
    if (!result->health.known) {
        hold_health_of(samples, count, placing->channel_count, &result->health);
    }
    result->link_gap = result->health.link_gap;
    result->duration_s = signal.input.duration_s;
    find_posture_share(record, index, analysis);
    result->start_s = count > 0 ? (double)samples[0].time_us / 1e6 : 0.0;
    signal_free(&signal);
    return done || problem_set(problem, "no memory for a hold's samples");
}

static void name_channels(const struct session_record *record, struct analysis *analysis)
{
    analysis->channel_count = 0;
    if (record->placing_count == 0) {
        return;
    }
    const struct placing_record *placing = &record->placing[record->placing_count - 1];
    analysis->channel_count = placing->channel_count;
    for (int c = 0; c < placing->channel_count; c++) {
        analysis->body[c] = placing->channel[c].role == ROLE_BODY;
        memcpy(analysis->channel_name[c], placing->channel[c].name, CHANNEL_NAME_SIZE);
    }
}

/* Does any build's tie hang on a ref channel's mean over holds? Then ties come again after the
 * holds. */
static bool has_reference(const struct session_record *record)
{
    for (int p = 0; p < record->placing_count; p++) {
        for (int c = 0; c < record->placing[p].channel_count; c++) {
            if (record->placing[p].channel[c].role == ROLE_REFERENCE) {
                return true;
            }
        }
    }
    return false;
}

static bool analyse_captures(const struct session_record *record, sample_source *source,
                             void *context, struct analysis *analysis, struct problem *problem)
{
    for (int t = 0; t < record->target_count; t++) {
        if (!analyse_target(record, t, source, context, analysis, problem)) {
            return false;
        }
    }
    for (int h = 0; h < record->hold_count; h++) {
        if (!analyse_hold(record, h, source, context, analysis, problem)) {
            return false;
        }
    }
    return true;
}

bool analysis_make(const struct session_record *record, sample_source *source, void *context,
                   struct analysis *analysis, struct problem *problem)
{
    memset(analysis->tie, 0, sizeof analysis->tie);
    memset(analysis->target, 0, sizeof analysis->target);
    name_channels(record, analysis);
    analysis_ties(record, analysis);
    if (!analyse_captures(record, source, context, analysis, problem)) {
        return false;
    }
    if (has_reference(record)) {
        analysis_ties(record, analysis);
        if (!analyse_captures(record, source, context, analysis, problem)) {
            return false;
        }
    }
    analysis_compare(record, analysis);
    return true;
}

bool analysis_add_hold(const struct session_record *record, int hold, sample_source *source,
                       void *context, struct analysis *analysis, struct problem *problem)
{
    if (has_reference(record)) {
        return analysis_make(record, source, context, analysis, problem);
    }
    name_channels(record, analysis);
    analysis_ties(record, analysis);
    if (hold >= 0 && !analyse_hold(record, hold, source, context, analysis, problem)) {
        return false;
    }
    analysis_compare(record, analysis);
    return true;
}

bool analysis_add_target(const struct session_record *record, int target, sample_source *source,
                         void *context, struct analysis *analysis, struct problem *problem)
{
    name_channels(record, analysis);
    return analyse_target(record, target, source, context, analysis, problem);
}

/* A channel's readings of a stretch: signal_free afterwards, also where it is false. */
static bool signal_of(const struct session_record *record, const struct analysis *analysis,
                      int build, int channel, int64_t first, int64_t last, sample_source *source,
                      void *context, struct signal *signal)
{
    const struct sample *samples = NULL;
    size_t count = 0;
    memset(signal, 0, sizeof *signal);
    if (!source(context, first, last, &samples, &count) || !signal_allocate(signal, count)) {
        return false;
    }
    signal_fill(record, analysis, build, channel, samples, count, signal);
    return true;
}

bool analysis_stretch(const struct session_record *record, const struct analysis *analysis,
                      int build, int channel, int64_t first, int64_t last, sample_source *source,
                      void *context, const struct hold_settings *settings,
                      struct hold_summary *summary)
{
    static const struct hold_settings none;
    struct signal signal;
    memset(summary, 0, sizeof *summary);
    bool done = signal_of(record, analysis, build, channel, first, last, source, context, &signal);
    if (done) {
        hold_summarise(&signal.input, settings != NULL ? settings : &none, summary);
    }
    signal_free(&signal);
    return done;
}

bool analysis_target_stretch(const struct session_record *record, const struct analysis *analysis,
                             int build, int channel, int64_t first, int64_t last,
                             sample_source *source, void *context, struct target_estimate *estimate)
{
    struct signal signal;
    memset(estimate, 0, sizeof *estimate);
    bool done =
        signal_of(record, analysis, build, channel, first, last, source, context, &signal) &&
        target_estimate(&signal.input, estimate) == MEASURE_OK;
    signal_free(&signal);
    return done;
}

int analysis_propose_band(const struct session_record *record, const struct analysis *analysis,
                          int target, int channel, const struct cue_settings *cue,
                          sample_source *source, void *context,
                          struct band_proposal proposals[BAND_PROPOSALS_MAX])
{
    const struct target_record *recorded = &record->target[target];
    const struct channel_target *result = &analysis->target[target][channel];
    if (recorded->capture < 0 || !result->has) {
        return 0;
    }
    const struct capture_record *capture = &record->capture[recorded->capture];
    struct signal signal;
    int proposed = 0;
    if (signal_of(record, analysis, recorded->build, channel, capture->first_sample,
                  capture->last_sample, source, context, &signal)) {
        bool head = strcmp(analysis->channel_name[channel], "head") == 0;
        proposed = band_propose(&signal.input, result->height_mm,
                                head ? BAND_FLOOR_HEAD_MM : BAND_FLOOR_MM, cue, proposals);
    }
    signal_free(&signal);
    return proposed;
}

size_t analysis_minutes(const struct session_record *record, const struct analysis *analysis,
                        int hold, int channel, sample_source *source, void *context,
                        struct minute_row *rows, size_t most)
{
    const struct hold_record *held = &record->hold[hold];
    const struct capture_record *capture = &record->capture[held->capture];
    struct hold_settings settings;
    struct signal signal;
    const struct sample *samples = NULL;
    size_t count = 0, made = 0;
    memset(&signal, 0, sizeof signal);
    if (source(context, capture->first_sample, capture->last_sample, &samples, &count) &&
        signal_allocate(&signal, count)) {
        struct cuts up = {0};
        struct hold_result unused = analysis->hold[hold];
        find_sat_up(record, hold, samples, count, analysis, &unused, &up);
        signal_fill(record, analysis, held->build, channel, samples, count, &signal);
        for (int u = 0; u < up.count; u++) {
            signal.cut[signal.input.cut_count++] = up.cut[u];
        }
        analysis_hold_settings(record, analysis, held, channel, &settings);
        made = minutes_make(&signal.input, &settings, 60.0, rows, most);
    }
    signal_free(&signal);
    return made;
}
