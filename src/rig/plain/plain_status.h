/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_PLAIN_STATUS_H
#define HOLDLINE_RIG_PLAIN_STATUS_H

#include "plain_chooser.h"
#include "rig/plain_tokens.h"

/* Which columns say whether readings are good: those that were said, and those that look like it.
 */
bool plain_guess_statuses(const struct chooser *chooser);
/* Where there are as many as channels, each goes with its own. */
void plain_match_statuses(struct plain_layout *layout);

/* Does a status column's field say that the reading is good? */
bool plain_status_is_good(const struct plain_status *status, const struct token *token);

#endif
