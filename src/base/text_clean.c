/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What a text may hold, where it comes in and where it goes out. */
#include "base/text.h"

#include <string.h>

struct span {
    uint32_t first, last;
};

static bool is_among(const struct span *spans, size_t count, uint32_t character)
{
    for (size_t i = 0; i < count && spans[i].first <= character; i++) {
        if (character <= spans[i].last) {
            return true;
        }
    }
    return false;
}

/* What is obeyed: C0, DEL, C1, ends of lines and paragraphs, and what turns the direction of text
 * (UAX #9). */
static bool is_control(uint32_t character)
{
    static const struct span spans[] = {
        {0x0000, 0x001F}, {0x007F, 0x009F}, {0x061C, 0x061C},
        {0x200E, 0x200F}, {0x2028, 0x202E}, {0x2066, 0x2069},
    };
    return is_among(spans, sizeof spans / sizeof spans[0], character);
}

/* What is not seen: Default_Ignorable_Code_Point of the Unicode character database 14 (zero-width
 * characters, joiners, variation selectors, fillers, tags), what stands about annotations, and code
 * points that are no characters, which XML does not take. */
static bool is_unseen(uint32_t character)
{
    static const struct span spans[] = {
        {0x00AD, 0x00AD},   {0x034F, 0x034F}, {0x115F, 0x1160},   {0x17B4, 0x17B5},
        {0x180B, 0x180F},   {0x200B, 0x200F}, {0x2060, 0x206F},   {0x3164, 0x3164},
        {0xFDD0, 0xFDEF},   {0xFE00, 0xFE0F}, {0xFEFF, 0xFEFF},   {0xFFA0, 0xFFA0},
        {0xFFF0, 0xFFFB},   {0xFFFE, 0xFFFF}, {0x1BCA0, 0x1BCA3}, {0x1D173, 0x1D17A},
        {0xE0000, 0xE0FFF},
    };
    return (character & 0xFFFE) == 0xFFFE ||
           is_among(spans, sizeof spans / sizeof spans[0], character);
}

bool text_is_plain(uint32_t character)
{
    return character != TEXT_NOT_SOUND && !is_control(character) && !is_unseen(character);
}

bool text_is_clean(const char *text)
{
    size_t length = strlen(text);
    for (size_t at = 0; at < length;) {
        uint32_t character = 0;
        at += text_decode(text + at, length - at, &character);
        if (!text_is_plain(character)) {
            return false;
        }
    }
    return true;
}

/* White space of Unicode, and what is turned into a space. */
static bool is_blank(uint32_t character)
{
    return is_control(character) || character == ' ' || character == 0xA0 || character == 0x1680 ||
           (character >= 0x2000 && character <= 0x200B) || character == 0x202F ||
           character == 0x205F || character == 0x3000 || character == 0xFEFF;
}

void text_clean(char *destination, size_t size, const char *source)
{
    if (size == 0) {
        return;
    }
    size_t length = strlen(source);
    size_t used = 0;
    bool blank_waits = false;
    for (size_t at = 0; at < length;) {
        uint32_t character;
        size_t count = text_decode(source + at, length - at, &character);
        const char *bytes = source + at;
        at += count;
        if (character != TEXT_NOT_SOUND && is_blank(character)) {
            blank_waits = used > 0;
            continue;
        }
        if (character != TEXT_NOT_SOUND && is_unseen(character)) {
            continue;
        }
        if (character == TEXT_NOT_SOUND) {
            bytes = "\xEF\xBF\xBD";
            count = 3;
        }
        if (used + (blank_waits ? 1 : 0) + count >= size) {
            break;
        }
        if (blank_waits) {
            destination[used++] = ' ';
            blank_waits = false;
        }
        memcpy(destination + used, bytes, count);
        used += count;
    }
    destination[used] = '\0';
}

void text_escape(char *destination, size_t size, const char *source, size_t length)
{
    static const char digits[] = "0123456789ABCDEF";
    if (size == 0) {
        return;
    }
    size_t used = 0;
    for (size_t at = 0; at < length;) {
        uint32_t character;
        size_t count = text_decode(source + at, length - at, &character);
        bool plain = text_is_plain(character);
        size_t needed = plain ? count : 4 * count;
        if (used + needed >= size) {
            break;
        }
        for (size_t i = 0; i < count; i++) {
            unsigned char byte = (unsigned char)source[at + i];
            if (plain) {
                destination[used++] = (char)byte;
            } else {
                destination[used++] = '\\';
                destination[used++] = 'x';
                destination[used++] = digits[byte >> 4];
                destination[used++] = digits[byte & 15];
            }
        }
        at += count;
    }
    destination[used] = '\0';
}

#define PIECE_SIZE 1024

void text_write(FILE *stream, const char *text)
{
    char escaped[PIECE_SIZE];
    size_t length = strlen(text);
    for (size_t at = 0; at < length;) {
        /* a piece: as far as it surely fits, and to the end of its line */
        size_t piece = 0;
        while (at + piece < length && text[at + piece] != '\n' && piece < PIECE_SIZE / 4 - 8) {
            uint32_t character;
            piece += text_decode(text + at + piece, length - at - piece, &character);
        }
        text_escape(escaped, sizeof escaped, text + at, piece);
        fputs(escaped, stream);
        at += piece;
        if (text[at] == '\n') {
            fputc('\n', stream);
            at++;
        }
    }
}

void text_print(FILE *stream, const char *format, ...)
{
    char text[TEXT_PRINT_SIZE];
    size_t used = 0;
    va_list arguments;
    va_start(arguments, format);
    text_append_list(text, sizeof text, &used, format, arguments);
    va_end(arguments);
    text_write(stream, text);
}
