/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_MACHINE_EFFECTS_H
#define HOLDLINE_SESSION_MACHINE_EFFECTS_H

/* Records that go out, and their identifiers. */

#include "machine.h"

/* A record is new or was changed. */
void machine_emit(struct session *session, enum effect_kind kind, int index);
/* The same without a trace in acts and journal: of what is taken back or put back. */
void machine_send(struct session *session, enum effect_kind kind, int index);
/* The command in progress, where no record of its own went out to bring it along. */
void machine_log_command(struct session *session);
/* Identifier of the record of this kind that takes this place. */
struct uuid machine_uuid(struct session *session, enum effect_kind kind, int index);
/* Of the next tie reading: its time is the build's, since it may be entered later. */
struct uuid machine_tie_uuid(struct session *session, int build);

#endif
