/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis_signal.h"

#include "analysis_inside.h"

#include "measure/rules.h"

#include <stdlib.h>
#include <string.h>

void signal_free(struct signal *signal)
{
    free(signal->time_s);
    free(signal->height_mm);
    free(signal->valid);
}

bool signal_allocate(struct signal *signal, size_t count)
{
    memset(signal, 0, sizeof *signal);
    signal->time_s = malloc((count + 1) * sizeof(double));
    signal->height_mm = malloc((count + 1) * sizeof(double));
    signal->valid = malloc(count + 1);
    return signal->time_s != NULL && signal->height_mm != NULL && signal->valid != NULL;
}

void signal_fill(const struct session_record *record, const struct analysis *analysis, int build,
                 int channel, const struct sample *samples, size_t count, struct signal *signal)
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

void analysis_hold_settings(const struct session_record *record, const struct analysis *analysis,
                            const struct hold_record *hold, int channel,
                            struct hold_settings *settings)
{
    memset(settings, 0, sizeof *settings);
    if (hold->target >= 0 && analysis->target[hold->target][channel].has &&
        analysis_target_is_beside(record, analysis, hold->target, hold->build, channel)) {
        settings->has_target = true;
        settings->target_mm = analysis->target[hold->target][channel].height_mm;
        if (hold->band >= 0 && record->band[hold->band].limited[channel]) {
            settings->has_band = true;
            settings->cue = record->band[hold->band].cue[channel];
        }
    }
}

void signal_cuts(const struct session_record *record, int hold, const struct sample *samples,
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

bool signal_of(const struct session_record *record, const struct analysis *analysis, int build,
               int channel, int64_t first, int64_t last, sample_source *source, void *context,
               struct signal *signal)
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

#define IN_TURN 256 /* samples; a multiple of what the store has a checksum of */

bool samples_in_turn(sample_source *source, void *context, int64_t first, int64_t last,
                     sample_taker *take, void *taker)
{
    int64_t to;
    for (int64_t from = first; from <= last; from = to + 1) {
        const struct sample *samples = NULL;
        size_t count = 0;
        to = ((from - 1) / IN_TURN + 1) * IN_TURN;
        to = to < last ? to : last;
        if (!source(context, from, to, &samples, &count)) {
            return false;
        }
        take(taker, samples, count);
    }
    return true;
}
