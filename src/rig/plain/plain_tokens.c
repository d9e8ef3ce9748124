/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/plain_tokens.h"

#include "base/clock.h"
#include "base/text.h"
#include "rig/plain_quotes.h"
#include "rig/plain_words.h"

#include <string.h>

static bool is_digit(char character)
{
    return character >= '0' && character <= '9';
}

static bool is_letter(char character)
{
    return (character >= 'a' && character <= 'z') || (character >= 'A' && character <= 'Z');
}

static bool is_blank(char character)
{
    return character == ' ' || character == '\t';
}

/* Bytes of the terminal's escape sequence at text (ECMA-48: CSI, strings, two-character ones). */
static size_t escape_length(const char *text, size_t length)
{
    if (length < 2) {
        return length;
    }
    size_t at = 2;
    if (text[1] == '[') {
        while (at < length && text[at] >= 0x20 && text[at] < 0x40) {
            at++;
        }
        return at < length ? at + 1 : length;
    }
    if (text[1] == ']' || text[1] == 'P' || text[1] == '_' || text[1] == '^' || text[1] == 'X') {
        while (at < length && text[at] != '\a' && text[at] != '\x1b') {
            at++;
        }
        if (at < length && text[at] == '\x1b') {
            at++;
        }
        return at < length ? at + 1 : length;
    }
    return 2;
}

/* Whether all bytes are printable ASCII, eight at a time: less than a blank borrows into a byte's
 * top bit, more than '~' carries into it or has it. */
static bool is_printable(struct span line)
{
    const uint64_t ones = UINT64_C(0x0101010101010101);
    uint64_t found = 0;
    size_t at = 0;
    for (; at + 8 <= line.length; at += 8) {
        uint64_t eight;
        memcpy(&eight, line.text + at, 8);
        found |= (eight - 0x20 * ones) | (eight + ones) | eight;
    }
    for (; at < line.length; at++) {
        uint64_t one = (unsigned char)line.text[at];
        found |= one - 0x20U < 0x5FU ? 0 : 0x80;
    }
    return (found & 0x80 * ones) == 0;
}

static bool finish(struct span *line, char *scratch, size_t size)
{
    bool fits = plain_unquote(line, scratch, size);
    *line = span_trim(*line);
    return fits;
}

bool plain_prepare(struct span *line, char *scratch, size_t size)
{
    if (is_printable(*line)) {
        return finish(line, scratch, size);
    }
    bool is_plain = true;
    bool has_escape = false;
    for (size_t i = 0; i < line->length; i++) {
        unsigned char byte = (unsigned char)line->text[i];
        has_escape = has_escape || byte == 0x1B;
        is_plain = is_plain && (byte - 0x20U < 0x5FU || byte == '\t');
    }
    if (is_plain) {
        return finish(line, scratch, size);
    }
    if (has_escape) {
        size_t used = 0;
        for (size_t i = 0; i < line->length;) {
            if (line->text[i] == 0x1B) {
                i += escape_length(line->text + i, line->length - i);
            } else if (used < size) {
                scratch[used++] = line->text[i++];
            } else {
                return false;
            }
        }
        *line = span_between(scratch, scratch + used);
    }
    if (line->length >= 3 && memcmp(line->text, "\xEF\xBB\xBF", 3) == 0) {
        line->text += 3;
        line->length -= 3;
    }
    /* NULs at the ends are what a line gives while it is plugged in. */
    while (line->length > 0 && line->text[0] == '\0') {
        line->text++;
        line->length--;
    }
    while (line->length > 0 && line->text[line->length - 1] == '\0') {
        line->length--;
    }
    for (size_t at = 0; at < line->length;) {
        uint32_t character;
        at += text_decode(line->text + at, line->length - at, &character);
        if (character == TEXT_NOT_SOUND || (character < 0x20 && character != '\t') ||
            (character >= 0x7F && character < 0xA0)) {
            return false;
        }
    }
    return finish(line, scratch, size);
}

