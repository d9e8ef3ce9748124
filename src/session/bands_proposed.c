/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bands_proposed.h"

#include "session/session.h"

void bands_propose(struct session *session)
{
    const struct session_record *record = &session->record;
    int target = record->target_count - 1;
    while (target >= 0 && !(record->target[target].kept && record->target[target].capture >= 0)) {
        target--;
    }
    for (int c = 0; c < CHANNELS_MAX; c++) {
        bool body =
            target >= 0 && c < session->analysis->channel_count && session->analysis->body[c];
        session->proposal_count[c] =
            body ? analysis_propose_band(record, session->analysis, target, c,
                                         &session->settings.cue[c], session_samples, session,
                                         session->proposal[c])
                 : 0;
    }
    session->journal.serial++;
}
