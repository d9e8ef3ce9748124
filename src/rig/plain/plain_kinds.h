/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_PLAIN_KINDS_H
#define HOLDLINE_RIG_PLAIN_KINDS_H

#include "rig/plain_columns.h"

/* What the numbers of a column look like, whatever it is called. */

/* Whole numbers, each one more than the one before. */
bool plain_counts_lines(const struct plain_column *column);
/* The same number in every line, of four and more. */
bool plain_stands_still(const struct plain_column *column);
/* Never back, and not always the same: a time may stand still for some lines, and come round once.
 */
bool plain_goes_on(const struct plain_column *column);
/* The middle one of the numbers over 0, in thousandths; 0 where there is none. */
int64_t plain_median_milli(const struct plain_column *column);
/* How far its numbers are apart, in thousandths; those of 0 and under left out. */
int64_t plain_spread_milli(const struct plain_column *column);
/* Of whole numbers: the code up to 255 that most lines have; false where there is none. */
bool plain_usual_code(const struct plain_column *column, int64_t *milli);
/* Are they one range in two units, line for line? b holds numbers. */
bool plain_same_range(const struct plain_column *a, const struct plain_column *b);

/* Millimetres of a number in a unit; of no unit: as mm. */
double plain_mm(int64_t milli, struct span unit);
/* Can the middle one be the range to a rider, in the unit said of it (or mm)? True where there is
 * nothing to tell by. */
bool plain_is_plausible(const struct plain_column *column, struct span unit);

#endif
