/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "heights.h"

#include "bands_proposed.h"
#include "live.h"
#include "retie.h"
#include "say/say.h"

#include <math.h>
#include <stdio.h>

/* Heights made anew once what ties them has changed. */

void machine_say_alarms(struct session *session, int build)
{
    const struct placing_record *placing = machine_placing(session);
    for (int c = 0; placing != NULL && c < placing->channel_count; c++) {
        const struct tie *tie = &session->analysis->tie[build][c];
        if (tie->alarm) {
            const char *name = placing->channel[c].name;
            char found[SAY_SIZE];
            say_tie_finding(found, sizeof found, tie, name);
            machine_say(session, "%s: %s", name, found);
            session->message_is_problem = true;
            return;
        }
    }
}

void machine_ties_changed(struct session *session)
{
    struct problem problem = {0};
    if (!analysis_make(&session->record, session_samples, session, session->analysis, &problem)) {
        machine_say(session, "%s", problem.sentence);
        session->message_is_problem = true;
    }
    bands_propose(session);
    session->journal.serial++;
    retie_history(session);
    live_start(session); /* postures so far were in other heights */
    session->progress_second = session->check_quarter = -1;
}
