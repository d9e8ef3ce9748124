/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_INSIGHT_INSIDE_H
#define HOLDLINE_ANALYSIS_INSIGHT_INSIDE_H

/* Shared by the files of the insight and the analysis only. */

#include "analysis/analysis.h"

/* The channels that are looked at together; -1 and -1 where there are no two. */
void insight_pick_channels(const struct analysis *analysis, int *x_channel, int *y_channel);

void insight_make_tradeoff(const struct session_record *record, const struct analysis *analysis,
                           struct insight *insight);
void insight_make_steps(const struct session_record *record, const struct analysis *analysis,
                        struct insight *insight);

#endif
