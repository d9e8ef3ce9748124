/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_RIDDEN_ONCE_H
#define HOLDLINE_SESSION_RIDDEN_ONCE_H

#include "base/problem.h"
#include "record/record.h"

/* One ride is one run: told as two, it would make a setup look better known than it is. */

/* The run that comes next: none of its laps is another run's, and it is no other part of the ride
 * just before, of the same setup, without a rest between them. */
bool ridden_once(const struct session_record *record, const struct run_record *run, bool rested,
                 struct problem *problem);
/* A lap or way of the latest run: no other run has the very same one, from another copy of the
 * file. */
bool ridden_once_leg(const struct session_record *record, const struct leg_record *leg,
                     struct problem *problem);

#endif
