/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_READINGS_INSIDE_H
#define HOLDLINE_APP_READINGS_INSIDE_H

/* The inside of readings_script.c and readings_heights.c. */

#include "record/record.h"
#include "rig/readings_table.h"

/* Height against range, each pair once. */
struct height_pair {
    int32_t range_tenth_mm;
    int64_t height_hundredth_mm;
};
struct height_pairs {
    struct height_pair *pair;
    size_t count, capacity;
};

struct readings_capture {
    char kind[16];
    int64_t first_sample, last_sample, first_us, last_us;
    int build; /* index */
};
struct readings_build {
    int64_t setup, ordinal;
    struct height_pairs pairs[CHANNELS_MAX];
};

struct readings_file {
    int channels, captures, builds;
    char channel[CHANNELS_MAX][CHANNEL_NAME_SIZE];
    bool is_other[CHANNELS_MAX];
    struct readings_capture capture[CAPTURES_MAX];
    struct readings_build build[BUILDS_MAX];
};

bool height_pairs_add(struct height_pairs *pairs, int32_t range_tenth_mm,
                      int64_t height_hundredth_mm);

/* The line that gives a channel's heights from its ranges: height = level of the build + direction
 * x cos(tilt) x gain x range. Every pair of every build comes out as it is, rounded; false where no
 * line does that. */
struct height_line {
    int direction;
    double tilt_deg, gain;
    bool has_level[BUILDS_MAX];
    double level_mm[BUILDS_MAX];
};
bool height_line_find(const struct readings_file *file, int channel, struct height_line *line);

#endif
