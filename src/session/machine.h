/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SESSION_MACHINE_H
#define HOLDLINE_SESSION_MACHINE_H

/* The state of the session machine, and the small things that those who work on it share; for
 * src/session only. Each file of it has its own header, and knows those to its left only:
 * machine_effects, machine, hour, live, told, retie, heights, check_phase, command_setup, resit,
 * ride_measure, capture, countdown, going_on, the other commands, session. */

#include "acts.h"
#include "analysis/check.h"
#include "analysis/hold_meter.h"
#include "analysis/plan_of_hour.h"
#include "base/words.h"
#include "journal.h"
#include "measure/cue.h"
#include "measure/cue_ask.h"
#include "measure/cue_sound.h"
#include "record/typed.h"
#include "ride_watch.h"
#include "say/next.h"
#include "session/memory.h"
#include "session/session.h"
#include "session/snapshot.h"

#define MACHINE_SHOWN_BLOCKS 4 /* digits: mean of 4 blocks of 0.25 s */

struct live_channel {
    struct cue_machine slow;  /* the posture, and the cue */
    struct cue_machine quick; /* where the body is this instant */
    bool started;
    double block_sum[MACHINE_SHOWN_BLOCKS];
    int block_count[MACHINE_SHOWN_BLOCKS];
    double shown_mm;
    float step_low, step_high; /* of the history step in progress */
};

/* What was seen of the body since a free hold ended (resit.h). */
struct resit_watch {
    int hold; /* -1: nothing to watch from */
    struct uuid of;
    int64_t last_us;
    double looked_s, up_s, unseen_s; /* up, unseen: without a break */
    bool up, blind;
};

/* What a range means on a build: height = offset + slope * range as it was sent. */
struct height_line {
    double offset_mm, slope; /* slope 0: not known */
    bool tied;
};

struct session {
    effect_sink *sink;
    void *sink_context;
    struct session_origin origin;
    struct session_record record;
    struct analysis *analysis;
    struct sample_memory *memory;
    sample_source *elsewhere; /* samples that are not in memory; NULL: all that count are */
    void *elsewhere_context;
    struct hold_meter *meter; /* of the ride that goes on; NULL: none */
    struct acts *acts;        /* what can be taken back */
    int64_t command_ordinal;
    const char *pending_command; /* logged before its first effect */
    bool trusting; /* lines are taken without a question: each was answered when it was given */

    /* the stream */
    bool has_rig, has_sample;
    struct sample last;
    double rate_hz;
    int64_t rate_from_us;
    int rate_samples;
    bool rate_measured;

    /* current places in record; -1 = none */
    int placing, build, target, band;
    struct act_settings settings;
    int proposal_count[CHANNELS_MAX]; /* bands proposed from the target's capture */
    struct band_proposal proposal[CHANNELS_MAX][BAND_PROPOSALS_MAX];

    /* what is being done with the stream just now: hold, target, plate or check in progress */
    struct act_activity doing;
    bool begun;            /* false: still settling */
    int64_t check_quarter; /* of a second, when the ranges of a check were made; -1 = never */
    double check_sent_mm[CHANNELS_MAX], check_range_mm[CHANNELS_MAX];

    struct resit_watch resit;

    /* live picture */
    struct live_channel channel[CHANNELS_MAX];
    struct cue_ask ask; /* of the rider */
    struct cue_sound_machine sound;
    struct ride_watch ride;
    enum cue_sound heard; /* the last, and how many so far */
    uint64_t heard_serial;
    int64_t history_step, shown_step;
    struct view_history history;
    /* what the history's points were made with, and what holds now; the last row is of what was
     * seen before the first build (retie.c) */
    struct height_line height_line[BUILDS_MAX + 1][CHANNELS_MAX],
        height_line_now[BUILDS_MAX + 1][CHANNELS_MAX];
    uint64_t serial;
    struct journal journal;
    char message[256];
    uint64_t message_serial;
    bool message_is_problem;

    /* numbers of the capture in progress, made when a view asks, once a second */
    int64_t progress_second;
    struct hold_summary progress[CHANNELS_MAX];
};

void machine_say(struct session *session, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
int machine_channel(const struct session *session, const char *name, struct problem *problem);
/* The same of channels that are heights: not of power and its like. */
int machine_height_channel(const struct session *session, const char *name,
                           struct problem *problem);
/* Is there a target that the channel's heights on this build can be set beside? */
bool machine_has_target(const struct session *session, int channel);
void machine_retarget(struct session *session);
double machine_now_s(const struct session *session);
const struct placing_record *machine_placing(const struct session *session);
/* Refuses keys and plain words that the command does not know: keys is a list ended by NULL. */
bool machine_only_keys(const struct words *words, const char *const *keys, struct problem *problem);
/* Nobody need be asked whether the line is meant so: it says sure=yes, or was taken before, in this
 * session or in the one that is taken over. */
bool machine_sure(const struct session *session, const struct words *words);
/* What is in force, as the records have it: the last of each. */
void machine_find_in_force(struct session *session);
/* An empty placing from the next sample on; its index. */
int machine_new_placing(struct session *session);

#endif
