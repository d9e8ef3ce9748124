/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_SETUP_H
#define HOLDLINE_SAY_SETUP_H

#include "analysis/insight.h"

#include <stddef.h>

/* What a setup is called, and what speaks against it whatever its numbers. */

/* The name of the first setup where the fitter gave none. */
extern const char say_first_intent[];
/* A setup's name as it was typed; of that one in the language that is written in. */
const char *say_intent(const char *intent);

/* That the rider could not see ahead on it. */
enum say_failed_length {
    SAY_FAILED_MARK,      /* beside the setup's name: 'FAILED: cannot see ahead' */
    SAY_FAILED_NAMED,     /* behind its name and a colon: 'FAILED, cannot see ahead' */
    SAY_FAILED_RATING,    /* behind 'setup 2 rated' */
    SAY_FAILED_ATTENTION, /* behind 'Setup 2 ', where the report begins */
    SAY_FAILED_STANDING,  /* behind 'Setup 2 ', among the other setups */
    SAY_FAILED_PICTURE,   /* in a picture's row */
    SAY_FAILED_LENGTHS
};
const char *say_failed(enum say_failed_length length);
/* The same as a mark on a line, with a blank on each side; brief: in seven cells. */
const char *say_failed_badge(bool brief);

/* That it made the rider numb; where: 'hands and saddle' (not told behind a rating). */
enum say_numb_length {
    SAY_NUMB_RATING,    /* behind 'setup 2 rated' */
    SAY_NUMB_ATTENTION, /* behind 'Setup 2: ', where the report begins */
    SAY_NUMB_RIDER,     /* to the rider, a sentence */
    SAY_NUMB_LENGTHS
};
void say_numb(char *text, size_t size, enum say_numb_length length, const char *where);
/* That seeing ahead was a strain, to the rider. */
extern const char *const say_strained;

/* Why a setup (its index) can't be taken out of the session, as a sentence's beginning: 'setup 2 is
 * the only one'. False where it can. has_captures: for something was held, ridden or checked on it.
 */
bool say_setup_stays(char *text, size_t size, const struct session_record *record, int setup,
                     bool *has_captures);
/* That a setup is no other one, as a sentence's beginning: 'setups 2 and 3 have other parts
 * (spacers 10 to 30)'; the other's number and bike. */
void say_other_parts(char *text, size_t size, const struct setup_record *setup,
                     const struct bike_values *bike, int number);

/* As a sentence's part: 'it FAILED: the rider could not see ahead on it'; "" for
 * COMPLAINT_NONE. */
const char *say_complaint(enum complaint complaint);
/* Why no step is suggested, as a sentence's part; "" where one is. */
void say_no_suggestion(char *text, size_t size, const struct insight_suggestion *suggestion);

#endif
