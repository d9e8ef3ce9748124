/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_MUTATE_EQUIVALENTS_H
#define HOLDLINE_TESTS_MUTATE_EQUIVALENTS_H

#include "mutate/mutants.h"

/* Mutants that no test can tell from the program, each with its reason, from a file of entries of
 * four lines, an empty one between them:
 *   file: src/measure/settle.c
 *   text: if (a < b) {
 *   change: < to <=
 *   reason: ...
 * File, text and change are a mutant's, the text of a row may be 'every row of NAME' for a table of
 * which it is true of all; a reason may go on in further lines. Lines that begin with '#' are for
 * the reader. */
struct equivalent {
    char file[256], text[160], what[96];
    int line;  /* of the list */
    bool used; /* there is such a mutant */
};
struct equivalents {
    struct equivalent *all;
    size_t count;
};

/* False with the number of the line in *wrong_line where one is not understood, a reason is missing
 * or there is no memory. No file is no entries. */
bool equivalents_read(struct equivalents *equivalents, const char *path, int *wrong_line);
void equivalents_free(struct equivalents *equivalents);
bool equivalents_has(struct equivalents *equivalents, const struct mutant *mutant);

#endif
