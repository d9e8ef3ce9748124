/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_SPAN_H
#define HOLDLINE_RIG_SPAN_H

#include <stdbool.h>
#include <stddef.h>
#include <string.h>

/* A piece of a line; not ended by a NUL. */
struct span {
    const char *text;
    size_t length;
};

struct span span_between(const char *first, const char *end);
struct span span_trim(struct span span);              /* blanks and quotation marks at both ends */
bool span_equals(struct span span, const char *text); /* letters' case is passed over */
/* Byte for byte; here, so that a constant's length is one. */
static inline bool span_is(struct span span, const char *text)
{
    return strlen(text) == span.length && memcmp(span.text, text, strlen(text)) == 0;
}
bool span_contains(struct span span, const char *lower_case_text);
/* The piece up to the next delimiter; *rest goes on behind it. False at the end. */
bool span_next_field(struct span *rest, char delimiter, struct span *field);

#endif
