/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BIKE_GEOMETRY_H
#define HOLDLINE_BIKE_GEOMETRY_H

#include "base/problem.h"
#include "bike/fields.h"

/* Side view, origin at the bottom-bracket centre, x forward, y up, millimetres (docs/place.md). */
struct point {
    double x_mm, y_mm;
};

struct bike_points {
    struct point clamp; /* bar clamp centre */
    struct point pad;   /* pad reference point */
    struct point extension_root, extension_tip;
    struct point saddle; /* saddle top on the line of the seat tube */
    bool has_pad, has_extension, has_saddle;
};

/* The stem's elevation over the horizontal: 90 - head angle + stem angle, degrees. */
double stem_elevation_deg(double head_angle_deg, double stem_angle_deg);

/* Turns (x, y) by degrees, front up positive. */
struct point point_turned(double x_mm, double y_mm, double degrees);

/* Writes 'head angle, stem length and spacers' for those of the count keys that are not given (nor
 * assumed); gives how many. */
int bike_missing(const struct bike_values *bike, const enum bike_key *keys, int count, char *text,
                 size_t size);

/* The bar clamp's place, and with it a sensor's height on it, needs this measure, and nothing is
 * assumed where it is not given. */
bool bike_is_needed(enum bike_key key);

/* Forward geometry (docs/place.md, 'Measures'). False where a value that the bar clamp needs is
 * missing: the sentence names each. Pads, extensions and saddle are worked out where their values
 * are there. Pads and extensions turn with the bar about the clamp centre. */
bool bike_forward(const struct bike_values *bike, struct bike_points *points,
                  struct problem *problem);

/* Stem length and height of spacers that put the pad reference point at target, for a given stem
 * angle; without pads the bar clamp. Results may be impossible parts: the caller
 * checks ranges. */
bool bike_inverse(const struct bike_values *bike, struct point pad_target, double stem_angle_deg,
                  double *stem_length_mm, double *spacers_mm, struct problem *problem);

#endif
