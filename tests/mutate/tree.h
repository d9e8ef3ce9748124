/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_MUTATE_TREE_H
#define HOLDLINE_TESTS_MUTATE_TREE_H

#include "mutate/mutants.h"

/* The project's sources and test programs, from its root, where the program stands. */
struct names {
    char (*all)[256];
    size_t count;
};

/* Files of a folder whose names begin and end so, in order. False without memory; a folder that
 * isn't there has none. */
bool names_of_folder(struct names *names, const char *folder, const char *start, const char *end);
bool names_add(struct names *names, const char *name);
bool names_have(const struct names *names, const char *name);
void names_free(struct names *names);

/* Layer of a path: its second folder. */
void layer_of(char layer[32], const char *path);
/* Layers whose tests are to see a change in this layer; names end with NULL. */
const char *const *layers_that_test(const char *layer);
/* Whether programs of a layer's tests are linked with the other: it is the same, or below. */
bool layer_is_linked(const char *program, const char *other);
/* Of the layers above session only tables are changed. */
bool only_tables(const char *layer);
/* The sources and headers of a layer. */
bool sources_of(struct names *names, const char *layer);

/* The sources (.c) that a mutant changes: the file itself; of a header those that include it, of a
 * rule in a header those that have its name in them, above session only where none below does. */
bool users_of(struct names *users, const struct mutant *mutant);
/* A name as a whole word. */
bool has_word(const char *text, const char *word);

#endif
