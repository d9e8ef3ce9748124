/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* CSV: every reading of every capture. This is the long one, so its rows are put together by hand.
 */
#include "base/text.h"
#include "report/csv.h"
#include "report/digest.h"
#include "report/tables.h"
#include "rig/readings_table.h"

#include <math.h>
#include <string.h>

static const char *quality_word(uint8_t quality)
{
    const char *word = word_of(&quality_words, quality);
    return word != NULL ? word : "not known";
}

/* Writes the digits of value at *at and moves it on. */
static void put_integer(char **at, int64_t value, int at_least)
{
    char digits[24];
    int count = 0;
    uint64_t rest = value < 0 ? 0 - (uint64_t)value : (uint64_t)value;
    if (value < 0) {
        *(*at)++ = '-';
    }
    do {
        digits[count++] = (char)('0' + rest % 10);
        rest /= 10;
    } while (rest > 0 || count < at_least);
    while (count > 0) {
        *(*at)++ = digits[--count];
    }
}

/* value in units of 10^-decimals. */
static void put_fixed(char **at, int64_t value, int decimals)
{
    int64_t unit = 1;
    for (int i = 0; i < decimals; i++) {
        unit *= 10;
    }
    if (value < 0) {
        *(*at)++ = '-';
        value = -value;
    }
    put_integer(at, value / unit, 1);
    *(*at)++ = '.';
    put_integer(at, value % unit, decimals);
}

static void put_text(char **at, const char *text)
{
    size_t length = strlen(text);
    memcpy(*at, text, length);
    *at += length;
}

/* What is the same for all readings of a channel of a capture. */
struct reading_column {
    char middle[SAY_SIZE]; /* '3,hold,2,1,1,head' */
    int channel, build;
    bool is_range; /* else what it sends is in its own unit, and never a height */
    bool
        is_height; /* it was said where the sensor is, and the build is tied: else a range is all */
};

enum part { THIS, CAPTURE, HOLD, SETUP, BUILD, PARTS };
struct row_parts {
    int capture;
    const char *channel;
};
/* Under the columns from READINGS_CAPTURE to READINGS_CHANNEL. */
static const struct csv_column middle[] = {
    {NULL, CSV_OF(THIS, row_parts, capture)},
    {NULL, CSV_WORD(CAPTURE, capture_record, kind, capture_words)},
    {NULL, CSV_OF(HOLD, hold_record, number)},
    {NULL, CSV_OF(SETUP, setup_record, number)},
    {NULL, CSV_OF(BUILD, build_record, ordinal)},
    {NULL, CSV_OF(THIS, row_parts, channel)},
};

/* One reading, and the cells that it alone has. */
struct reading {
    const struct report_input *input;
    const struct reading_column *column;
    const struct sample *sample;
    uint8_t quality;
};

static void put_sample(char **at, const struct reading *reading)
{
    put_integer(at, reading->sample->number, 1);
}

static void put_seconds(char **at, const struct reading *reading)
{
    put_fixed(at, reading->sample->time_us, 6);
}

static void put_value(char **at, const struct reading *reading)
{
    if (reading->quality != READING_MISSING) {
        put_fixed(at, reading->sample->range_tenth_mm[reading->column->channel], 1);
    }
}

static void put_range(char **at, const struct reading *reading)
{
    if (reading->column->is_range) {
        put_value(at, reading);
    }
}

static void put_other(char **at, const struct reading *reading)
{
    if (!reading->column->is_range) {
        put_value(at, reading);
    }
}

static void put_quality(char **at, const struct reading *reading)
{
    put_text(at, quality_word(reading->quality));
}

static void put_height(char **at, const struct reading *reading)
{
    const struct report_input *input = reading->input;
    int channel = reading->column->channel, build = reading->column->build;
    if (reading->quality != READING_MISSING && reading->column->is_height) {
        double height = analysis_height_mm(input->record, input->analysis, build, channel,
                                           reading->sample->range_tenth_mm[channel]);
        if (isfinite(height)) {
            put_fixed(at, llround(height * 100), 2);
        }
    }
}

/* The cells before those that a capture's rows share, and behind them. */
static void (*const before[])(char **at, const struct reading *reading) = {put_sample, put_seconds};
static void (*const after[])(char **at, const struct reading *reading) = {put_range, put_quality,
                                                                          put_height, put_other};
#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static void headings(struct csv_writer *csv)
{
    for (int i = 0; i < READINGS_COLUMNS; i++) {
        csv_text(csv, readings_columns[i]);
    }
    csv_row_end(csv);
}

