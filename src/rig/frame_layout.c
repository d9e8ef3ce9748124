/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/frame_layout.h"

#include "base/text.h"
#include "rig/auxiliary.h"
#include "rig/dialect.h"
#include "rig/span.h"

#include <stdlib.h>
#include <string.h>

#define SLIP_END 0xC0
#define SLIP_ESCAPE 0xDB
#define SLIP_ESCAPED_END 0xDC
#define SLIP_ESCAPED_ESCAPE 0xDD

static bool read_type(struct span type, struct frame_field *field)
{
    static const struct {
        const char *name;
        int bytes;
        bool is_signed, is_float;
    } types[] = {{"u8", 1, false, false},  {"u16", 2, false, false}, {"u24", 3, false, false},
                 {"u32", 4, false, false}, {"i8", 1, true, false},   {"i16", 2, true, false},
                 {"i24", 3, true, false},  {"i32", 4, true, false},  {"f32", 4, false, true}};
    if (type.length > 2 && memcmp(type.text + type.length - 2, "be", 2) == 0) {
        field->is_big = true;
        type.length -= 2;
    }
    for (size_t i = 0; i < sizeof types / sizeof types[0]; i++) {
        if (span_is(type, types[i].name)) {
            field->bytes = types[i].bytes;
            field->is_signed = types[i].is_signed;
            field->is_float = types[i].is_float;
            return true;
        }
    }
    return false;
}

static double factor_of(struct span unit, bool is_time)
{
    static const struct {
        const char *name;
        double factor;
        bool is_time;
    } units[] = {{"us", 1, true},     {"ms", 1e3, true},  {"s", 1e6, true},
                 {"0.1mm", 1, false}, {"mm", 10, false},  {"cm", 100, false},
                 {"m", 10000, false}, {"in", 254, false}, {"um", 0.01, false}};
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++) {
        if (units[i].is_time == is_time && span_is(unit, units[i].name)) {
            return units[i].factor;
        }
    }
    return unit.length == 0 ? (is_time ? 1 : 10) : 0;
}

static bool name_field(struct frame_layout *layout, struct frame_field *field, struct span name,
                       struct problem *problem)
{
    if (span_is(name, "-")) {
        field->use = FRAME_PASSED_OVER;
        return true;
    }
    if (span_is(name, "time") || span_is(name, "sequence")) {
        field->use = span_is(name, "time") ? FRAME_TIME : FRAME_SEQUENCE;
        return true;
    }
    if (layout->channel_count == CHANNELS_MAX) {
        return problem_usage(problem, "--layout: more than %d channels", CHANNELS_MAX);
    }
    char *channel = layout->channel_name[layout->channel_count];
    dialect_channel_name(channel, name.text, name.length);
    for (int i = 0; i < layout->channel_count; i++) {
        if (text_equal(channel, layout->channel_name[i])) {
            return problem_usage(problem, "--layout: '%s' is named twice", channel);
        }
    }
    if (channel[0] == '\0') {
        return problem_usage(problem, "--layout: '%.*s' is no channel's name", (int)name.length,
                             name.text);
    }
    field->is_auxiliary = auxiliary_of(channel) >= 0;
    field->use = layout->channel_count++;
    return true;
}

/* 'NAME=TYPE:UNIT' */
static bool read_field(struct frame_layout *layout, struct span item, struct problem *problem)
{
    struct frame_field field = {.use = FRAME_PASSED_OVER};
    const char *end = item.text + item.length;
    const char *equals = memchr(item.text, '=', item.length);
    if (equals == NULL || layout->field_count == FRAME_FIELDS_MAX) {
        return problem_usage(problem,
                             "--layout: '%.*s': wanted is NAME=TYPE, as head=u16:mm, and %d of "
                             "them at most",
                             (int)item.length, item.text, FRAME_FIELDS_MAX);
    }
    const char *colon = memchr(equals, ':', (size_t)(end - equals));
    struct span unit = colon != NULL ? span_between(colon + 1, end) : span_between(end, end);
    if (!read_type(span_between(equals + 1, colon != NULL ? colon : end), &field)) {
        return problem_usage(problem,
                             "--layout: '%.*s': types are u8 u16 u24 u32 i8 i16 i24 i32 f32, with "
                             "'be' behind for big-endian ones",
                             (int)item.length, item.text);
    }
    if (!name_field(layout, &field, span_between(item.text, equals), problem)) {
        return false;
    }
    field.factor = field.is_auxiliary ? AUXILIARY_TENTHS : factor_of(unit, field.use == FRAME_TIME);
    if (field.factor == 0) {
        return problem_usage(problem,
                             "--layout: '%.*s': units are 0.1mm mm cm m in um, of time us ms s",
                             (int)item.length, item.text);
    }
    layout->bytes += (size_t)field.bytes;
    layout->field[layout->field_count++] = field;
    return true;
}

