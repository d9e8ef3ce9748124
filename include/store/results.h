/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_STORE_RESULTS_H
#define HOLDLINE_STORE_RESULTS_H

#include "analysis/analysis.h"
#include "store/store.h"

/* What was worked out of a session, for those who read the store with SQL: a session's rows are all
 * of one working out, and go when its records change (a session that goes on). */

/* In the place of those that are there; record and analysis are of this session. */
bool store_results_write(struct store *store, int64_t id, const struct session_record *record,
                         const struct analysis *analysis, struct problem *problem);
/* Those of a session are gone. */
bool store_results_clear(struct store *store, int64_t id, struct problem *problem);
/* They are there, and by this version of the program. */
bool store_results_are_current(struct store *store, int64_t id, bool *current,
                               struct problem *problem);

#endif
