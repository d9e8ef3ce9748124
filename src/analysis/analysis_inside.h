/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_ANALYSIS_INSIDE_H
#define HOLDLINE_ANALYSIS_ANALYSIS_INSIDE_H

/* Shared by the files of the analysis only. */

#include "analysis/analysis.h"

const struct placing_record *analysis_placing_of(const struct session_record *record, int build);

/* analysis_auxiliary.c: means of one hold's other readings (cut: 1 = marked, or NULL), and which
 * holds were ridden otherwise than those they are compared with. */
void analysis_auxiliary_of_hold(const struct placing_record *placing, const struct sample *samples,
                                size_t count, const uint8_t *cut, struct hold_result *result);
void analysis_auxiliary_apart(const struct session_record *record, struct analysis *analysis);

/* analysis_holds.c: everything of one hold: summaries, what was sat up, steps, the ellipse. False
 * where its samples are not there. */
bool analysis_of_hold(const struct session_record *record, int index, sample_source *source,
                      void *context, struct analysis *analysis, struct problem *problem);

/* hold_sat_up.c: the stretches of a hold in which the rider sat up (measure/sat_up.h), by the parts
 * of the body with a band (settings: of each channel); how many, never over most. */
int analysis_sat_up(const struct session_record *record, const struct analysis *analysis, int index,
                    const struct hold_settings *settings, const struct sample *samples,
                    size_t count, struct hold_cut *cuts, int most);

/* analysis_compare.c: is the hold over, and kept? */
bool analysis_hold_counts(const struct hold_record *hold);
/* Which holds count, how they compare, what that is not to be said of, and what follows. */
void analysis_compare(const struct session_record *record, struct analysis *analysis);

#endif
