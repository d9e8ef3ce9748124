/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "plain_codes.h"
#include "plain_keys.h"
#include "plain_mould.h"
#include "plain_status.h"
#include "rig/dialect.h"
#include "rig/plain_columns.h"
#include "rig/plain_dress.h"
#include "rig/plain_layout.h"
#include "rig/plain_tokens.h"
#include "rig/plain_words.h"

#include <string.h>

/* Numbers as boards print them: docs/wire-formats.md. */

struct plain_numbers {
    struct plain_layout layout;
    int lines_before; /* still to come */
    struct plain_mould mould;
    char scratch[DECODER_LINE_MAX];
    char dressed[DECODER_LINE_MAX];
    struct rig_info *info;
    struct plain_codes codes[CHANNELS_MAX];
    unsigned doubtful; /* channels whose reading a status doubts, of the line at hand */
    bool other_unit;   /* the line at hand has another unit than the first lines had */
    bool other_place;  /* or a number in another place, by its label */
    bool turned;       /* under a later heading with the names in another order: */
    uint8_t place[PLAIN_COLUMNS_MAX]; /* for each column, the first heading's */
    unsigned given; /* columns of it that had their number, of those that labels tell */
    /* Of lines told apart by a key: the sample at hand. */
    struct raw_sample pending;
    unsigned filled;
    uint64_t pending_end_byte;
};
#define ALL_CHANNELS ((1U << CHANNELS_MAX) - 1)

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
    info->note_count = 0;
    if (!plain_layout_learn(layout, held, options, info, problem)) {
        return false;
    }
    plain->info = info;
    plain->filled = 0;
    plain->turned = false;
    memset(plain->codes, 0, sizeof plain->codes);
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

/* Numbers below 0 are no ranges: boards print them when nothing came back. */
static void note_negative(struct plain_numbers *plain, int channel)
{
    struct wire_note *noted = dialect_note(plain->info, WIRE_NEGATIVE, 0, channel);
    if (noted != NULL) {
        noted->count++;
    }
}

static void note_code(struct plain_numbers *plain, int channel, const struct decimal *number)
{
    struct wire_note *noted = dialect_note(plain->info, WIRE_CODE, 0, channel);
    if (noted != NULL) {
        (void)decimal_scale(number, 1000, INT64_MAX / 4, &noted->value_milli);
        noted->count++;
    }
}

/* What stands behind a number in the place of the first lines' unit: '0.41 m' after '412 mm'. An
 * 'in' may be a word of the language. */
static void look_for_other_unit(struct plain_numbers *plain, int channel, struct span after,
                                uint32_t *tenths_per_unit, int *more_decimals)
{
    uint8_t more;
    uint32_t tenths = plain_unit_tenths(after, &more);
    if (plain->layout.unit_may_change[channel] && tenths > 0 && tenths != *tenths_per_unit &&
        !span_equals(after, "in")) {
        *tenths_per_unit = tenths;
        *more_decimals = more;
        plain->other_unit = true;
    }
}

