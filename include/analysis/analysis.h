/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_ANALYSIS_H
#define HOLDLINE_ANALYSIS_ANALYSIS_H

#include "analysis/drag.h"
#include "analysis/hold_health.h"
#include "analysis/insight.h"
#include "base/problem.h"
#include "bike/tie.h"
#include "measure/band.h"
#include "measure/compare.h"
#include "measure/hold.h"
#include "measure/minutes.h"
#include "measure/target.h"
#include "record/record.h"
#include "rig/auxiliary.h"

/* From records and raw samples to every number that is shown: heights, hold summaries, the
 * comparison. Pure: the live session, list/show/compare and exports all call this one. Recomputed
 * whole whenever a record changes, so data may come late. */

/* Hands out the samples first..last (inclusive), valid until the next call. False when they are not
 * there. */
typedef bool sample_source(void *context, int64_t first, int64_t last,
                           const struct sample **samples, size_t *count);

struct channel_target {
    bool has;             /* a height (or, not tied, a height relative to the first build) */
    double height_mm;     /* over the bottom bracket when the build's tie is absolute */
    double half_width_mm; /* NAN when entered and not said how well it is known */
    double steadiness_mm;
    bool not_settled; /* captured, and the rider moved on by a rule: not known how well */
};

struct hold_result {
    bool has[CHANNELS_MAX]; /* a summary is there */
    struct hold_summary summary[CHANNELS_MAX];
    uint64_t lost; /* samples lost within the hold */
    bool link_gap;
    struct hold_health health;
    double duration_s, start_s; /* start on the session axis */
    bool together;          /* the first two body channels had enough to be looked at together */
    struct ellipse ellipse; /* x: the second (chest), y: the first (head) */
    /* Other readings, in their own units (rig/auxiliary.h): plain means over the hold but for what
     * the fitter marked; NAN = none. Apart: further from the middle of the holds it is compared
     * with than such holds should be. */
    double auxiliary_mean[AUXILIARIES];
    bool auxiliary_apart[AUXILIARIES];
    bool not_settled; /* a body channel moved on by a rule (measure/hold.h): better done again */
    bool stepped;     /* a body channel's level changed at once and stayed: sensor or rider? */
    /* It did, and the body's other channels did not: the sensor. Never where there is no other. */
    bool step_alone[CHANNELS_MAX];
    /* holds of practice: how often and how long the rider sat up, which no share has in it; of the
     * time seen by all sensors of the body, and down, the share. Else 0, 0 and NAN. */
    int sat_up_times;
    double sat_up_s, posture_share;
    struct minutes_course course[CHANNELS_MAX]; /* of a ride: its quarters, its trend; else all 0 */
    bool counts; /* complete or stopped late enough, not rejected, not kept afterwards */
};

/* Two builds of a setup that disagree on one channel alone (analysis/slip.h). */
struct slip {
    bool asked;
    int earlier, later; /* builds */
    double apart_mm;    /* the later's mean, less the earlier's */
    bool beside;        /* another channel of the body was held on both, and stayed */
};

struct analysis {
    int channel_count;
    bool body[CHANNELS_MAX]; /* role body: compared */
    char channel_name[CHANNELS_MAX][CHANNEL_NAME_SIZE];
    struct tie tie[BUILDS_MAX][CHANNELS_MAX];
    struct channel_target target[TARGETS_MAX][CHANNELS_MAX];
    struct hold_result hold[HOLDS_MAX];
    /* What a hold's result follows from, as a sum (analysis_make_again); 0: made elsewhere, or not
     * at all. */
    uint64_t hold_from[HOLDS_MAX];
    struct comparison
        free_heights[CHANNELS_MAX]; /* setups as in session_record, baseline applied */
    struct comparison guided_in_band[CHANNELS_MAX]; /* share */
    bool has_guided[CHANNELS_MAX];
    struct slip slip[CHANNELS_MAX];
    /* the number of a hold within which the channel's sensor moved, and what that did to later ones
     * is open (analysis/step_in_hold.h); 0 = none */
    int step_open[CHANNELS_MAX];
    int free_holds[SETUPS_MAX], guided_holds[SETUPS_MAX];
    struct insight insight;
    struct drag_analysis drag;
};

/* About 2 MB: made once, kept. NULL without memory. */
struct analysis *analysis_create(void);
void analysis_destroy(struct analysis *analysis);
/* Copies what is in use: what there is of the record that it was made from. */
void analysis_copy(struct analysis *to, const struct analysis *from,
                   const struct session_record *record);

