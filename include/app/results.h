/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_RESULTS_H
#define HOLDLINE_APP_RESULTS_H

#include "analysis/analysis.h"
#include "store/store.h"

/* Results in the store, for those who read it with SQL (store/results.h). */

/* Those of a session that is recorded no longer. */
bool results_keep(const char *store_path, const struct session_record *record,
                  const struct analysis *analysis, struct problem *problem);
/* The same, worked out from the store. */
bool results_make(const char *store_path, int64_t id, const struct store_watch *watch,
                  struct problem *problem);

/* Of all sessions of a store that have none, or an earlier version's: worked out and written. made:
 * how many; those that can't be read are told, and left out. Refused while a session runs. */
bool results_complete(const char *store_path, const struct store_watch *watch, store_finding *told,
                      void *context, int *made, struct problem *problem);

#endif