static enum use_result use_range(struct plain_numbers *plain, int channel,
                                 const struct token *token, struct raw_sample *raw)
{
    const struct plain_layout *layout = &plain->layout;
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
    struct decimal number = token->number;
    uint32_t tenths_per_unit = layout->tenths_per_unit[channel];
    int more_decimals = layout->more_decimals[channel];
    if (text_around) {
        look_for_other_unit(plain, channel, token->after, &tenths_per_unit, &more_decimals);
    }
    number.decimals += more_decimals;
    if (!decimal_scale(&number, tenths_per_unit, RANGE_KEPT_MAX_TENTH_MM, &tenths)) {
        return USE_TOO_LARGE;
    }
    bool nothing = token->number.mantissa == 0 && !layout->zero_is_reading[channel];
    if (nothing || tenths >= layout->no_echo_tenth_mm[channel]) {
        raw->quality[channel] = READING_MISSING;
        return USE_FINE;
    }
    if (tenths < 0 && !layout->zero_is_reading[channel]) {
        note_negative(plain, channel);
        raw->quality[channel] = READING_MISSING;
        return USE_FINE;
    }
    if (!layout->zero_is_reading[channel] &&
        plain_codes_jump(&plain->codes[channel], (int32_t)tenths) &&
        plain_codes_is_code(&plain->codes[channel], (int32_t)tenths, &token->number)) {
        note_code(plain, channel, &token->number);
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

/* What a status column says of the line's readings. */
static enum use_result use_status(struct plain_numbers *plain, int column,
                                  const struct token *token)
{
    const struct plain_layout *layout = &plain->layout;
    for (int i = 0; i < layout->status_count; i++) {
        const struct plain_status *status = &layout->status[i];
        if (status->column == column && !plain_status_is_good(status, token)) {
            plain->doubtful |= status->channel < 0 ? ALL_CHANNELS : 1U << (unsigned)status->channel;
        }
    }
    return USE_FINE;
}

static void doubt(const struct plain_numbers *plain, struct raw_sample *raw)
{
    for (int c = 0; c < plain->layout.channel_count; c++) {
        if ((plain->doubtful >> (unsigned)c & 1U) != 0 && raw->quality[c] == READING_GOOD) {
            raw->quality[c] = READING_WEAK;
        }
    }
}

static enum use_result use(struct plain_numbers *plain, int column, const struct token *token,
                           struct raw_sample *raw)
{
    const struct plain_layout *layout = &plain->layout;
    int channel =
        column <= layout->last_used_column ? layout->column_use[column] : PLAIN_PASSED_OVER;
    if (channel == PLAIN_PASSED_OVER) {
        return USE_FINE;
    }
    if (channel == PLAIN_STATUS_COLUMN) {
        return use_status(plain, column, token);
    }
    return channel == PLAIN_TIME_COLUMN ? use_time(layout, token, raw)
                                        : use_range(plain, channel, token, raw);
}

/* As the first heading has it. */
static int column_at(const struct plain_numbers *plain, int place)
{
    return plain->turned && place < plain->layout.shape.columns ? plain->place[place] : place;
}

/* A number with its label, which goes before its place: programs write their fields in any order,
 * and a board that was plugged in anew may be another. */
static enum use_result use_labelled(struct plain_numbers *plain, int place,
                                    const struct token *token, struct raw_sample *raw)
{
    int column = plain_labels_column(&plain->layout.labels, column_at(plain, place), token->before);
    if (column < PLAIN_LABELS_MAX) {
        unsigned bit = 1U << (unsigned)column;
        if ((plain->given & bit) != 0) {
            return USE_BAD_NUMBER;
        }
        plain->given |= bit;
    }
    plain->other_place = plain->other_place || column != place;
    return use(plain, column, token, raw);
}

/* A line with the text of the one before it: true when it is one, and all in it is fine. */
static bool read_alike(struct plain_numbers *plain, struct span line, struct raw_sample *raw)
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
        if (use(plain, number, &token, raw) != USE_FINE) {
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
        *result = layout->shape.columns == 1 ? use(plain, 0, &token, raw) : USE_FINE;
        return 1;
    }
    plain_mould_begin(&plain->mould);
    plain->other_unit = plain->other_place = false;
    while (plain_next_number(&rest, &token)) {
        *result = *result == USE_FINE ? use_labelled(plain, column, &token, raw) : *result;
        plain_mould_add(&plain->mould, line, &token);
        column++;
    }
    if (layout->is_bare && layout->ends_bare && span_trim(rest).length > 0) {
        *result = USE_BAD_NUMBER;
    }
    if (layout->shape.columns == column && plain_says_bad(rest)) { /* '412 mm weak' */
        plain->doubtful = ALL_CHANNELS;
        plain->mould.is_broken = true;
    }
    plain->mould.is_broken =
        plain->mould.is_broken || plain->other_unit || plain->other_place || *result != USE_FINE;
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
    plain->given = 0;
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
            token.before = span_between(rest.text, rest.text);
            *result = *result == USE_FINE ? use_labelled(plain, column, &token, raw) : *result;
            column++;
            rest = span_between(stop < end ? stop + 1 : NULL, stop < end ? end : NULL);
            continue;
        }
        span_next_field(&rest, layout->shape.delimiter, &field);
        bool used =
            column <= layout->last_used_column && layout->column_use[column] != PLAIN_PASSED_OVER;
        if ((used || column < layout->labels.columns) && *result == USE_FINE) {
            plain_read_field(field, comma_too, &token);
            *result = use_labelled(plain, column, &token, raw);
        }
        column++;
    }
    return column;
}

/* ---- lines told apart by a key --------------------------------------------------------------- */

static void send(struct plain_numbers *plain, struct dialect_output *output)
{
    if (plain->filled == 0) {
        return;
    }
    uint64_t end_byte = output->end_byte;
    for (int c = 0; c < plain->layout.channel_count; c++) {
        if ((plain->filled >> (unsigned)c & 1U) == 0) {
            plain->pending.quality[c] = READING_MISSING;
        }
    }
    output->end_byte = plain->pending_end_byte;
    dialect_emit(output, &plain->pending);
    output->end_byte = end_byte;
    plain->filled = 0;
}

