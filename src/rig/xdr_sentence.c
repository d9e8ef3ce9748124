/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/assembler.h"
#include "rig/auxiliary.h"
#include "rig/decimal.h"
#include "rig/dialect.h"

#include <string.h>

/* Sentences of IEC 61162-1 with transducer measurements: $--XDR,type,value,unit,name,...*HH. Type D
 * is a displacement in metres, which is what a range is here. The other readings of rig/auxiliary.h
 * are known by their names, in the types that the standard has for their units: T (tachometer) in R
 * (turns a minute), F (frequency) in H (hertz), G (generic) without a unit, which is how watts
 * come. All else is passed over, and so are other sentences. */

#define FIELDS_OF_A_MEASUREMENT 4
/* A line has no room for more: each has four commas but the last one. */
#define MEASUREMENTS_MAX (DECODER_LINE_MAX / FIELDS_OF_A_MEASUREMENT)
#define TENTHS_IN_METRE 10000
#define PER_MINUTE_OF_HERTZ 60

struct xdr {
    struct assembler assembler;
    uint32_t tenths_without_unit;
};

static bool is_address_character(char character)
{
    return (character >= 'A' && character <= 'Z') || (character >= '0' && character <= '9');
}

/* The fields of a sentence behind its address, without the checksum; text NULL when it is no XDR
 * sentence. */
static struct span fields_of(struct span sentence)
{
    struct span none = {NULL, 0};
    const char *text = sentence.text;
    bool is_xdr = sentence.length > 10 && text[0] == '$' && memcmp(text + 3, "XDR,", 4) == 0 &&
                  is_address_character(text[1]) && is_address_character(text[2]);
    return is_xdr ? span_between(text + 7, text + sentence.length - 3) : none;
}

/* A sentence of the standard begins with an address of letters and figures, the first a letter. */
static bool is_sentence(struct span sentence)
{
    return sentence.length > 4 && sentence.text[1] >= 'A' && sentence.text[1] <= 'Z';
}

struct measurement {
    struct span type, value, unit, name;
};

/* The next four fields; *fields: how many there were. */
static bool next_measurement(struct span *rest, struct measurement *measurement, int *fields)
{
    struct span *parts[FIELDS_OF_A_MEASUREMENT] = {&measurement->type, &measurement->value,
                                                   &measurement->unit, &measurement->name};
    *fields = 0;
    if (rest->text == NULL) {
        return false;
    }
    const char *at = rest->text;
    const char *end = rest->text + rest->length;
    while (*fields < FIELDS_OF_A_MEASUREMENT) {
        const char *first = at;
        while (at < end && *at != ',') {
            at++;
        }
        *parts[(*fields)++] = span_between(first, at);
        if (at == end) {
            rest->text = NULL; /* that was the last */
            rest->length = 0;
            return *fields == FIELDS_OF_A_MEASUREMENT;
        }
        at++;
    }
    *rest = span_between(at, end);
    return true;
}

static bool is_letter(struct span field, char letter)
{
    return field.length == 1 && field.text[0] == letter;
}

static bool is_range(const struct measurement *measurement)
{
    return is_letter(measurement->type, 'D') &&
           (is_letter(measurement->unit, 'M') || measurement->unit.length == 0);
}

/* What is made of a measurement. */
struct use {
    struct span key; /* the channel's short name */
    uint32_t tenths; /* in one of its unit; 0: it is passed over */
    bool is_range;   /* else one of the other readings */
};

static uint32_t tenths_of_auxiliary(const struct measurement *measurement, int kind)
{
    if (is_letter(measurement->type, 'G') && measurement->unit.length == 0) {
        return AUXILIARY_TENTHS;
    }
    bool is_turns = kind == AUXILIARY_CADENCE;
    if (is_turns && is_letter(measurement->type, 'T') && is_letter(measurement->unit, 'R')) {
        return AUXILIARY_TENTHS;
    }
    bool is_beats = kind == AUXILIARY_HEART;
    if ((is_turns || is_beats) && is_letter(measurement->type, 'F') &&
        is_letter(measurement->unit, 'H')) {
        return AUXILIARY_TENTHS * PER_MINUTE_OF_HERTZ;
    }
    return 0;
}

static struct use use_of(const struct measurement *measurement, uint32_t tenths_without_unit)
{
    struct use use = {measurement->name, 0, is_range(measurement)};
    if (use.is_range) {
        use.tenths = measurement->unit.length > 0 ? TENTHS_IN_METRE : tenths_without_unit;
        return use;
    }
    for (int kind = 0; kind < AUXILIARIES; kind++) {
        const char *name = auxiliary_kinds[kind].name;
        if (span_equals(measurement->name, name)) {
            use.key = span_between(name, name + strlen(name));
            use.tenths = tenths_of_auxiliary(measurement, kind);
        }
    }
    return use;
}

