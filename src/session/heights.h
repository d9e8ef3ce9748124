/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_HEIGHTS_H
#define HOLDLINE_SESSION_HEIGHTS_H

#include "machine.h"

/* Says where what was measured and what was computed are too far apart on a build. */
void machine_say_alarms(struct session *session, int build);
void machine_ties_changed(struct session *session);

#endif
