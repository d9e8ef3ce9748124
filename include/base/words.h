/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BASE_WORDS_H
#define HOLDLINE_BASE_WORDS_H

#include "base/problem.h"

#include <stdbool.h>
#include <stddef.h>

/* Splits a line of a script or command: words apart by blanks, "..." keeps blanks (\" and
 * \\ inside), key=value with the value maybe quoted, '#' at a word's start begins a comment. */
#define WORDS_MAX 96
#define WORD_SIZE 512

struct word {
    const char *key;   /* NULL for a plain word */
    const char *value; /* the word itself, or what stands behind '=' */
    bool quoted;
};

struct words {
    int count;
    struct word word[WORDS_MAX];
    char storage[4096]; /* the texts live here */
};

/* False with a sentence that names the place (open quote, too many words, line too long). */
bool words_split(const char *line, struct words *words, struct problem *problem);

/* Value of the first key=..., or NULL. */
const char *words_value(const struct words *words, const char *key);

/* Number with an optional unit that must be one of those given ('mm', 's', 'deg', ... ; "" = none
 * needed): '3mm', '60s', '1.5'. The sentence names the word. */
bool words_number(const char *text, const char *unit, double *value, struct problem *problem);

/* Puts text in quotes where it needs them, so that words_split gives it back. */
void words_quote(char *destination, size_t size, const char *text);
/* The same for a shell. */
void words_quote_for_shell(char *destination, size_t size, const char *text);

#endif
