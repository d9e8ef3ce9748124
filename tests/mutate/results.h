/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_MUTATE_RESULTS_H
#define HOLDLINE_TESTS_MUTATE_RESULTS_H

#include "mutate/programs.h"

#include <stdio.h>

/* What became of each mutant, a line for each in a file that a later run goes on with: verdict,
 * kind, file, line, occurrence, change, text, what killed it, the source's hash; tabs between. */
struct result {
    struct outcome outcome;
    uint64_t mutant, source; /* hashes: what it is known by, and of its source's text */
};
struct results {
    struct result *all;
    size_t count;
};

extern const char *const mutant_verdicts[VERDICTS];

/* No file is no results; a line that is none is skipped. False without memory. */
bool results_read(struct results *results, const char *path);
void results_free(struct results *results);
void result_write(FILE *file, const struct mutant *mutant, const struct outcome *outcome,
                  uint64_t source);
/* What an earlier run found out of this mutant of this source, if it doesn't have to be tried
 * again: that one survived may have changed with the tests. */
const struct outcome *results_find(const struct results *results, const struct mutant *mutant,
                                   uint64_t source);

/* How many by layer and kind, in the order of their coming. */
struct table_row {
    char layer[32];
    enum mutant_kind kind;
    int mutants, by_verdict[VERDICTS];
};
struct table {
    struct table_row row[64];
    size_t count;
};
void table_add(struct table *table, const struct mutant *mutant, enum verdict verdict);
void table_print(const struct table *table, FILE *out);
/* No mutant of a rule or a table survived, and at most 10 % of a layer's sample that was built. */
bool table_good(const struct table *table);

#endif
