/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/senml_pack.h"

#include "rig/decimal.h"

#include <string.h>

#define JSMN_STATIC
#define JSMN_STRICT
#include <jsmn.h>

/* A line of 512 bytes cannot have more: each token takes two of them at least. */
#define TOKENS_MAX (DECODER_LINE_MAX / 2)
#define VERSION_KNOWN 10
#define NANO 1000000000U
#define MICRO 1000000U

struct base {
    struct span name, unit;
    int64_t time_us, value_nano;
    bool has_time, has_value;
};

static struct span token_text(const char *line, const jsmntok_t *token)
{
    return span_between(line + token->start, line + token->end);
}

/* decimal_scale takes factors to 10^6: nano in two steps, exact as long as it fits. */
static bool read_number(struct span text, bool in_nano, int64_t *result)
{
    struct decimal number;
    const char *end = text.text + text.length;
    bool plain =
        text.length > 0 && (text.text[0] == '-' || (text.text[0] >= '0' && text.text[0] <= '9'));
    if (!plain || decimal_read(text.text, end, false, &number) != end) {
        return false;
    }
    return decimal_scale(&number, in_nano ? NANO : MICRO, INT64_MAX / 4, result);
}

static bool join_name(struct senml_record *record, struct span base, struct span own)
{
    if (base.length + own.length >= sizeof record->name) {
        return false;
    }
    memcpy(record->name, base.text, base.length);
    memcpy(record->name + base.length, own.text, own.length);
    record->name[base.length + own.length] = '\0';
    record->own_name_at = base.length;
    record->name_length = base.length + own.length;
    return memchr(record->name, '\0', base.length + own.length) == NULL;
}

/* What one member of a record says. */
struct fields {
    struct span name, unit, text;
    int64_t time_us, value_nano;
    bool has_time, has_value;
    enum senml_value kind;
};

static bool is_true_or_false(struct span text)
{
    return span_is(text, "true") || span_is(text, "false");
}

static enum reject_reason read_member(struct span key, struct span value, bool is_string,
                                      struct base *base, struct fields *fields)
{
    bool fine = true;
    if (span_is(key, "bn")) {
        base->name = value;
        fine = is_string;
    } else if (span_is(key, "bu")) {
        base->unit = value;
        fine = is_string;
    } else if (span_is(key, "bt")) {
        base->has_time = true;
        fine = !is_string && read_number(value, false, &base->time_us);
    } else if (span_is(key, "bv")) {
        base->has_value = true;
        fine = !is_string && read_number(value, true, &base->value_nano);
    } else if (span_is(key, "bver")) {
        int64_t version_micro;
        fine = !is_string && read_number(value, false, &version_micro) &&
               version_micro <= (int64_t)VERSION_KNOWN * MICRO;
    } else if (span_is(key, "n")) {
        fields->name = value;
        fine = is_string;
    } else if (span_is(key, "u")) {
        fields->unit = value;
        fine = is_string;
    } else if (span_is(key, "t")) {
        fields->has_time = true;
        fine = !is_string && read_number(value, false, &fields->time_us);
    } else if (span_is(key, "v")) {
        fields->has_value = true;
        fine = !is_string && read_number(value, true, &fields->value_nano);
    } else if (span_is(key, "vs") || span_is(key, "vd")) {
        fields->kind = span_is(key, "vs") ? SENML_STRING : SENML_DATA;
        fields->text = value;
        fine = is_string;
    } else if (span_is(key, "vb")) {
        fields->kind = SENML_BOOLEAN;
        fields->text = value;
        fine = !is_string && is_true_or_false(value);
    } else if (key.length > 0 && key.text[key.length - 1] == '_') {
        return REJECT_NOT_A_LINE; /* a field that must be understood (section 4.4) */
    }
    return fine ? REJECT_REASONS : REJECT_BAD_NUMBER;
}

static enum reject_reason resolve(struct senml_pack *pack, const struct base *base,
                                  const struct fields *fields)
{
    if (pack->count == SENML_RECORDS_MAX) {
        return REJECT_FIELD_COUNT;
    }
    struct senml_record *record = &pack->record[pack->count];
    memset(record, 0, sizeof *record);
    if (!join_name(record, base->name, fields->name)) {
        return REJECT_TOO_LONG;
    }
    record->unit = fields->unit.length > 0 ? fields->unit : base->unit;
    record->has_time = base->has_time || fields->has_time;
    record->time_us = base->time_us + fields->time_us;
    record->kind = fields->kind;
    record->text = fields->text;
    if (fields->has_value) {
        record->kind = SENML_NUMBER;
        record->value_nano = base->value_nano + fields->value_nano;
    }
    pack->count += record->kind != SENML_NO_VALUE ? 1 : 0;
    return REJECT_REASONS;
}

enum reject_reason senml_resolve(struct senml_pack *pack, const char *line, size_t length)
{
    jsmntok_t tokens[TOKENS_MAX];
    jsmn_parser parser;
    pack->count = 0;
    jsmn_init(&parser);
    int count =
        length <= DECODER_LINE_MAX ? jsmn_parse(&parser, line, length, tokens, TOKENS_MAX) : 0;
    if (count < 1 || tokens[0].type != JSMN_ARRAY || (size_t)tokens[0].end != length ||
        memchr(line, '\0', length) != NULL) {
        return REJECT_NOT_A_LINE;
    }
    struct base base;
    memset(&base, 0, sizeof base);
    base.name = base.unit = span_between(line, line);
    int at = 1;
    for (int i = 0; i < tokens[0].size; i++) {
        if (at >= count || tokens[at].type != JSMN_OBJECT) {
            return REJECT_NOT_A_LINE;
        }
        int members = tokens[at++].size;
        struct fields fields;
        memset(&fields, 0, sizeof fields);
        fields.name = fields.unit = fields.text = span_between(line, line);
        for (int j = 0; j < members; j++, at += 2) {
            bool whole =
                at + 1 < count && tokens[at].type == JSMN_STRING && tokens[at].size == 1 &&
                (tokens[at + 1].type == JSMN_STRING || tokens[at + 1].type == JSMN_PRIMITIVE);
            if (!whole) {
                return REJECT_NOT_A_LINE;
            }
            enum reject_reason reason =
                read_member(token_text(line, &tokens[at]), token_text(line, &tokens[at + 1]),
                            tokens[at + 1].type == JSMN_STRING, &base, &fields);
            if (reason != REJECT_REASONS) {
                return reason;
            }
        }
        enum reject_reason reason = resolve(pack, &base, &fields);
        if (reason != REJECT_REASONS) {
            return reason;
        }
    }
    return at == count ? REJECT_REASONS : REJECT_NOT_A_LINE;
}
