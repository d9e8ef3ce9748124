/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/ride_summary.h"

#include "analysis/hold_use.h"

#include <math.h>
#include <string.h>

static void fill_channel(const struct hold_result *result, int c, bool beside_target,
                         struct ride_part *channel)
{
    const struct hold_summary *summary = &result->summary[c];
    const struct minutes_course *course = &result->course[c];
    double target_mm = beside_target ? summary->mean_mm - summary->offset_mm : (double)NAN;
    for (int q = 0; q < RIDE_QUARTERS; q++) {
        const struct minute_row *row = &course->quarter[q];
        channel->quarter[q] =
            (struct ride_quarter){.from_s = row->from_s,
                                  .to_s = row->to_s,
                                  .seen_s = row->seen_s,
                                  .up_s = row->up_s,
                                  .in_band_share = beside_target ? row->in_band_share : (double)NAN,
                                  .off_mm = row->mean_mm - target_mm,
                                  .cues = row->cues};
    }
    channel->kept_s = summary->has_band && beside_target ? summary->sustain_s : (double)NAN;
    channel->at_least = !summary->sustain_reached;
    channel->then_mm = course->after_mm - target_mm;
    channel->has_trend = course->has_trend;
    channel->trend_mm_per_h = course->trend_mm_per_h;
    channel->trend_low = course->trend_low;
    channel->trend_high = course->trend_high;
}

bool ride_summary_of(const struct session_record *record, const struct analysis *analysis, int hold,
                     struct ride_summary *summary)
{
    const struct hold_result *result = &analysis->hold[hold];
    memset(summary, 0, sizeof *summary);
    if (record->hold[hold].purpose != PURPOSE_RIDE || record->hold[hold].status == HOLD_RUNNING) {
        return false;
    }
    summary->hold = record->hold[hold].number;
    summary->length_s = result->duration_s;
    summary->up_s = result->sat_up_s;
    summary->up_times = result->sat_up_times;
    summary->posture_share = result->posture_share;
    for (int c = 0; c < analysis->channel_count; c++) {
        bool there = analysis->body[c] && result->has[c] &&
                     result->summary[c].status == MEASURE_OK &&
                     result->course[c].quarter[0].to_s > 0.0;
        if (there) {
            struct ride_part *channel = &summary->channel[summary->channel_count++];
            memcpy(channel->name, analysis->channel_name[c], sizeof channel->name);
            fill_channel(result, c, hold_is_beside_target(record, analysis, hold, c), channel);
        }
    }
    return summary->channel_count > 0;
}
