/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "rig/auxiliary.h"
#include "rig/decimal.h"
#include "rig/dialect.h"

#include <string.h>

/* The bench line: docs/wire-formats.md.
 *
 *     # holdline-rig 1 id=bench-a rate=50 unit=mm channels=head,chest
 *     $1042,20840000,412.5,356.1*HH
 */

static const char heading_start[] = "# holdline-rig ";

/* Lines that go by without a heading before they are taken as millimetres of unnamed channels. */
#define LINES_WITHOUT_HEADING 32

struct bench_line {
    uint32_t tenths_per_unit;                 /* of ranges */
    uint32_t tenths_of_channel[CHANNELS_MAX]; /* of each: auxiliary ones are in their own unit */
    bool waits_for_heading; /* a heading is known to come: what stands before it is old */
};

static void set_units(struct bench_line *bench, const struct rig_info *info,
                      uint32_t tenths_per_unit)
{
    bench->tenths_per_unit = tenths_per_unit;
    for (int i = 0; i < CHANNELS_MAX; i++) {
        bool is_range = i >= info->channel_count || auxiliary_of(info->channel_name[i]) < 0;
        bench->tenths_of_channel[i] = is_range ? tenths_per_unit : AUXILIARY_TENTHS;
    }
}

static bool is_digit(char character)
{
    return character >= '0' && character <= '9';
}

static bool is_heading(const char *line, size_t length)
{
    return length >= sizeof heading_start &&
           memcmp(line, heading_start, sizeof heading_start - 1) == 0;
}

static bool is_reading(const char *line, size_t length)
{
    return length > 1 && line[0] == '$' && is_digit(line[1]) &&
           dialect_checksum_is_right(line, length);
}

static enum recognition recognise(const struct held_lines *held,
                                  const struct decoder_options *options, bool last)
{
    (void)options;
    (void)last;
    int readings = 0;
    for (int i = 0; i < held->count; i++) {
        const char *line = held->bytes + held->line[i].start;
        if (is_heading(line, held->line[i].length)) {
            return RECOGNITION_SURE;
        }
        readings += is_reading(line, held->line[i].length) ? 1 : 0;
    }
    if (readings >= LINES_WITHOUT_HEADING) {
        return RECOGNITION_SURE;
    }
    return readings > 0 ? RECOGNITION_MAYBE : RECOGNITION_NO;
}

static bool begin(void *state, const struct held_lines *held, const struct decoder_options *options,
                  struct rig_info *info, struct problem *problem)
{
    struct bench_line *bench = state;
    (void)options;
    (void)problem;
    set_units(bench, info, 10);
    int last = held->count - 1; /* a heading is recognised as soon as it is held */
    bench->waits_for_heading =
        is_heading(held->bytes + held->line[last].start, held->line[last].length);
    info->has_rig_time = true;
    info->has_sequence = true;
    return true;
}

static bool key_is(const char *word, size_t key_length, const char *key)
{
    return strlen(key) == key_length && memcmp(word, key, key_length) == 0;
}

static bool read_channels(struct rig_info *info, const char *at, const char *end)
{
    info->channel_count = 0;
    while (at <= end) {
        const char *comma = memchr(at, ',', (size_t)(end - at));
        const char *stop = comma != NULL ? comma : end;
        if (info->channel_count == CHANNELS_MAX) {
            return false;
        }
        char *name = info->channel_name[info->channel_count];
        dialect_channel_name(name, at, (size_t)(stop - at));
        if (name[0] == '\0') {
            dialect_default_channel_name(name, info->channel_count);
        }
        info->channel_count++;
        at = stop + 1;
    }
    return true;
}

/* All of it or nothing. Keys that are not known are passed over: later firmware may say more. */
static bool take_heading(struct bench_line *bench, struct dialect_output *output, const char *line,
                         size_t length)
{
    const char *end = line + length;
    const char *at = line + sizeof heading_start - 1;
    struct rig_info info = *output->info;
    uint32_t tenths_per_unit = bench->tenths_per_unit;
    if (at[0] != '1' || (at + 1 < end && at[1] != ' ')) {
        return dialect_reject(output, REJECT_NOT_A_LINE);
    }
    for (at += 1; at < end;) {
        if (*at == ' ' || *at == '\t') {
            at++;
            continue;
        }
        const char *stop = at;
        while (stop < end && *stop != ' ' && *stop != '\t') {
            stop++;
        }
        const char *equals = memchr(at, '=', (size_t)(stop - at));
        size_t key_length = equals != NULL ? (size_t)(equals - at) : 0;
        const char *value = equals != NULL ? equals + 1 : stop;
        size_t value_length = (size_t)(stop - value);
        if (key_is(at, key_length, "id")) {
            text_escape(info.id, sizeof info.id, value, value_length);
        } else if (key_is(at, key_length, "rate")) {
            struct decimal rate;
            int64_t micro_hz;
            if (decimal_read(value, stop, false, &rate) != stop || rate.negative ||
                !decimal_scale(&rate, 1000000, INT64_C(100000000000), &micro_hz)) {
                return dialect_reject(output, REJECT_BAD_NUMBER);
            }
            info.rate_hz = (double)micro_hz / 1e6;
        } else if (key_is(at, key_length, "unit")) {
            tenths_per_unit = decimal_tenths_in_unit(value, value_length);
            if (tenths_per_unit == 0) {
                return dialect_reject(output, REJECT_NOT_A_LINE);
            }
        } else if (key_is(at, key_length, "channels") && !read_channels(&info, value, stop)) {
            return dialect_reject(output, REJECT_FIELD_COUNT);
        }
        at = stop;
    }
    *output->info = info;
    set_units(bench, &info, tenths_per_unit);
    bench->waits_for_heading = false;
    return dialect_skip(output);
}

