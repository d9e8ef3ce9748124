/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_INSIGHT_H
#define HOLDLINE_ANALYSIS_INSIGHT_H

#include "analysis/setup_ratings.h"
#include "bike/limits.h"
#include "measure/ellipse.h"
#include "measure/steps.h"
#include "measure/tradeoff.h"
#include "record/record.h"

/* What follows from a session's holds beside the comparison: which setups no other beats, where two
 * channels were together, and how far the heights followed the parts. Part of the analysis. */
struct analysis;

struct insight {
    /* What no other is shown to beat (measure/tradeoff.h): heights, steadiness and creep of free
     * holds, in-band share of guided ones, each of the channel that is worse; medians of the
     * ratings. */
    int tradeoff_setups;               /* that have a value; under two there is nothing to mark */
    bool criterion[TRADEOFF_CRITERIA]; /* some setup has it */
    struct tradeoff_setup value[SETUPS_MAX];
    struct tradeoff_mark mark[SETUPS_MAX];

    /* Each setup's free holds that count and are tied, together: y is the first body channel
     * (head), x the second (chest); -1 where there are no two. Each hold's is in its result. */
    int x_channel, y_channel;
    bool together[SETUPS_MAX];
    struct ellipse ellipse[SETUPS_MAX];

    /* Steps per change (measure/steps.h) of each body channel against the baseline: the parts that
     * were changed, then the usual ones that were not. */
    int factor_count;
    enum bike_key factor[STEPS_FACTORS_MAX];
    int factors_too_many; /* so many parts were changed, more than can be told apart; else 0 */
    double tried_low[STEPS_FACTORS_MAX], tried_high[STEPS_FACTORS_MAX]; /* over the setups */
    int steps_setups[CHANNELS_MAX];                                     /* what it rests on */
    struct steps steps[CHANNELS_MAX];
};

/* Fills analysis->insight; the comparison and the holds' results are there. */
void insight_make(const struct session_record *record, struct analysis *analysis);

/* The setup (index) to go on from: the one with the lowest first channel that no other beats; -1 =
 * none. */
int insight_suggest_from(const struct session_record *record, const struct analysis *analysis);

/* The next setup worth trying: one step of one part (10 mm, 5 degrees) that is known to lower, from
 * a setup, not ridden yet, not more than a step beyond what was tried, inside a limit that was
 * entered for that part on that side (without one there is no suggestion; NULL = none are), and not
 * as low as a setup on which the rider could not see ahead or that numbed. A suggestion: comfort
 * and sight are not in it. */
enum suggestion_reason {
    SUGGESTION_MADE,
    SUGGESTION_TOO_LITTLE,
    SUGGESTION_COMPLAINT, /* of the setup it would go on from */
    SUGGESTION_NO_STEP,
    SUGGESTION_NO_LIMIT, /* for the part that would lower: nobody entered how far it may go */
};
struct insight_suggestion {
    enum steps_purpose purpose;
    enum suggestion_reason reason; /* why STEPS_NOTHING */
    enum complaint complaint;      /* of the setup it goes on from */
    enum bike_key part;
    double from, to;
    /* of the height on that setup, body channels, with the 95 % interval of its mean */
    struct steps_forecast forecast[CHANNELS_MAX];
};
void insight_suggest(const struct session_record *record, const struct analysis *analysis,
                     int setup, const struct bike_limits *limits,
                     struct insight_suggestion *suggestion);

#endif
