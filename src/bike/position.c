/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/position.h"

#include "base/angle.h"
#include "base/text.h"

#include <math.h>

bool position_of(const struct bike_values *bike, struct position *position, struct problem *problem)
{
    struct bike_points points;
    if (!bike_forward(bike, &points, problem)) {
        return false;
    }
    *position = (struct position){.arms = points.has_pad ? points.pad : points.clamp,
                                  .of_pads = points.has_pad,
                                  .has_extension = points.has_extension,
                                  .hands = points.extension_tip,
                                  .saddle_y_mm = points.has_saddle ? points.saddle.y_mm : NAN};
    position->drop_mm = position->saddle_y_mm - position->arms.y_mm;
    return true;
}

void position_carry(const struct bike_values *from, struct bike_values *to, char *note, size_t size)
{
    static const enum bike_key kept[] = {
        BIKE_BAR_ROLL, BIKE_PAD_RISE,         BIKE_PAD_FORE_AFT,    BIKE_PAD_WIDTH,
        BIKE_PAD_TILT, BIKE_EXTENSION_LENGTH, BIKE_EXTENSION_ANGLE, BIKE_EXTENSION_RISE};
    static const enum bike_key saddle[] = {BIKE_SADDLE_SETBACK, BIKE_SADDLE_TILT,
                                           BIKE_CRANK_LENGTH};
    size_t used = 0;
    if (size > 0) {
        note[0] = '\0';
    }
    for (size_t i = 0; i < sizeof kept / sizeof kept[0]; i++) {
        if (isnan(to->value[kept[i]])) {
            to->value[kept[i]] = from->value[kept[i]];
        }
    }
    for (size_t i = 0; i < sizeof saddle / sizeof saddle[0]; i++) {
        if (!isnan(from->value[saddle[i]])) {
            to->value[saddle[i]] = from->value[saddle[i]];
        }
    }
    double height = from->value[BIKE_SADDLE_HEIGHT];
    double angle = from->value[BIKE_SEAT_ANGLE], other = to->value[BIKE_SEAT_ANGLE];
    if (isnan(height)) {
        text_append(note, size, &used, "no saddle height to carry over");
        return;
    }
    if (!isnan(angle) && !isnan(other)) {
        height *= sin(angle * RADIANS_PER_DEGREE) / sin(other * RADIANS_PER_DEGREE);
    } else {
        text_append(note, size, &used,
                    "saddle height as along the other seat tube: a seat angle is not given");
    }
    to->value[BIKE_SADDLE_HEIGHT] = round(height * 10.0) / 10.0;
}
