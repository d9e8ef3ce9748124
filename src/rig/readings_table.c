/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/readings_table.h"

#include "base/text.h"
#include "rig/decimal.h"
#include "rig/dialect.h"

#include <string.h>

const char *const readings_columns[READINGS_COLUMNS] = {
    [READINGS_SAMPLE] = "sample",    [READINGS_SECONDS] = "seconds",
    [READINGS_CAPTURE] = "capture",  [READINGS_KIND] = "kind",
    [READINGS_HOLD] = "hold",        [READINGS_SETUP] = "setup",
    [READINGS_BUILD] = "build",      [READINGS_CHANNEL] = "channel",
    [READINGS_RANGE] = "range_mm",   [READINGS_QUALITY] = "quality",
    [READINGS_HEIGHT] = "height_mm", [READINGS_OTHER] = "other_value",
};

const struct readings_words readings_words[READINGS_COLUMNS] = {
    [READINGS_SAMPLE] = {"", "number of the sample, from the session's first"},
    [READINGS_SECONDS] =
        {"s", "from the session's first sample, by the rig's own time where it sends one"},
    [READINGS_CAPTURE] = {"", "1, 2, ... what was recorded, in the order in which it was"},
    [READINGS_KIND] = {"", "what it was: target, hold, plate, check"},
    [READINGS_HOLD] = {"", "number of the hold; empty where it was none"},
    [READINGS_SETUP] = {"", "number of the setup"},
    [READINGS_BUILD] = {"", "1, 2, ... each time the setup was put together"},
    [READINGS_CHANNEL] = {"", "the sensor's channel"},
    [READINGS_RANGE] = {"mm", "along the beam, as sent; empty where there was none"},
    [READINGS_QUALITY] = {"", "good, missing, weak, saturated, out of range"},
    [READINGS_HEIGHT] = {"mm", "from range, calibration, tie and tilt; over the bottom bracket "
                               "where the tie is absolute; empty where it is not known "
                               "where the sensor is"},
    [READINGS_OTHER] = {"", "of an auxiliary channel, in its own unit: watts, a minute"},
};

/* ---- a row ----------------------------------------------------------------------------------- */

bool readings_is_heading(struct span line)
{
    struct span field;
    int column = 0;
    while (span_next_field(&line, ',', &field)) {
        if (column == READINGS_COLUMNS || !span_is(field, readings_columns[column])) {
            return false;
        }
        column++;
    }
    return column == READINGS_COLUMNS;
}

/* The number of a cell times factor; an empty cell is 0. */
static bool read_number(struct span cell, uint32_t factor, int64_t most, int64_t *value,
                        enum reject_reason *reason)
{
    struct decimal number;
    *value = 0;
    if (cell.length == 0) {
        return true;
    }
    if (decimal_read(cell.text, cell.text + cell.length, false, &number) !=
        cell.text + cell.length) {
        *reason = REJECT_BAD_NUMBER;
        return false;
    }
    if (!decimal_scale(&number, factor, most, value)) {
        *reason = REJECT_OUT_OF_RANGE;
        return false;
    }
    return true;
}

#define COUNT_MOST INT64_C(1000000000000)
#define TIME_MOST_US (INT64_MAX / 8)

static bool read_numbers(const struct span *cell, struct readings_row *row,
                         enum reject_reason *reason)
{
    static const struct {
        enum readings_column column;
        size_t offset;
        uint32_t factor;
        int64_t most;
    } numbers[] = {
        {READINGS_SAMPLE, offsetof(struct readings_row, sample), 1, COUNT_MOST},
        {READINGS_SECONDS, offsetof(struct readings_row, time_us), 1000000, TIME_MOST_US},
        {READINGS_CAPTURE, offsetof(struct readings_row, capture), 1, COUNT_MOST},
        {READINGS_HOLD, offsetof(struct readings_row, hold), 1, COUNT_MOST},
        {READINGS_SETUP, offsetof(struct readings_row, setup), 1, COUNT_MOST},
        {READINGS_BUILD, offsetof(struct readings_row, build), 1, COUNT_MOST},
        {READINGS_HEIGHT, offsetof(struct readings_row, height_hundredth_mm), 100,
         RANGE_KEPT_MAX_TENTH_MM * 10},
    };
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
        int64_t value = 0;
        if (!read_number(cell[numbers[i].column], numbers[i].factor, numbers[i].most, &value,
                         reason)) {
            return false;
        }
        memcpy((char *)row + numbers[i].offset, &value, sizeof value);
    }
    row->has_height = cell[READINGS_HEIGHT].length > 0;
    return true;
}

