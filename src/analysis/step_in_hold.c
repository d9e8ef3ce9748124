/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/step_in_hold.h"

#include "analysis_inside.h"
#include "measure/rules.h"

#include <math.h>
#include <string.h>

bool analysis_stepped_along(bool known, double other_mm, double step_mm)
{
    return !known || STEP_ALONE * fabs(other_mm) >= fabs(step_mm);
}

static bool stepped_alone(const struct session_record *record, const struct analysis *analysis,
                          int hold, int channel)
{
    const struct hold_record *held = &record->hold[hold];
    const struct hold_result *result = &analysis->hold[hold];
    return held->status != HOLD_RUNNING && !held->rejected && result->has[channel] &&
           result->summary[channel].stepped && result->step_alone[channel];
}

bool step_was_before(const struct session_record *record, const struct analysis *analysis, int hold,
                     int channel)
{
    for (int h = 0; h < hold; h++) {
        if (record->hold[h].build == record->hold[hold].build &&
            stepped_alone(record, analysis, h, channel)) {
            return true;
        }
    }
    return false;
}

/* What it did to later builds is known, or nobody's concern. */
static bool is_settled_after(const struct session_record *record, const struct analysis *analysis,
                             int build, int channel)
{
    int next = build + 1;
    return next < record->build_count &&
           (record->build[next].placing != record->build[build].placing ||
            record->build[next].moved == ANSWER_YES || tie_is_read(&analysis->tie[next][channel]));
}

void step_find_open(const struct session_record *record, struct analysis *analysis)
{
    memset(analysis->step_open, 0, sizeof analysis->step_open);
    for (int c = 0; c < analysis->channel_count; c++) {
        for (int h = record->hold_count - 1; h >= 0 && analysis->body[c]; h--) {
            if (stepped_alone(record, analysis, h, c) &&
                !is_settled_after(record, analysis, record->hold[h].build, c)) {
                analysis->step_open[c] = record->hold[h].number;
            }
        }
    }
}
