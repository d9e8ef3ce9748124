/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RECORD_RATING_H
#define HOLDLINE_RECORD_RATING_H

#include "base/language.h"
#include "base/uuid.h"
#include "record/enum_words.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* What a rider says of a setup. Each rating is a row of record/rating_rows.h. */

#define RATED_SCORE(item, key, ...) RATING_##item,
#define RATED_WORD(item, key, list, ...) RATING_##item,
#define RATED_NUMBER(item, key, column, least, most, ...) RATING_##item,
enum rating_item {
#include "record/rating_rows.h"
    RATING_ITEMS,
};

enum sees_ahead { SEES_YES = 1, SEES_STRAINED, SEES_NO };
enum answer { ANSWER_YES = 1, ANSWER_NO };

struct rating_record {
    struct uuid uuid;
    int setup;
    int64_t sample;
    double value[RATING_ITEMS]; /* a word's is that of its list; NAN = not asked */
    bool undone;
    bool morning; /* how it is the morning after the session before */
    bool sign;    /* tingling, pain that shoots, or blurred sight: it ends practice */
};

#define RATING_SCORE_MOST 10

enum rating_kind {
    RATING_SCORE, /* a whole number from least to most */
    RATING_WORD,
    RATING_NUMBER,
};
enum rating_blocks { BLOCKS_NOTHING, BLOCKS_SIGHT, BLOCKS_NUMB };
/* What several ratings of one setup come to. */
enum rating_over { OVER_MEDIAN, OVER_LOWEST, OVER_HIGHEST, OVER_LATEST };

struct rating_field {
    enum rating_kind kind;
    const char *key;              /* of commands */
    const char *column;           /* of the store and of exports: the key with its unit */
    const struct word_list *list; /* of a word */
    const char *unit;             /* "": none; a number's row says it */
    double least, most;
    const char *words;    /* 'numb hands' */
    const char *question; /* of the form; NULL: its words */
    bool discomfort;      /* of a region: stands with the others, the worst first */
    const char *where;    /* numb: 'hands' */
    const char *heading;  /* over its column where setups stand side by side; NULL: has none */
    const char *sheet;    /* of the rider's sheet: its line; NULL: has none of its own */
    enum rating_over over;
    enum rating_blocks blocks; /* what goes before all numbers, from `bad` on to the worst end */
    double bad;
    int asked, told; /* rank in these orders; rows of one rank as they stand */
};
extern const struct rating_field rating_fields[RATING_ITEMS];

/* Nothing asked, of no setup. */
void rating_clear(struct rating_record *rating);
/* Does this value of an item stand against the setup? Not where it was not asked. */
bool rating_blocks(int item, double value);
/* Does it end practice at once: no sight ahead, a numb part, or what `sign` stands for? */
bool rating_ends_practice(const struct rating_record *rating);
/* The highest of all regions; NAN: none was asked. */
double rating_worst_discomfort(const struct rating_record *rating);
/* The word of a value; NULL where it has none. */
const char *rating_word(int item, double value);
/* All items as the form asks for them, and as reports and exports tell them. */
enum rating_order { RATING_ASKED, RATING_TOLD };
void rating_sort(enum rating_order order, int items[RATING_ITEMS]);

#endif
