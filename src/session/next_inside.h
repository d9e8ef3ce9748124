/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_NEXT_INSIDE_H
#define HOLDLINE_SESSION_NEXT_INSIDE_H

#include "machine.h"
#include "say/next.h"

/* A next step as next_step.c and next_practice.c make it. */
struct next {
    enum next_step step;
    int a, b; /* its numbers (say/next.h) */
    enum view_next form;
    char command[128];
    double hold_s; /* of a piece; 0: as the hour has it */
};

struct next next_by_form(enum next_step step, enum view_next form, int a);
struct next next_by_command(enum next_step step, const char *command);
/* The same plate, or board, once more. */
struct next next_same_plate(enum next_step step, const struct tie_reading_record *before);
/* What a step is passed over for: the session, the build on the bike, or the setup chosen. */
int next_scope_of(const struct session *session, enum next_step step);
/* Was it passed over, for what it is of? */
bool next_passed(const struct session *session, enum next_step step);
/* A band follows from the target of a channel. */
bool next_has_band_suggested(const struct session *session);

#endif