/* hours:minutes:seconds[.fraction] at text: its length, or 0. */
static size_t read_clock_time(const char *text, const char *end, bool comma_too, int64_t *time_us)
{
    int64_t parts[3] = {0, 0, 0};
    const char *at = text;
    for (int i = 0; i < 3; i++) {
        const char *first = at;
        for (; at < end && is_digit(*at) && at - first < 3; at++) {
            parts[i] = parts[i] * 10 + (*at - '0');
        }
        if (at == first || (i < 2 && (at == end || *at++ != ':'))) {
            return 0;
        }
    }
    if (parts[1] > 59 || parts[2] > 60) {
        return 0;
    }
    *time_us = ((parts[0] * 60 + parts[1]) * 60 + parts[2]) * 1000000;
    if (at + 1 < end && (*at == '.' || (comma_too && *at == ',')) && is_digit(at[1])) {
        int64_t place_us = 100000;
        for (at++; at < end && is_digit(*at); at++) {
            *time_us += (*at - '0') * place_us;
            place_us /= 10;
        }
    }
    return (size_t)(at - text);
}

/* A date and time of ISO 8601 at text: its length, or 0. One without an offset is taken as UTC,
 * since only differences are used. */
static size_t read_iso_time(const char *text, const char *end, int64_t *time_us)
{
    if (end - text < 10 || text[4] != '-' || text[7] != '-') {
        return 0;
    }
    const char *stop = text + 10;
    if (end - stop >= 9 && (*stop == 'T' || *stop == 't' || *stop == ' ') && is_digit(stop[1])) {
        stop++;
        while (stop < end && (is_digit(*stop) || *stop == ':' || *stop == '.')) {
            stop++;
        }
        if (stop < end && (*stop == 'Z' || *stop == 'z')) {
            stop++;
        } else if (end - stop >= 5 && (*stop == '+' || *stop == '-')) {
            stop += 1;
            while (stop < end && (is_digit(*stop) || *stop == ':')) {
                stop++;
            }
        }
    }
    size_t length = (size_t)(stop - text);
    if (clock_parse_us(text, length, time_us)) {
        return length;
    }
    char with_offset[64];
    if (length + 1 < sizeof with_offset) {
        memcpy(with_offset, text, length);
        with_offset[length] = 'Z';
        if (clock_parse_us(with_offset, length + 1, time_us)) {
            return length;
        }
    }
    return 0;
}

/* A number or time that stands for itself at text (not glued to a word): the byte behind it and its
 * unit, or NULL; *skip is then where to look on. */
static const char *read_number_at(const char *line, const char *text, const char *end,
                                  bool comma_too, struct token *token, const char **skip)
{
    const char *digits = text + (*text == '-' || *text == '+' ? 1 : 0);
    *skip = text + 1;
    bool starts = digits < end && (is_digit(*digits) ||
                                   (*digits == '.' && digits + 1 < end && is_digit(digits[1])));
    if (!starts) {
        return NULL;
    }
    char previous = text > line ? text[-1] : ' ';
    bool glued = is_letter(previous) || is_digit(previous) || previous == '_' || previous == '.';
    if (digits > text && glued) {
        return NULL; /* '10-20': the sign is a dash; the number behind it stands for itself */
    }
    const char *stop = NULL;
    token->kind = TOKEN_NUMBER_IN;
    if (!glued && digits == text) {
        size_t length = read_iso_time(text, end, &token->calendar_us);
        length = length == 0 ? read_clock_time(text, end, comma_too, &token->calendar_us) : length;
        if (length > 0) {
            token->kind = TOKEN_CALENDAR;
            stop = text + length;
        }
    }
    if (stop == NULL && !glued) {
        stop = decimal_read(text, end, comma_too, &token->number);
    }
    const char *word_end = stop != NULL ? stop : text;
    while (word_end < end && (is_letter(*word_end) || is_digit(*word_end) || *word_end == '_')) {
        word_end++;
    }
    word_end += stop != NULL && word_end == stop && stop < end && *stop == '%' ? 1 : 0;
    bool is_version =
        stop != NULL && word_end == stop && stop + 1 < end && *stop == '.' && is_digit(stop[1]);
    token->after = span_between(stop, word_end);
    token->figures = span_between(text, stop);
    if (stop == NULL || is_version || (word_end > stop && !plain_is_unit(token->after))) {
        /* Part of a word such as 'x1', '0x3f', '1.0.2' or '2nd': all of it is passed over. */
        while (word_end < end && (is_digit(*word_end) || *word_end == '.')) {
            word_end++;
        }
        *skip = word_end;
        return NULL;
    }
    return word_end;
}

