/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_KEPT_RESULTS_H
#define HOLDLINE_APP_KEPT_RESULTS_H

#include "analysis/analysis.h"

#include <stdbool.h>

/* What was worked out of a stored session's samples, kept in the user's cache folder
 * (XDG_CACHE_HOME/holdline), so that it is not worked out anew each time the session is told. It
 * holds for one file of a store as it is (its size and time) and one program: whatever changes
 * either is worked out again. A folder that can't be read or written is no failure. */

/* Holds and targets into the analysis, of this record; ties and the comparison follow from
 * analysis_add_hold(-1). False where nothing is kept. */
bool kept_results_read(const char *store_path, const struct session_record *record,
                       struct analysis *analysis);
void kept_results_write(const char *store_path, const struct session_record *record,
                        const struct analysis *analysis);
/* All of it goes: somebody is forgotten. */
void kept_results_forget(void);

#endif
