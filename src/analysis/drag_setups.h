/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_DRAG_SETUPS_H
#define HOLDLINE_ANALYSIS_DRAG_SETUPS_H

#include "analysis/drag.h"

/* Setups from the runs that are worked out: means, levels, the comparison. */
void drag_compare(const struct session_record *record, struct drag_analysis *drag);

#endif