/* A whole number without a sign and its comma: the byte behind them, or NULL. */
static inline const char *read_count(const char *at, const char *end, uint64_t *count)
{
    const char *first = at;
    uint64_t value = 0;
    while (at < end && is_digit(*at)) {
        value = value * 10 + (uint64_t)(*at - '0');
        at++;
    }
    if (at == first || at - first > 18 || at == end || *at != ',') {
        return NULL;
    }
    *count = value;
    return at + 1;
}

enum field_result { FIELD_FINE, FIELD_BAD_NUMBER, FIELD_TOO_LARGE };

/* A range, maybe followed by a letter, up to the next comma or the end; *at is left behind it. */
static inline enum field_result read_range(const char **at, const char *end,
                                           uint32_t tenths_per_unit, int32_t *range_tenth_mm,
                                           uint8_t *quality)
{
    const char *here = *at;
    const char *first = here;
    uint32_t whole = 0;
    /* The common case by hand: up to six digits, a point and one digit, in millimetres. */
    while (here < end && is_digit(*here) && here - first < 6) {
        whole = whole * 10 + (uint32_t)(*here - '0');
        here++;
    }
    bool has_digits = here > first;
    int64_t tenths = 0;
    if (has_digits && tenths_per_unit == 10 && here < end && *here == '.' && here + 1 < end &&
        is_digit(here[1]) && (here + 2 == end || !is_digit(here[2]))) {
        tenths = (int64_t)whole * 10 + (here[1] - '0');
        here += 2;
    } else if (first < end && *first != ',' && *first != 'w' && *first != 's' && *first != 'r') {
        struct decimal number;
        here = decimal_read(first, end, false, &number);
        if (here == NULL) {
            return FIELD_BAD_NUMBER;
        }
        has_digits = true;
        if (!decimal_scale(&number, tenths_per_unit, RANGE_KEPT_MAX_TENTH_MM, &tenths)) {
            return FIELD_TOO_LARGE;
        }
    }
    *quality = READING_GOOD;
    if (here < end && *here != ',') {
        *quality = *here == 'w'   ? READING_WEAK
                   : *here == 's' ? READING_SATURATED
                   : *here == 'r' ? READING_OUT_OF_RANGE
                                  : READING_MISSING;
        if (*quality == READING_MISSING) {
            return FIELD_BAD_NUMBER;
        }
        here++;
    }
    if (here < end && *here != ',') {
        return FIELD_BAD_NUMBER;
    }
    if (!has_digits) {
        *quality = READING_MISSING;
    } else if (tenths > RANGE_SENSOR_MAX_TENTH_MM || tenths < -RANGE_SENSOR_MAX_TENTH_MM) {
        *quality = READING_OUT_OF_RANGE;
    }
    *range_tenth_mm = (int32_t)tenths;
    *at = here;
    return FIELD_FINE;
}

static bool take_reading(struct bench_line *bench, struct dialect_output *output, const char *line,
                         size_t length)
{
    struct rig_info *info = output->info;
    struct raw_sample raw;
    uint64_t rig_time_us;
    const char *end = line + length - 3; /* at the '*' */
    memset(&raw, 0, sizeof raw);
    if (bench->waits_for_heading) {
        return dialect_reject(output, REJECT_STALE);
    }
    const char *at = read_count(line + 1, end, &raw.sequence);
    at = at != NULL ? read_count(at, end, &rig_time_us) : NULL;
    if (at == NULL) {
        return dialect_reject(output, REJECT_BAD_NUMBER);
    }
    raw.has_sequence = true;
    raw.has_rig_time = true;
    raw.rig_time_us = (int64_t)rig_time_us;
    int channel = 0;
    for (;; at++) {
        if (channel == CHANNELS_MAX) {
            return dialect_reject(output, REJECT_FIELD_COUNT);
        }
        enum field_result result = read_range(&at, end, bench->tenths_of_channel[channel],
                                              &raw.range_tenth_mm[channel], &raw.quality[channel]);
        if (result != FIELD_FINE) {
            return dialect_reject(output, result == FIELD_TOO_LARGE ? REJECT_OUT_OF_RANGE
                                                                    : REJECT_BAD_NUMBER);
        }
        channel++;
        if (at == end) {
            break;
        }
    }
    if (info->channel_count == 0) {
        info->channel_count = channel;
        for (int i = 0; i < channel; i++) {
            dialect_default_channel_name(info->channel_name[i], i);
        }
    }
    if (channel != info->channel_count) {
        return dialect_reject(output, REJECT_FIELD_COUNT);
    }
    dialect_emit(output, &raw);
    return true;
}

static bool take(void *state, struct dialect_output *output, const char *line, size_t length)
{
    struct bench_line *bench = state;
    while (length > 0 && (line[length - 1] == ' ' || line[length - 1] == '\t')) {
        length--;
    }
    if (is_reading(line, length)) {
        return take_reading(bench, output, line, length);
    }
    if (is_heading(line, length)) {
        return take_heading(bench, output, line, length);
    }
    if (length == 0 || line[0] == '#') {
        return dialect_skip(output);
    }
    struct span sentence = dialect_sentence_at_end(line, length);
    if (sentence.length > 0 && is_reading(sentence.text, sentence.length)) {
        return take_reading(bench, output, sentence.text, sentence.length);
    }
    bool damaged = sentence.length == 0 && memchr(line, '$', length) != NULL;
    return dialect_reject(output, damaged ? REJECT_CHECKSUM : REJECT_NOT_A_LINE);
}

const struct dialect dialect_bench_line = {
    "bench", sizeof(struct bench_line), recognise, begin, take, NULL,
};
