/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_REMOVAL_H
#define HOLDLINE_SESSION_REMOVAL_H

#include "acts.h"

/* A record that goes from the middle of its array: it is marked in the store, those behind it move
 * up, and all that points at them is pointed anew. Nothing may point at it. It belongs to the act
 * that is open. */
void removal_take(struct session *session, enum effect_kind kind, int index);
/* The same taken back, and done again. */
void removal_undo(struct session *session, const struct act_image *image);
void removal_redo(struct session *session, const struct act_image *image);

#endif
