/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_CHECK_PHASE_H
#define HOLDLINE_SESSION_CHECK_PHASE_H

#include "machine.h"

/* command_check.c: a phase of a check is over, or the check was stopped */
void check_phase_ended(struct session *session, bool stopped);
/* check_view.c: means of the last second's good readings, as sent and calibrated; NAN without any
 */
void check_ranges(struct session *session, double sent_mm[CHANNELS_MAX],
                  double range_mm[CHANNELS_MAX]);
void check_fill_view(struct session *session, struct view_check *view);

#endif
