/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_READINGS_TABLE_H
#define HOLDLINE_RIG_READINGS_TABLE_H

#include "rig/decoder.h"
#include "rig/sample.h"
#include "rig/span.h"

#include <stdbool.h>
#include <stdint.h>

/* The program's own table of readings (NAME-readings.csv): a row for each channel of each sample of
 * each capture. As a stream its samples keep their numbers and times: where rows are missing
 * between captures there are samples without readings. */
enum readings_column {
    READINGS_SAMPLE,
    READINGS_SECONDS,
    READINGS_CAPTURE,
    READINGS_KIND,
    READINGS_HOLD,
    READINGS_SETUP,
    READINGS_BUILD,
    READINGS_CHANNEL,
    READINGS_RANGE,
    READINGS_QUALITY,
    READINGS_HEIGHT,
    READINGS_OTHER,
    READINGS_COLUMNS
};
extern const char *const readings_columns[READINGS_COLUMNS]; /* as the heading has them */
struct readings_words {
    const char *unit, *meaning; /* for a data dictionary */
};
extern const struct readings_words readings_words[READINGS_COLUMNS];

struct readings_row {
    int64_t sample, time_us;
    int64_t capture, hold, setup, build; /* from 1; 0: the cell is empty */
    char kind[16];                       /* 'hold', 'target', ... */
    char channel[CHANNEL_NAME_SIZE];
    bool has_value, is_range; /* else in the channel's own unit */
    int32_t value_tenth;      /* of a millimetre, or of that unit */
    uint8_t quality;          /* enum reading_quality */
    bool has_height;
    int64_t height_hundredth_mm;
};

bool readings_is_heading(struct span line);
/* A row; false with the reason why it is none. */
bool readings_row_read(struct span line, struct readings_row *row, enum reject_reason *reason);

#endif
