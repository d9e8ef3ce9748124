/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_GOING_ON_H
#define HOLDLINE_SESSION_GOING_ON_H

#include "machine.h"

/* What was in progress when it was stopped or taken back, and goes on from there. */

/* What an act stopped, as it was; once that is taken back, what is in progress instead. NULL: it
 * stopped nothing. */
struct act_activity *going_on_stopped(const struct act *act);
/* This is in progress from now on. */
void going_on_take(struct session *session, const struct act_activity *activity);
/* Why what was stopped can't go on; NULL: it can, or is over. */
const char *going_on_why_not(struct session *session, const struct act_activity *stopped);
/* What is in progress goes on as if it had not been stopped at this sample. What has been said of
 * it stays, also where it is over by now. */
void going_on(struct session *session, int64_t ended_sample);
/* What is in progress ends by a stop that was taken back and is about to be put back. */
void going_on_ends(struct session *session, const struct act *stop);

/* What the act began is thrown away. False: it had not begun, a countdown leaves nothing. */
bool going_on_cancel(struct session *session, struct act *act);
/* What was thrown away is put back, its records are there again: it is in progress from now on,
 * where it can. Else *why says why not; NULL: nothing is to go on. */
bool going_on_again(struct session *session, const struct act *act, const char **why);

#endif
