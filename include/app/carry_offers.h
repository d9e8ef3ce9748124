/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_CARRY_OFFERS_H
#define HOLDLINE_APP_CARRY_OFFERS_H

#include "app/carry.h"
#include "session/view.h"

/* The earlier sessions that a live session may begin with, for its form. */

/* Whose are wanted, by value: the list is read in another thread. */
struct carry_offers_wanted {
    struct uuid running; /* not this one */
    bool has_rider;
    char rider_code[NAME_SIZE];
};
struct carry_offers_wanted carry_offers_wanted_by(const struct session *session);

/* The latest sessions of the store that have a bike: those of the rider, where one is named; of
 * everybody else. None where the store can't be read. Where the rider has none, the latest of one
 * whose code is nearly the same (record/rider_code.h). */
void carry_offers_read(struct view_carry_offers *found, const char *store_path,
                       const struct carry_offers_wanted *wanted);
/* What was read is offered from now on. */
void carry_offers_renew(struct view_carry_offers *offers, const struct view_carry_offers *found);

/* Follows a line 'carry ...' (carry_follow); what it says with 'look' at its end is kept. */
bool carry_offers_take_line(struct view_carry_offers *offers, const struct carry *carry,
                            const struct carry_order *order, const char *line,
                            struct session *session, carry_sink *sink, void *context,
                            struct problem *problem);

/* The session has changed: what was looked at may not hold any more. */
void carry_offers_forget_look(struct view_carry_offers *offers);

#endif
