/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_LOADED_SESSIONS_H
#define HOLDLINE_APP_LOADED_SESSIONS_H

#include "analysis/across.h"
#include "app/session_arguments.h"

/* Several sessions of a store, loaded and analysed, oldest first, for a comparison across them. */
struct loaded_sessions;

/* Those that the arguments name, or whatever their filter finds; one named twice counts once. NULL
 * with a problem; closed by the caller. */
struct loaded_sessions *loaded_sessions_open(const struct session_arguments *arguments,
                                             struct problem *problem);
/* False, with a sentence, where something was left out of one. */
bool loaded_sessions_are_whole(const struct loaded_sessions *sessions, struct problem *problem);
void loaded_sessions_close(struct loaded_sessions *sessions);

const struct across_session *loaded_sessions_all(const struct loaded_sessions *sessions,
                                                 int *count);

#endif