static bool read_value(const struct span *cell, struct readings_row *row,
                       enum reject_reason *reason)
{
    int64_t value = 0;
    char quality[24] = "";
    row->is_range = cell[READINGS_OTHER].length == 0;
    struct span of = cell[row->is_range ? READINGS_RANGE : READINGS_OTHER];
    if (!read_number(of, 10, RANGE_KEPT_MAX_TENTH_MM, &value, reason)) {
        return false;
    }
    if (cell[READINGS_QUALITY].length < sizeof quality) {
        memcpy(quality, cell[READINGS_QUALITY].text, cell[READINGS_QUALITY].length);
    }
    int found = word_find(&quality_words, quality, -1);
    row->has_value = of.length > 0;
    row->value_tenth = (int32_t)value;
    row->quality = found >= 0 ? (uint8_t)found : READING_MISSING;
    if (found < 0 || row->has_value == (found == READING_MISSING)) {
        *reason = REJECT_BAD_NUMBER;
        return false;
    }
    return true;
}

bool readings_row_read(struct span line, struct readings_row *row, enum reject_reason *reason)
{
    struct span cell[READINGS_COLUMNS], field;
    int column = 0;
    *reason = REJECT_FIELD_COUNT;
    memset(row, 0, sizeof *row);
    while (span_next_field(&line, ',', &field)) {
        if (column == READINGS_COLUMNS) {
            return false;
        }
        cell[column++] = span_trim(field);
    }
    if (column != READINGS_COLUMNS || !read_numbers(cell, row, reason) ||
        !read_value(cell, row, reason)) {
        return false;
    }
    const struct span kind = cell[READINGS_KIND], channel = cell[READINGS_CHANNEL];
    dialect_channel_name(row->channel, channel.text, channel.length);
    if (row->sample < 1 || row->time_us < 0 || row->capture < 1 || row->hold < 0 ||
        row->setup < 0 || row->build < 0 || kind.length >= sizeof row->kind ||
        row->channel[0] == '\0' || !span_is(channel, row->channel)) {
        *reason = REJECT_BAD_NUMBER;
        return false;
    }
    memcpy(row->kind, kind.text, kind.length);
    return true;
}

/* ---- the dialect ----------------------------------------------------------------------------- */

/* Between captures: no more than so many samples in one piece, and in a stream. */
#define FILLED_AT_ONCE_MAX 1000000
#define FILLED_MAX 20000000

struct readings {
    int64_t number, time_us; /* of the last sample that was sent; 0: none */
    bool open;               /* the rows of one are still coming: */
    int64_t open_number;
    struct raw_sample raw;
    uint64_t end_byte;
    int64_t filled;
};

static enum recognition recognise(const struct held_lines *held,
                                  const struct decoder_options *options, bool last)
{
    (void)options;
    (void)last;
    struct span first = {held->bytes, held->count > 0 ? held->line[0].length : 0};
    return readings_is_heading(first) ? RECOGNITION_SURE : RECOGNITION_NO;
}

/* Which channels there are the rows of the first sample say. */
static bool begin(void *state, const struct held_lines *held, const struct decoder_options *options,
                  struct rig_info *info, struct problem *problem)
{
    (void)held;
    (void)options;
    (void)problem;
    memset(state, 0, sizeof(struct readings));
    info->channel_count = 0;
    info->has_rig_time = true;
    info->has_sequence = false;
    return true;
}

