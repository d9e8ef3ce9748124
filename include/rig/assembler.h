/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_ASSEMBLER_H
#define HOLDLINE_RIG_ASSEMBLER_H

#include "rig/dialect.h"

/* Samples put together from named measurements that come one after the other, in as many lines as
 * the rig likes: a name that comes again, or another time, begins the next sample. The channels are
 * the names that come before the first of them comes again. */
#define ASSEMBLER_NAME_SIZE 96

struct assembler {
    int channel_count;
    char name[CHANNELS_MAX][ASSEMBLER_NAME_SIZE]; /* as the rig says it, cut */
    size_t name_length[CHANNELS_MAX];
    int heard[CHANNELS_MAX];
    bool knows_all; /* no further channels */
    int filled_count;
    bool is_filled[CHANNELS_MAX];
    struct raw_sample pending;
    uint64_t pending_end_byte;
};

/* A name heard while the first lines are looked through: it becomes a channel. False when it has
 * come three times: then, with the end of that line, all channels are taken to be known. */
bool assembler_hear(struct assembler *assembler, struct rig_info *info, struct span name,
                    struct span key);

/* Hears the names of one line; true when one came so often that all are known. */
typedef bool assembler_hear_line(struct assembler *assembler, struct rig_info *info,
                                 struct span line, void *context);
/* Starts, and hears the first lines until all names are known; true when they are for sure. */
bool assembler_hear_lines(struct assembler *assembler, struct rig_info *info,
                          const struct held_lines *held, assembler_hear_line *hear_line,
                          void *context);

/* One measurement. key: the channel's short name. time_us is the rig's own, where it has one. False
 * when it is of no channel (all are known, or there are too many). */
bool assembler_add(struct assembler *assembler, struct dialect_output *output, struct span name,
                   struct span key, const int64_t *time_us, int32_t range_tenth_mm,
                   enum reading_quality quality);

/* After each line: a sample with all its channels goes out at once. */
void assembler_line_ends(struct assembler *assembler, struct dialect_output *output);

/* At the end of the stream: what there is goes out. */
void assembler_finish(struct assembler *assembler, struct dialect_output *output);

#endif
