/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_RIDE_MEASURE_H
#define HOLDLINE_SESSION_RIDE_MEASURE_H

#include "machine.h"

/* A ride is measured as it goes on (analysis/hold_meter.h), so that it ends at once, and its
 * samples need not be kept in memory where they can be had elsewhere (session_keep_elsewhere). */

/* The hold that is done is a ride, and has begun. */
bool ride_measure_is_on(const struct session *session);
/* It begins; its first sample is to come. */
void ride_measure_begin(struct session *session);
/* Something else begins: what was worked out of a ride that was taken back belongs to nothing. */
void ride_measure_drop(struct session *session);
void ride_measure_sample(struct session *session, const struct sample *sample);
/* It has ended: its result is in the analysis. False: it is to be worked out of its samples. */
bool ride_measure_end(struct session *session);
/* What was ended goes on: it is measured anew up to this sample, where it is a ride. */
void ride_measure_again(struct session *session, int64_t to_sample);
/* One channel of it so far; MEASURE_TOO_FEW: nothing yet. */
void ride_measure_so_far(const struct session *session, int channel, struct hold_summary *summary);

#endif
