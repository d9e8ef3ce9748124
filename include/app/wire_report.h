/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_WIRE_REPORT_H
#define HOLDLINE_APP_WIRE_REPORT_H

#include "base/json.h"
#include "rig/wire_look.h"

#include <stdio.h>

/* What a stream is and how it might be read, for 'rigs' and 'listen'. */
struct wire_report {
    const char *spec;    /* how the rig is written */
    const char *command; /* that is proposed: 'listen', 'measure' */
    double baud;         /* 0 = it has none */
    bool tried_speeds;
    bool may_be_kept;  /* of a board: 'rigs ... --keep' */
    const char *bytes; /* the last that came */
    size_t length;
    const struct wire_finding *finding;
};

/* Lines, each behind indent: the cause, the bytes as they came, and where there is a proposal what
 * it gives and the command that takes it. */
void wire_report_print(FILE *stream, const char *indent, const struct wire_report *report);
/* Members of an object: cause, bytes, proposal. */
void wire_report_json(struct json_writer *json, const struct wire_report *report);
/* What was found out about how a stream is written that reads, a line each. */
void wire_report_notes(FILE *stream, const char *indent, const struct rig_info *info);
/* The command, as it is typed. */
void wire_report_command(char *text, size_t size, const struct wire_report *report);

#endif
