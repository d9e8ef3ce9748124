/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Several sessions of one rider, as JSON. */
#include "report/across.h"

#include "analysis/visits.h"
#include "base/clock.h"
#include "report/json_parts.h"
#include "say/say.h"
#include "say/visits.h"

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
    int chosen = visit_chosen(across, s);
    if (chosen >= 0) {
        json_member_integer(json, "chosen_setup", chosen + 1);
    } else {
        json_member_if(json, "chosen_setup", false, 0);
    }
    json_array_member(json, "channels");
    for (int c = 0; c < across->channel_count; c++) {
        const struct across_channel *channel = &across->channel[c];
        bool tied = isfinite(channel->u_session_mm[s]);
        char reason[SAY_SIZE];
        say_apart(reason, sizeof reason, channel, s);
        json_object_begin(json);
        json_member_string(json, "channel", channel->name);
        json_member_boolean(json, "tied", tied);
        json_member_if(json, "sensor_u_mm", tied, channel->u_session_mm[s]);
        json_member_string(json, "reason", reason);
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

/* Each setup's height on each visit. */
static void visit_objects(struct json_writer *json, const struct across *across)
{
    json_array_member(json, "visits");
    for (int s = 0; s < across->session_count; s++) {
        for (int i = 0; i < across->setup_count; i++) {
            for (int c = 0; c < across->channel_count; c++) {
                struct visit_height height = visit_height(across, s, i, c);
                if (!height.measured) {
                    continue;
                }
                json_object_begin(json);
                json_member_integer(json, "session", across->session[s].id);
                json_member_integer(json, "setup", i + 1);
                json_member_string(json, "channel", across->channel[c].name);
                json_member_boolean(json, "tied", height.tied);
                json_member_if(json, "height_mm", isfinite(height.mean_mm), height.mean_mm);
                json_member_if(json, "half_width_mm", isfinite(height.half_width_mm),
                               height.half_width_mm);
                json_object_end(json);
            }
        }
    }
    json_array_end(json);
}

/* How much a setup differed from one visit to the next on which it was held. */
static void day_objects(struct json_writer *json, const struct across *across)
{
    json_array_member(json, "day_to_day");
    for (int i = 0; i < across->setup_count; i++) {
        for (int s = 0; s < across->session_count; s++) {
            int next = across->setup[i].number_in[s] > 0 ? visit_next(across, s, i) : -1;
            for (int c = 0; next >= 0 && c < across->channel_count; c++) {
                struct visit_change change = visit_change(across, i, c, s, next);
                if (!change.known) {
                    continue;
                }
                json_object_begin(json);
                json_member_integer(json, "setup", i + 1);
                json_member_string(json, "channel", across->channel[c].name);
                json_member_integer(json, "from_session", across->session[s].id);
                json_member_integer(json, "to_session", across->session[next].id);
                json_member_if(json, "change_mm", true, change.change_mm);
                json_member_if(json, "half_width_mm", true, change.half_width_mm);
                json_object_end(json);
            }
        }
    }
    json_array_end(json);
}

bool report_across_json(FILE *stream, const struct across *across, struct problem *problem)
{
    struct json_writer writer, *json = &writer;
    int numbers[COMPARE_SETUPS_MAX];
    json_document_begin(json, stream, true, "holdline-across", 1);
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
    if (across->baseline >= 0) {
        json_member_integer(json, "baseline_setup", across->baseline + 1);
    } else { /* of visits without a free hold */
        json_member_if(json, "baseline_setup", false, 0);
    }
    json_array_member(json, "free_heights");
    for (int c = 0; c < across->channel_count; c++) {
        json_compared(json, across->channel[c].name, &across->channel[c].heights, numbers,
                      across->setup_count);
    }
    json_array_end(json);
    visit_objects(json, across);
    day_objects(json, across);
    json_object_end(json);
    return !ferror(stream) || problem_set(problem, "the JSON could not be written");
}
