/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_SAY_H
#define HOLDLINE_SAY_SAY_H

#include "base/numbers.h"
#include "bike/tie.h"
#include "measure/compare.h"
#include "record/record.h"

#include <stddef.h>
#include <stdint.h>

/* Findings as a fitter reads them, the same words on every sheet (numbers: base/numbers.h). Every
 * text fits into SAY_SIZE bytes. */

/* '2026-01-10 18:00 UTC'. */
void say_date(char *text, size_t size, int64_t unix_ms);
/* Is there a likeliest value? Not for the baseline, nor for what can't be compared. */
bool say_has_value(const struct setup_difference *difference);
/* What would settle it: '2 more holds', 'read the plate'; empty for ADVICE_NONE. */
void say_advice(char *text, size_t size, enum compare_advice advice, int holds);
/* The same in a rider's words: '20 mm lower (8 to 32)', 'likely 6 mm lower, but that may be
 * chance'.
 */
void say_plainly(char *text, size_t size, const struct setup_difference *difference);
/* A difference in words: 'lower by 12 (6 to 18)', 'cannot tell yet: -3 (-9 to 3); 2 more holds'. */
void say_difference(char *text, size_t size, const struct setup_difference *difference,
                    const char *channel);
/* As say_difference, for a difference of in-band shares (0..1): 'less by 12 (4 to 20)
 * points'. Points are hundredths of the time. */
void say_share_difference(char *text, size_t size, const struct setup_difference *difference);

/* How a sensor's height is known on a build: 'plate: 19 mm down ±2', 'not tied: ...', 'does not
 * move'. The ± is twice the standard uncertainty. */
void say_tie(char *text, size_t size, const struct tie *tie);
/* The same in a few cells: '-10 ±1 (plate)', 'as first', 'height not tied'; NULL: 'range only'. */
void say_tie_briefly(char *text, size_t size, const struct tie *tie);

const char *say_sees_ahead(enum sees_ahead answer); /* 'yes', 'strained', 'no: FAILED', '-' */
const char *say_answer(enum answer answer);         /* 'yes', 'no', '-' */
/* '+10/-20', '+8/none'. */
void say_band(char *text, size_t size, const struct cue_settings *cue);

#endif
