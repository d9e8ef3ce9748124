/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_SESSION_RETIE_H
#define HOLDLINE_SRC_SESSION_RETIE_H

#include "machine.h"

/* The history is drawn in the heights that are known now: when places, geometry, a plate or a tape
 * change what a range means, its points are worked out again. A height is a line in the range, so
 * each point is turned back into its range and into the height of now, exactly. Points from before
 * the first build are of the first one, unless the sensors were fixed anew meanwhile. */
void retie_history(struct session *session);

#endif
