/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_REPLAY_H
#define HOLDLINE_APP_REPLAY_H

#include "base/problem.h"
#include "session/session.h"
#include "store/store.h"

/* Steps a new session machine through a stored session's samples and logged commands, each command
 * taken when the sample before it had been seen. The machine ends as the stored one did: the same
 * records, identifiers and effects. Used by `holdline replay` and to take a cut-short session up
 * again. */

/* Called for each sample before the machine sees it, so that a recorder may have it; may be NULL.
 */
typedef bool replay_sample_sink(void *context, const struct sample *sample,
                                struct problem *problem);

/* origin of the stored session, for session_create. */
bool replay_origin(struct store *store, int64_t id, struct session_origin *origin,
                   int64_t *last_sample, struct problem *problem);

bool replay_session(struct store *store, int64_t id, int64_t last_sample, struct session *session,
                    replay_sample_sink *sink, void *context, struct problem *problem);

#endif
