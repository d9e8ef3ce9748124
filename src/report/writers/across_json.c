/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Several sessions of one rider, as JSON. */
#include "report/across.h"

#include "base/clock.h"
#include "report/json_parts.h"

#include <math.h>

static void session_object(struct json_writer *json, const struct across *across, int s)
{
    const struct across_session *session = &across->session[s];
    char started[CLOCK_TEXT_SIZE];
    clock_wall_text(started, session->record->started_ms);
    json_object_begin(json);
    json_member_integer(json, "session", session->id);
    json_member_uuid(json, "uuid", &session->record->uuid);
    json_member_string(json, "started", started);
    json_member_string(json, "bike", session->record->bike.name);
    json_array_member(json, "channels");
    for (int c = 0; c < across->channel_count; c++) {
        const struct across_channel *channel = &across->channel[c];
        bool tied = isfinite(channel->u_session_mm[s]);
        json_object_begin(json);
        json_member_string(json, "channel", channel->name);
        json_member_boolean(json, "tied", tied);
        json_member_if(json, "sensor_u_mm", tied, channel->u_session_mm[s]);
        json_member_string(json, "reason", channel->reason[s]);
        json_object_end(json);
    }
    json_array_end(json);
    json_object_end(json);
}

static void setup_object(struct json_writer *json, const struct across *across, int i)
{
    const struct across_setup *setup = &across->setup[i];
    json_object_begin(json);
    json_member_integer(json, "setup", i + 1);
    json_member_string(json, "intent",
                       across->session[setup->session].record->setup[setup->setup].intent);
    json_array_member(json, "in");
    for (int s = 0; s < across->session_count; s++) {
        if (setup->number_in[s] > 0) {
            json_object_begin(json);
            json_member_integer(json, "session", across->session[s].id);
            json_member_integer(json, "setup", setup->number_in[s]);
            json_member_integer(json, "free_holds", setup->holds_in[s]);
            json_object_end(json);
        }
    }
    json_array_end(json);
    json_object_end(json);
}

bool report_across_json(FILE *stream, const struct across *across, struct problem *problem)
{
    struct json_writer writer, *json = &writer;
    int numbers[COMPARE_SETUPS_MAX];
    json_begin(json, stream, true);
    json_object_begin(json);
    json_member_string(json, "format", "holdline-across");
    json_member_integer(json, "format_version", 1);
    json_member_string(json, "rider_code", across->session[0].record->rider.code);
    json_array_member(json, "sessions");
    for (int s = 0; s < across->session_count; s++) {
        session_object(json, across, s);
    }
    json_array_end(json);
    json_array_member(json, "setups");
    for (int i = 0; i < across->setup_count; i++) {
        numbers[i] = i + 1;
        setup_object(json, across, i);
    }
    json_array_end(json);
    json_member_integer(json, "baseline_setup", across->baseline + 1);
    json_array_member(json, "free_heights");
    for (int c = 0; c < across->channel_count; c++) {
        json_compared(json, across->channel[c].name, &across->channel[c].heights, numbers,
                      across->setup_count);
    }
    json_array_end(json);
    json_object_end(json);
    fputc('\n', stream);
    return !ferror(stream) || problem_set(problem, "the JSON could not be written");
}
