/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_ANALYSIS_TIED_BUILDS_H
#define HOLDLINE_TESTS_ANALYSIS_TIED_BUILDS_H

#include "analysis/analysis.h"
#include "support/bikes.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>

/* Four builds of a setup each, all of one placing and one bike; the first sensor's place was not
 * said, the second is on the bars and looks up. */
enum { UNPLACED, ON_BAR, BUILDS = 4 };

static struct session_record *record;
static struct analysis *analysis;

static inline void begin_builds(void)
{
    record = calloc(1, sizeof *record);
    analysis = analysis_create();
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    record->settings.trunk_slope_deg = NAN;
    record->setup_count = record->build_count = BUILDS;
    record->placing_count = 1;
    for (int p = 0; p < 2; p++) {
        record->placing[p].channel_count = 2;
        for (int c = 0; c < 2; c++) {
            struct channel_record *channel = &record->placing[p].channel[c];
            channel->role = ROLE_BODY;
            channel->gain = 1.0;
            channel->mounted = c == ON_BAR;
            channel->mount = (struct sensor_mount){CARRIER_BASE_BAR, 100.0, 50.0, 0.0, 1};
        }
    }
    for (int b = 0; b < BUILDS; b++) {
        record->setup[b].number = b + 1;
        record->setup[b].bike = usual_bike();
        record->build[b] = (struct build_record){.setup = b, .ordinal = 1};
    }
}

static inline void end_builds(void)
{
    analysis_destroy(analysis);
    free(record);
}

/* A reading of a plate, or of a board across the pads, typed. */
static inline struct tie_reading_record *read_at(int build, int channel, double range_mm,
                                                 double height_mm, enum plate_rest rest)
{
    struct tie_reading_record *reading = &record->tie_reading[record->tie_reading_count++];
    *reading = (struct tie_reading_record){.kind = TIE_READING_PLATE,
                                           .build = build,
                                           .channel = channel,
                                           .value_mm = range_mm,
                                           .plate_height_mm = height_mm,
                                           .rest = rest,
                                           .at_sample = -1};
    return reading;
}

static inline const struct tie *tie_of(int build, int channel)
{
    analysis_ties(record, analysis);
    return &analysis->tie[build][channel];
}

#endif
