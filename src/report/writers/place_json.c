/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "report/json_parts.h"
#include "report/place.h"

#include <math.h>

/* The JSON of 'holdline place --json'. What is not known is null. */

static void values(struct json_writer *json, const char *name, const struct bike_values *bike)
{
    json_object_member(json, name);
    for (int key = 0; key < BIKE_KEYS; key++) {
        json_member_number(json, bike_fields[key].key, bike->value[key]);
    }
    json_object_end(json);
}

static void point(struct json_writer *json, const char *name, bool there, struct point at,
                  const struct point *u)
{
    if (!json_object_member_if(json, name, there)) {
        return;
    }
    json_member_rounded(json, "x_mm", at.x_mm, 2);
    json_member_rounded(json, "y_mm", at.y_mm, 2);
    if (u) {
        json_member_rounded(json, "u_x_mm", u->x_mm, 2);
        json_member_rounded(json, "u_y_mm", u->y_mm, 2);
    }
    json_object_end(json);
}

static void points(struct json_writer *json, const char *name, const struct bike_values *bike)
{
    struct bike_points at;
    struct points_uncertainty u = {.clamp = {0}};
    bool there = bike_forward(bike, &at, NULL) && bike_uncertainty(bike, NULL, &u, NULL);
    if (!json_object_member_if(json, name, there)) {
        return;
    }
    point(json, "bar_clamp", true, at.clamp, &u.clamp);
    point(json, "pads", at.has_pad, at.pad, &u.pad);
    point(json, "extension_tip", at.has_extension, at.extension_tip, &u.extension_tip);
    point(json, "saddle", at.has_saddle, at.saddle, &u.saddle);
    json_object_end(json);
}

static void wrench(struct json_writer *json, const char *name, const struct bike_values *from,
                   const struct bike_values *to)
{
    struct wrench_list list;
    wrench_list_make(from, to, &list);
    json_object_member(json, name);
    json_array_member(json, "steps");
    for (int i = 0; i < list.count; i++) {
        json_object_begin(json);
        json_member_string(json, "measure", bike_fields[list.step[i].key].key);
        json_member_number(json, "from", list.step[i].from);
        json_member_number(json, "to", list.step[i].to);
        json_member_string(json, "text", list.step[i].text);
        json_object_end(json);
    }
    json_array_end(json);
    point(json, "bar_clamp_move", list.has_moves, list.clamp_move, NULL);
    point(json, "pads_move", list.has_pad_move, list.pad_move, NULL);
    json_object_end(json);
}

static void sensors(struct json_writer *json, const struct place_report *report)
{
    json_array_member(json, "sensors");
    for (int i = 0; report->before_name && i < report->sensor_count; i++) {
        const struct side_sensor *sensor = &report->sensors[i];
        struct sensor_shift shift;
        char text[512];
        bool known = sensor_shift_make(report->before, report->bike, &sensor->mount, &shift, NULL);
        json_object_begin(json);
        json_member_string(json, "name", sensor->name);
        json_member_string(json, "carrier", word_of(&carrier_keys, sensor->mount.carrier));
        json_member_boolean(json, "moves", shift.moved);
        json_member_if(json, "shift_x_mm", known, shift.x_mm);
        json_member_if(json, "shift_mm", known, shift.y_mm);
        json_member_if(json, "shift_u_mm", known, shift.u_mm);
        json_member_number(json, "shift_tilt_deg", shift.tilt_deg);
        sensor_move_text(text, sizeof text, sensor->name, &sensor->mount, report->before,
                         report->bike);
        json_member_string(json, "text", text);
        json_object_end(json);
    }
    json_array_end(json);
}

static void limits_passed(struct json_writer *json, const struct place_report *report)
{
    char text[1024];
    int passed = bike_limits_passed(report->limits, report->bike, text, sizeof text);
    json_member_integer(json, "limits_entered", bike_limits_entered(report->limits));
    json_member_string(json, "limits_passed", passed > 0 ? text : NULL);
}

static void searched(struct json_writer *json, const struct place_report *report)
{
    const struct place_search *search = report->search;
    if (!json_object_member_if(json, "search", search != NULL)) {
        return;
    }
    point(json, "target", true, report->goal->target, NULL);
    json_member_string(json, "target_of", report->target_name);
    json_member_string(json, "carried_over_note",
                       report->carry_note && report->carry_note[0] ? report->carry_note : NULL);
    json_member_number(json, "combinations", search->tried);
    json_member_number(json, "left_out_by_limits", search->left_out);
    json_array_member(json, "proposals");
    for (int i = 0; i < search->count; i++) {
        const struct place_proposal *proposal = &search->proposal[i];
        json_object_begin(json);
        json_member_rounded(json, "error_mm", proposal->error_mm, 2);
        json_member_rounded(json, "error_x_mm", proposal->error_x_mm, 2);
        json_member_rounded(json, "error_y_mm", proposal->error_y_mm, 2);
        json_member_integer(json, "changed_parts", proposal->changed_parts);
        values(json, "bike", &proposal->bike);
        points(json, "points", &proposal->bike);
        wrench(json, "what_to_turn", report->bike, &proposal->bike);
        json_object_end(json);
    }
    json_array_end(json);
    json_object_end(json);
}

bool place_json(FILE *stream, const struct place_report *report, struct problem *problem)
{
    struct json_writer json;
    struct bike_points at;
    if (!report->search && !bike_forward(report->bike, &at, problem)) {
        return false;
    }
    json_document_begin(&json, stream, true, "holdline-place", 1);
    json_member_string(&json, "name", report->name);
    values(&json, "bike", report->bike);
    points(&json, "points", report->bike);
    limits_passed(&json, report);
    json_member_string(&json, "from", report->before_name);
    if (report->before_name != NULL) {
        wrench(&json, "what_to_turn", report->before, report->bike);
    } else {
        json_object_member_if(&json, "what_to_turn", false);
    }
    sensors(&json, report);
    searched(&json, report);
    json_member_string(&json, "cautions", wrench_cautions);
    json_object_end(&json);
    return !ferror(stream) || problem_set(problem, "the output could not be written");
}
