/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_RIG_TELLER_H
#define HOLDLINE_APP_RIG_TELLER_H

#include "base/problem.h"
#include "rig/link.h"
#include "session/session.h"

/* Tells the rig what was done to the bike (docs/scripts.md, 'Lines to the virtual rig'): real
 * sensors pass the lines over, the virtual rig's rider sits on the new setup. */
struct rig_teller {
    bool plate_held; /* something is held before the sensors */
    bool checking, check_recording;
    int check_phase;
};

/* After a session command was done; link may be NULL. */
bool rig_teller_command(struct rig_teller *teller, const struct session *session, const char *line,
                        struct link *link, struct problem *problem);
/* After samples: takes the plate away when it has been read, and follows a check. */
bool rig_teller_samples(struct rig_teller *teller, const struct session *session, struct link *link,
                        struct problem *problem);

/* The session command that says what the rig said of itself: 'rig ID rate=50 channels=head,chest'.
 */
void rig_command_line(char *line, size_t size, const struct rig_info *info);

#endif
