/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/hold_use.h"

#include "analysis/step_in_hold.h"

#include <math.h>

/* A free hold's rider was not seen to sit up since one before it on the build that has a say: the
 * two are one hold. Where that one has none, this one stands for both. */
static bool sits_on(const struct session_record *record, const struct analysis *analysis, int hold,
                    int channel)
{
    const struct hold_record *held = &record->hold[hold];
    if (held->guided || held->resit != RESIT_NOT_SEEN) {
        return false;
    }
    for (int h = hold - 1; h >= 0; h--) {
        const struct hold_record *before = &record->hold[h];
        if (before->build != held->build || before->guided || before->purpose != held->purpose) {
            continue;
        }
        enum hold_use use = hold_use_of_readings(record, analysis, h, channel);
        if (use == HOLD_USED || use == HOLD_UNUSED_SAME_SIT) {
            return true;
        }
        if (before->resit != RESIT_NOT_SEEN) {
            return false;
        }
    }
    return false;
}

enum hold_use hold_use_of_readings(const struct session_record *record,
                                   const struct analysis *analysis, int hold, int channel)
{
    const struct hold_record *held = &record->hold[hold];
    const struct hold_result *result = &analysis->hold[hold];
    const struct hold_summary *summary = &result->summary[channel];
    if (held->status == HOLD_RUNNING) {
        return HOLD_UNUSED_RUNNING;
    }
    if (held->rejected) {
        return HOLD_UNUSED_LEFT_OUT;
    }
    if (held->kept_afterwards) {
        return HOLD_UNUSED_KEPT_AFTERWARDS;
    }
    if (!analysis->body[channel]) {
        return HOLD_UNUSED_NOT_OF_THE_BODY;
    }
    if (!result->has[channel] || summary->status != MEASURE_OK) {
        return HOLD_UNUSED_NO_NUMBERS;
    }
    if (!summary->has_interval) {
        return HOLD_UNUSED_TOO_LITTLE;
    }
    if (held->guided && !summary->has_band) {
        return HOLD_UNUSED_NO_BAND;
    }
    if (summary->stepped && (!held->guided || result->step_alone[channel])) {
        return HOLD_UNUSED_STEP;
    }
    if (step_was_before(record, analysis, hold, channel)) {
        return HOLD_UNUSED_AFTER_STEP;
    }
    return sits_on(record, analysis, hold, channel) ? HOLD_UNUSED_SAME_SIT : HOLD_USED;
}

bool hold_is_beside_target(const struct session_record *record, const struct analysis *analysis,
                           int hold, int channel)
{
    const struct hold_record *held = &record->hold[hold];
    const struct tie *tie = &analysis->tie[held->build][channel];
    return held->target >= 0 &&
           analysis_target_is_beside(record, analysis, held->target, held->build, channel) &&
           (record->target[held->target].capture >= 0 || tie_is_over_bottom_bracket(tie));
}

bool analysis_is_withheld(const struct analysis *analysis, int channel)
{
    return analysis->slip[channel].asked || analysis->step_open[channel] > 0;
}

enum hold_use hold_use_of(const struct session_record *record, const struct analysis *analysis,
                          int hold, int channel)
{
    const struct hold_record *held = &record->hold[hold];
    enum hold_use use = hold_use_of_readings(record, analysis, hold, channel);
    if (use != HOLD_USED || held->guided) {
        return use;
    }
    if (analysis->tie[held->build][channel].kind == TIE_NONE) {
        return HOLD_UNUSED_NOT_TIED;
    }
    return analysis_is_withheld(analysis, channel) ? HOLD_UNUSED_SLIP : HOLD_USED;
}

bool hold_is_same_sit(const struct session_record *record, const struct analysis *analysis,
                      int hold)
{
    bool same = false;
    for (int c = 0; c < analysis->channel_count; c++) {
        enum hold_use use = hold_use_of_readings(record, analysis, hold, c);
        if (use == HOLD_USED) {
            return false;
        }
        same = same || use == HOLD_UNUSED_SAME_SIT;
    }
    return same;
}

double hold_worst_share(const struct analysis *analysis, int hold, bool *lost)
{
    const struct hold_result *result = &analysis->hold[hold];
    double worst = NAN;
    *lost = false;
    for (int c = 0; c < analysis->channel_count; c++) {
        const struct hold_summary *summary = &result->summary[c];
        if (analysis->body[c] && result->has[c] && summary->has_band) {
            worst = fmin(worst, summary->in_band_share); /* of NAN and a number the number */
            *lost = *lost || summary->sustain_reached;
        }
    }
    return worst;
}
