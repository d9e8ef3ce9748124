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
/* Could the target in progress be kept now: has every channel of the body an interval? */
bool capture_target_is_known(struct session *session);

#endif
