/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "live.h"

#include "measure/rules.h"

#include <math.h>
#include <string.h>

/* The live picture: postures, cues, digits and history, from each sample. All of it follows from
 * samples and commands alone; nothing of it is kept as a result. */

void live_start(struct session *session)
{
    for (int c = 0; c < CHANNELS_MAX; c++) {
        struct live_channel *live = &session->channel[c];
        struct cue_settings quick = session->settings.cue[c];
        quick.filter_hz = QUICK_FILTER_HZ;
        quick.band_above_mm = quick.band_below_mm = INFINITY;
        cue_start(&live->slow, &session->settings.cue[c], NAN, session->rate_hz);
        cue_start(&live->quick, &quick, NAN, session->rate_hz);
        live->started = false;
        memset(live->block_sum, 0, sizeof live->block_sum);
        memset(live->block_count, 0, sizeof live->block_count);
        live->shown_mm = NAN;
        live->step_low = live->step_high = NAN;
    }
    machine_retarget(session);
}

static void show_digits(struct live_channel *live)
{
    double sum = 0.0;
    int count = 0;
    for (int i = 0; i < MACHINE_SHOWN_BLOCKS; i++) {
        sum += live->block_sum[i];
        count += live->block_count[i];
    }
    live->shown_mm = count > 0 ? sum / count : NAN;
    memmove(&live->block_sum[0], &live->block_sum[1],
            sizeof live->block_sum - sizeof live->block_sum[0]);
    memmove(&live->block_count[0], &live->block_count[1],
            sizeof live->block_count - sizeof live->block_count[0]);
    live->block_sum[MACHINE_SHOWN_BLOCKS - 1] = 0.0;
    live->block_count[MACHINE_SHOWN_BLOCKS - 1] = 0;
}

/* reads: what has come is of this step; else there was nothing in it. */
static void push_history(struct session *session, int channels, bool reads)
{
    struct view_history *history = &session->history;
    int at = (int)(history->steps++ % VIEW_HISTORY);
    int setup = session->build >= 0 ? session->record.build[session->build].setup : -1;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        struct live_channel *live = &session->channel[c];
        bool reading = reads && c < channels && live->slow.state != CUE_NO_READING && live->started;
        history->point[c][at] = (struct view_point){
            .slow_mm = reading ? (float)live->slow.slow_mm : NAN,
            .low_mm = live->step_low,
            .high_mm = live->step_high,
            .phase = (uint8_t)session_phase(session),
            .setup = (uint8_t)(setup >= 0 ? session->record.setup[setup].number : 0),
            .build = (uint8_t)(session->build + 1),
            .tied = session->build >= 0 && session->height_line[session->build][c].tied,
        };
        live->step_low = live->step_high = NAN;
    }
}

static void live_reading(struct session *session, int c, const struct sample *sample)
{
    struct live_channel *live = &session->channel[c];
    double time_s = (double)sample->time_us / 1e6;
    bool valid = sample->quality[c] == READING_GOOD;
    double height_mm = 0.0;
    if (valid && session->build >= 0) {
        height_mm = analysis_height_mm(&session->record, session->analysis, session->build, c,
                                       sample->range_tenth_mm[c]);
    } else if (valid) {
        height_mm = (double)sample->range_tenth_mm[c] / 10.0;
    }
    const struct placing_record *placing = machine_placing(session);
    bool is_range = placing->channel[c].role != ROLE_AUXILIARY; /* power may jump */
    if (is_range && valid && live->started &&
        fabs(height_mm - live->quick.slow_mm) > HAMPEL_JUMP_MM &&
        live->quick.state != CUE_NO_READING) {
        valid = false;
    }
    cue_step(&live->slow, time_s, height_mm, valid);
    cue_step(&live->quick, time_s, height_mm, valid);
    if (!valid) {
        return;
    }
    live->started = true;
    live->block_sum[MACHINE_SHOWN_BLOCKS - 1] += height_mm;
    live->block_count[MACHINE_SHOWN_BLOCKS - 1]++;
    float height = (float)height_mm;
    if (isnan(live->step_low) || height < live->step_low) {
        live->step_low = height;
    }
    if (isnan(live->step_high) || height > live->step_high) {
        live->step_high = height;
    }
}

/* What the rider is asked: of the channels of the body that have a band. */
static void step_ask(struct session *session, const struct placing_record *placing, int channels)
{
    const struct cue_machine *machine[CHANNELS_MAX] = {NULL};
    for (int c = 0; c < channels; c++) {
        const struct live_channel *live = &session->channel[c];
        bool has_band = session->band >= 0 && session->record.band[session->band].limited[c] &&
                        isfinite(live->slow.target_mm);
        machine[c] = has_band && placing->channel[c].role == ROLE_BODY ? &live->slow : NULL;
    }
    cue_ask_step(&session->ask, machine, channels);
}

void live_sample(struct session *session, const struct sample *sample)
{
    const struct placing_record *placing = machine_placing(session);
    int channels = placing != NULL ? placing->channel_count : 0;
    for (int c = 0; c < channels; c++) {
        live_reading(session, c, sample);
    }
    step_ask(session, placing, channels);
    int64_t step = sample->time_us / (int64_t)(VIEW_HISTORY_STEP_S * 1e6);
    int64_t missed = step - session->history_step;
    double gap_s = fmax(SERIES_GAP_S, SERIES_GAP_PERIODS / session->rate_hz);
    bool gap = session->history_step > 0 && (double)missed * VIEW_HISTORY_STEP_S > gap_s;
    for (int64_t i = 0; i < missed && i < VIEW_HISTORY; i++) {
        bool last = i == missed - 1 || i == VIEW_HISTORY - 1;
        push_history(session, channels, last || !gap);
    }
    session->history_step = step;
    int64_t quarter = sample->time_us / 250000;
    for (int64_t i = session->shown_step;
         i < quarter && i < session->shown_step + 2 * MACHINE_SHOWN_BLOCKS; i++) {
        for (int c = 0; c < channels; c++) {
            show_digits(&session->channel[c]);
        }
    }
    session->shown_step = quarter;
}
