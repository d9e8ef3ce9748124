/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_REPEATABILITY_H
#define HOLDLINE_SAY_REPEATABILITY_H

#include "measure/compare.h"
#include "record/record.h"

#include <stddef.h>

/* How a rider repeats, what that rests on, and where a setup is another matter. */

/* Which part of what was learnt has a say: 'repeatability: ...'. */
const char *say_learnt_from(enum learnt_from from);

/* 'SD 4.1 mm: this session's holds count 4, R-07's 3 earlier sessions 4.3, the store's 22 others
 * 4'. Empty where nothing was learnt, or none of it has a say. */
void say_learnt(char *text, size_t size, const struct session_record *record, int channel,
                const struct comparison *comparison);

/* Of the limits of a setup that a usual repeatability has a say in (setup_estimate.assumed). */
void say_assumed(char *text, size_t size);

/* 'holds of setup 2 differ from each other more than the others' (SD 7.1 mm, all together 3.0): its
 * limits are from its own holds'. Empty where none does. */
void say_own_spread(char *text, size_t size, const struct session_record *record,
                    const struct comparison *comparison);

/* Why a difference is not in the middle of its interval, and of which setups; empty where each is.
 */
void say_reaches_on(char *text, size_t size, const struct session_record *record,
                    const struct comparison *comparison);

/* With too few holds of a setup for that to be seen; empty else. */
void say_spread_unseen(char *text, size_t size, const struct comparison *comparison);

#endif
