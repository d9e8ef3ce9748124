/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis_inside.h"
#include "analysis_signal.h"

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

/* One whose samples are not there takes nothing from the others. */
static bool analyse_captures(const struct session_record *record, sample_source *source,
                             void *context, struct analysis *analysis, struct problem *problem)
{
    bool done = true;
    for (int t = 0; t < record->target_count; t++) {
        done = analyse_target(record, t, source, context, analysis, problem) && done;
    }
    for (int h = 0; h < record->hold_count; h++) {
        done = analysis_of_hold(record, h, source, context, analysis, problem) && done;
    }
    return done;
}

/* Of the builds and targets there are, and of the next: nothing is known of it until it is made. */
static void forget(const struct session_record *record, struct analysis *analysis)
{
    int builds = record->build_count < BUILDS_MAX ? record->build_count + 1 : BUILDS_MAX;
    int targets = record->target_count < TARGETS_MAX ? record->target_count + 1 : TARGETS_MAX;
    memset(analysis->tie, 0, (size_t)builds * sizeof analysis->tie[0]);
    memset(analysis->target, 0, (size_t)targets * sizeof analysis->target[0]);
}

bool analysis_make(const struct session_record *record, sample_source *source, void *context,
                   struct analysis *analysis, struct problem *problem)
{
    memset(analysis->hold_from, 0, sizeof analysis->hold_from);
    return analysis_make_again(record, source, context, analysis, problem);
}

bool analysis_make_again(const struct session_record *record, sample_source *source, void *context,
                         struct analysis *analysis, struct problem *problem)
{
    forget(record, analysis);
    name_channels(record, analysis);
    analysis_ties(record, analysis);
    bool done = analyse_captures(record, source, context, analysis, problem);
    if (has_reference(record)) {
        analysis_ties(record, analysis);
        done = analyse_captures(record, source, context, analysis, problem);
    }
    analysis_compare(record, analysis);
    return done;
}

bool analysis_add_hold(const struct session_record *record, int hold, sample_source *source,
                       void *context, struct analysis *analysis, struct problem *problem)
{
    if (hold >= 0) {
        analysis->hold_from[hold] = 0;
    }
    if (has_reference(record)) {
        return analysis_make_again(record, source, context, analysis, problem);
    }
    name_channels(record, analysis);
    analysis_ties(record, analysis);
    bool done = hold < 0 || analysis_of_hold(record, hold, source, context, analysis, problem);
    analysis_compare(record, analysis);
    return done;
}

bool analysis_add_target(const struct session_record *record, int target, sample_source *source,
                         void *context, struct analysis *analysis, struct problem *problem)
{
    name_channels(record, analysis);
    return analyse_target(record, target, source, context, analysis, problem);
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
