/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/slip.h"

#include "analysis/hold_use.h"
#include "measure/distribution.h"
#include "measure/rules.h"

#include <math.h>
#include <string.h>

int slip_build_before(const struct session_record *record, int build)
{
    for (int b = build - 1; b >= 0 && record->build[b].placing == record->build[build].placing;
         b--) {
        if (record->build[b].setup == record->build[build].setup) {
            return b;
        }
    }
    return -1;
}

enum answer slip_or_moved(const struct session_record *record, int build)
{
    for (int later = build; later < record->build_count; later++) {
        if (record->build[later].slipped == ANSWER_YES) {
            int before = slip_build_before(record, later);
            if (before >= 0 && before < build) {
                return ANSWER_YES;
            }
        }
    }
    return record->build[build].moved;
}

/* A channel's free holds that count, build by build. */
struct builds {
    int holds[BUILDS_MAX];
    double mean[BUILDS_MAX];
    struct spread within; /* of one hold about its build */
};

static bool counts(const struct session_record *record, const struct analysis *analysis, int hold,
                   int channel)
{
    return !record->hold[hold].guided &&
           hold_use_of_readings(record, analysis, hold, channel) == HOLD_USED;
}

static void builds_of(const struct session_record *record, const struct analysis *analysis,
                      int channel, struct builds *builds)
{
    double squares = 0.0;
    memset(builds, 0, sizeof *builds);
    for (int h = 0; h < record->hold_count; h++) {
        if (counts(record, analysis, h, channel)) {
            int b = record->hold[h].build;
            builds->mean[b] += analysis->hold[h].summary[channel].mean_mm;
            builds->holds[b]++;
        }
    }
    for (int b = 0; b < record->build_count; b++) {
        builds->mean[b] /= builds->holds[b] > 0 ? builds->holds[b] : 1;
        builds->within.df += builds->holds[b] > 0 ? builds->holds[b] - 1 : 0;
    }
    for (int h = 0; h < record->hold_count; h++) {
        if (counts(record, analysis, h, channel)) {
            double off =
                analysis->hold[h].summary[channel].mean_mm - builds->mean[record->hold[h].build];
            squares += off * off;
        }
    }
    builds->within.variance = builds->within.df > 0.0 ? squares / builds->within.df : 0.0;
    builds->within = spread_together(builds->within, learnt_spread(&record->settings, channel));
}

/* By how much the two disagree on a channel of which both are tied without a reading of the later;
 * NAN where that can't be said. */
static double apart_mm(const struct analysis *analysis, const struct builds *builds, int channel,
                       int earlier, int later)
{
    const struct tie *tie = &analysis->tie[later][channel];
    bool known = builds->holds[earlier] > 0 && builds->holds[later] > 0 && tie->kind != TIE_NONE &&
                 analysis->tie[earlier][channel].kind != TIE_NONE;
    return known && !tie_is_read(tie) ? builds->mean[later] - builds->mean[earlier] : (double)NAN;
}

static bool beyond_chance(const struct builds *builds, const struct slip *slip)
{
    double share = 1.0 / builds->holds[slip->earlier] + 1.0 / builds->holds[slip->later];
    double se = sqrt(builds->within.variance * share);
    return fabs(slip->apart_mm) > SLIP_LEAST_MM && builds->within.df > 0.0 && se > 0.0 &&
           t_two_sided_p(slip->apart_mm / se, builds->within.df) < SLIP_P;
}

/* beside: whether there was another channel to tell by. */
static bool alone(const struct analysis *analysis, const struct builds *of, int channel,
                  const struct slip *slip, bool *beside)
{
    *beside = false;
    for (int c = 0; c < analysis->channel_count; c++) {
        if (c == channel || !analysis->body[c] || of[c].holds[slip->earlier] == 0 ||
            of[c].holds[slip->later] == 0) {
            continue;
        }
        double other = of[c].mean[slip->later] - of[c].mean[slip->earlier];
        if (fabs(other) >= SLIP_OTHER_SHARE * fabs(slip->apart_mm)) {
            return false;
        }
        *beside = true;
    }
    return true;
}

static void find_on(const struct session_record *record, const struct builds *of, int channel,
                    struct analysis *analysis)
{
    for (int later = 1; later < record->build_count; later++) {
        int earlier = slip_build_before(record, later);
        if (earlier < 0 || record->build[later].slipped != 0) {
            continue;
        }
        struct slip slip = {true, earlier, later,
                            apart_mm(analysis, &of[channel], channel, earlier, later), false};
        if (!isnan(slip.apart_mm) && beyond_chance(&of[channel], &slip) &&
            alone(analysis, of, channel, &slip, &slip.beside)) {
            analysis->slip[channel] = slip;
            return;
        }
    }
}

void slip_find(const struct session_record *record, struct analysis *analysis)
{
    struct builds of[CHANNELS_MAX];
    memset(analysis->slip, 0, sizeof analysis->slip);
    for (int c = 0; c < analysis->channel_count; c++) {
        if (analysis->body[c]) {
            builds_of(record, analysis, c, &of[c]);
        }
    }
    for (int c = 0; c < analysis->channel_count; c++) {
        if (analysis->body[c]) {
            find_on(record, of, c, analysis);
        }
    }
}

int slip_unanswered(const struct session_record *record, const struct analysis *analysis)
{
    for (int c = 0; c < analysis->channel_count; c++) {
        if (analysis->slip[c].asked && analysis->slip[c].later < record->build_count) {
            return c;
        }
    }
    return -1;
}