/* What belongs to a number of what stands before it: behind the last bar, where words are there
 * ('50 ms | head: 412'). */
static struct span label_of(struct span before)
{
    size_t at = before.length;
    while (at > 0 && before.text[at - 1] != '|') {
        at--;
    }
    struct span behind = span_between(before.text + at, before.text + before.length);
    return span_trim(at > 0 && plain_has_letter(behind) ? behind : before);
}

/* The first number in text from *from on; sets what stands before it. */
static bool find_number(struct span line, const char **from, bool comma_too, struct token *token)
{
    const char *end = line.text + line.length;
    const char *start = *from;
    for (const char *at = start; at < end;) {
        const char *skip;
        if (!is_digit(*at) && *at != '-' && *at != '+' && *at != '.') {
            at++;
            continue;
        }
        const char *stop = read_number_at(line.text, at, end, comma_too, token, &skip);
        if (stop != NULL) {
            token->before = label_of(span_between(start, at));
            *from = stop;
            return true;
        }
        at = skip;
    }
    return false;
}

bool plain_says_no_reading(struct span text)
{
    static const char *const words[] = {"timeout", "timed out", "time out",   "out of range",
                                        "no echo", "no target", "no reading", "overflow"};
    static const char *const whole[] = {"nan", "inf", "-inf", "null", "none", "na",
                                        "n/a", "ovf", "ol",   "-",    "--",   "---"};
    for (size_t i = 0; i < sizeof whole / sizeof whole[0]; i++) {
        if (span_equals(text, whole[i])) {
            return true;
        }
    }
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (span_contains(text, words[i])) {
            return true;
        }
    }
    return false;
}

/* A blank-delimited 'nan' and the like, which stands in a number's place. */
static bool is_place_holder(struct span word)
{
    return span_equals(word, "nan") || span_equals(word, "inf") || span_equals(word, "null") ||
           span_equals(word, "ovf");
}

static bool find_place_holder(struct span *rest, const char *stop, struct token *token)
{
    const char *at = rest->text;
    while (at < stop) {
        while (at < stop && !is_letter(*at)) {
            at++;
        }
        const char *word = at;
        while (at < stop && (is_letter(*at) || is_digit(*at) || *at == '_')) {
            at++;
        }
        if (is_place_holder(span_between(word, at))) {
            token->kind = TOKEN_NO_READING;
            token->before = span_trim(span_between(rest->text, word));
            token->text = span_between(word, at);
            token->after = span_between(at, at);
            *rest = span_between(at, rest->text + rest->length);
            return true;
        }
    }
    return false;
}

bool plain_next_number(struct span *rest, struct token *token)
{
    const char *end = rest->text + rest->length;
    const char *from = rest->text;
    bool found = find_number(*rest, &from, false, token);
    const char *number_start = found ? token->before.text + token->before.length : end;
    if (find_place_holder(rest, number_start, token)) {
        return true;
    }
    if (found) {
        /* A unit that stands apart belongs to the number before it: '412 mm'. */
        if (token->after.length == 0 && token->kind == TOKEN_NUMBER_IN) {
            const char *word = from;
            while (word < end && is_blank(*word)) {
                word++;
            }
            const char *word_end = word;
            while (word_end < end && is_letter(*word_end)) {
                word_end++;
            }
            struct span letters = span_between(word, word_end);
            bool alone =
                word_end == end || is_blank(*word_end) || *word_end == ',' || *word_end == ';';
            uint8_t more_decimals;
            if (alone && plain_unit_tenths(letters, &more_decimals) != 0) {
                token->after = letters;
                from = word_end;
            }
        }
        token->text = span_between(rest->text, from);
        *rest = span_between(from, end);
    }
    return found;
}

