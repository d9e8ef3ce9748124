/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "rig/dialect.h"
#include "rig/plain_columns.h"
#include "rig/plain_layout.h"
#include "rig/plain_mould.h"
#include "rig/plain_tokens.h"

#include <string.h>

/* Numbers as boards print them: docs/wire-formats.md. */

struct plain_numbers {
    struct plain_layout layout;
    int lines_before; /* still to come */
    struct plain_mould mould;
    char scratch[DECODER_LINE_MAX];
};

static enum recognition recognise(const struct held_lines *held,
                                  const struct decoder_options *options, bool last)
{
    return plain_layout_recognise(held, options, last);
}

static bool begin(void *state, const struct held_lines *held, const struct decoder_options *options,
                  struct rig_info *info, struct problem *problem)
{
    struct plain_numbers *plain = state;
    struct plain_layout *layout = &plain->layout;
    if (!plain_layout_learn(layout, held, options, problem)) {
        return false;
    }
    plain->lines_before = layout->lines_before;
    plain_mould_begin(&plain->mould);
    info->rate_hz = layout->announced_rate_hz;
    info->has_rig_time = layout->time != PLAIN_TIME_NONE;
    info->has_sequence = false;
    info->channel_count = layout->channel_count;
    for (int i = 0; i < layout->channel_count; i++) {
        text_copy(info->channel_name[i], CHANNEL_NAME_SIZE, layout->channel_name[i]);
    }
    return true;
}

enum use_result { USE_FINE, USE_BAD_NUMBER, USE_TOO_LARGE };

static enum use_result use_range(const struct plain_layout *layout, int channel,
                                 const struct token *token, struct raw_sample *raw)
{
    bool text_around =
        token->kind == TOKEN_NUMBER_IN && (token->before.length > 0 || token->after.length > 0);
    if (token->kind == TOKEN_EMPTY || token->kind == TOKEN_NO_READING) {
        raw->quality[channel] = READING_MISSING;
        return USE_FINE;
    }
    if ((token->kind != TOKEN_NUMBER && token->kind != TOKEN_NUMBER_IN) ||
        (layout->is_bare && text_around)) {
        return USE_BAD_NUMBER;
    }
    int64_t tenths;
    if (!decimal_scale(&token->number, layout->tenths_per_unit[channel], RANGE_KEPT_MAX_TENTH_MM,
                       &tenths)) {
        return USE_TOO_LARGE;
    }
    bool nothing = token->number.mantissa == 0 && !layout->zero_is_reading[channel];
    if (nothing || tenths >= layout->no_echo_tenth_mm[channel]) {
        raw->quality[channel] = READING_MISSING;
        return USE_FINE;
    }
    bool far = tenths > RANGE_SENSOR_MAX_TENTH_MM || tenths < -RANGE_SENSOR_MAX_TENTH_MM;
    raw->quality[channel] = far ? READING_OUT_OF_RANGE : READING_GOOD;
    raw->range_tenth_mm[channel] = (int32_t)tenths;
    return USE_FINE;
}

static enum use_result use_time(const struct plain_layout *layout, const struct token *token,
                                struct raw_sample *raw)
{
    if (layout->time == PLAIN_TIME_CALENDAR) {
        raw->rig_time_us = token->calendar_us;
        raw->has_rig_time = token->kind == TOKEN_CALENDAR;
        return raw->has_rig_time ? USE_FINE : USE_BAD_NUMBER;
    }
    if (token->kind != TOKEN_NUMBER && token->kind != TOKEN_NUMBER_IN) {
        return USE_BAD_NUMBER;
    }
    uint32_t us_per_unit = layout->time == PLAIN_TIME_US   ? 1
                           : layout->time == PLAIN_TIME_MS ? 1000
                                                           : 1000000;
    raw->has_rig_time = true;
    return decimal_scale(&token->number, us_per_unit, INT64_MAX / 4, &raw->rig_time_us)
               ? USE_FINE
               : USE_TOO_LARGE;
}

static enum use_result use(const struct plain_layout *layout, int column, const struct token *token,
                           struct raw_sample *raw)
{
    int channel =
        column <= layout->last_used_column ? layout->column_use[column] : PLAIN_PASSED_OVER;
    if (channel == PLAIN_PASSED_OVER) {
        return USE_FINE;
    }
    return channel == PLAIN_TIME_COLUMN ? use_time(layout, token, raw)
                                        : use_range(layout, channel, token, raw);
}

/* A line with the text of the one before it: true when it is one, and all in it is fine. */
static bool read_alike(const struct plain_numbers *plain, struct span line, struct raw_sample *raw)
{
    const struct plain_layout *layout = &plain->layout;
    const struct plain_mould *mould = &plain->mould;
    struct token token;
    size_t at = 0;
    int number = 0;
    if (mould->numbers != layout->shape.columns) {
        return false;
    }
    token.kind = TOKEN_NUMBER_IN;
    token.after = span_between(line.text, line.text);
    while (plain_mould_next(mould, line, number, &at, &token.number)) {
        /* Where there was text: any will do. */
        token.before = span_between(line.text, line.text + mould->number[number].has_text_around);
        if (use(layout, number, &token, raw) != USE_FINE) {
            return false;
        }
        number++;
    }
    return number == mould->numbers && plain_mould_ends(mould, line, at);
}

