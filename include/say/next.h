/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_NEXT_H
#define HOLDLINE_SAY_NEXT_H

#include "analysis/plan_of_hour.h"

#include <stddef.h>

/* What is to be done next in a session, and what still fits into it. */

enum next_step {
    NEXT_SENSORS, /* nothing comes from the rig yet */
    NEXT_SETTLE,
    NEXT_HOLDING,
    NEXT_HOLDING_TARGET,
    NEXT_PLATE,
    NEXT_MOVED,   /* whether a sensor moved with this build */
    NEXT_SLIPPED, /* sensor or rider, where builds of a setup disagree */
    NEXT_STEPPED, /* a: the hold within which a sensor moved */
    NEXT_TARGET,
    NEXT_BAND,
    NEXT_HOLD,         /* a: this hold of the build's, b: of so many */
    NEXT_HOLD_AGAIN,   /* a: the hold that had not settled */
    NEXT_RATING,       /* of the current setup */
    NEXT_FIRST_CHANGE, /* there is one setup */
    NEXT_SETUP,        /* a: the first setup */
    NEXT_RETURN,       /* a: the first setup */
    NEXT_ROUND_CLOSED,
    NEXT_SESSION_ENDED,
    NEXT_STEPS
};
/* As the foot of a page has it. hold_s: so long is a hold that is asked for. */
void say_next_step(char *text, size_t size, enum next_step step, int a, int b, double hold_s);

/* Adds why so many holds are asked for, where that is not the usual number: ': they differ by 6
 * mm',
 * ': no more fit into the time'. */
void say_hour_why(char *text, size_t size, const struct hour_holds *asked);

/* '21 min left: 2 more setups, then back to setup 1', '4 min over time'; "" for NAN. */
void say_session_clock(char *text, size_t size, double minutes_left,
                       const struct plan_of_hour *plan);

#endif
