/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_SESSION_REPORTS_H
#define HOLDLINE_APP_SESSION_REPORTS_H

#include "base/problem.h"
#include "session/session.h"

#include <stdio.h>

/* Comparison and exports straight from a session machine (scripts, the live session, a replay): the
 * same reports as from the store, with the command log kept here. */
struct session_reports {
    struct command_record *command;
    size_t count, capacity;
};

bool session_reports_start(struct session_reports *reports);
void session_reports_end(struct session_reports *reports);

/* Keeps a logged command (EFFECT_COMMAND). */
void session_reports_command(struct session_reports *reports, const struct command_record *command);

bool session_reports_compare(const struct session_reports *reports, struct session *session,
                             FILE *stream, struct problem *problem);
bool session_reports_export(const struct session_reports *reports, struct session *session,
                            const char *path, bool replace, struct problem *problem);

#endif