struct keyed_use {
    struct plain_numbers *plain;
    struct raw_sample raw;
    enum use_result result;
};

static void use_keyed_column(void *context, int column, const struct token *token)
{
    struct keyed_use *keyed = context;
    if (keyed->result == USE_FINE && column != keyed->plain->layout.keys.value_column &&
        column < PLAIN_COLUMNS_MAX) {
        int use = keyed->plain->layout.column_use[column];
        keyed->result = use == PLAIN_TIME_COLUMN
                            ? use_time(&keyed->plain->layout, token, &keyed->raw)
                        : use == PLAIN_STATUS_COLUMN ? use_status(keyed->plain, column, token)
                                                     : USE_FINE;
    }
}

/* One channel's reading: with it a round may be whole, or a new one begin. */
static void fill(struct plain_numbers *plain, struct dialect_output *output, int channel,
                 const struct raw_sample *raw)
{
    unsigned bit = 1U << (unsigned)channel;
    if ((plain->filled & bit) != 0 || (channel == 0 && plain->filled != 0)) {
        send(plain, output);
    }
    if (plain->filled == 0) {
        memset(&plain->pending, 0, sizeof plain->pending);
        plain->pending.has_rig_time = raw->has_rig_time;
        plain->pending.rig_time_us = raw->rig_time_us;
    }
    plain->pending.range_tenth_mm[channel] = raw->range_tenth_mm[channel];
    plain->pending.quality[channel] = raw->quality[channel];
    plain->pending_end_byte = output->end_byte;
    plain->filled |= bit;
    if (plain->filled == (1U << (unsigned)plain->layout.channel_count) - 1) {
        send(plain, output);
    }
}

static bool take_keyed(struct plain_numbers *plain, struct dialect_output *output, struct span line)
{
    const struct plain_layout *layout = &plain->layout;
    struct keyed_use keyed = {.plain = plain, .result = USE_FINE};
    struct keyed_line read;
    plain_keys_read(&layout->keys, layout->shape, line, &read, use_keyed_column, &keyed);
    int index = read.key[0] != '\0' ? plain_key_index(&layout->keys, read.key) : -1;
    int channel = index >= 0 ? layout->keys.use[index] : PLAIN_PASSED_OVER;
    if (channel < 0 || channel >= CHANNELS_MAX) {
        bool strange = index < 0 && plain_has_digit(line) && plain->lines_before == 0;
        return strange ? dialect_reject(output, REJECT_BAD_NUMBER) : dialect_skip(output);
    }
    if (plain_says_bad(line)) {
        plain->doubtful = ALL_CHANNELS;
    }
    bool words = read.value.kind == TOKEN_TEXT && plain_says_bad(read.value.text);
    if (words) {
        read.value.kind = TOKEN_NO_READING;
    }
    if (keyed.result == USE_FINE) {
        keyed.result = use_range(plain, channel, &read.value, &keyed.raw);
    }
    if (keyed.result != USE_FINE) {
        return dialect_reject(output, keyed.result == USE_TOO_LARGE ? REJECT_OUT_OF_RANGE
                                                                    : REJECT_BAD_NUMBER);
    }
    doubt(plain, &keyed.raw);
    fill(plain, output, channel, &keyed.raw);
    return true;
}

static void finish(void *state, struct dialect_output *output)
{
    send(state, output);
}

/* ---- a line ---------------------------------------------------------------------------------- */

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
    plain->turned =
        !is_heading && (plain_labels_turned(layout, text, plain->place) || plain->turned);
    bool comment = plain_is_comment(text) && !(layout->hash_is_key && text.text[0] == '#');
    if (text.length == 0 || comment || is_heading) {
        return dialect_skip(output);
    }
    if (output->may_be_cut) {
        return dialect_reject(output, REJECT_NOT_A_LINE);
    }
    plain->doubtful = 0;
    if (layout->dress != DRESS_NONE &&
        !plain_dress(&text, layout->dress, plain->dressed, sizeof plain->dressed)) {
        return dialect_reject(output, layout->dress == DRESS_SENTENCE ? REJECT_CHECKSUM
                                                                      : REJECT_NOT_A_LINE);
    }
    if (layout->keys.count > 0) {
        return take_keyed(plain, output, text);
    }
    struct raw_sample raw;
    memset(&raw, 0, sizeof raw);
    enum use_result result;
    int columns = read_columns(plain, text, &raw, &result);
    if (columns == layout->shape.columns && result == USE_FINE) {
        if (plain->doubtful != 0) {
            doubt(plain, &raw);
        }
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
    "plain", sizeof(struct plain_numbers), recognise, begin, take, finish,
};
