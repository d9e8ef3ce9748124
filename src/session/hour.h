/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_HOUR_H
#define HOLDLINE_SESSION_HOUR_H

#include "machine.h"

/* How many holds of which length are asked for on the build that is on the bike: chosen anew when
 * it comes on the bike, and when what it depends on is typed; not once it was held. */
void hour_plan(struct session *session);

#endif
