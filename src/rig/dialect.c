/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/dialect.h"

#include "base/text.h"

#include <string.h>

struct wire_note *dialect_note(struct rig_info *info, enum wire_note_kind kind, int column,
                               int channel)
{
    for (int i = 0; i < info->note_count; i++) {
        if (info->note[i].kind == (uint8_t)kind && info->note[i].column == column &&
            info->note[i].channel == channel) {
            return &info->note[i];
        }
    }
    if (info->note_count == WIRE_NOTES_MAX) {
        return NULL;
    }
    struct wire_note *note = &info->note[info->note_count++];
    *note = (struct wire_note){
        .kind = (uint8_t)kind, .column = (int16_t)column, .channel = (int8_t)channel};
    return note;
}

void dialect_emit(struct dialect_output *output, struct raw_sample *raw)
{
    raw->end_byte = output->end_byte;
    output->counts->samples++;
    output->sink(output->context, raw);
}

bool dialect_skip(struct dialect_output *output)
{
    output->counts->skipped++;
    return true;
}

bool dialect_reject(struct dialect_output *output, enum reject_reason reason)
{
    output->counts->rejected[reason]++;
    return true;
}

void dialect_channel_name(char name[CHANNEL_NAME_SIZE], const char *text, size_t length)
{
    size_t used = 0;
    bool gap = false;
    for (size_t i = 0; i < length; i++) {
        char character = text[i];
        bool digit = (character >= '0' && character <= '9') || character == '-' || character == '.';
        bool letter = (character >= 'a' && character <= 'z') ||
                      (character >= 'A' && character <= 'Z') || character == '_';
        if (!letter && !(digit && used > 0)) {
            gap = used > 0;
            continue;
        }
        if (used + (gap ? 1 : 0) + 1 >= CHANNEL_NAME_SIZE) {
            break;
        }
        if (gap) {
            name[used++] = '_';
            gap = false;
        }
        name[used++] = character;
    }
    while (used > 0 && (name[used - 1] == '-' || name[used - 1] == '.')) {
        used--;
    }
    name[used] = '\0';
}

void dialect_default_channel_name(char name[CHANNEL_NAME_SIZE], int channel)
{
    size_t used = 0;
    text_append(name, CHANNEL_NAME_SIZE, &used, "ch%d", channel + 1);
}

/* Of IEC 61162-1: the exclusive or of the bytes. */
static uint8_t checksum(const char *text, size_t length)
{
    /* Eight bytes at a time, folded at the end. */
    uint64_t wide = 0;
    size_t at = 0;
    for (; at + 8 <= length; at += 8) {
        uint64_t eight;
        memcpy(&eight, text + at, 8);
        wide ^= eight;
    }
    wide ^= wide >> 32;
    wide ^= wide >> 16;
    wide ^= wide >> 8;
    uint8_t sum = (uint8_t)wide;
    for (; at < length; at++) {
        sum = (uint8_t)(sum ^ (uint8_t)text[at]);
    }
    return sum;
}

static int hexadecimal(char digit)
{
    if (digit >= '0' && digit <= '9') {
        return digit - '0';
    }
    if (digit >= 'A' && digit <= 'F') {
        return digit - 'A' + 10;
    }
    return digit >= 'a' && digit <= 'f' ? digit - 'a' + 10 : -1;
}

bool dialect_checksum_is_right(const char *line, size_t length)
{
    if (length < 4 || line[length - 3] != '*') {
        return false;
    }
    int high = hexadecimal(line[length - 2]);
    int low = hexadecimal(line[length - 1]);
    return high >= 0 && low >= 0 && checksum(line + 1, length - 4) == high * 16 + low;
}

struct span dialect_sentence_at_end(const char *line, size_t length)
{
    const char *end = line + length;
    if (length > 0 && (line[0] == '$' || line[0] == '!') &&
        dialect_checksum_is_right(line, length)) {
        return span_between(line, end); /* all of it, as most are */
    }
    for (const char *at = end; at > line; at--) {
        if (at[-1] == '$' || at[-1] == '!') {
            struct span sentence = span_between(at - 1, end);
            sentence.length =
                dialect_checksum_is_right(sentence.text, sentence.length) ? sentence.length : 0;
            return sentence;
        }
    }
    return span_between(end, end);
}
