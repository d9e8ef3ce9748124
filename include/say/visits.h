/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_VISITS_H
#define HOLDLINE_SAY_VISITS_H

#include "analysis/visits.h"

#include <stddef.h>

/* A rider's visits in words. */

/* A setup's letter in a record, since its number is another on each visit: 'A', 'B', .. 'AA'. */
void say_setup_letter(char *text, size_t size, int setup);

/* What a setup's height did from one visit to another, of one channel: 'head 3 mm higher (-5 to
 * 11)'; "" where it is not known. */
void say_visit_change(char *text, size_t size, const struct across *across, int setup, int channel,
                      int from, int to);

/* Why a session's heights of a channel can't be set against the others', and what would tie them;
 * "" where they can. */
void say_apart(char *text, size_t size, const struct across_channel *channel, int session);

/* What was advised on a visit, and what came of it. */
enum advice_came {
    ADVICE_CAME_NOT_CHOSEN, /* nothing was chosen */
    ADVICE_CAME_LATEST,     /* there was no visit since */
    ADVICE_CAME_NOT_RIDDEN, /* not on any visit since */
    ADVICE_CAME_RIDDEN,     /* on which; list: what was found then */
    ADVICES_CAME
};
void say_advice_came(char *text, size_t size, enum advice_came came, const char *day,
                     const char *setup, const char *then, const char *list);
/* That what was found then can't be set against what was found before. */
extern const char *const say_not_set_against;

#endif
