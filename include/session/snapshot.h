/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_SNAPSHOT_H
#define HOLDLINE_SESSION_SNAPSHOT_H

#include "analysis/analysis.h"
#include "say/event.h"
#include "say/insight_words.h"

/* The records of a session and all that follows from them, as they are between two changes of a
 * record: made when a command or the end of a capture has changed something, never by a sample, and
 * not changed afterwards, so that threads read one by reference. Some 4 MB, of which only what is
 * in use is written. */
struct snapshot {
    uint64_t serial;              /* grows with every change; 0 = of no session */
    struct session_record record; /* last_sample and last_time_us as they were then */
    struct analysis analysis;
    int placing, build, target, band; /* in force: places in the record, -1 = none */
    int proposal_count[CHANNELS_MAX]; /* bands proposed from the target's capture */
    struct band_proposal proposal[CHANNELS_MAX][BAND_PROPOSALS_MAX];
    struct insight_page insight;
    int event_count; /* what has happened, oldest first */
    struct event event[EVENTS_MAX];
};

/* Of no session: nothing recorded, nothing in force. The memory is zeroed. */
void snapshot_begin(struct snapshot *snapshot);

/* Of the build that is in force: its setup (index, record, number), and which build of it; -1,
 * NULL, 0 while there is none. */
int snapshot_setup_index(const struct snapshot *snapshot);
const struct setup_record *snapshot_setup(const struct snapshot *snapshot);
int snapshot_setup_number(const struct snapshot *snapshot);
int snapshot_build_ordinal(const struct snapshot *snapshot);
/* A sensor of the placing in force: how it is fixed and called. */
const struct channel_record *snapshot_channel(const struct snapshot *snapshot, int channel);
/* How its height is known on the build in force; NULL where it was not said where it is fixed, or
 * there is no build. Tied: over the bottom bracket. */
const struct tie *snapshot_tie(const struct snapshot *snapshot, int channel);
bool snapshot_tied(const struct snapshot *snapshot, int channel);
/* A target is in force, whether or not the channel's heights can be set beside it (its view says).
 */
bool snapshot_has_target(const struct snapshot *snapshot, int channel);
/* Its range to the plate as it was read last for this build; NAN = it was not. */
double snapshot_plate_mm(const struct snapshot *snapshot, int channel);
/* As the rig names itself; "" where it does not. */
const char *snapshot_rig(const struct snapshot *snapshot);

#endif
