/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_PARTS_TYPED_H
#define HOLDLINE_SESSION_PARTS_TYPED_H

#include "base/words.h"
#include "bike/fields.h"
#include "record/record.h"

/* Reads key=value words of bike measures into values, from word first on; others
 * (ended by NULL, may be NULL) are keys that are not the bike's. */
bool parts_typed_read(const struct words *words, int first, const char *const *others,
                      struct bike_values *values, int *changed, struct problem *problem);
/* Asks about what of values differs from before and looks like a slip beside the bike and all
 * setups; itself: a setup whose own former values say nothing, or -1. */
bool parts_typed_check(const struct session_record *record, const struct bike_values *values,
                       const struct bike_values *before, int itself, struct problem *problem);
/* Asks about a measure of the frame that a setup is to have for itself: it would move that setup's
 * heights against the others'. */
bool parts_typed_frame_check(const struct session_record *record, const char *command,
                             const struct bike_values *values, const struct bike_values *before,
                             struct problem *problem);

#endif
