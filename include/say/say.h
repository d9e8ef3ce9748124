/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_SAY_H
#define HOLDLINE_SAY_SAY_H

#include "base/numbers.h"
#include "bike/tie.h"
#include "record/record.h"
#include "say/difference.h"

#include <stddef.h>
#include <stdint.h>

/* Findings as a fitter reads them, the same words on every sheet (numbers: base/numbers.h). Every
 * text fits into SAY_SIZE bytes. */

/* '2026-01-10 19:00 CET': where the reader is; files for programs have UTC. */
void say_date(char *text, size_t size, int64_t unix_ms);
/* '10 January 2026', where the reader is; '10 Jan' and '2026' under a picture. */
void say_day(char *text, size_t size, int64_t unix_ms);
void say_day_briefly(char *text, size_t size, char *year, size_t year_size, int64_t unix_ms);
/* What a sensor looks at, as the rider reads it: its name, in the language that is written in where
 * that is a usual one ('head'). */
const char *say_sensor(const char *name);
const char *say_tie_kind(enum tie_kind kind); /* 'plate', 'not tied' */
/* How a sensor's height is known on a build: 'plate: 19 mm down ±2', 'NOT TIED: ...', 'not moved:
 * no shift'. The ± is twice the standard uncertainty. name: the channel's. */
void say_tie(char *text, size_t size, const struct tie *tie, const char *name);
/* By how much all heights over the bottom bracket may be off together, '13' (mm, 95 times in 100);
 * false where they are told from elsewhere. */
bool say_tie_together(char *text, size_t size, const struct tie *tie);
/* How well all heights over the bottom bracket are known together, which no difference has in it:
 * 'as heights above the bottom bracket all of them may be off together by ±11 mm (not entered, and
 * a usual one taken: headset cap 0 mm); differences are free of that'. first: the first build's
 * bike.
 * "" where they are told from elsewhere. */
void say_tie_level(char *text, size_t size, const struct tie *tie, const struct bike_values *first);
/* What is missing, or both values and the likely causes of an alarm, as a sentence's part; "" where
 * nothing was found. */
void say_tie_finding(char *text, size_t size, const struct tie *tie, const char *name);
/* Of a reading that ties nothing (board_came_along in analysis/tie_readings.h). */
const char *say_board_came_along(void);
/* The same in a few cells: '-10 ±1 (plate)', 'as first', 'height not tied'; NULL: 'range only'. */
void say_tie_briefly(char *text, size_t size, const struct tie *tie);
/* The same of the sensor: 'moved -10 ±1 (plate)', 'unmoved'. */
void say_tie_of_sensor(char *text, size_t size, const struct tie *tie);

/* A number in words with its unit: '60 mm', '-6°'. */
void say_with_unit(char *text, size_t size, const char *number, const char *unit);

/* Of a rating that is a word: 'yes', 'strained', 'no: FAILED', '-'. */
const char *say_rated_word(int item, double value);
/* All that was given: 'effort 4, numb hands no, could stay 30 min'; 'nothing answered'. */
void say_rating(char *text, size_t size, const struct rating_record *rating);
/* Where no region's value is over 0: 'none', 'none of those asked' where some were not, '-' where
 * none was. */
const char *say_no_discomfort(const double values[RATING_ITEMS]);
/* The region whose value is the highest; -1: none is over 0. */
int say_worst_region(const double values[RATING_ITEMS]);
/* All that are over 0, the worst first: 'neck 4, hands 2'; else as say_no_discomfort. */
void say_discomfort(char *text, size_t size, const double values[RATING_ITEMS]);
/* '+10/-20', '+8/none'. */
void say_band(char *text, size_t size, const struct cue_settings *cue);

#endif
