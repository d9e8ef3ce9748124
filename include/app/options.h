/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_OPTIONS_H
#define HOLDLINE_APP_OPTIONS_H

#include "base/problem.h"
#include "record/typed.h"

#include <stddef.h>

/* The options of a command as a table: where each goes, and what it takes. */
enum option_kind {
    OPTION_YES,    /* no value: true into a bool, */
    OPTION_NO,     /* or false */
    OPTION_TEXT,   /* into a const char *, as long as argv is there */
    OPTION_COPY,   /* into an array of char */
    OPTION_WHOLE,  /* least to most, into an int or int64_t */
    OPTION_NUMBER, /* into a double */
    OPTION_TYPED,  /* the same, with the limits and units that it has where it is typed */
    OPTION_OWN,    /* given to take; with no value: */
    OPTION_OWN_BARE,
    OPTION_OWN_EITHER, /* a value only behind '='; take gets NULL without one */
    OPTION_REFUSED,    /* known to others of its kind only; with no value: */
    OPTION_REFUSED_BARE
};
struct option_row {
    const char *name;
    enum option_kind kind;
    size_t offset, size;
    double least, most;
    const char *wants; /* for the sentence that refuses a value; NULL: made of the limits */
    /* False without a sentence: wants makes it. */
    bool (*take)(void *of, const char *value, struct problem *problem);
    enum typed typed;
};
/* After name and kind. */
#define OPTION_INTO(type, member)                                                                  \
    .offset = offsetof(struct type, member), .size = sizeof((struct type *)0)->member

/* Several tables, each with the struct that its options go into; of NULL: they are passed over. The
 * last has no rows. */
struct option_set {
    const struct option_row *row;
    size_t count;
    void *of;
};
#define OPTION_SET(rows, of)                                                                       \
    {                                                                                              \
        rows, sizeof(rows) / sizeof((rows)[0]), of                                                 \
    }

/* argv[0]: the command, for sentences. The first word that is no option is argv[optind] then. False
 * with a problem of wrong use. */
bool options_read(const struct option_set *sets, int argc, char **argv, struct problem *problem);
/* The same where words stand between options that count for what follows: each goes to word. */
typedef bool option_word(void *of, const char *word, struct problem *problem);
bool options_read_in_order(const struct option_set *sets, int argc, char **argv, option_word *word,
                           void *of, struct problem *problem);

#endif
