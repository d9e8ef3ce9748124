/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"

#include <errno.h>
#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The C locale for numbers while a format runs. glibc's newlocale gives its own built-in object for
 * "C": nothing is allocated. The caller's locale is put back. */
struct number_locale {
    locale_t own;
    locale_t before;
};

static struct number_locale number_locale_begin(void)
{
    struct number_locale locale;
    locale.own = newlocale(LC_ALL_MASK, "C", (locale_t)0);
    locale.before = locale.own != (locale_t)0 ? uselocale(locale.own) : (locale_t)0;
    return locale;
}

static void number_locale_end(struct number_locale locale)
{
    if (locale.own != (locale_t)0) {
        uselocale(locale.before);
        freelocale(locale.own);
    }
}

size_t text_decode(const char *text, size_t length, uint32_t *character)
{
    const unsigned char *bytes = (const unsigned char *)text;
    if (length == 0) {
        *character = TEXT_NOT_SOUND;
        return 0;
    }
    if (bytes[0] < 0x80) {
        *character = bytes[0];
        return 1;
    }
    static const uint32_t least[5] = {0, 0, 0x80, 0x800, 0x10000};
    size_t count = bytes[0] >= 0xF0 ? 4 : bytes[0] >= 0xE0 ? 3 : 2;
    *character = TEXT_NOT_SOUND;
    if (bytes[0] < 0xC2 || bytes[0] > 0xF4 || count > length) {
        return 1;
    }
    uint32_t value = bytes[0] & (0xFFU >> (count + 1));
    for (size_t i = 1; i < count; i++) {
        if ((bytes[i] & 0xC0) != 0x80) {
            return 1;
        }
        value = value << 6 | (bytes[i] & 0x3FU);
    }
    if (value < least[count] || value > 0x10FFFF || (value >= 0xD800 && value <= 0xDFFF)) {
        return 1;
    }
    *character = value;
    return count;
}

int text_width(const char *text)
{
    size_t length = strlen(text);
    int width = 0;
    for (size_t at = 0; at < length;) {
        uint32_t character;
        at += text_decode(text + at, length - at, &character);
        width += character == TEXT_NOT_SOUND ? 1 : text_cells(character);
    }
    return width;
}

int text_fit(char *destination, size_t size, const char *source, int width, bool ascii)
{
    if (size == 0) {
        return 0;
    }
    const char *mark = ascii ? "." : "\xE2\x80\xA6";
    size_t mark_length = strlen(mark);
    size_t length = strlen(source);
    if (length < size && text_width(source) <= width) {
        memcpy(destination, source, length + 1);
        return text_width(source);
    }
    size_t used = 0;
    int cells = 0;
    for (size_t at = 0; at < length;) {
        uint32_t character;
        size_t count = text_decode(source + at, length - at, &character);
        int its_cells = character == TEXT_NOT_SOUND ? 1 : text_cells(character);
        if (cells + its_cells > width - 1 || used + count + mark_length >= size) {
            break;
        }
        memcpy(destination + used, source + at, count);
        used += count;
        cells += its_cells;
        at += count;
    }
    if (width > 0 && used + mark_length < size) {
        memcpy(destination + used, mark, mark_length);
        used += mark_length;
        cells++;
    }
    destination[used] = '\0';
    return cells;
}

/* Bytes of text up to most that end at a character's border. */
static size_t whole_characters(const char *text, size_t length, size_t most)
{
    if (length <= most) {
        return length;
    }
    size_t at = most;
    while (at > 0 && most - at < 4 && ((unsigned char)text[at] & 0xC0) == 0x80) {
        at--;
    }
    return ((unsigned char)text[at] & 0xC0) == 0x80 ? most : at;
}

void text_append_list(char *buffer, size_t size, size_t *used, const char *format,
                      va_list arguments)
{
    if (size == 0 || *used >= size - 1) {
        return;
    }
    struct number_locale locale = number_locale_begin();
    int length = vsnprintf(buffer + *used, size - *used, format, arguments);
    number_locale_end(locale);
    if (length < 0) {
        buffer[*used] = '\0';
        return;
    }
    if ((size_t)length < size - *used) {
        *used += (size_t)length;
        return;
    }
    /* Cut: an unfinished character at the end goes. */
    size_t end = size - 1;
    size_t start = end;
    while (start > *used && end - start < 4) {
        start--;
        if (((unsigned char)buffer[start] & 0xC0) != 0x80) {
            uint32_t character;
            text_decode(buffer + start, end - start, &character);
            unsigned char lead = (unsigned char)buffer[start];
            bool unfinished = character == TEXT_NOT_SOUND && lead >= 0xC2 && lead <= 0xF4;
            end = unfinished ? start : end;
            break;
        }
    }
    buffer[end] = '\0';
    *used = end;
}

