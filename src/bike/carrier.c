/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/carrier.h"

#include "base/angle.h"

#include <math.h>
#include <string.h>

WORD_LIST(carrier_keys, [CARRIER_STAND] = "stand", [CARRIER_FRAME] = "frame",
          [CARRIER_BASE_BAR] = "base_bar", [CARRIER_PAD_BRACKET] = "pad_bracket",
          [CARRIER_EXTENSION] = "extension");
WORD_LIST_FROM(look_words, -1, "down", NULL, "up");

const char *look_word(int direction)
{
    return word_of(&look_words, direction < 0 ? -1 : 1);
}

const char *const carrier_words[CARRIERS] = {
    [CARRIER_STAND] = "floor stand",   [CARRIER_FRAME] = "bike frame",
    [CARRIER_BASE_BAR] = "base bar",   [CARRIER_PAD_BRACKET] = "pad bracket",
    [CARRIER_EXTENSION] = "extension",
};

bool carrier_moves(enum carrier carrier)
{
    return carrier != CARRIER_STAND && carrier != CARRIER_FRAME;
}

double carrier_turn_deg(enum carrier carrier, const struct bike_values *first,
                        const struct bike_values *bike)
{
    if (!carrier_moves(carrier)) {
        return 0.0;
    }
    double turn = bike_value(bike, BIKE_BAR_ROLL) - bike_value(first, BIKE_BAR_ROLL);
    if (carrier == CARRIER_EXTENSION) {
        double from = bike_value(first, BIKE_EXTENSION_ANGLE);
        double to = bike_value(bike, BIKE_EXTENSION_ANGLE);
        if (!isnan(from) && !isnan(to)) {
            turn += to - from;
        }
    }
    return turn;
}

double beam_tilt_deg(const struct sensor_mount *mount, double turn_deg)
{
    /* A beam that looks up leans back when the bar's front goes up; one that looks down swings
     * forward. */
    return mount->tilt_deg - (mount->direction < 0 ? -turn_deg : turn_deg);
}

/* The carrier's reference point. */
static bool reference_point(const struct bike_values *bike, enum carrier carrier,
                            struct point *point, struct problem *problem)
{
    static const enum bike_key pads[] = {BIKE_PAD_RISE, BIKE_PAD_FORE_AFT, BIKE_EXTENSION_LENGTH,
                                         BIKE_EXTENSION_ANGLE, BIKE_EXTENSION_RISE};
    struct bike_points points;
    *point = (struct point){0.0, 0.0};
    if (!carrier_moves(carrier)) {
        return true;
    }
    if (!bike_forward(bike, &points, problem)) {
        return false;
    }
    int needed = carrier == CARRIER_EXTENSION ? 5 : carrier == CARRIER_PAD_BRACKET ? 2 : 0;
    char names[256];
    if (bike_missing(bike, pads, needed, names, sizeof names) > 0) {
        return problem_set(problem, "where the %s is needs %s: not given", carrier_words[carrier],
                           names);
    }
    *point = carrier == CARRIER_BASE_BAR      ? points.clamp
             : carrier == CARRIER_PAD_BRACKET ? points.pad
                                              : points.extension_tip;
    return true;
}

bool sensor_locate(const struct bike_values *bike, const struct bike_values *first,
                   const struct sensor_mount *mount, struct sensor_position *position,
                   struct problem *problem)
{
    struct point reference;
    if (!reference_point(bike, mount->carrier, &reference, problem)) {
        return false;
    }
    double turn = carrier_turn_deg(mount->carrier, first, bike);
    struct point arm = {mount->x_mm, mount->y_mm};
    if (turn != 0.0) {
        /* Without a known height the arm is taken as level: its own height moves it in x only. */
        double y = isnan(mount->y_mm) ? 0.0 : mount->y_mm;
        arm = point_turned(mount->x_mm, y, turn);
    }
    position->x_mm = reference.x_mm + arm.x_mm;
    position->y_mm = isnan(mount->y_mm) ? NAN : reference.y_mm + arm.y_mm;
    position->tilt_deg = beam_tilt_deg(mount, turn);
    return true;
}

double body_height_mm(double sensor_height_mm, int direction, double tilt_deg, double range_mm)
{
    return sensor_height_mm + direction * range_mm * cos(tilt_deg * RADIANS_PER_DEGREE);
}
