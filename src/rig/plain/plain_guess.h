/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_PLAIN_GUESS_H
#define HOLDLINE_RIG_PLAIN_GUESS_H

#include "plain_chooser.h"

/* Which columns are ranges, time and status when nobody says it: by what they are called, and where
 * that does not tell by what their numbers look like. What was left out, and why, is noted. */

bool plain_guess_time(const struct chooser *chooser);
bool plain_guess_ranges(const struct chooser *chooser);
/* May a column of times be in us as well as in ms, and nothing says which? */
bool plain_time_is_doubtful(const struct decoder_options *options,
                            const struct plain_column *column);
/* Of the columns chosen: what nothing says. */
void plain_note_units(const struct chooser *chooser);

/* The column of the value where lines are told apart by a key (skip: the key's, or -1); -1 = none.
 */
int plain_guess_value(const struct plain_columns *columns, const struct plain_layout *layout,
                      int skip);

#endif
