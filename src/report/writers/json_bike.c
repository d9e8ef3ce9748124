/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON of who, which bike, where the sensors are, setups and builds. */
#include "base/clock.h"
#include "report/digest.h"
#include "report/json_parts.h"

#include <inttypes.h>
#include <math.h>

void json_member_uuid(struct json_writer *json, const char *name, const struct uuid *uuid)
{
    char text[UUID_TEXT_SIZE];
    uuid_text(text, uuid);
    json_member_string(json, name, text);
}

static void bike_values(struct json_writer *json, const char *name, const struct bike_values *bike,
                        enum bike_scope scope)
{
    json_object_member(json, name);
    for (int key = 0; key < BIKE_KEYS; key++) {
        if (bike_fields[key].scope == scope) {
            json_member_number(json, bike_fields[key].key, bike->value[key]);
        }
    }
    json_object_end(json);
}

static void rider_and_bike(struct json_writer *json, const struct report_input *input)
{
    const struct session_record *record = input->record;
    struct json_row rider = json_row(input, TABLE_SESSION_RIDER, 0);
    struct json_row bike = json_row(input, TABLE_SESSION_BIKE, 0);
    if (json_object_member_if(json, "rider", record->has_rider)) {
        json_columns(json, &rider, NULL);
        json_object_end(json);
    }
    if (json_object_member_if(json, "bike", record->has_bike)) {
        json_columns(json, &bike, NULL);
        bike_values(json, "frame", &record->bike.frame, BIKE_SCOPE_FRAME);
        json_object_end(json);
    }
}

static void limits(struct json_writer *json, const struct report_input *input)
{
    struct bike_limits entered = digest_limits(input);
    json_object_member(json, "limits");
    for (int i = 0; i < BIKE_LIMITS; i++) {
        if (isfinite(entered.least[i]) || isfinite(entered.most[i])) {
            json_object_member(json, bike_limit_key(i));
            json_member_number(json, "least", entered.least[i]);
            json_member_number(json, "most", entered.most[i]);
            json_member_string(json, "unit", bike_limit_unit(i));
            json_object_end(json);
        }
    }
    json_object_end(json);
}

static void torques(struct json_writer *json, const struct bike_torques *entered)
{
    json_object_member(json, "torques_nm");
    for (int i = 0; i < BIKE_BOLTS; i++) {
        if (isfinite(entered->nm[i])) {
            json_member_number(json, bike_bolt_key(i), entered->nm[i]);
        }
    }
    json_object_end(json);
}

static void learnt(struct json_writer *json, const struct report_input *input)
{
    struct session_header header;
    session_record_header(input->record, &header);
    json_member_string(json, "learnt_from",
                       word_of(&learnt_from_words, header.settings.learnt_from));
    json_object_member(json, "learnt");
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        if (input->analysis->body[channel]) {
            json_object_member(json, input->analysis->channel_name[channel]);
            struct json_row row = {input->record, TABLE_LEARNT, &header, channel, NULL};
            json_columns(json, &row, NULL);
            json_object_end(json);
        }
    }
    json_object_end(json);
}

static void settings(struct json_writer *json, const struct report_input *input)
{
    const struct comparison_settings *set = &input->record->settings;
    json_object_member(json, "settings");
    json_object_member(json, "matters_mm");
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        if (input->analysis->body[channel]) {
            json_member_number(json, input->analysis->channel_name[channel],
                               set->matters_mm[channel]);
        }
    }
    json_object_end(json);
    learnt(json, input);
    json_member_integer(json, "baseline_setup", set->baseline_setup);
    json_member_number(json, "chosen_setup",
                       set->chosen_setup > 0 ? set->chosen_setup : (double)NAN);
    json_member_string(json, "found_by", set->found_by);
    json_member_number(json, "trunk_slope_deg", set->trunk_slope_deg);
    limits(json, input);
    torques(json, &input->record->torques);
    json_object_end(json);
}

void json_session(struct json_writer *json, const struct report_input *input)
{
    const struct session_record *record = input->record;
    char started[CLOCK_TEXT_SIZE], seed[24];
    clock_wall_text(started, record->started_ms);
    snprintf(seed, sizeof seed, "%" PRIu64,
             record->seed); /* a text: 64 bits are too many for some readers */
    json_object_member(json, "session");
    json_member_uuid(json, "uuid", &record->uuid);
    json_member_string(json, "started", started);
    json_member_string(json, "seed", seed);
    json_member_string(json, "recorded_by", record->version);
    json_member_boolean(json, "ended", record->ended);
    json_member_integer(json, "samples", record->last_sample);
    json_member_number(json, "length_s", (double)record->last_time_us / 1e6);
    json_object_end(json);
    rider_and_bike(json, input);
    settings(json, input);
}

static void channel_object(struct json_writer *json, const struct json_row *row, bool mounted)
{
    json_object_begin(json);
    json_columns(json, row, "name role aimed_at=mark");
    if (json_object_member_if(json, "mount", mounted)) {
        json_columns(json, row, "carrier x_mm y_mm tilt_deg looks");
        json_object_end(json);
    }
    json_columns(json, row, "gain offset_mm");
    json_object_end(json);
}

