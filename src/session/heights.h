/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_HEIGHTS_H
#define HOLDLINE_SESSION_HEIGHTS_H

#include "machine.h"

/* Says where what was measured and what was computed are too far apart on a build. */
void machine_say_alarms(struct session *session, int build);
void machine_ties_changed(struct session *session);
/* How high a plate that is read now is for that channel over the bottom bracket, where said_mm was
 * said of it; NAN: not known. */
double machine_plate_height_mm(const struct session *session, int build, int channel,
                               enum plate_rest rest, double said_mm);

#endif