static void clear(struct raw_sample *raw, int64_t time_us)
{
    memset(raw, 0, sizeof *raw);
    memset(raw->quality, READING_MISSING, sizeof raw->quality);
    raw->has_rig_time = true;
    raw->rig_time_us = time_us;
}

/* Samples without readings up to the one with this number, evenly in the time between. */
static bool can_fill(const struct readings *readings, int64_t number, int64_t time_us)
{
    int64_t steps = number - readings->number, span_us = time_us - readings->time_us;
    bool first = readings->number == 0;
    return steps == 1 ||
           (steps <= FILLED_AT_ONCE_MAX && span_us >= steps - (first ? 1 : 0) &&
            span_us <= INT64_MAX / (steps + 1) && readings->filled + steps <= FILLED_MAX);
}

static void fill(struct readings *readings, struct dialect_output *output, int64_t number,
                 int64_t time_us)
{
    /* The first sample of a session is at 0 s. */
    int64_t before = readings->number > 0 ? readings->number : 1;
    int64_t steps = number - before, span_us = time_us - readings->time_us;
    for (int64_t i = readings->number > 0 ? 1 : 0; i < steps; i++) {
        struct raw_sample raw;
        clear(&raw, readings->time_us + span_us * i / steps);
        dialect_emit(output, &raw);
        readings->filled++;
    }
}

static void send(struct readings *readings, struct dialect_output *output)
{
    if (readings->open) {
        uint64_t end_byte = output->end_byte;
        output->end_byte = readings->end_byte;
        fill(readings, output, readings->open_number, readings->raw.rig_time_us);
        readings->number = readings->open_number;
        readings->time_us = readings->raw.rig_time_us;
        dialect_emit(output, &readings->raw);
        output->end_byte = end_byte;
        readings->open = false;
    }
}

/* The channel of this name; the rows of the first sample name them. -1: it is none. */
static int find_channel(const struct readings *readings, struct rig_info *info, const char *name)
{
    for (int c = 0; c < info->channel_count; c++) {
        if (text_equal(info->channel_name[c], name)) {
            return c;
        }
    }
    if (readings->number > 0 || info->channel_count == CHANNELS_MAX) {
        return -1;
    }
    text_copy(info->channel_name[info->channel_count], CHANNEL_NAME_SIZE, name);
    return info->channel_count++;
}

static bool take(void *state, struct dialect_output *output, const char *line, size_t length)
{
    struct readings *readings = state;
    struct span text = {line, length};
    struct readings_row row;
    enum reject_reason reason;
    if (readings_is_heading(text)) {
        return dialect_skip(output);
    }
    if (!readings_row_read(text, &row, &reason)) {
        return dialect_reject(output, reason);
    }
    bool next = !readings->open || row.sample != readings->open_number;
    if (next) {
        send(readings, output);
        if (readings->number > 0 &&
            (row.sample <= readings->number || row.time_us <= readings->time_us)) {
            return dialect_reject(output, REJECT_STALE);
        }
        if (!can_fill(readings, row.sample, row.time_us)) {
            return dialect_reject(output, REJECT_WRONG_TIME);
        }
    }
    int channel = find_channel(readings, output->info, row.channel);
    if (channel < 0) {
        return dialect_reject(output, REJECT_NOT_A_LINE);
    }
    if (next) {
        clear(&readings->raw, row.time_us);
        readings->open = true;
        readings->open_number = row.sample;
    }
    readings->raw.quality[channel] = row.quality;
    readings->raw.range_tenth_mm[channel] = row.value_tenth;
    readings->end_byte = output->end_byte;
    return true;
}

static void finish(void *state, struct dialect_output *output)
{
    send(state, output);
}

const struct dialect dialect_readings_table = {
    "readings", sizeof(struct readings), recognise, begin, take, finish,
};
