/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_CHECK_BUDGET_H
#define HOLDLINE_ANALYSIS_CHECK_BUDGET_H

#include "record/record.h"

#include <stdbool.h>

/* What a sensor by itself leaves open of a difference between two setups that is BUDGET_MM large,
 * from its still and its step test: a sum of squares (JCGM 100:2008, 5.1.2) of
 *  - what averaging leaves of its noise, in each of two holds,
 *  - the step between its readings, in each (a rectangle, 4.3.7),
 *  - its scale: the error that the step test found and that test's own uncertainty, over the
 *    difference. How the rider sits down, where the sensor is and what warms up later is not in it.
 */
struct check_budget {
    double mean_u_mm, step_u_mm; /* of one hold's mean */
    double scale_error, scale_u; /* of a millimetre */
    double scale_u_mm;           /* over the difference */
    double u_mm;                 /* all together, standard */
};

/* checks: a row of them, of one placing. False: the still or the step test of this channel is not
 * among them, or told nothing. */
bool check_budget(const struct check_record *checks, int count, int channel,
                  struct check_budget *budget);

/* What the scale leaves open of a whole range, mm, standard: the error that the placing's latest
 * step test of this channel that passed found and that test's own uncertainty, over the range it
 * was made at. All heights of the sensor share it, and it is in no difference. NAN: there is no
 * such test, or the channel was calibrated after it. */
double check_scale_u_mm(const struct session_record *record, int placing, int channel);

#endif
