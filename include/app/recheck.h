/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_RECHECK_H
#define HOLDLINE_APP_RECHECK_H

#include "store/care.h"

/* Works each session out again from its samples and its log and compares every record with the
 * stored one. found gets what differs, *count how much, *sessions how many were worked out. A
 * session that has not ended must only let itself be worked out: what it had not come to store is
 * no fault. One that was saved in part (store rescue) is not worked out: *in_part how many. False
 * when the looking itself failed or was stopped. */
bool recheck_sessions(struct store *store, store_finding *found, void *context,
                      const struct store_watch *watch, int *sessions, int *in_part, int64_t *count,
                      struct problem *problem);

/* The same of one session; false only when the looking failed, or was stopped. */
bool recheck_session(struct store *store, int64_t id, bool ended, store_finding *found,
                     void *context, const struct store_watch *watch, int64_t *count,
                     struct problem *problem);

#endif
