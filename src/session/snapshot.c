/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "session/snapshot.h"

#include "machine.h"

#include <math.h>
#include <string.h>

void snapshot_begin(struct snapshot *snapshot)
{
    session_record_begin(&snapshot->record);
    snapshot->placing = snapshot->build = snapshot->target = snapshot->band = -1;
}

int snapshot_setup_index(const struct snapshot *snapshot)
{
    return snapshot->build >= 0 ? snapshot->record.build[snapshot->build].setup : -1;
}

const struct setup_record *snapshot_setup(const struct snapshot *snapshot)
{
    int index = snapshot_setup_index(snapshot);
    return index >= 0 ? &snapshot->record.setup[index] : NULL;
}

int snapshot_setup_number(const struct snapshot *snapshot)
{
    const struct setup_record *setup = snapshot_setup(snapshot);
    return setup != NULL ? setup->number : 0;
}

int snapshot_build_ordinal(const struct snapshot *snapshot)
{
    return snapshot->build >= 0 ? snapshot->record.build[snapshot->build].ordinal : 0;
}

const char *snapshot_rig(const struct snapshot *snapshot)
{
    return snapshot->placing >= 0 ? snapshot->record.placing[snapshot->placing].rig_id : "";
}

const struct channel_record *snapshot_channel(const struct snapshot *snapshot, int channel)
{
    return &snapshot->record.placing[snapshot->placing].channel[channel];
}

const struct tie *snapshot_tie(const struct snapshot *snapshot, int channel)
{
    bool mounted = snapshot->build >= 0 && snapshot_channel(snapshot, channel)->mounted;
    return mounted ? &snapshot->analysis.tie[snapshot->build][channel] : NULL;
}

bool snapshot_tied(const struct snapshot *snapshot, int channel)
{
    const struct tie *tie = snapshot_tie(snapshot, channel);
    return tie != NULL && tie_is_over_bottom_bracket(tie);
}

bool snapshot_has_target(const struct snapshot *snapshot, int channel)
{
    return snapshot->target >= 0 && snapshot->analysis.target[snapshot->target][channel].has;
}

double snapshot_plate_mm(const struct snapshot *snapshot, int channel)
{
    double plate_mm = NAN;
    for (int t = 0; t < snapshot->record.tie_reading_count; t++) {
        const struct tie_reading_record *reading = &snapshot->record.tie_reading[t];
        if (reading->kind == TIE_READING_PLATE && reading->build == snapshot->build &&
            reading->channel == channel) {
            plate_mm = reading->value_mm;
        }
    }
    return plate_mm;
}

uint64_t session_snapshot_serial(const struct session *session)
{
    return session->journal.serial;
}

void session_fill_snapshot(struct session *session, struct snapshot *snapshot)
{
    insight_make(&session->record, session->analysis); /* of records as they are now */
    snapshot->serial = session->journal.serial;
    session_record_copy(&snapshot->record, &session->record);
    analysis_copy(&snapshot->analysis, session->analysis, &session->record);
    snapshot->placing = session->placing;
    snapshot->build = session->build;
    snapshot->target = session->target;
    snapshot->band = session->band;
    memcpy(snapshot->proposal_count, session->proposal_count, sizeof snapshot->proposal_count);
    memcpy(snapshot->proposal, session->proposal, sizeof snapshot->proposal);
    insight_page_make(&session->record, session->analysis, &snapshot->insight);
    snapshot->event_count = session->journal.count;
    journal_events(session, snapshot->event);
}
