/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_PARTS_FROM_H
#define HOLDLINE_SESSION_PARTS_FROM_H

#include "machine.h"

/* What a setup took over from the one that it was made from, and what was typed for it. Setups by
 * their indices. */

/* A new setup has all its parts from this one (-1: from none). */
void parts_from_begin(struct session *session, int setup, int from);
/* A setup of an earlier session: what was typed for it is not known. */
void parts_from_earlier(struct session *session, int setup);
/* The bike measures among the words are typed for it. */
void parts_from_typed(struct session *session, int setup, const struct words *words);
/* Whether this measure was typed for it is not known. */
bool parts_from_is_unknown(struct session *session, int setup, int key);
/* Parts were put right in a setup: so they are in those that took its former values over, in
 * others through these. followed: which. */
void parts_from_follow(struct session *session, int setup, const struct bike_values *former,
                       bool followed[SETUPS_MAX]);
/* ', setups 2 and 3 too where they had it from there'; "" for none. */
void parts_from_text(char *text, size_t size, const struct session_record *record,
                     const bool followed[SETUPS_MAX]);
/* It is about to go from the session; what was made from it is then made from the other one (-1:
 * from the one that it was made from itself). */
void parts_from_gone(struct session *session, int setup, int other);

#endif