/* The numbers of a line, one after the other. */
static int read_numbers(struct plain_numbers *plain, struct span line, struct raw_sample *raw,
                        enum use_result *result)
{
    const struct plain_layout *layout = &plain->layout;
    struct span rest = line;
    struct token token;
    int column = 0;
    plain_read_field(line, false, &token);
    if (token.kind == TOKEN_NUMBER) { /* a lone number */
        *result = layout->shape.columns == 1 ? use(layout, 0, &token, raw) : USE_FINE;
        return 1;
    }
    plain_mould_begin(&plain->mould);
    while (plain_next_number(&rest, &token)) {
        *result = *result == USE_FINE ? use(layout, column, &token, raw) : *result;
        plain_mould_add(&plain->mould, line, &token);
        column++;
    }
    if (layout->is_bare && span_trim(rest).length > 0) {
        *result = USE_BAD_NUMBER;
    }
    plain->mould.is_broken = plain->mould.is_broken || *result != USE_FINE;
    plain_mould_end(&plain->mould, line);
    return column;
}

/* The columns of a line into raw; how many there are. *result: the first thing wrong in one that is
 * used. */
static int read_columns(struct plain_numbers *plain, struct span line, struct raw_sample *raw,
                        enum use_result *result)
{
    const struct plain_layout *layout = &plain->layout;
    *result = USE_FINE;
    if (layout->shape.delimiter == ' ') {
        if (read_alike(plain, line, raw)) {
            return layout->shape.columns;
        }
        memset(raw, 0, sizeof *raw);
        return read_numbers(plain, line, raw, result);
    }
    struct span rest = line;
    struct span field;
    struct token token;
    int column = 0;
    bool comma_too = layout->shape.delimiter != ',';
    const char *end = line.text + line.length;
    while (rest.text != NULL) {
        /* The common case first: a number from delimiter to delimiter. */
        const char *stop = decimal_read(rest.text, end, comma_too, &token.number);
        if (stop != NULL && (stop == end || *stop == layout->shape.delimiter)) {
            token.kind = TOKEN_NUMBER;
            *result = *result == USE_FINE ? use(layout, column, &token, raw) : *result;
            column++;
            rest = span_between(stop < end ? stop + 1 : NULL, stop < end ? end : NULL);
            continue;
        }
        span_next_field(&rest, layout->shape.delimiter, &field);
        if (column <= layout->last_used_column && layout->column_use[column] != PLAIN_PASSED_OVER &&
            *result == USE_FINE) {
            plain_read_field(field, comma_too, &token);
            *result = use(layout, column, &token, raw);
        }
        column++;
    }
    return column;
}

static bool take(void *state, struct dialect_output *output, const char *line, size_t length)
{
    struct plain_numbers *plain = state;
    const struct plain_layout *layout = &plain->layout;
    struct span text = {line, length};
    bool above = plain->lines_before > 0;
    plain->lines_before -= above ? 1 : 0;
    if (!plain_prepare(&text, plain->scratch, sizeof plain->scratch)) {
        return dialect_reject(output, REJECT_NOT_A_LINE);
    }
    bool is_heading = layout->heading_length > 0 && text.length == layout->heading_length &&
                      memcmp(text.text, layout->heading, text.length) == 0;
    if (text.length == 0 || plain_is_comment(text) || is_heading) {
        return dialect_skip(output);
    }
    if (output->may_be_cut) {
        return dialect_reject(output, REJECT_NOT_A_LINE);
    }
    struct raw_sample raw;
    memset(&raw, 0, sizeof raw);
    enum use_result result;
    int columns = read_columns(plain, text, &raw, &result);
    if (columns == layout->shape.columns && result == USE_FINE) {
        dialect_emit(output, &raw);
        return true;
    }
    if (above && plain_has_letter(text)) {
        return dialect_skip(output); /* 'Fs,50.00', a board's greeting */
    }
    if (!plain_has_digit(text)) {
        /* In words that nothing came back: the sample is there, its readings are not. */
        if (layout->shape.columns == 1 && layout->channel_count == 1 &&
            plain_says_no_reading(text)) {
            raw.quality[0] = READING_MISSING;
            dialect_emit(output, &raw);
            return true;
        }
        return dialect_skip(output);
    }
    if (columns != layout->shape.columns && columns > 0) {
        return dialect_reject(output, REJECT_FIELD_COUNT);
    }
    return dialect_reject(output,
                          result == USE_TOO_LARGE ? REJECT_OUT_OF_RANGE : REJECT_BAD_NUMBER);
}

const struct dialect dialect_plain_numbers = {
    "plain", sizeof(struct plain_numbers), recognise, begin, take, NULL,
};
