/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_CAPTURE_H
#define HOLDLINE_SESSION_CAPTURE_H

/* Holds, targets, plates in progress. */

#include "machine.h"

/* Takes a place for a capture and starts its settling time. */
bool capture_start(struct session *session, enum activity activity, enum capture_kind kind,
                   double settle_s, double planned_s, struct problem *problem);
void capture_sample(struct session *session, const struct sample *sample);
/* How a capture in progress ends early. */
void capture_stop(struct session *session, enum hold_status status);
/* The same by what is no act: what comes of it belongs to the act that began it. */
void capture_end(struct session *session, enum hold_status status);
/* Could the target in progress be kept now: is it known how well every channel of the body is, or
 * that it had not settled? */
bool capture_target_can_be_kept(struct session *session);
/* Throws the target in progress away; the one before it stands. */
void capture_drop_target(struct session *session);
/* What is in progress was begun by mistake: it ends now, and nothing follows from it. */
void capture_cancel(struct session *session);

#endif
