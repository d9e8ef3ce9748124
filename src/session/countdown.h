/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_COUNTDOWN_H
#define HOLDLINE_SESSION_COUNTDOWN_H

#include "commands.h"

/* A countdown that is stopped has recorded nothing: what is left of it is the line that began it,
 * by which it begins again. */

/* A countdown is in progress: of a check the first, nothing of it has been read. */
bool countdown_is_on(const struct session *session);
/* What is in progress was begun so. */
void countdown_began(struct session *session, command_handler *handle, const char *line);
/* A command stopped it and did nothing else: that is the last act from now on. */
void countdown_stopped(struct session *session);
/* Its act is about to be taken back: where a countdown is on, it can begin again. */
void countdown_taken_back(struct session *session, struct act *act);
/* The stop, which is the last act, is taken back: the countdown begins again. Where it can't, only
 * that is said, and the act before is the next. */
void countdown_undo(struct session *session);
/* An act that was taken back in its countdown is there again: so it begins, and that is said behind
 * what has been said. */
void countdown_redo(struct session *session, struct act *act);

#endif
