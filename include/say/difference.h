/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_DIFFERENCE_H
#define HOLDLINE_SAY_DIFFERENCE_H

#include "measure/compare.h"

#include <stddef.h>

/* What the comparison says of a setup: verdict, difference and what would settle it, in each
 * length. Texts fit into SAY_SIZE bytes (base/numbers.h) but for long reasons. */

enum say_length {
    SAY_LONG,  /* the report's: 'cannot tell yet: -3 (-9 to 3); 2 more holds' */
    SAY_PAGE,  /* a page of the screen: with its shape, in full, and the reason */
    SAY_PLAIN, /* the rider's: 'likely 3 mm lower, but that may be chance' */
};

/* The verdict alone, as exports have it: 'lower', 'cannot tell yet'; "" for VERDICT_NONE. */
const char *say_verdict(enum verdict verdict);
/* A difference of heights in mm. channel stands before a SAY_LONG; NULL = none. */
void say_difference(char *text, size_t size, const struct setup_difference *difference,
                    enum say_length length, const char *channel);
/* SAY_LONG for a difference of in-band shares (0..1): 'less by 12 (4 to 20) points'. Points are
 * hundredths of the time. */
void say_share_difference(char *text, size_t size, const struct setup_difference *difference);
/* The shortest length: as much as fits into width cells, down to '▼ lower 12'. */
void say_difference_within(char *text, size_t size, const struct setup_difference *difference,
                           int width);
/* Is there a likeliest value? Not for the baseline, nor for what can't be compared. */
bool say_has_value(const struct setup_difference *difference);
/* What would settle it: '2 more holds', 'read the plate again'; "" for ADVICE_NONE. */
void say_advice(char *text, size_t size, enum compare_advice advice, int holds);
/* Why nothing can be compared or told, with what to do; "" for REASON_NONE. */
void say_reason(char *text, size_t size, const struct setup_difference *difference);

#endif
