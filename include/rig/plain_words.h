/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_PLAIN_WORDS_H
#define HOLDLINE_RIG_PLAIN_WORDS_H

#include "rig/decimal.h"
#include "rig/span.h"

/* The words by which streams of plain numbers name their columns and units. Letters' case is passed
 * over; a word counts when it stands for itself ('S1' is the word 's'). */

bool plain_is_unit_of_length(struct span text);
bool plain_is_unit_of_time(struct span text);
bool plain_is_unit(struct span text); /* of length, of time, or of something else that rigs send */

/* Tenths of a millimetre in one of the unit, over 10^more_decimals; 0 for another unit. */
uint32_t plain_unit_tenths(struct span unit, uint8_t *more_decimals);

/* Is a word of these in text? */
bool plain_has_word(struct span text, const char *const *words, size_t count);
#define PLAIN_HAS_WORD(text, words) plain_has_word(text, words, sizeof(words) / sizeof((words)[0]))

bool plain_names_a_rate(struct span label); /* 'Fs', 'sample rate', ... */

/* What a column's name and unit (length 0: none) say that it holds. */
bool plain_names_time(struct span name, struct span unit);
bool plain_names_a_range(struct span name, struct span unit);
bool plain_names_what_follows(struct span name); /* from ranges: a mean, a sum, a difference */
bool plain_names_a_status(struct span name);
bool plain_names_a_ride(struct span name); /* power, latitude, ...: a log of a ride */
bool plain_says_good(struct span word);    /* 'ok' */
bool plain_says_bad(struct span text);     /* a word of it does: 'err', 'weak' */
bool plain_names_something_else(struct span name, struct span unit);

#endif
