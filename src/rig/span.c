/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/span.h"

#include <string.h>

static bool is_blank(char character)
{
    return character == ' ' || character == '\t';
}

static char lower(char character)
{
    return character >= 'A' && character <= 'Z' ? (char)(character - 'A' + 'a') : character;
}

struct span span_between(const char *first, const char *end)
{
    struct span span = {first, end > first ? (size_t)(end - first) : 0};
    return span;
}

struct span span_trim(struct span span)
{
    while (span.length > 0 && (is_blank(span.text[0]) || span.text[0] == '"')) {
        span.text++;
        span.length--;
    }
    while (span.length > 0 &&
           (is_blank(span.text[span.length - 1]) || span.text[span.length - 1] == '"')) {
        span.length--;
    }
    return span;
}

bool span_equals(struct span span, const char *text)
{
    if (strlen(text) != span.length) {
        return false;
    }
    for (size_t i = 0; i < span.length; i++) {
        if (lower(span.text[i]) != lower(text[i])) {
            return false;
        }
    }
    return true;
}

bool span_contains(struct span span, const char *lower_case_text)
{
    size_t length = strlen(lower_case_text);
    for (size_t start = 0; start + length <= span.length; start++) {
        size_t same = 0;
        while (same < length && lower(span.text[start + same]) == lower_case_text[same]) {
            same++;
        }
        if (same == length) {
            return true;
        }
    }
    return false;
}

bool span_next_field(struct span *rest, char delimiter, struct span *field)
{
    if (rest->text == NULL) {
        return false;
    }
    const char *end = rest->text + rest->length;
    const char *stop = memchr(rest->text, delimiter, rest->length);
    *field = span_between(rest->text, stop != NULL ? stop : end);
    *rest = span_between(stop != NULL ? stop + 1 : NULL, end);
    if (stop == NULL) {
        rest->text = NULL;
        rest->length = 0;
    }
    return true;
}
