/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/plain_quotes.h"

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

/* The comma at 'at' is a decimal one: figures on both sides, and not three of them behind it. */
static bool is_decimal_comma(struct span line, size_t at)
{
    size_t end = at + 1;
    while (end < line.length && is_digit(line.text[end])) {
        end++;
    }
    size_t behind = end - at - 1;
    return line.text[at] == ',' && is_digit(line.text[at - 1]) && behind > 0 && behind != 3;
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
        starts = divides(line.text[i]) || (starts && line.text[i] == ' ' && to == 0);
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
        for (size_t j = i + 1; j < to; j++) {
            bool mark = line->text[j] == '"';
            char plain = is_decimal_comma(*line, j) ? '.' : ' ';
            scratch[used++] = divides(line->text[j]) ? plain : mark ? '\'' : line->text[j];
            j += mark ? 1 : 0;
        }
        scratch[used++] = '"';
        i = to;
        starts = false;
    }
    *line = span_between(scratch, scratch + used);
    return true;
}
