/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_CARRY_OFFERS_H
#define HOLDLINE_APP_CARRY_OFFERS_H

#include "app/carry.h"
#include "session/view.h"

/* The earlier sessions that a live session may begin with, for its form. */

/* The latest sessions of the store that have a bike: those of the rider, where the session names
 * one; of everybody else. None where the store can't be read. */
void carry_offers_list(struct view_earlier *earlier, const char *store_path,
                       const struct session *session);

/* A line 'carry ...' (carry_line); what it says with 'look' at its end is kept in earlier. */
bool carry_offers_take_line(struct view_earlier *earlier, const char *store_path, const char *line,
                            const struct words *words, struct session *session, carry_sink *sink,
                            void *context, struct problem *problem);

/* The session has changed: what was looked at may not hold any more. */
void carry_offers_forget_look(struct view_earlier *earlier);

#endif
