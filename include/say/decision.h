/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_DECISION_H
#define HOLDLINE_SAY_DECISION_H

#include <stdbool.h>
#include <stddef.h>

/* What a session came to, to the rider: whole sentences, each with its numbers. */

enum decision {
    DECISION_NOTHING,    /* no hold that counts */
    DECISION_NONE,       /* no setup was chosen */
    DECISION_STAY,       /* the first one */
    DECISION_RIDE,       /* another */
    DECISION_UNMEASURED, /* one without a hold or run that counts */
    DECISION_STRAINED,   /* seeing ahead was a strain on it */
    DECISION_LIMIT,      /* passes a limit of the makers' papers */
    DECISION_NUMB,
    DECISION_FAILED, /* the rider could not see ahead */
    DECISIONS
};
/* intent: as the fitter named the setup, may be "". */
void say_decision(char *text, size_t size, enum decision decision, int setup, const char *intent);

/* What to ride as long as the setup chosen is not to be ridden. setup: 0 = the bike as it came; -1:
 * nothing is known to be fit for it. road: it may be ridden on the trainer. */
void say_meanwhile(char *text, size_t size, int setup, bool road);

/* What it did against the setup compared with; list: 'head 18 mm lower, chest 13 mm lower'. */
enum decision_did {
    DID_CHANGE,
    DID_TOO_LITTLE, /* no difference that matters */
    DID_CANNOT_TELL,
    DID_NOT_COMPARE,
    DECISION_DOINGS
};
/* baseline: the setup compared with; 0: the bike as it came. */
void say_did(char *text, size_t size, enum decision_did did, int baseline, const char *list);
/* 'head 18 mm lower' */
void say_moved_by(char *text, size_t size, const char *channel, double by_mm);

/* What it costs; list: 'neck 3 instead of 2'. */
enum decision_cost {
    COST_SOME,
    COST_NONE,
    COST_RATED, /* the first one was not rated: what was said of this one */
    COST_NOT_ASKED,
    DECISION_COSTS
};
void say_cost(char *text, size_t size, enum decision_cost cost, const char *list);
/* 'neck 3 instead of 2'; unit: '', 'min' */
void say_instead(char *text, size_t size, const char *what, double now, double before,
                 const char *unit);

#endif