bool frame_layout_read(const char *text, struct frame_layout *layout, struct problem *problem)
{
    struct span rest = {text, strlen(text)};
    struct span item;
    memset(layout, 0, sizeof *layout);
    span_next_field(&rest, ',', &item);
    item = span_trim(item);
    if (!span_is(item, "cobs") && !span_is(item, "slip")) {
        return problem_usage(problem, "--layout begins with the framing: cobs or slip, not '%.*s'",
                             (int)item.length, item.text);
    }
    layout->framing = span_is(item, "cobs") ? FRAMING_COBS : FRAMING_SLIP;
    while (span_next_field(&rest, ',', &item)) {
        item = span_trim(item);
        enum frame_check check = span_is(item, "sum8")    ? FRAME_SUM8
                                 : span_is(item, "xor8")  ? FRAME_XOR8
                                 : span_is(item, "crc16") ? FRAME_CRC16
                                                          : FRAME_NO_CHECK;
        if (layout->check != FRAME_NO_CHECK) {
            return problem_usage(problem, "--layout: the check is the last");
        }
        if (check != FRAME_NO_CHECK) {
            layout->check = check;
            layout->bytes += check == FRAME_CRC16 ? 2 : 1;
        } else if (!read_field(layout, item, problem)) {
            return false;
        }
    }
    layout->check_is_big = layout->field_count > 0 && layout->field[0].is_big;
    if (layout->channel_count == 0) {
        return problem_usage(problem, "--layout: no field is a channel, as head=u16:mm");
    }
    return true;
}

char frame_end(enum framing framing)
{
    return framing == FRAMING_COBS ? '\0' : (char)SLIP_END;
}

static size_t unpack_cobs(unsigned char *bytes, size_t length)
{
    size_t used = 0;
    for (size_t at = 0; at < length;) {
        size_t code = bytes[at++];
        if (code == 0 || at + code - 1 > length) {
            return 0;
        }
        memmove(bytes + used, bytes + at, code - 1);
        used += code - 1;
        at += code - 1;
        if (code < 0xFF && at < length) {
            bytes[used++] = 0;
        }
    }
    return used;
}

static size_t unpack_slip(unsigned char *bytes, size_t length)
{
    size_t used = 0;
    for (size_t at = 0; at < length; at++) {
        unsigned char byte = bytes[at];
        if (byte == SLIP_ESCAPE) {
            at++;
            if (at == length ||
                (bytes[at] != SLIP_ESCAPED_END && bytes[at] != SLIP_ESCAPED_ESCAPE)) {
                return 0;
            }
            byte = bytes[at] == SLIP_ESCAPED_END ? SLIP_END : SLIP_ESCAPE;
        }
        bytes[used++] = byte;
    }
    return used;
}

size_t frame_unpack(enum framing framing, unsigned char *bytes, size_t length)
{
    return framing == FRAMING_COBS ? unpack_cobs(bytes, length) : unpack_slip(bytes, length);
}

/* CRC-16 of ITU-T V.41 ('CCITT'), begun with FFFF. */
static unsigned crc16(const unsigned char *bytes, size_t length)
{
    unsigned crc = 0xFFFF;
    for (size_t i = 0; i < length; i++) {
        crc ^= (unsigned)bytes[i] << 8;
        for (int bit = 0; bit < 8; bit++) {
            crc = (crc & 0x8000U) != 0 ? (crc << 1 ^ 0x1021U) & 0xFFFFU : crc << 1 & 0xFFFFU;
        }
    }
    return crc;
}

bool frame_check_is_right(const struct frame_layout *layout, const unsigned char *bytes)
{
    if (layout->check == FRAME_NO_CHECK) {
        return true;
    }
    if (layout->check == FRAME_CRC16) {
        const unsigned char *at = bytes + layout->bytes - 2;
        unsigned sent =
            layout->check_is_big ? (unsigned)at[0] << 8 | at[1] : (unsigned)at[1] << 8 | at[0];
        return crc16(bytes, layout->bytes - 2) == sent;
    }
    unsigned sum = 0;
    for (size_t i = 0; i + 1 < layout->bytes; i++) {
        sum = layout->check == FRAME_SUM8 ? (sum + bytes[i]) & 0xFFU : sum ^ bytes[i];
    }
    return sum == bytes[layout->bytes - 1];
}

double frame_number(const struct frame_field *field, const unsigned char *bytes)
{
    uint32_t bits = 0;
    for (int i = 0; i < field->bytes; i++) {
        bits = bits << 8 | bytes[field->is_big ? i : field->bytes - 1 - i];
    }
    if (field->is_float) {
        float number;
        memcpy(&number, &bits, sizeof number);
        return (double)number;
    }
    unsigned shift = 32U - 8U * (unsigned)field->bytes;
    if (field->is_signed) {
        int32_t wide;
        uint32_t shifted = bits << shift;
        memcpy(&wide, &shifted, sizeof wide);
        return (double)wide / (double)(UINT32_C(1) << shift);
    }
    return (double)bits;
}
