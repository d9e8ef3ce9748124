/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_PLAIN_LAYOUT_H
#define HOLDLINE_RIG_PLAIN_LAYOUT_H

#include "rig/dialect.h"
#include "rig/plain_labels.h"
#include "rig/plain_tokens.h"

/* What the columns of a stream of plain numbers are: learnt from its first lines, its heading and
 * what the person said. */

#define PLAIN_COLUMNS_MAX 128

enum plain_time {
    PLAIN_TIME_NONE,
    PLAIN_TIME_US,
    PLAIN_TIME_MS,
    PLAIN_TIME_S,
    PLAIN_TIME_CALENDAR, /* ISO 8601, or hours:minutes:seconds */
};

/* What is done with a column: a channel's number, or one of these. */
enum { PLAIN_PASSED_OVER = -1, PLAIN_TIME_COLUMN = CHANNELS_MAX, PLAIN_STATUS_COLUMN };

/* A column that says whether readings are good. */
struct plain_status {
    int column;
    int channel; /* -1: of all */
    bool in_words;
    int ranges; /* of good codes */
    int64_t least_milli[4], most_milli[4];
};

/* One value a line, told apart by a key: the label before it, or another column. */
#define PLAIN_KEYS_MAX 16
struct plain_keys {
    int count;  /* 0: the lines are not of this kind */
    int column; /* the key's (a label before its number belongs to it: 'Sensor 1'); -1: it is the
                   label of the value */
    int value_column;
    char text[PLAIN_KEYS_MAX][CHANNEL_NAME_SIZE]; /* as channels are called */
    int16_t use[PLAIN_KEYS_MAX];                  /* channel, or PLAIN_PASSED_OVER */
};

struct plain_layout {
    struct plain_shape shape;
    unsigned dress; /* enum plain_dress */
    struct plain_keys keys;
    struct plain_labels labels;
    int status_count;
    struct plain_status status[CHANNELS_MAX];
    int16_t column_use[PLAIN_COLUMNS_MAX];
    int last_used_column; /* what is behind it is only counted */
    bool is_bare;         /* the wanted columns hold numbers and nothing else */
    bool ends_bare;       /* nor does anything stand behind the last column */
    enum plain_time time;
    int channel_count;
    char channel_name[CHANNELS_MAX][CHANNEL_NAME_SIZE];
    uint32_t tenths_per_unit[CHANNELS_MAX];
    uint8_t more_decimals[CHANNELS_MAX];    /* the unit is tenths_per_unit / 10^more_decimals */
    bool unit_may_change[CHANNELS_MAX];     /* it was not said: another at a number counts there */
    int32_t no_echo_tenth_mm[CHANNELS_MAX]; /* INT32_MAX: none */
    bool zero_is_reading[CHANNELS_MAX];     /* of power and its like (rig/auxiliary.h) */
    double announced_rate_hz;
    bool hash_is_key; /* "#1 412": no comment */
    bool may_wait; /* numbers that can't be ranges may become some: later lines may be learnt by */
    int lines_before; /* held lines before the first of this shape: what is said above the numbers
                       */
    char heading[DECODER_LINE_MAX]; /* to know it when it comes again */
    size_t heading_length;
};

/* Whether the lines held are enough to learn by. */
enum recognition plain_layout_recognise(const struct held_lines *held,
                                        const struct decoder_options *options, bool last);

/* False with a sentence that lists the columns there are, when those wanted are not among them or
 * cannot be told. */
bool plain_layout_learn(struct plain_layout *layout, const struct held_lines *held,
                        const struct decoder_options *options, struct rig_info *info,
                        struct problem *problem);
/* The same, with what stands in the columns. */
struct plain_columns;
bool plain_layout_learn_columns(struct plain_layout *layout, struct plain_columns *columns,
                                const struct held_lines *held,
                                const struct decoder_options *options, struct rig_info *info,
                                struct problem *problem);

#endif
