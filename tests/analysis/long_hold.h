/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_ANALYSIS_LONG_HOLD_H
#define HOLDLINE_TESTS_ANALYSIS_LONG_HOLD_H

/* A hold over minutes, at any rate, and its meter. */
#include "plain_session.h"

#include "analysis/hold_meter.h"

#include <string.h>

enum { LONG = 30000 };               /* samples */
#define START_US INT64_C(3600000000) /* it begins an hour into the session */

static struct sample made[LONG];

/* A body that breathes, so many samples a second. */
static inline void make_long(double rate_hz)
{
    for (int i = 0; i < LONG; i++) {
        double at_s = i / rate_hz;
        made[i] = (struct sample){.number = i + 1, .time_us = START_US + llround(at_s * 1e6)};
        for (int c = 0; c < CHANNELS; c++) {
            double breath = c < 2 ? 40.0 * sin(2.0 * 3.14159265358979 * 0.3 * at_s + c) : 0.0;
            made[i].range_tenth_mm[c] =
                (int32_t)lround(4000.0 + 500.0 * c + breath) + (i * 7 + c) % 5;
        }
    }
}

static inline bool long_samples(void *context, int64_t first, int64_t last,
                                const struct sample **samples, size_t *count)
{
    (void)context;
    *samples = made + (first - 1);
    *count = (size_t)(last - first + 1);
    return true;
}

/* The first hold is all of it. */
static inline void hold_of(double rate_hz, double length_s)
{
    make_long(rate_hz);
    int last = (int)(rate_hz * length_s);
    ck_assert_int_le(last, LONG);
    record->placing[0].announced_rate_hz = rate_hz;
    record->capture[0].last_sample = last;
    record->hold[0].planned_s = length_s;
    record->hold_count = record->build_count = record->setup_count = 1;
    record->target_count = 0;
    record->hold[0].target = -1;
    record->last_sample = LONG;
    analysis_ties(record, analysis);
    analysis->channel_count = CHANNELS;
    for (int c = 0; c < CHANNELS; c++) {
        analysis->body[c] = c < 2;
    }
}

static inline struct hold_meter *measured(void)
{
    struct hold_meter *meter = hold_meter_create(record, analysis, 0);
    ck_assert_ptr_nonnull(meter);
    ck_assert(hold_meter_read(meter, record, analysis, 1, record->capture[0].last_sample,
                              long_samples, NULL));
    hold_meter_end(meter, record, analysis);
    return meter;
}

/* So much higher from one second to another. */
static inline void lift(int channel, double rate_hz, double from_s, double to_s, double by_mm)
{
    for (int i = (int)(from_s * rate_hz); i < (int)(to_s * rate_hz) && i < LONG; i++) {
        made[i].range_tenth_mm[channel] += (int32_t)lround(10.0 * by_mm);
    }
}

#endif
