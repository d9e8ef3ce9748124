/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_STORE_RESULTS_DRAG_H
#define HOLDLINE_STORE_RESULTS_DRAG_H

#include "analysis/analysis.h"
#include "store/store.h"

/* What a day of runs came to, beside the other results of a session: run by run, lap or way by lap
 * or way, setup by setup. The tables stand in schema.h. */
bool store_results_write_drag(struct store *store, int64_t id, const struct session_record *record,
                              const struct analysis *analysis, struct problem *problem);

#endif
