/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BIKE_LIMITS_H
#define HOLDLINE_BIKE_LIMITS_H

#include "base/words.h"
#include "bike/fields.h"

/* Limits that the fitter entered from the makers' papers. None is ever assumed: a limit not entered
 * is not checked, and whoever shows a proposal says so. */
enum {
    /* headset cap, spacers and stem clamp together: what the steerer must and can carry */
    BIKE_LIMIT_COLUMN = BIKE_KEYS,
    BIKE_LIMITS,
};
struct bike_limits {
    double least[BIKE_LIMITS], most[BIKE_LIMITS]; /* by enum bike_key; NAN = not entered */
};
void bike_limits_clear(struct bike_limits *limits);
/* How many bounds there are. */
int bike_limits_entered(const struct bike_limits *limits);
/* The bounds that more has take the place of those that are there. */
void bike_limits_add(struct bike_limits *limits, const struct bike_limits *more);
/* Both hold: of two bounds the tighter. */
void bike_limits_tighten(struct bike_limits *limits, const struct bike_limits *more);

/* What a limit is of: 'stem_length', 'column'; 'stem length'; 'mm'. */
const char *bike_limit_key(int limit);
const char *bike_limit_words(int limit);
const char *bike_limit_unit(int limit);
int bike_limit_find(const char *key); /* or -1 */
/* What a bound may be: as its measure (bike/fields.h), the column as its three parts together. */
void bike_limit_range(int limit, double *minimum, double *maximum);

/* One limit as typed: key of a measure or 'column'; text '30' (at most), '5..30', '5..' (at
 * least), or 'none' to take it back. */
bool bike_limits_read(struct bike_limits *limits, const char *key, const char *text,
                      struct problem *problem);
/* The same in one word, as on a command line: 'spacers=30'. */
bool bike_limits_read_word(struct bike_limits *limits, const char *word, struct problem *problem);
/* The session's line 'limits spacers=30 column=85': all of it, or limits stay as they are. */
bool bike_limits_read_line(struct bike_limits *limits, const struct words *line,
                           struct problem *problem);

/* A limit as it is typed: '30', '5..30', '5..'; '' where there is none. */
void bike_limit_typed(const struct bike_limits *limits, int limit, char *text, size_t size);

/* Whether one value passes its limit; text tells which bound, without a unit: 'max 30'. */
bool bike_limit_passed(const struct bike_limits *limits, int limit, double value, char *text,
                       size_t size);

/* How many limits this bike passes; text (may be NULL) tells each: 'spacers 40 mm: over the limit
 * entered, 30 mm'. A value that is not given passes none. */
int bike_limits_passed(const struct bike_limits *limits, const struct bike_values *bike, char *text,
                       size_t size);

#endif