void plain_read_field(struct span field, bool comma_too, struct token *token)
{
    struct span trimmed = span_trim(field);
    const char *end = trimmed.text + trimmed.length;
    token->text = trimmed;
    token->before = span_between(trimmed.text, trimmed.text);
    token->after = span_between(end, end);
    if (trimmed.length == 0) {
        token->kind = TOKEN_EMPTY;
        return;
    }
    if (decimal_read(trimmed.text, end, comma_too, &token->number) == end) {
        token->kind = TOKEN_NUMBER;
        return;
    }
    const char *from = trimmed.text;
    if (!find_number(trimmed, &from, comma_too, token)) {
        token->kind = plain_says_no_reading(trimmed) ? TOKEN_NO_READING : TOKEN_TEXT;
        return;
    }
    if (token->after.length == 0) {
        const char *unit = from;
        while (unit < end && is_blank(*unit)) {
            unit++;
        }
        token->after = span_between(unit, end);
    }
    struct token second;
    if (find_number(trimmed, &from, comma_too, &second)) {
        token->kind = TOKEN_SEVERAL;
    }
}

static int count_numbers(struct span line)
{
    int count = 0;
    struct token token;
    while (plain_next_number(&line, &token)) {
        count++;
    }
    return count;
}

bool plain_has_labels(struct span line, struct plain_shape shape)
{
    struct span rest = line;
    struct span field;
    struct token token;
    bool found = false;
    if (shape.delimiter == ' ') {
        while (plain_next_number(&rest, &token)) {
            found = found || plain_has_letter(token.before);
        }
        return found;
    }
    while (span_next_field(&rest, shape.delimiter, &field)) {
        plain_read_field(field, shape.delimiter != ',', &token);
        found = found || (token.kind == TOKEN_NUMBER_IN && plain_has_letter(token.before));
    }
    return found;
}

bool plain_has_letter(struct span line)
{
    for (size_t i = 0; i < line.length; i++) {
        if (is_letter(line.text[i]) || (line.text[i] & 0x80) != 0) {
            return true;
        }
    }
    return false;
}

bool plain_has_digit(struct span line)
{
    for (size_t i = 0; i < line.length; i++) {
        if (is_digit(line.text[i])) {
            return true;
        }
    }
    return false;
}

struct plain_shape plain_shape_of(struct span line)
{
    static const char delimiters[] = {';', '\t', ','};
    struct plain_shape shape = {' ', 0};
    for (size_t i = 0; i < sizeof delimiters; i++) {
        const char *first = memchr(line.text, delimiters[i], line.length);
        if (first == NULL || first == line.text + line.length - 1) {
            continue; /* one at the end alone divides nothing: '"head": 412,' */
        }
        shape.delimiter = delimiters[i];
        break;
    }
    if (shape.delimiter != ' ') {
        struct span rest = line;
        struct span field;
        int with_number = 0;
        int count = 0;
        bool several = false;
        while (span_next_field(&rest, shape.delimiter, &field)) {
            struct token token;
            plain_read_field(field, shape.delimiter != ',', &token);
            several = several || token.kind == TOKEN_SEVERAL;
            with_number += token.kind == TOKEN_NUMBER || token.kind == TOKEN_NUMBER_IN ||
                                   token.kind == TOKEN_CALENDAR
                               ? 1
                               : 0;
            count++;
        }
        if (!several) {
            shape.columns = with_number > 0 ? count : 0;
            return shape;
        }
        shape.delimiter = ' ';
    }
    shape.columns = count_numbers(line);
    return shape;
}
