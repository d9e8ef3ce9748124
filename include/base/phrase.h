/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BASE_PHRASE_H
#define HOLDLINE_BASE_PHRASE_H

#include <stddef.h>

/* A phrase of a table, such as '{word} by {by} mm{range}', with its braces filled. */
struct phrase_value {
    const char *name; /* ended by NULL */
    const char *text;
};

/* A name that has no value is left as it stands, braces and all. */
void phrase_fill(char *text, size_t size, const char *phrase, const struct phrase_value *values);

#endif
