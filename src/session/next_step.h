/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_NEXT_STEP_H
#define HOLDLINE_SESSION_NEXT_STEP_H

#include "machine.h"
#include "say/next.h"

/* What is obviously to be done next, in words and as a command or form, from the state and the
 * plan of the hour (analysis/plan_of_hour.h): who rides, the time, the bike, the sensors; free
 * holds on each build, setups in a row, the first setup again at the end; then the one that was
 * chosen, on the bike; and what still fits in the time that is left. */
void next_step_fill(const struct session *session, struct view *view);
/* From now on the step leads no more, for what it is of (say/next.h). */
void next_step_pass(struct session *session, enum next_step step);

#endif
