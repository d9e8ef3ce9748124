/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_STEP_IN_HOLD_H
#define HOLDLINE_ANALYSIS_STEP_IN_HOLD_H

#include "analysis/analysis.h"

/* A channel's level that stepped within a hold (measure/hold.h), and what follows for the holds
 * after it. */

/* Fills analysis->step_open: for each channel the first hold that counts, within which its level
 * stepped and the body's other channels did not, where nobody read a plate, or said that a sensor
 * moved, with the next build. Until then, or until that hold is left out, nothing is said of the
 * channel's differences. */
void step_find_open(const struct session_record *record, struct analysis *analysis);
/* The channel's sensor moved in a hold that counts, before this one on the same build. */
bool step_was_before(const struct session_record *record, const struct analysis *analysis, int hold,
                     int channel);

#endif
