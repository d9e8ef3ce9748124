/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/geometry.h"

#include "base/angle.h"
#include "base/text.h"

#include <math.h>

double stem_elevation_deg(double head_angle_deg, double stem_angle_deg)
{
    return 90.0 - head_angle_deg + stem_angle_deg;
}

struct point point_turned(double x_mm, double y_mm, double degrees)
{
    double sine = sin(degrees * RADIANS_PER_DEGREE), cosine = cos(degrees * RADIANS_PER_DEGREE);
    return (struct point){x_mm * cosine - y_mm * sine, x_mm * sine + y_mm * cosine};
}

int bike_missing(const struct bike_values *bike, const enum bike_key *keys, int count, char *text,
                 size_t size)
{
    int missing = 0, named = 0;
    for (int i = 0; i < count; i++) {
        missing += isnan(bike_value(bike, keys[i]));
    }
    size_t used = 0;
    if (size > 0) {
        text[0] = '\0';
    }
    for (int i = 0; i < count; i++) {
        if (isnan(bike_value(bike, keys[i]))) {
            const char *joint = named == 0 ? "" : named == missing - 1 ? " and " : ", ";
            text_append(text, size, &used, "%s%s", joint, bike_fields[keys[i]].words);
            named++;
        }
    }
    return missing;
}

static bool all_given(const struct bike_values *bike, const enum bike_key *keys, int count)
{
    for (int i = 0; i < count; i++) {
        if (isnan(bike_value(bike, keys[i]))) {
            return false;
        }
    }
    return true;
}

static const enum bike_key clamp_keys[] = {
    BIKE_STACK,       BIKE_REACH,      BIKE_HEAD_ANGLE,        BIKE_HEADSET_CAP, BIKE_SPACERS,
    BIKE_STEM_LENGTH, BIKE_STEM_ANGLE, BIKE_STEM_CLAMP_HEIGHT, BIKE_BAR_ROLL};
static const enum bike_key pad_keys[] = {BIKE_PAD_RISE, BIKE_PAD_FORE_AFT};
static const enum bike_key extension_keys[] = {BIKE_EXTENSION_LENGTH, BIKE_EXTENSION_ANGLE,
                                               BIKE_EXTENSION_RISE};
static const enum bike_key saddle_keys[] = {BIKE_SADDLE_HEIGHT, BIKE_SEAT_ANGLE};
#define COUNT(array) ((int)(sizeof(array) / sizeof((array)[0])))

bool bike_is_needed(enum bike_key key)
{
    bool of_clamp = false;
    for (int i = 0; i < COUNT(clamp_keys); i++) {
        of_clamp = of_clamp || clamp_keys[i] == key;
    }
    return of_clamp && isnan(bike_fields[key].assumed);
}

bool bike_forward(const struct bike_values *bike, struct bike_points *points,
                  struct problem *problem)
{
    char names[256];
    *points = (struct bike_points){0};
    points->has_saddle = all_given(bike, saddle_keys, COUNT(saddle_keys));
    if (points->has_saddle) {
        double angle = bike_value(bike, BIKE_SEAT_ANGLE);
        points->saddle = point_turned(bike_value(bike, BIKE_SADDLE_HEIGHT), 0.0, 180.0 - angle);
    }
    if (bike_missing(bike, clamp_keys, COUNT(clamp_keys), names, sizeof names) > 0) {
        return problem_set(problem, "where the bars are needs %s: not given", names);
    }
    double head = bike_value(bike, BIKE_HEAD_ANGLE);
    double along = bike_value(bike, BIKE_HEADSET_CAP) + bike_value(bike, BIKE_SPACERS) +
                   bike_value(bike, BIKE_STEM_CLAMP_HEIGHT) / 2.0;
    struct point steerer = point_turned(along, 0.0, 180.0 - head);
    struct point stem = point_turned(bike_value(bike, BIKE_STEM_LENGTH), 0.0,
                                     stem_elevation_deg(head, bike_value(bike, BIKE_STEM_ANGLE)));
    points->clamp.x_mm = bike_value(bike, BIKE_REACH) + steerer.x_mm + stem.x_mm;
    points->clamp.y_mm = bike_value(bike, BIKE_STACK) + steerer.y_mm + stem.y_mm;
    points->has_pad = all_given(bike, pad_keys, COUNT(pad_keys));
    if (!points->has_pad) {
        return true;
    }
    double roll = bike_value(bike, BIKE_BAR_ROLL);
    double fore_aft = bike_value(bike, BIKE_PAD_FORE_AFT), rise = bike_value(bike, BIKE_PAD_RISE);
    struct point pad = point_turned(fore_aft, rise, roll);
    points->pad = (struct point){points->clamp.x_mm + pad.x_mm, points->clamp.y_mm + pad.y_mm};
    points->has_extension = all_given(bike, extension_keys, COUNT(extension_keys));
    if (points->has_extension) {
        struct point root =
            point_turned(fore_aft, rise + bike_value(bike, BIKE_EXTENSION_RISE), roll);
        struct point rod = point_turned(bike_value(bike, BIKE_EXTENSION_LENGTH), 0.0,
                                        bike_value(bike, BIKE_EXTENSION_ANGLE) + roll);
        points->extension_root =
            (struct point){points->clamp.x_mm + root.x_mm, points->clamp.y_mm + root.y_mm};
        points->extension_tip = (struct point){points->extension_root.x_mm + rod.x_mm,
                                               points->extension_root.y_mm + rod.y_mm};
    }
    return true;
}

bool bike_inverse(const struct bike_values *bike, struct point pad_target, double stem_angle_deg,
                  double *stem_length_mm, double *spacers_mm, struct problem *problem)
{
    static const enum bike_key needed[] = {
        BIKE_STACK,   BIKE_REACH, BIKE_HEAD_ANGLE, BIKE_HEADSET_CAP, BIKE_STEM_CLAMP_HEIGHT,
        BIKE_BAR_ROLL};
    char names[256];
    if (bike_missing(bike, needed, COUNT(needed), names, sizeof names) > 0) {
        return problem_set(problem, "stem and spacers for a place need %s: not given", names);
    }
    double rise = bike_value(bike, BIKE_PAD_RISE), fore_aft = bike_value(bike, BIKE_PAD_FORE_AFT);
    if (isnan(rise) != isnan(fore_aft)) {
        return problem_set(problem, "a place of the pads needs %s: not given",
                           isnan(rise) ? "pad rise" : "pad fore-aft");
    }
    struct point pad = {0.0, 0.0};
    if (!isnan(rise)) {
        pad = point_turned(fore_aft, rise, bike_value(bike, BIKE_BAR_ROLL));
    }
    double head_deg = bike_value(bike, BIKE_HEAD_ANGLE);
    double head = head_deg * RADIANS_PER_DEGREE;
    double elevation = stem_elevation_deg(head_deg, stem_angle_deg) * RADIANS_PER_DEGREE;
    double across = sin(head + elevation); /* = cos of the stem's angle */
    if (!(fabs(across) > 1e-6)) {
        return problem_set(problem, "a stem along the steerer cannot be solved for");
    }
    double x = pad_target.x_mm - pad.x_mm - bike_value(bike, BIKE_REACH);
    double y = pad_target.y_mm - pad.y_mm - bike_value(bike, BIKE_STACK);
    *stem_length_mm = (x * sin(head) + y * cos(head)) / across;
    *spacers_mm = (y * cos(elevation) - x * sin(elevation)) / across -
                  bike_value(bike, BIKE_STEM_CLAMP_HEIGHT) / 2.0 -
                  bike_value(bike, BIKE_HEADSET_CAP);
    return true;
}