static bool hear_line(struct assembler *assembler, struct rig_info *info, struct span line,
                      void *context)
{
    struct span rest = fields_of(dialect_sentence_at_end(line.text, line.length));
    struct measurement measurement;
    int fields;
    bool often = false;
    (void)context;
    while (next_measurement(&rest, &measurement, &fields)) {
        struct use use = use_of(&measurement, TENTHS_IN_METRE);
        if (use.tenths > 0 && !assembler_hear(assembler, info, measurement.name, use.key)) {
            often = true;
        }
    }
    return often;
}

static enum recognition recognise(const struct held_lines *held,
                                  const struct decoder_options *options, bool last)
{
    (void)options;
    (void)last;
    struct assembler assembler;
    struct rig_info info;
    if (assembler_hear_lines(&assembler, &info, held, hear_line, NULL)) {
        return RECOGNITION_SURE;
    }
    for (int i = 0; i < held->count; i++) {
        if (is_sentence(
                dialect_sentence_at_end(held->bytes + held->line[i].start, held->line[i].length))) {
            return RECOGNITION_MAYBE;
        }
    }
    return RECOGNITION_NO;
}

static bool begin(void *state, const struct held_lines *held, const struct decoder_options *options,
                  struct rig_info *info, struct problem *problem)
{
    struct xdr *xdr = state;
    (void)problem;
    assembler_hear_lines(&xdr->assembler, info, held, hear_line, NULL);
    xdr->tenths_without_unit = decimal_tenths_in_unit(options->unit, strlen(options->unit));
    if (xdr->tenths_without_unit == 0) {
        xdr->tenths_without_unit = TENTHS_IN_METRE;
    }
    return true;
}

/* Adds one measurement; an empty value is no reading. */
static enum reject_reason add(struct xdr *xdr, struct dialect_output *output,
                              const struct measurement *measurement, const struct use *use,
                              bool *is_used)
{
    const char *end = measurement->value.text + measurement->value.length;
    enum reading_quality quality = READING_MISSING;
    int64_t tenths = 0;
    if (measurement->value.length > 0) {
        struct decimal number;
        if (decimal_read(measurement->value.text, end, false, &number) != end) {
            return REJECT_BAD_NUMBER;
        }
        if (!decimal_scale(&number, use->tenths, RANGE_KEPT_MAX_TENTH_MM, &tenths)) {
            return REJECT_OUT_OF_RANGE;
        }
        bool far = use->is_range &&
                   (tenths > RANGE_SENSOR_MAX_TENTH_MM || tenths < -RANGE_SENSOR_MAX_TENTH_MM);
        quality = far ? READING_OUT_OF_RANGE : READING_GOOD;
    }
    if (assembler_add(&xdr->assembler, output, measurement->name, use->key, NULL, (int32_t)tenths,
                      quality)) {
        *is_used = true;
    }
    return REJECT_REASONS;
}

/* Cuts a sentence into its measurements; their number, or -1 where one of them is not whole. */
static int split(struct span fields, struct measurement measurements[MEASUREMENTS_MAX])
{
    struct span rest = fields;
    int count = 0;
    int last_fields = 0;
    while (count < MEASUREMENTS_MAX &&
           next_measurement(&rest, &measurements[count], &last_fields)) {
        count++;
    }
    return rest.text == NULL && (last_fields == 0 || last_fields == FIELDS_OF_A_MEASUREMENT) ? count
                                                                                             : -1;
}

static bool take(void *state, struct dialect_output *output, const char *line, size_t length)
{
    struct xdr *xdr = state;
    while (length > 0 && (line[length - 1] == ' ' || line[length - 1] == '\t')) {
        length--;
    }
    if (length == 0 || line[0] == '#') {
        return dialect_skip(output);
    }
    struct span sentence = dialect_sentence_at_end(line, length);
    if (sentence.length == 0) {
        bool damaged = memchr(line, '$', length) != NULL || line[0] == '!';
        return dialect_reject(output, damaged ? REJECT_CHECKSUM : REJECT_NOT_A_LINE);
    }
    if (!is_sentence(sentence)) {
        return dialect_reject(output, REJECT_NOT_A_LINE);
    }
    struct span rest = fields_of(sentence);
    if (rest.text == NULL) {
        return dialect_skip(output);
    }
    /* All of them are looked at before any is used. */
    struct measurement measurements[MEASUREMENTS_MAX];
    int count = split(rest, measurements);
    enum reject_reason reason = count >= 0 ? REJECT_REASONS : REJECT_FIELD_COUNT;
    bool is_used = false;
    for (int i = 0; i < count && reason == REJECT_REASONS; i++) {
        struct use use = use_of(&measurements[i], xdr->tenths_without_unit);
        if (use.tenths > 0) {
            reason = add(xdr, output, &measurements[i], &use, &is_used);
        }
    }
    assembler_line_ends(&xdr->assembler, output);
    if (reason != REJECT_REASONS) {
        return dialect_reject(output, reason);
    }
    if (!is_used) {
        dialect_skip(output);
    }
    return true;
}

static void finish(void *state, struct dialect_output *output)
{
    struct xdr *xdr = state;
    assembler_finish(&xdr->assembler, output);
}

const struct dialect dialect_xdr_sentence = {
    "xdr", sizeof(struct xdr), recognise, begin, take, finish,
};
