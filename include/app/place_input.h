/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_PLACE_INPUT_H
#define HOLDLINE_APP_PLACE_INPUT_H

#include "bike/parts.h"
#include "record/record.h"

/* Where 'holdline place' gets bikes and parts from. */

/* Bikes from a session script: its bike, setup, sensor and correct lines are taken, what else a
 * script may hold is passed over. The sentence names file, line and word. */
bool place_read_script(const char *path, struct session_record *record, struct problem *problem);

/* One setup's bike (number 0: the last one); a script without setups gives the bike as it came.
 * name: 'training bike, setup 2: spacers out'. */
bool place_setup(const struct session_record *record, int number, struct bike_values *bike,
                 char *name, size_t size, struct problem *problem);

bool place_read_parts(const char *path, struct parts_at_hand *parts, struct problem *problem);

#endif