void text_append(char *buffer, size_t size, size_t *used, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    text_append_list(buffer, size, used, format, arguments);
    va_end(arguments);
}

void text_copy(char *destination, size_t size, const char *source)
{
    if (size == 0) {
        return;
    }
    size_t length = whole_characters(source, strlen(source), size - 1);
    memmove(destination, source, length);
    destination[length] = '\0';
}

bool text_to_double(const char *text, double *value)
{
    if (strspn(text, "+-.0123456789eE") != strlen(text) || strpbrk(text, "0123456789") == NULL) {
        return false;
    }
    struct number_locale locale = number_locale_begin();
    char *end = NULL;
    double result = strtod(text, &end);
    number_locale_end(locale);
    if (end == text || *end != '\0' || !isfinite(result)) {
        return false;
    }
    *value = result;
    return true;
}

bool text_to_int64(const char *text, int64_t *value)
{
    const char *digits = text + (text[0] == '-' || text[0] == '+' ? 1 : 0);
    if (digits[0] == '\0' || strspn(digits, "0123456789") != strlen(digits)) {
        return false;
    }
    errno = 0;
    long long result = strtoll(text, NULL, 10);
    if (errno != 0) {
        return false;
    }
    *value = result;
    return true;
}

void text_from_double(char *destination, size_t size, double value, int decimals)
{
    char text[400];
    size_t used = 0;
    text_append(text, sizeof text, &used, "%.*f",
                decimals < 0    ? 0
                : decimals > 20 ? 20
                                : decimals,
                value);
    bool is_zero = text[0] == '-' && strpbrk(text, "123456789infa") == NULL;
    text_copy(destination, size, is_zero ? text + 1 : text);
}

static bool reads_back(const char *text, double value)
{
    double again;
    return text_to_double(text, &again) && again == value;
}

/* Raises the last digit by one: at a power of two the gap below is half the gap
 * above, so that the nearest text may read back as the double below while this one does not. */
static bool next_above(char *text)
{
    char *end = strchr(text, 'e');
    for (char *at = (end != NULL ? end : text + strlen(text)) - 1; at >= text; at--) {
        if (*at >= '0' && *at <= '8') {
            (*at)++;
            return true;
        }
        if (*at == '9') {
            *at = '0';
        } else if (*at != '.') {
            break;
        }
    }
    return false;
}

void text_from_double_shortest(char *destination, size_t size, double value)
{
    char text[40];
    bool is_subnormal = value != 0 && fabs(value) < 0x1p-1022;
    /* A text of up to 15 digits comes back from a normal double as it was: start there. */
    for (int digits = is_subnormal ? 1 : 15; digits <= 17; digits++) {
        size_t used = 0;
        text_append(text, sizeof text, &used, "%.*g", digits, value);
        if (digits == 17 || reads_back(text, value)) {
            break;
        }
        if (digits == 16 && next_above(text) && reads_back(text, value)) {
            break;
        }
    }
    text_copy(destination, size, value == 0 ? "0" : text);
}

void text_too_long(char *reason, size_t reason_size, const char *text, size_t size)
{
    size_t characters = 0, bytes = strlen(text);
    uint32_t character;
    for (size_t at = 0; at < bytes; characters++) {
        at += text_decode(text + at, bytes - at, &character);
    }
    if (characters == bytes) {
        snprintf(reason, reason_size, "%zu characters, at most %zu", characters, size - 1);
    } else {
        snprintf(reason, reason_size,
                 "%zu bytes, at most %zu (a letter beyond a to z takes 2 to 4)", bytes, size - 1);
    }
}

bool text_equal(const char *a, const char *b)
{
    return strcmp(a, b) == 0;
}

bool text_starts_with(const char *text, const char *start)
{
    return strncmp(text, start, strlen(start)) == 0;
}

bool text_ends_with(const char *text, const char *end)
{
    size_t length = strlen(text), wanted = strlen(end);
    return length >= wanted && strcmp(text + length - wanted, end) == 0;
}

bool text_is_named(const char *name, const char *end)
{
    size_t length = strlen(name), wanted = strlen(end);
    bool same = length >= wanted;
    for (size_t i = 0; same && i < wanted; i++) {
        char letter = name[length - wanted + i];
        letter = letter >= 'A' && letter <= 'Z' ? (char)(letter - 'A' + 'a') : letter;
        same = letter == end[i];
    }
    return same;
}
