/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_NEXT_STEP_H
#define HOLDLINE_SESSION_NEXT_STEP_H

#include "machine.h"

/* What is obviously to be done next, in words and as a command or form, from the state and the
 * default plan (docs/measures.md, 'Setups against each other'): two free holds a build, setups in a
 * row, the first setup again twice at the end; and what still fits in the time that is left. */
void next_step_fill(const struct session *session, struct view *view);

#endif
