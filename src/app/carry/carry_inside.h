/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_CARRY_INSIDE_H
#define HOLDLINE_APP_CARRY_INSIDE_H

/* The inside of an earlier session that is carried over, for the files carry*.c only. */

#include "app/carry.h"
#include "app/loaded_session.h"

struct carry {
    struct loaded_session *loaded;
    const struct session_record *record;
    const struct analysis *analysis;
    int on_bike; /* index of the setup */
};

/* ---- carry_lines.c: command lines, word by word ---- */
struct carry_text {
    char text[COMMAND_TEXT_SIZE];
    size_t used;
};
void carry_put(struct carry_text *line, const char *word);
/* key may be NULL. */
void carry_put_quoted(struct carry_text *line, const char *key, const char *text);
/* Nothing where the value is not known. */
void carry_put_number(struct carry_text *line, const char *key, double value);
bool carry_give(const struct carry_text *line, carry_sink *sink, void *context,
                struct problem *problem);

/* ---- carry_target.c ---- */
/* How well a height of the earlier session's channel on one of its builds is known in this session,
 * 95 %, where it was known to half_mm in itself; NAN with the reason. This session has a build. */
double carry_half_width_mm(const struct carry *carry, const struct session *now, int build,
                           int channel, double half_mm, char *reason, size_t size);

#endif
