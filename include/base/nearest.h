/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BASE_NEAREST_H
#define HOLDLINE_BASE_NEAREST_H

#include <stddef.h>

/* How many slips of typing one word is from another: a letter too many, too few, another, or two
 * changed over (Damerau 1964, Commun. ACM 7; the restricted distance). Of words over 24 letters no
 * more is said than 24. */
int slips_between(const char *a, const char *b);

/* So many make it likely that the other word was meant. */
#define SLIPS_MEANT_MOST 2

/* Which of the words that there are was meant by one that is none of them. The words tried must
 * stay where they are. */
struct nearest {
    const char *asked;
    const char *word; /* NULL: none is near */
    int slips;
};
struct nearest nearest_to(const char *asked);
/* Two slips in a word of two letters make any word of it: such a word is never meant. */
void nearest_try(struct nearest *nearest, const char *word);
/* "; did you mean 'spacers'?" with before in front of the word, or nothing. Returns text. */
const char *nearest_text(const struct nearest *nearest, const char *before, char *text,
                         size_t size);
#define NEAREST_TEXT_SIZE 96

#endif