static void csv_row(FILE *stream, const struct report_input *input,
                    const struct reading_column *column, const struct sample *sample)
{
    char row[2 * SAY_SIZE];
    char *at = row;
    const struct reading reading = {input, column, sample, sample->quality[column->channel]};
    for (size_t i = 0; i < COUNT(before); i++) {
        before[i](&at, &reading);
        *at++ = ',';
    }
    put_text(&at, column->middle);
    for (size_t i = 0; i < COUNT(after); i++) {
        *at++ = ',';
        after[i](&at, &reading);
    }
    put_text(&at, "\r\n");
    fwrite(row, 1, (size_t)(at - row), stream);
}

static int hold_of_capture(const struct session_record *record, int capture)
{
    for (int hold = 0; hold < record->hold_count; hold++) {
        if (record->hold[hold].capture == capture) {
            return hold;
        }
    }
    return -1;
}

/* The cells between the time and the range, as a finished piece of the row. */
static bool column_begin(const struct report_input *input, int capture, int build, int channel,
                         struct reading_column *column)
{
    const struct session_record *record = input->record;
    const struct placing_record *placing = digest_placing(input, build);
    const struct row_parts row = {
        .capture = capture + 1,
        .channel = placing != NULL ? placing->channel[channel].name
                                   : input->analysis->channel_name[channel],
    };
    int hold = hold_of_capture(record, capture);
    const void *const parts[PARTS] = {
        [THIS] = &row,
        [CAPTURE] = &record->capture[capture],
        [HOLD] = hold >= 0 ? &record->hold[hold] : NULL,
        [SETUP] = build >= 0 ? &record->setup[record->build[build].setup] : NULL,
        [BUILD] = build >= 0 ? &record->build[build] : NULL,
    };
    struct csv_writer csv;

    memset(column, 0, sizeof *column);
    column->channel = channel;
    column->build = build;
    column->is_range = placing == NULL || placing->channel[channel].role != ROLE_AUXILIARY;
    column->is_height = placing != NULL && placing->channel[channel].role == ROLE_BODY &&
                        placing->channel[channel].mounted &&
                        input->analysis->tie[build][channel].kind != TIE_NONE;
    FILE *memory = fmemopen(column->middle, sizeof column->middle, "w");
    if (memory == NULL) {
        return false;
    }
    csv_begin(&csv, memory);
    csv_cells(&csv, middle, COUNT(middle), parts);
    return fclose(memory) == 0;
}

static int build_of_capture(const struct session_record *record, int capture)
{
    int hold = hold_of_capture(record, capture);
    if (hold >= 0) {
        return record->hold[hold].build;
    }
    for (int target = 0; target < record->target_count; target++) {
        if (record->target[target].capture == capture) {
            return record->target[target].build;
        }
    }
    return digest_build_at(record, record->capture[capture].first_sample);
}

bool report_readings_csv(FILE *stream, const struct report_input *input, sample_source *source,
                         void *context, struct problem *problem)
{
    const struct session_record *record = input->record;
    struct csv_writer csv;
    csv_begin(&csv, stream);
    headings(&csv);
    for (int capture = 0; capture < record->capture_count; capture++) {
        const struct capture_record *recorded = &record->capture[capture];
        int build = build_of_capture(record, capture);
        const struct placing_record *placing = digest_placing(input, build);
        int channels = placing != NULL ? placing->channel_count : input->analysis->channel_count;
        struct reading_column columns[CHANNELS_MAX];
        const struct sample *samples = NULL;
        size_t count = 0;
        if (recorded->last_sample < recorded->first_sample) {
            continue;
        }
        for (int channel = 0; channel < channels; channel++) {
            if (!column_begin(input, capture, build, channel, &columns[channel])) {
                return problem_set(problem, "no memory for the rows of the readings");
            }
        }
        if (!source(context, recorded->first_sample, recorded->last_sample, &samples, &count)) {
            return problem_set(problem, "the samples of capture %d are not there", capture + 1);
        }
        for (size_t i = 0; i < count; i++) {
            for (int channel = 0; channel < channels; channel++) {
                csv_row(stream, input, &columns[channel], &samples[i]);
            }
        }
    }
    return !ferror(stream) || problem_set(problem, "the CSV could not be written");
}

void report_readings_columns(struct csv_writer *csv, const char *file)
{
    for (int i = 0; i < READINGS_COLUMNS; i++) {
        csv_describe_one(csv, file, readings_columns[i], readings_words[i].unit,
                         readings_words[i].meaning);
    }
}
