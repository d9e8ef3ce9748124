/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/side_view.h"

#include "base/angle.h"

#include <math.h>

/* Lengths of what is drawn without being measured. */
#define HEAD_TUBE_MM 120.0
#define PAD_MM 100.0
#define SADDLE_MM 260.0
#define BEAM_MM 200.0

const char *side_part_key(enum side_part part)
{
    static const char *const keys[SIDE_PARTS] = {"frame",     "spacers", "stem",  "pads",
                                                 "extension", "saddle",  "crank", "beam"};
    return keys[part];
}

static void reach_to(struct side_view *view, struct point at)
{
    view->low.x_mm = fmin(view->low.x_mm, at.x_mm);
    view->low.y_mm = fmin(view->low.y_mm, at.y_mm);
    view->high.x_mm = fmax(view->high.x_mm, at.x_mm);
    view->high.y_mm = fmax(view->high.y_mm, at.y_mm);
}

static void stroke(struct side_view *view, enum side_part part, struct point from, struct point to)
{
    if (view->stroke_count < SIDE_STROKES_MAX) {
        view->stroke[view->stroke_count++] = (struct side_stroke){part, from, to};
        reach_to(view, from);
        reach_to(view, to);
    }
}

static void mark(struct side_view *view, char letter, const char *key, const char *words,
                 struct point at)
{
    if (view->mark_count < SIDE_MARKS_MAX) {
        view->mark[view->mark_count++] = (struct side_mark){letter, key, words, at};
        reach_to(view, at);
    }
}

static struct point moved(struct point from, double length_mm, double degrees)
{
    struct point by = point_turned(length_mm, 0.0, degrees);
    return (struct point){from.x_mm + by.x_mm, from.y_mm + by.y_mm};
}

static double or_zero(double value)
{
    return isnan(value) ? 0.0 : value;
}

static void draw_frame(struct side_view *view, const struct bike_values *bike,
                       struct point head_top, const struct bike_points *points)
{
    const struct point centre = {0.0, 0.0};
    double head = bike_value(bike, BIKE_HEAD_ANGLE);
    struct point head_low = moved(head_top, HEAD_TUBE_MM, -head);
    stroke(view, SIDE_FRAME, head_top, head_low);
    stroke(view, SIDE_FRAME, centre, head_low);
    if (points->has_saddle) {
        struct point joint = {0.72 * points->saddle.x_mm, 0.72 * points->saddle.y_mm};
        stroke(view, SIDE_FRAME, centre, points->saddle);
        stroke(view, SIDE_FRAME, joint, moved(head_top, 20.0, -head));
    }
    double crank = bike_value(bike, BIKE_CRANK_LENGTH);
    if (!isnan(crank)) {
        stroke(view, SIDE_CRANK, centre, (struct point){crank, 0.0});
    }
}

static void draw_saddle(struct side_view *view, const struct bike_values *bike, struct point top)
{
    double setback = bike_value(bike, BIKE_SADDLE_SETBACK);
    double tilt = or_zero(bike_value(bike, BIKE_SADDLE_TILT));
    double nose_x = isnan(setback) ? top.x_mm + 0.55 * SADDLE_MM : -setback;
    struct point nose = {nose_x, top.y_mm + (nose_x - top.x_mm) * tan(tilt * RADIANS_PER_DEGREE)};
    stroke(view, SIDE_SADDLE, nose, moved(nose, SADDLE_MM, 180.0 + tilt));
    mark(view, 's', "saddle", "saddle top", top);
}

static void draw_front(struct side_view *view, const struct bike_values *bike,
                       struct point head_top, const struct bike_points *points)
{
    double head = bike_value(bike, BIKE_HEAD_ANGLE);
    double roll = bike_value(bike, BIKE_BAR_ROLL);
    double under = bike_value(bike, BIKE_HEADSET_CAP) + bike_value(bike, BIKE_SPACERS);
    double clamp = bike_value(bike, BIKE_STEM_CLAMP_HEIGHT);
    struct point stem_low = moved(head_top, under, 180.0 - head);
    stroke(view, SIDE_SPACERS, head_top, stem_low);
    stroke(view, SIDE_STEM, stem_low, moved(stem_low, clamp, 180.0 - head));
    stroke(view, SIDE_STEM, moved(stem_low, clamp / 2.0, 180.0 - head), points->clamp);
    mark(view, 'h', "head_tube_top", "top of the head tube", head_top);
    mark(view, 'c', "bar_clamp", "bar clamp", points->clamp);
    if (!points->has_pad) {
        return;
    }
    double tilt = roll + or_zero(bike_value(bike, BIKE_PAD_TILT));
    stroke(view, SIDE_PADS, points->clamp, points->pad);
    stroke(view, SIDE_PADS, moved(points->pad, PAD_MM / 2.0, tilt),
           moved(points->pad, PAD_MM / 2.0, 180.0 + tilt));
    mark(view, 'p', "pads", "pads", points->pad);
    if (points->has_extension) {
        stroke(view, SIDE_EXTENSION, points->extension_root, points->extension_tip);
        mark(view, 't', "extension_tip", "extension tip", points->extension_tip);
    }
}

bool side_view_make(const struct bike_values *bike, const struct bike_values *first,
                    const struct side_sensor *sensors, int sensor_count, struct side_view *view,
                    struct problem *problem)
{
    struct bike_points points;
    *view = (struct side_view){0};
    if (!bike_forward(bike, &points, problem)) {
        return false;
    }
    struct point head_top = {bike_value(bike, BIKE_REACH), bike_value(bike, BIKE_STACK)};
    mark(view, 'b', "bottom_bracket", "bottom bracket", (struct point){0.0, 0.0});
    draw_frame(view, bike, head_top, &points);
    if (points.has_saddle) {
        draw_saddle(view, bike, points.saddle);
    }
    draw_front(view, bike, head_top, &points);
    for (int i = 0; i < sensor_count; i++) {
        struct sensor_position at;
        if (!sensor_locate(bike, first, &sensors[i].mount, &at, NULL) || isnan(at.y_mm) ||
            isnan(at.x_mm)) {
            continue;
        }
        struct point face = {at.x_mm, at.y_mm};
        double up = sensors[i].mount.direction < 0 ? -90.0 + at.tilt_deg : 90.0 - at.tilt_deg;
        stroke(view, SIDE_BEAM, face, moved(face, BEAM_MM, up));
        mark(view, (char)('1' + i % 9), sensors[i].name, sensors[i].name, face);
    }
    return true;
}
