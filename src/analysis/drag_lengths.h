/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_DRAG_LENGTHS_H
#define HOLDLINE_ANALYSIS_DRAG_LENGTHS_H

#include "analysis/drag.h"

/* One course is as long in every run: where a wheel has it otherwise, the wheel's size, a unit or a
 * mark is wrong, and a hundredth of speed is three or four of drag. Of laps that were cut by their
 * length nothing can be seen: they are all alike. */

/* Of runs against each other, and of laps against the length that was said. */
void drag_lengths_find(const struct session_record *record, struct drag_analysis *drag);
/* Of a setup against the baseline: both have their mean lengths. */
void drag_lengths_compare(const struct session_record *record, const struct drag_analysis *drag,
                          int baseline, struct drag_setup_result *setup);

#endif
