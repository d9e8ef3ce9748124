/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis_inside.h"
#include "analysis_signal.h"
#include "insight_inside.h"

#include "base/fnv.h"
#include "measure/hold_pair.h"
#include "measure/rules.h"

#include <math.h>
#include <string.h>

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
        bool others = false, moved = false;
        for (int other = 0; other < analysis->channel_count; other++) {
            double step_mm;
            if (other == c || !analysis->body[other] || !result->has[other]) {
                continue;
            }
            signal_fill(record, analysis, build, other, samples, count, signal);
            signal_cuts(record, index, samples, count, up, signal);
            bool known = hold_step_at(&signal->input, stepped->step_at_s, &step_mm) == MEASURE_OK;
            others = true;
            moved = moved || analysis_stepped_along(known, step_mm, stepped->step_mm);
        }
        result->step_alone[c] = others && !moved;
    }
}

/* In practice alone: in the studio a fitter sees it, and marks it. */
static void find_sat_up(const struct session_record *record, int index,
                        const struct sample *samples, size_t count, const struct analysis *analysis,
                        struct hold_result *result, struct cuts *up)
{
    if (count < 2) {
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

/* Other readings' means, without what was cut of the signal (its valid is not wanted any more). */
static void find_auxiliary(const struct placing_record *placing, const struct sample *samples,
                           size_t count, struct signal *signal, struct hold_result *result)
{
    uint8_t *cut = signal->valid;
    for (size_t i = 0; i < count; i++) {
        double at_s = (double)(samples[i].time_us - samples[0].time_us) / 1e6;
        cut[i] = 0;
        for (size_t k = 0; k < signal->input.cut_count; k++) {
            cut[i] |= at_s >= signal->cut[k].from_s && at_s < signal->cut[k].to_s;
        }
    }
    struct auxiliary_sums sums = {.good = {0}};
    auxiliary_add(placing, samples, count, cut, &sums);
    auxiliary_means(&sums, result);
}

/* Each channel that is a height, by itself. */
static void summarise_each(const struct session_record *record, int index,
                           const struct sample *samples, size_t count, const struct cuts *up,
                           struct signal *signal, struct analysis *analysis)
{
    const struct hold_record *hold = &record->hold[index];
    const struct placing_record *placing = analysis_placing_of(record, hold->build);
    struct hold_result *result = &analysis->hold[index];
    for (int c = 0; c < placing->channel_count; c++) {
        struct hold_settings settings;
        struct hold_summary *summary = &result->summary[c];
        bool body = placing->channel[c].role == ROLE_BODY;
        if (placing->channel[c].role == ROLE_AUXILIARY) {
            continue; /* no height: a plain mean, find_auxiliary */
        }
        signal_fill(record, analysis, hold->build, c, samples, count, signal);
        signal_cuts(record, index, samples, count, up, signal);
        analysis_hold_settings(record, analysis, hold, c, &settings);
        hold_summarise(&signal->input, &settings, summary);
        result->has[c] = true;
        result->not_settled = result->not_settled || (body && summary->not_settled);
        result->stepped = result->stepped || (body && summary->stepped);
        result->lost = signal->input.lost;
    }
}

/* All that a hold's result follows from: its samples, how they become heights, what was marked in
 * them, target and band. Whether it counts, and is ridden as others are, is found anew by the
 * comparison. */
static uint64_t follows_from(const struct session_record *record, int index,
                             const struct analysis *analysis)
{
    const struct hold_record *hold = &record->hold[index];
    const struct capture_record *capture = &record->capture[hold->capture];
    const struct placing_record *placing = analysis_placing_of(record, hold->build);
    uint64_t from = fnv_add(FNV_START, &hold->uuid, sizeof hold->uuid);
    from = fnv_add_whole(from, (uint64_t)capture->first_sample);
    from = fnv_add_whole(from, (uint64_t)capture->last_sample);
    from = fnv_add_whole(from, (uint64_t)hold->purpose);
    from = fnv_add(from, placing, sizeof *placing);
    from = fnv_add_whole(from, (uint64_t)analysis->channel_count);
    from = fnv_add(from, analysis->body, sizeof analysis->body);
    for (int c = 0; c < placing->channel_count; c++) {
        const struct tie *tie = &analysis->tie[hold->build][c];
        struct hold_settings settings;
        analysis_hold_settings(record, analysis, hold, c, &settings);
        from = fnv_add(from, &settings, sizeof settings);
        from = fnv_add(from, &tie->sensor_height_mm, sizeof tie->sensor_height_mm);
        from = fnv_add(from, &tie->tilt_deg, sizeof tie->tilt_deg);
    }
    for (int m = 0; m < record->mark_count; m++) {
        if (record->mark[m].hold == index && record->mark[m].cut) {
            from = fnv_add_whole(from, (uint64_t)record->mark[m].sample);
        }
    }
    return from | 1; /* 0: nothing that is known */
}

/* Anew, of a hold that is over or not. */
static bool make_hold(const struct session_record *record, int index, bool over,
                      sample_source *source, void *context, struct analysis *analysis,
                      struct problem *problem)
{
    const struct hold_record *hold = &record->hold[index];
    struct hold_result *result = &analysis->hold[index];
    const struct capture_record *capture = &record->capture[hold->capture];
    if (over && hold->purpose == PURPOSE_RIDE) { /* what it was stays where that fails */
        return analysis_ride(record, index, source, context, analysis, problem);
    }
    const struct hold_health health =
        result->health; /* follows from the samples alone: made once */
    memset(result, 0, sizeof *result);
    result->health = health;
    for (int kind = 0; kind < AUXILIARIES; kind++) {
        result->auxiliary_mean[kind] = (double)NAN;
    }
    result->counts = analysis_hold_counts(hold);
    if (!over) {
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
    summarise_each(record, index, samples, count, &up, &signal, analysis);
    find_steps_alone(record, index, samples, count, &up, &signal, analysis);
    bool done = analyse_together(record, index, samples, count, &up, &signal, analysis);
    find_auxiliary(placing, samples, count, &signal, result);
    if (!hold_health_is_of(&result->health, capture->first_sample, capture->last_sample,
                           placing->channel_count)) {
        hold_health_of(samples, count, placing->channel_count, &result->health);
    }
    result->link_gap = result->health.link_gap;
    result->duration_s = signal.input.duration_s;
    analysis_posture_share(record, index, analysis, result);
    result->start_s = count > 0 ? (double)samples[0].time_us / 1e6 : 0.0;
    signal_free(&signal);
    return done || problem_set(problem, "no memory for a hold's samples");
}

bool analysis_of_hold(const struct session_record *record, int index, sample_source *source,
                      void *context, struct analysis *analysis, struct problem *problem)
{
    const struct hold_record *hold = &record->hold[index];
    const struct capture_record *capture = &record->capture[hold->capture];
    bool over = hold->status != HOLD_RUNNING && capture->last_sample >= capture->first_sample;
    uint64_t from = over ? follows_from(record, index, analysis) : 0;
    if (from != 0 && from == analysis->hold_from[index]) {
        analysis->hold[index].counts = analysis_hold_counts(hold);
        return true;
    }
    bool done = make_hold(record, index, over, source, context, analysis, problem);
    analysis->hold_from[index] = done ? from : 0;
    return done;
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
    if (held->purpose == PURPOSE_RIDE) {
        return analysis_ride_minutes(record, analysis, hold, channel, source, context, rows, most);
    }
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
        made = minutes_make(&signal.input, &settings, MINUTE_ROW_S, rows, most);
    }
    signal_free(&signal);
    return made;
}
