/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "heights.h"

#include "analysis/tie_readings.h"
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
    const struct session_record *record = &session->record;
    const struct tie_reading_record *last = &record->tie_reading[record->tie_reading_count - 1];
    if (record->tie_reading_count > 0 && last->build == build && board_came_along(record, last)) {
        machine_say(session, "%s", say_board_came_along());
        session->message_is_problem = true;
    }
}

void machine_ties_changed(struct session *session)
{
    struct problem problem = {0};
    if (!analysis_make_again(&session->record, session_samples, session, session->analysis,
                             &problem)) {
        machine_say(session, "%s", problem.sentence);
        session->message_is_problem = true;
    }
    bands_propose(session);
    session->journal.serial++;
    retie_history(session);
    live_start(session); /* postures so far were in other heights */
    session->progress_second = session->check_quarter = -1;
}

/* A board on the pads lies where it lay, unless the pads moved: at the height that was said for it
 * before. Without one it is where heights are told from, but where they are over the bottom bracket
 * already: a target is, too, that may have come from another day, and a board that says nothing of
 * the bottom bracket must not move them away from it. */
double machine_plate_height_mm(const struct session *session, int build, int channel,
                               enum plate_rest rest, double said_mm)
{
    const struct session_record *record = &session->record;
    bool known = tie_is_over_bottom_bracket(&session->analysis->tie[build][channel]);
    double height_mm = said_mm;
    if (rest != REST_PADS) {
        return said_mm;
    }
    for (int i = 0; isnan(height_mm) && i < record->tie_reading_count; i++) {
        const struct tie_reading_record *before = &record->tie_reading[i];
        if (before->rest == REST_PADS &&
            (before->channel == channel || before->plate_height_mm > 0.0)) {
            bool lies_alike = board_lies_alike(record, before->build, build);
            height_mm = lies_alike ? before->plate_height_mm : (double)NAN;
            known = true;
        }
    }
    return isnan(height_mm) && !known ? 0.0 : height_mm;
}
