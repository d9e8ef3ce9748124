/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_OUTPUTS_H
#define HOLDLINE_APP_OUTPUTS_H

#include "base/problem.h"
#include "session/session.h"

#include <stdio.h>

/* Comparison and exports straight from a session machine (scripts, the live session, a replay): the
 * same reports as from the store, with the command log kept here. */
struct outputs {
    struct command_record *command;
    size_t count, capacity;
};

bool outputs_start(struct outputs *outputs);
void outputs_end(struct outputs *outputs);

/* Keeps a logged command (EFFECT_COMMAND). */
void outputs_command(struct outputs *outputs, const struct command_record *command);

bool outputs_compare(const struct outputs *outputs, struct session *session, FILE *stream,
                     struct problem *problem);
bool outputs_export(const struct outputs *outputs, struct session *session, const char *path,
                    bool replace, struct problem *problem);

#endif
