/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_ANALYSIS_PLAIN_SESSION_H
#define HOLDLINE_TESTS_ANALYSIS_PLAIN_SESSION_H

#include "support/test_main.h"

#include "analysis/analysis.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* A session of two setups, a build and a target of each, two holds on each build; two sensors of
 * the body and one over a plate. */

enum { READINGS = 400, CHANNELS = 3, HOLDS = 4 };
#define RATE_HZ 20.0

static struct session_record *record;
static struct analysis *analysis;

/* A body that breathes over two sensors, and a plate over the third. */
static inline void make_samples(int64_t first, struct sample *made)
{
    for (int i = 0; i < READINGS; i++) {
        made[i] = (struct sample){.number = first + i, .time_us = (first + i) * 50000};
        for (int c = 0; c < CHANNELS; c++) {
            int breath = c < 2 ? (i / 10 + c) % 5 * 10 : 0;
            made[i].range_tenth_mm[c] = 4000 + 500 * c + breath + (i * 7 + c) % 5;
        }
    }
}

static inline bool samples_of(void *context, int64_t first, int64_t last,
                              const struct sample **samples, size_t *count)
{
    static struct sample made[READINGS];
    int64_t from = (first - 1) / READINGS * READINGS + 1;
    (void)context;
    make_samples(from, made);
    *samples = made + (first - from);
    *count = (size_t)(last - first + 1);
    return true;
}

/* Two setups of one build each, a target and two holds on each. */
static inline void set_up(void)
{
    record = calloc(1, sizeof *record);
    analysis = analysis_create();
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    record->has_rider = true;
    record->placing_count = 1;
    record->placing[0].channel_count = CHANNELS;
    record->placing[0].announced_rate_hz = RATE_HZ;
    for (int c = 0; c < CHANNELS; c++) {
        struct channel_record *channel = &record->placing[0].channel[c];
        channel->role = c < 2 ? ROLE_BODY : ROLE_REFERENCE;
        channel->gain = 1.0;
        snprintf(channel->name, sizeof channel->name, "part%d", c);
    }
    record->setup_count = record->build_count = record->target_count = 2;
    record->hold_count = HOLDS;
    record->capture_count = HOLDS + 2;
    for (int i = 0; i < HOLDS + 2; i++) {
        record->capture[i] =
            (struct capture_record){.kind = i < HOLDS ? CAPTURE_HOLD : CAPTURE_TARGET,
                                    .first_sample = 1 + (int64_t)i * READINGS,
                                    .last_sample = (int64_t)(i + 1) * READINGS};
    }
    for (int b = 0; b < 2; b++) {
        record->setup[b].number = b + 1;
        record->build[b] = (struct build_record){
            .setup = b, .ordinal = 1, .first_sample = 1 + (int64_t)b * 2 * READINGS};
        record->target[b].capture = HOLDS + b;
        record->target[b].build = b;
        record->target[b].kept = true;
        for (int c = 0; c < CHANNELS_MAX; c++) {
            record->target[b].entered_mm[c] = NAN;
        }
    }
    for (int h = 0; h < HOLDS; h++) {
        record->hold[h] = (struct hold_record){.number = h + 1,
                                               .capture = h,
                                               .build = h / 2,
                                               .target = h / 2,
                                               .band = -1,
                                               .planned_s = 20.0,
                                               .status = HOLD_COMPLETE,
                                               .guessed_share = NAN};
    }
    record->last_sample = (int64_t)(HOLDS + 2) * READINGS;
}

static inline void tear_down(void)
{
    analysis_destroy(analysis);
    free(record);
}

#endif
