/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_MUTATE_MUTANTS_H
#define HOLDLINE_TESTS_MUTATE_MUTANTS_H

#include "mutate/scan.h"

#include <stdint.h>

/* One change to one source. */
enum mutant_kind { MUTANT_RULE, MUTANT_TABLE, MUTANT_SAMPLE, MUTANT_KINDS };
struct mutant {
    enum mutant_kind kind;
    char file[256]; /* from the project's root */
    int line;
    size_t start, end; /* bytes of the file that are replaced ... */
    char *replacement; /* ... by these */
    char name[64];     /* a rule's */
    char table[64];    /* the array or list that a row is in */
    char what[96];     /* the change in words: with text, what an equivalent is known by */
    char text[160];    /* the line, or a table's row, white space as single blanks */
    int occurrence;    /* counts mutants that are alike in file, what and text */
    uint64_t rank;     /* by chance: seed and all of the above but the line's number */
};
struct mutants {
    struct mutant *all;
    size_t count, room;
};

extern const char *const mutant_kinds[MUTANT_KINDS];

/* Every mutant of a source; one with a problem (no memory) gives false.
 * Rules: the number in '#define NAME number', 'static const double NAME = number' and
 * 'RULE...(NAME, number, ...)': 10 % more and less, whole numbers one more and less. Names that
 * stand in brackets somewhere (the size of an array) are none.
 * Tables: rows of an initialised const array, of a list that a macro is handed to, or of words in
 * WORD_LIST...(name, ...): one dropped, two neighbours swapped, for designated rows their values. A
 * row that ends the list is none; one designated as 0, false or NULL isn't dropped where the array
 * says its size.
 * Sample: comparisons (but where they choose the lesser or the greater of two), logical operators,
 * plus and minus, times and divided by, in functions. */
bool mutants_of(struct mutants *mutants, const char *file, const char *text, uint64_t seed);
bool mutants_of_rules(struct mutants *mutants, const char *file, const struct scan *scan);
bool mutants_of_tables(struct mutants *mutants, const char *file, const struct scan *scan);
bool mutants_of_code(struct mutants *mutants, const char *file, const struct scan *scan);

/* For the three: line and text are filled in. The text is the line's where text_end is 0. */
bool mutants_add(struct mutants *mutants, const struct scan *scan, const struct mutant *mutant,
                 size_t text_end, const char *replacement);
/* Keeps the count of the sampled ones that chance ranks first. */
void mutants_sample(struct mutants *mutants, size_t count);
void mutants_free(struct mutants *mutants);

/* The source with the change made; the caller frees it. */
char *mutant_apply(const struct mutant *mutant, const char *text);

uint64_t hash_text(uint64_t hash, const char *text);

#endif
