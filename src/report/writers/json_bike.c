/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON of who, which bike, where the sensors are, setups and builds. */
#include "base/clock.h"
#include "report/digest.h"
#include "report/json_parts.h"
#include "report/sheet.h"

#include <inttypes.h>
#include <math.h>

void json_member_uuid(struct json_writer *json, const char *name, const struct uuid *uuid)
{
    char text[UUID_TEXT_SIZE];
    uuid_text(text, uuid);
    json_member_string(json, name, text);
}

void json_member_place(struct json_writer *json, const char *name, int index)
{
    json_name(json, name);
    if (index < 0) {
        json_null(json);
    } else {
        json_integer(json, index + 1);
    }
}

void json_member_if(struct json_writer *json, const char *name, bool there, double value)
{
    json_member_number(json, name, there ? value : (double)NAN);
}

void json_object_member(struct json_writer *json, const char *name)
{
    json_name(json, name);
    json_object_begin(json);
}

void json_array_member(struct json_writer *json, const char *name)
{
    json_name(json, name);
    json_array_begin(json);
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

static void rider_and_bike(struct json_writer *json, const struct session_record *record)
{
    json_name(json, "rider");
    if (record->has_rider) {
        json_object_begin(json);
        json_member_uuid(json, "uuid", &record->rider.uuid);
        json_member_string(json, "code", record->rider.code);
        json_member_string(json, "name", record->rider.name);
        json_member_string(json, "watch_for", record->rider.watch_for);
        json_object_end(json);
    } else {
        json_null(json);
    }
    json_name(json, "bike");
    if (record->has_bike) {
        json_object_begin(json);
        json_member_uuid(json, "uuid", &record->bike.uuid);
        json_member_string(json, "name", record->bike.name);
        bike_values(json, "frame", &record->bike.frame, BIKE_SCOPE_FRAME);
        json_object_end(json);
    } else {
        json_null(json);
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
    json_member_integer(json, "baseline_setup", set->baseline_setup);
    json_member_number(json, "chosen_setup",
                       set->chosen_setup > 0 ? set->chosen_setup : (double)NAN);
    json_member_number(json, "trunk_slope_deg", set->trunk_slope_deg);
    limits(json, input);
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
    rider_and_bike(json, record);
    settings(json, input);
}

static void channel_object(struct json_writer *json, const struct channel_record *channel)
{
    json_object_begin(json);
    json_member_string(json, "name", channel->name);
    json_member_string(json, "role", word_of(&channel_role_words, channel->role));
    json_member_string(json, "aimed_at", channel->mark);
    json_name(json, "mount");
    if (channel->mounted) {
        json_object_begin(json);
        json_member_string(json, "carrier", word_of(&carrier_keys, channel->mount.carrier));
        json_member_number(json, "x_mm", channel->mount.x_mm);
        json_member_number(json, "y_mm", channel->mount.y_mm);
        json_member_number(json, "tilt_deg", channel->mount.tilt_deg);
        json_member_string(json, "looks", look_word(channel->mount.direction));
        json_object_end(json);
    } else {
        json_null(json);
    }
    json_member_number(json, "gain", channel->gain);
    json_member_number(json, "offset_mm", channel->offset_mm);
    json_object_end(json);
}

void json_placings(struct json_writer *json, const struct report_input *input)
{
    json_array_member(json, "placings");
    for (int i = 0; i < input->record->placing_count; i++) {
        const struct placing_record *placing = &input->record->placing[i];
        json_object_begin(json);
        json_member_place(json, "number", i);
        json_member_uuid(json, "uuid", &placing->uuid);
        json_member_integer(json, "first_sample", placing->first_sample);
        json_member_string(json, "rig", placing->rig_id);
        json_member_if(json, "announced_rate_hz", placing->announced_rate_hz > 0,
                       placing->announced_rate_hz);
        json_array_member(json, "channels");
        for (int channel = 0; channel < placing->channel_count; channel++) {
            channel_object(json, &placing->channel[channel]);
        }
        json_array_end(json);
        json_object_end(json);
    }
    json_array_end(json);
}

static void point(struct json_writer *json, const char *name, bool there, const struct point *at)
{
    json_name(json, name);
    if (there) {
        json_object_begin(json);
        json_member_number(json, "x_mm", at->x_mm);
        json_member_number(json, "y_mm", at->y_mm);
        json_object_end(json);
    } else {
        json_null(json);
    }
}

void json_setups(struct json_writer *json, const struct report_input *input)
{
    json_array_member(json, "setups");
    for (int i = 0; i < input->record->setup_count; i++) {
        const struct setup_record *setup = &input->record->setup[i];
        struct bike_points points;
        struct problem missing = {PROBLEM_NONE, ""};
        char passed[1024];
        bool known = bike_forward(&setup->bike, &points, &missing);
        json_object_begin(json);
        json_member_integer(json, "number", setup->number);
        json_member_uuid(json, "uuid", &setup->uuid);
        json_member_string(json, "intent", setup->intent);
        bike_values(json, "parts", &setup->bike, BIKE_SCOPE_PART);
        point(json, "bar_clamp", known, &points.clamp);
        point(json, "pad", known && points.has_pad, &points.pad);
        point(json, "extension_tip", known && points.has_extension, &points.extension_tip);
        json_member_boolean(json, "failed", insight_sight_failed(input->record, i));
        json_member_boolean(json, "chosen", i == sheet_chosen(input));
        digest_limits_passed(input, i, passed, sizeof passed);
        json_member_string(json, "limits_passed", passed[0] != '\0' ? passed : NULL);
        json_object_end(json);
    }
    json_array_end(json);
}

static void tie_object(struct json_writer *json, const char *channel, const struct tie *tie)
{
    bool tied = tie->kind != TIE_NONE;
    json_object_begin(json);
    json_member_string(json, "channel", channel);
    json_member_string(json, "kind", tie_kind_words(tie->kind));
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
    json_member_boolean(json, "alarm", tie->alarm);
    json_member_string(json, "reason", tie->reason);
    json_object_end(json);
}

void json_builds(struct json_writer *json, const struct report_input *input)
{
    const struct session_record *record = input->record;
    json_array_member(json, "builds");
    for (int i = 0; i < record->build_count; i++) {
        const struct build_record *build = &record->build[i];
        const struct placing_record *placing = digest_placing(input, i);
        json_object_begin(json);
        json_member_place(json, "number", i);
        json_member_uuid(json, "uuid", &build->uuid);
        json_member_integer(json, "setup", record->setup[build->setup].number);
        json_member_integer(json, "ordinal", build->ordinal);
        json_member_place(json, "placing", build->placing);
        json_member_integer(json, "first_sample", build->first_sample);
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

void json_tie_readings(struct json_writer *json, const struct report_input *input)
{
    json_array_member(json, "tie_readings");
    for (int i = 0; i < input->record->tie_reading_count; i++) {
        const struct tie_reading_record *reading = &input->record->tie_reading[i];
        const struct placing_record *placing = digest_placing(input, reading->build);
        json_object_begin(json);
        json_member_uuid(json, "uuid", &reading->uuid);
        json_member_string(json, "kind", word_of(&tie_reading_words, reading->kind));
        json_member_place(json, "build", reading->build);
        json_member_string(json, "channel",
                           placing != NULL && reading->channel >= 0
                               ? placing->channel[reading->channel].name
                               : NULL);
        json_member_number(json, "value_mm", reading->value_mm);
        json_member_number(json, "plate_height_mm", reading->plate_height_mm);
        json_member_integer(json, "at_sample", reading->at_sample);
        json_object_end(json);
    }
    json_array_end(json);
}
