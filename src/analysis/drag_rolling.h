/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_DRAG_ROLLING_H
#define HOLDLINE_ANALYSIS_DRAG_ROLLING_H

#include "analysis/drag.h"

/* The day's rolling resistance: what was said, else by the latest run of steps, else the usual one.
 * Sets the rider's, and how well it is known. Wants drag->lack and drag->withheld. */
void drag_rolling_make(const struct session_record *record, struct drag_analysis *drag);

#endif