void json_placings(struct json_writer *json, const struct report_input *input)
{
    json_array_member(json, "placings");
    for (int i = 0; i < input->record->placing_count; i++) {
        const struct placing_record *placing = &input->record->placing[i];
        struct json_row row = json_row(input, TABLE_PLACING, i);
        json_object_begin(json);
        json_member_place(json, "number", i);
        json_columns(json, &row, "uuid first_sample rig=rig_id");
        json_member_if(json, "announced_rate_hz", placing->announced_rate_hz > 0,
                       placing->announced_rate_hz);
        json_array_member(json, "channels");
        row.table = TABLE_CHANNEL;
        for (row.index = 0; row.index < placing->channel_count; row.index++) {
            channel_object(json, &row, placing->channel[row.index].mounted);
        }
        json_array_end(json);
        json_object_end(json);
    }
    json_array_end(json);
}

static void point(struct json_writer *json, const char *name, bool there, const struct point *at)
{
    if (json_object_member_if(json, name, there)) {
        json_member_number(json, "x_mm", at->x_mm);
        json_member_number(json, "y_mm", at->y_mm);
        json_object_end(json);
    }
}

void json_setups(struct json_writer *json, const struct report_input *input)
{
    json_array_member(json, "setups");
    for (int i = 0; i < input->record->setup_count; i++) {
        const struct setup_record *setup = &input->record->setup[i];
        struct json_row row = json_row(input, TABLE_SETUP, i);
        struct bike_points points;
        struct problem missing = {PROBLEM_NONE, ""};
        char passed[1024];
        bool known = bike_forward(&setup->bike, &points, &missing);
        json_object_begin(json);
        json_columns(json, &row, "number uuid intent");
        bike_values(json, "parts", &setup->bike, BIKE_SCOPE_PART);
        point(json, "bar_clamp", known, &points.clamp);
        point(json, "pad", known && points.has_pad, &points.pad);
        point(json, "extension_tip", known && points.has_extension, &points.extension_tip);
        json_member_boolean(json, "failed", setup_sight_failed(input->record, i));
        json_member_boolean(json, "chosen", i == digest_chosen(input));
        digest_limits_passed(input, i, passed, sizeof passed);
        json_member_string(json, "limits_passed", passed[0] != '\0' ? passed : NULL);
        json_object_end(json);
    }
    json_array_end(json);
}

static void tie_object(struct json_writer *json, const char *channel, const struct tie *tie)
{
    bool tied = tie->kind != TIE_NONE;
    char reason[SAY_SIZE];
    json_object_begin(json);
    json_member_string(json, "channel", channel);
    json_member_string(json, "kind", say_tie_kind(tie->kind));
    json_member_boolean(json, "tied", tied);
    json_member_boolean(json, "absolute", tied && tie->absolute);
    json_member_if(json, "sensor_height_mm", tied, tie->sensor_height_mm);
    json_member_if(json, "tilt_deg", tied, tie->tilt_deg);
    json_member_if(json, "shift_mm", tied, tie->shift_mm);
    json_member_if(json, "shift_x_mm", tied, tie->shift_x_mm);
    json_member_if(json, "shift_tilt_deg", tied, tie->shift_tilt_deg);
    json_member_if(json, "u_common_mm", tied, tie->u_common_mm);
    json_member_if(json, "u_build_mm", tied, tie->u_build_mm);
    json_member_integer(json, "position_group", tie->position_group);
    json_member_if(json, "computed_shift_mm", tie->has_computed, tie->computed_shift_mm);
    json_member_if(json, "measured_shift_mm", tie->has_measured, tie->measured_shift_mm);
    json_member_if(json, "ends_apart_mm", tied && !isnan(tie->ends_apart_mm), tie->ends_apart_mm);
    json_member_boolean(json, "alarm", tie->alarm);
    say_tie_finding(reason, sizeof reason, tie, channel);
    json_member_string(json, "reason", reason);
    json_object_end(json);
}

void json_builds(struct json_writer *json, const struct report_input *input)
{
    const struct session_record *record = input->record;
    json_array_member(json, "builds");
    for (int i = 0; i < record->build_count; i++) {
        const struct placing_record *placing = digest_placing(input, i);
        struct json_row row = json_row(input, TABLE_BUILD, i);
        json_object_begin(json);
        json_member_place(json, "number", i);
        json_columns(json, &row, "uuid setup ordinal placing first_sample");
        json_array_member(json, "ties");
        for (int channel = 0; placing != NULL && channel < placing->channel_count; channel++) {
            if (placing->channel[channel].role == ROLE_BODY) {
                tie_object(json, placing->channel[channel].name, &input->analysis->tie[i][channel]);
            }
        }
        json_array_end(json);
        json_object_end(json);
    }
    json_array_end(json);
}
