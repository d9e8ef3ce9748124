/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON of a long ride by its quarters. */
#include "report/json_parts.h"

static void quarter_object(struct json_writer *json, const struct ride_quarter *quarter)
{
    json_object_begin(json);
    json_member_number(json, "from_s", quarter->from_s);
    json_member_number(json, "to_s", quarter->to_s);
    json_member_number(json, "seen_s", quarter->seen_s);
    json_member_number(json, "up_s", quarter->up_s);
    json_member_number(json, "in_band_share", quarter->in_band_share);
    json_member_number(json, "offset_mm", quarter->off_mm);
    json_member_integer(json, "cues", quarter->cues);
    json_object_end(json);
}

static void ride_part_object(struct json_writer *json, const struct ride_part *channel)
{
    json_object_begin(json);
    json_member_string(json, "channel", channel->name);
    json_member_number(json, "kept_s", channel->kept_s);
    json_member_boolean(json, "kept_at_least", channel->at_least);
    json_member_number(json, "then_mm", channel->then_mm);
    if (json_object_member_if(json, "trend", channel->has_trend)) {
        json_member_number(json, "mm_per_h", channel->trend_mm_per_h);
        json_member_number(json, "low", channel->trend_low);
        json_member_number(json, "high", channel->trend_high);
        json_object_end(json);
    }
    json_array_member(json, "quarters");
    for (int q = 0; q < RIDE_QUARTERS; q++) {
        quarter_object(json, &channel->quarter[q]);
    }
    json_array_end(json);
    json_object_end(json);
}

void json_ride(struct json_writer *json, const struct ride_summary *ride)
{
    json_member_integer(json, "up_times", ride->up_times);
    json_member_number(json, "up_s", ride->up_s);
    json_member_number(json, "posture_share", ride->posture_share);
    json_array_member(json, "channels");
    for (int c = 0; c < ride->channel_count; c++) {
        ride_part_object(json, &ride->channel[c]);
    }
    json_array_end(json);
}
