/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/plain_quotes.h"

#include <string.h>

static bool is_digit(char character)
{
    return character >= '0' && character <= '9';
}

static bool divides(char character)
{
    return character == ',' || character == ';' || character == '\t';
}

/* Where the field that begins with the mark at 'at' ends: at its closing mark, behind which a
 * delimiter or the line's end stands; 0 where it is no quoted field. */
static size_t closing(struct span line, size_t at)
{
    for (size_t i = at + 1; i < line.length; i++) {
        if (line.text[i] != '"') {
            continue;
        }
        if (i + 1 < line.length && line.text[i + 1] == '"') {
            i++;
            continue;
        }
        size_t behind = i + 1;
        while (behind < line.length && line.text[behind] == ' ') {
            behind++;
        }
        return behind == line.length || divides(line.text[behind]) ? i : 0;
    }
    return 0;
}

/* The comma at 'at', in quotation marks, is a decimal one: figures on both sides, and not three of
 * them behind it. */
static bool is_decimal_comma(struct span line, size_t at)
{
    size_t end = at + 1;
    while (is_digit(line.text[end])) {
        end++;
    }
    size_t behind = end - at - 1;
    return line.text[at] == ',' && is_digit(line.text[at - 1]) && behind > 0 && behind != 3;
}

/* How long the number at 'at' is, before 'to', if a comma and three figures are in it: "1,234.5"
 * may be thousands or a decimal. 0: it is none. */
static size_t unclear_length(struct span line, size_t at, size_t to)
{
    size_t end = at;
    int groups = 0;
    while (end < to && is_digit(line.text[end])) {
        end++;
    }
    while (end > at && end + 3 < to && line.text[end] == ',' && is_digit(line.text[end + 1]) &&
           is_digit(line.text[end + 2]) && is_digit(line.text[end + 3]) &&
           (end + 4 >= to || !is_digit(line.text[end + 4]))) {
        end += 4;
        groups++;
    }
    if (groups > 0 && end < to && line.text[end] == '.') {
        do {
            end++;
        } while (end < to && is_digit(line.text[end]));
    }
    return groups > 0 ? end - at : 0;
}

/* The first such number in the field between the marks at 'from' and 'to'. */
static struct span unclear_number(struct span line, size_t from, size_t to)
{
    for (size_t i = from + 1; i < to; i++) {
        char before = line.text[i - 1];
        bool begins = !is_digit(before) && before != '.' && before != ',';
        size_t length = begins ? unclear_length(line, i, to) : 0;
        if (length > 0) {
            return span_between(line.text + i, line.text + i + length);
        }
    }
    return span_between(line.text, line.text);
}

bool plain_unclear_field(struct span line, struct plain_unclear *unclear)
{
    bool starts = true;
    for (size_t i = 0; i < line.length; i++) {
        size_t to = starts && line.text[i] == '"' ? closing(line, i) : 0;
        if (to > 0 && unclear_number(line, i, to).length > 0) {
            struct span before = span_between(line.text, line.text + i);
            while (before.length > 0 && before.text[before.length - 1] == ' ') {
                before.length--;
            }
            unclear->text = span_between(line.text + i + 1, line.text + to);
            unclear->delimiter = before.length > 0 ? before.text[before.length - 1] : ',';
            /* quoted fields before it have delimiters of their own */
            unclear->field = 1;
            for (size_t j = 0; j < before.length; j++) {
                size_t end = line.text[j] == '"' ? closing(line, j) : 0;
                j = end > 0 ? end : j;
                unclear->field += line.text[j] == unclear->delimiter ? 1 : 0;
            }
            return true;
        }
        i = to > 0 ? to : i;
        starts = divides(line.text[i]) || (starts && line.text[i] == ' ');
    }
    return false;
}

int plain_open_field(struct span line)
{
    bool starts = true;
    int field = 1;
    for (size_t i = 0; i < line.length; i++) {
        if (starts && line.text[i] == '"') {
            size_t to = closing(line, i);
            if (to == 0 && memchr(line.text + i + 1, '"', line.length - i - 1) == NULL) {
                return field;
            }
            i = to > 0 ? to : i;
            starts = false;
            continue;
        }
        starts = divides(line.text[i]) || (starts && line.text[i] == ' ');
        field += divides(line.text[i]) ? 1 : 0;
    }
    return 0;
}

static bool has_work(struct span line, size_t from, size_t to)
{
    for (size_t i = from + 1; i < to; i++) {
        if (divides(line.text[i]) || line.text[i] == '"') {
            return true;
        }
    }
    return false;
}

/* Is there a field to be changed at all? */
static bool has_any_work(struct span line)
{
    bool starts = true;
    for (size_t i = 0; i < line.length; i++) {
        size_t to = starts && line.text[i] == '"' ? closing(line, i) : 0;
        if (to > 0 && has_work(line, i, to)) {
            return true;
        }
        i = to > 0 ? to : i;
        starts = divides(line.text[i]) || (starts && line.text[i] == ' ');
    }
    return false;
}

bool plain_unquote(struct span *line, char *scratch, size_t size)
{
    size_t used = 0;
    bool starts = true;
    if (memchr(line->text, '"', line->length) == NULL || !has_any_work(*line)) {
        return true;
    }
    if (line->length > size) {
        return false;
    }
    for (size_t i = 0; i < line->length; i++) {
        size_t to = starts && line->text[i] == '"' ? closing(*line, i) : 0;
        if (to == 0) {
            starts = divides(line->text[i]) || (starts && line->text[i] == ' ');
            scratch[used++] = line->text[i];
            continue;
        }
        scratch[used++] = '"';
        bool unclear = unclear_number(*line, i, to).length > 0;
        for (size_t j = i + 1; j < to; j++) {
            bool mark = line->text[j] == '"';
            char plain = is_decimal_comma(*line, j) ? '.' : ' ';
            scratch[used++] = divides(line->text[j])               ? plain
                              : mark                               ? '\''
                              : unclear && is_digit(line->text[j]) ? '?'
                                                                   : line->text[j];
            j += mark ? 1 : 0;
        }
        scratch[used++] = '"';
        i = to;
        starts = false;
    }
    *line = span_between(scratch, scratch + used);
    return true;
}
