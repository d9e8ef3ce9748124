/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_NEXT_H
#define HOLDLINE_SAY_NEXT_H

#include "analysis/plan_of_hour.h"
#include "base/word_list.h"

#include <stddef.h>

/* What is to be done next in a session, and what still fits into it. */

enum next_step {
    NEXT_SENSORS, /* nothing comes from the rig yet */
    NEXT_SETTLE,
    NEXT_SIT_UP, /* likewise, before a free hold, and the rider did not since the one before */
    NEXT_HOLDING,
    NEXT_HOLDING_TARGET,
    NEXT_PLATE,
    /* before the first target or hold */
    NEXT_RIDER,
    NEXT_MINUTES,
    NEXT_BIKE,
    NEXT_PLACES, /* where the sensors are */
    NEXT_CHECKS,
    NEXT_WARM_UP,
    /* setups */
    NEXT_MOVED,   /* whether a sensor moved with this build */
    NEXT_SLIPPED, /* sensor or rider, where builds of a setup disagree */
    NEXT_STEPPED, /* a: the hold within which a sensor moved */
    NEXT_FAR,     /* a: the hold whose level is hardly the rider's (analysis/far_level.h) */
    NEXT_TARGET,
    NEXT_BAND,
    NEXT_HOLD,         /* a: this hold of the build's, b: of so many */
    NEXT_HOLD_AGAIN,   /* a: the hold that had not settled */
    NEXT_RATING,       /* of the current setup */
    NEXT_PLATE_AGAIN,  /* where it was before the holds: what slipped? */
    NEXT_FIRST_CHANGE, /* there is one setup */
    NEXT_SETUP,        /* a: the first setup */
    NEXT_RETURN,       /* a: the first setup */
    /* what it came to; a: the setup that was chosen */
    NEXT_CHOOSE,
    NEXT_PUT_ON,
    NEXT_CHECK_HOLD,
    NEXT_OWN_TARGET,
    NEXT_OWN_BAND,
    NEXT_SHEET,
    /* practice at home (measure/practice.h) */
    NEXT_EASY,  /* warm-up */
    NEXT_BOARD, /* on the pads */
    NEXT_TEST,
    NEXT_GUESS,
    NEXT_PIECE,       /* a: this one, b: of so many; s: so long */
    NEXT_FELT,        /* how it was */
    NEXT_RIDE,        /* a long one */
    NEXT_MORNING,     /* how it was the morning after the session before */
    NEXT_BOARD_APART, /* a: mm off where it was at first */
    NEXT_STOP,        /* a sign to stop */
    NEXT_DONE,
    NEXT_DONE_SLIPPED, /* a: mm that the board lies elsewhere since the holds began */
    NEXT_TARGET_CARRIED,
    NEXT_TARGET_PLANNED, /* as the coach has it */
    NEXT_BAND_PLANNED,
    NEXT_TEST_AT,        /* a: W */
    NEXT_BOARD_ANEW,     /* a: the same, so far that the sensors were fixed anew */
    NEXT_BOARD_AGAIN,    /* a: the hold within which a level stepped */
    NEXT_BOARD_AFTER,    /* once more, when all is ridden */
    NEXT_COMPARED_WITH,  /* a: the setup that is compared against, which has no hold yet */
    NEXT_PLACES_CARRIED, /* where the sensors are was an earlier session's to say */
    NEXT_END,
    NEXT_ROUND_CLOSED, /* nothing was chosen */
    NEXT_SESSION_ENDED,
    NEXT_STEPS
};

/* What a step is passed over for, when it is: nobody is asked again for it. */
enum next_scope {
    NEXT_NEVER_PASSED,
    NEXT_OF_SESSION,
    NEXT_OF_BUILD,
    NEXT_OF_CHOICE,
    NEXT_OF_HOLD /* until another is ridden */
};
enum next_scope next_step_scope(enum next_step step);
/* The step that is passed over with this one: a hold once more is a hold. */
enum next_step next_step_as(enum next_step step);
/* As the command 'pass' has them; NULL where a step is never passed over. */
extern const struct word_list next_step_words;

/* As the foot of a page has it. hold_s: so long is a hold that is asked for. */
void say_next_step(char *text, size_t size, enum next_step step, int a, int b, double hold_s);

/* Adds why so many holds are asked for, where that is not the usual number: ': they differ by 6
 * mm',
 * ': no more fit into the time'. */
void say_hour_why(char *text, size_t size, const struct hour_holds *asked);

/* Adds that the rider sits up before it: ': hands off, sit up, back'. */
void say_sit_up(char *text, size_t size);

/* '21 min left: 2 more setups, then back to setup 1', '4 min over time'; "" for NAN. first: number
 * of the first setup. */
void say_session_clock(char *text, size_t size, double minutes_left,
                       const struct plan_of_hour *plan, int first);

#endif