/* Everything anew. False with a problem: something's samples, or memory for them, are not there;
 * all else is worked out. */
bool analysis_make(const struct session_record *record, sample_source *source, void *context,
                   struct analysis *analysis, struct problem *problem);
/* The same, but for holds that nothing has changed for since they were made by one of these: those
 * stay as they are, and their samples are not asked for. The samples must be the same. */
bool analysis_make_again(const struct session_record *record, sample_source *source, void *context,
                         struct analysis *analysis, struct problem *problem);
/* Only ties, targets and the comparison, with summaries of the given hold made (all others are kept
 * as they are): what the live session calls when one hold ends. */
bool analysis_add_hold(const struct session_record *record, int hold, sample_source *source,
                       void *context, struct analysis *analysis, struct problem *problem);
/* The same for one target that has just been captured or entered. hold -1 above: no hold, only ties
 * and the comparison (a hold was rejected or taken in again). */
bool analysis_add_target(const struct session_record *record, int target, sample_source *source,
                         void *context, struct analysis *analysis, struct problem *problem);
/* Summary of one channel over the samples first..last on a build, as for a hold; settings may be
 * NULL (no target, no band). For captures in progress. False when the samples are not there. */
bool analysis_stretch(const struct session_record *record, const struct analysis *analysis,
                      int build, int channel, int64_t first, int64_t last, sample_source *source,
                      void *context, const struct hold_settings *settings,
                      struct hold_summary *summary);
/* The same as a target's capture. */
bool analysis_target_stretch(const struct session_record *record, const struct analysis *analysis,
                             int build, int channel, int64_t first, int64_t last,
                             sample_source *source, void *context,
                             struct target_estimate *estimate);
/* A hold by the minute, on one channel (measure/minutes.h): what was sat up is no part of it. How
 * many rows, never over most; 0 where its samples are not there. */
size_t analysis_minutes(const struct session_record *record, const struct analysis *analysis,
                        int hold, int channel, sample_source *source, void *context,
                        struct minute_row *rows, size_t most);
/* Its other readings by the minute: means in their own units, NAN where there was none or its
 * samples are not there. All of the rows are written. */
struct minute_auxiliary {
    double mean[AUXILIARIES];
};
void analysis_minute_auxiliary(const struct session_record *record, int hold, sample_source *source,
                               void *context, struct minute_auxiliary *rows, size_t most);
/* The settings a hold is summarised with: the target and band in force. */
void analysis_hold_settings(const struct session_record *record, const struct analysis *analysis,
                            const struct hold_record *hold, int channel,
                            struct hold_settings *settings);
/* Is it known how the channel's heights on this build lie beside the target? On the build that it
 * is of they do; one taken in this session is held on to by any tie, others by one that is
 * absolute. */
bool analysis_target_is_beside(const struct session_record *record, const struct analysis *analysis,
                               int target, int build, int channel);
/* Band proposals from a captured target (measure/band.h), replayed with these cue settings; the
 * floor is another for a channel named 'head'. Number of proposals, 0 when there are none. */
int analysis_propose_band(const struct session_record *record, const struct analysis *analysis,
                          int target, int channel, const struct cue_settings *cue,
                          sample_source *source, void *context,
                          struct band_proposal proposals[BAND_PROPOSALS_MAX]);
/* Long and whole enough that its mean can be compared, on one channel of the body at least: only
 * such holds are counted. */
bool analysis_hold_is_long(const struct analysis *analysis, int hold);
/* What the comparison found of a setup's free holds, and of it against the baseline: of no holds
 * where it is not in it. */
const struct setup_estimate *analysis_estimate(const struct analysis *analysis, int channel,
                                               int setup);
const struct setup_difference *analysis_difference(const struct analysis *analysis, int channel,
                                                   int setup);
/* Ties of all builds (cheap; no samples). */
void analysis_ties(const struct session_record *record, struct analysis *analysis);
/* A body channel of the build is not tied until somebody says whether a sensor moved. */
bool analysis_moved_unanswered(const struct session_record *record, const struct analysis *analysis,
                               int build);

/* Height of a reading of this build's channel; calibrated. Not tied: relative to the placing's
 * first build. */
double analysis_height_mm(const struct session_record *record, const struct analysis *analysis,
                          int build, int channel, int32_t range_tenth_mm);

#endif
