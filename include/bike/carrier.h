/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BIKE_CARRIER_H
#define HOLDLINE_BIKE_CARRIER_H

#include "base/word_list.h"
#include "bike/geometry.h"

/* What a sensor is fixed to, and where that puts it when parts change (docs/heights.md). */
enum carrier {
    CARRIER_STAND,       /* floor stand */
    CARRIER_FRAME,       /* bike frame */
    CARRIER_BASE_BAR,    /* moved by stem, spacers, bar roll */
    CARRIER_PAD_BRACKET, /* those, and pad rise, pad fore-aft */
    CARRIER_EXTENSION,   /* those, and extension length, angle, rise */
    CARRIERS,
};
extern const struct word_list carrier_keys;       /* 'base_bar' */
extern const char *const carrier_words[CARRIERS]; /* 'base bar' */
bool carrier_moves(enum carrier carrier);         /* can a change at the front end move it? */

extern const struct word_list look_words; /* of a mount's direction */
const char *look_word(int direction);     /* the same, and 'up' where it was not said */
struct sensor_mount {
    enum carrier carrier;
    /* From the carrier's reference point (bar clamp centre, pad reference point, extension tip; for
     * stand and frame the bottom bracket) to the sensor's face, in the placing's first build. NAN
     * y: the sensor's absolute height is not known, only its shifts. */
    double x_mm, y_mm;
    double
        tilt_deg; /* beam from the vertical, positive leans forward, in the placing's first build */
    int direction; /* +1 looks up, -1 looks down: look_words */
};

struct sensor_position {
    double x_mm, y_mm; /* from the bottom bracket; y is the sensor's height */
    double tilt_deg;
};

/* Where the sensor is with these parts on the bike; first: the bike of the mount's first build, in
 * which its x, y and tilt hold. What turns against it (bar roll; for a sensor on an extension its
 * angle too) turns the arm from the pivot to the sensor and tilts the beam: 1 degree is 1 mm at 60
 * mm and walks the spot by 7 mm at a range of 400. y_mm is NAN where the mount's is. False where
 * values are missing: the sentence names each. */
bool sensor_locate(const struct bike_values *bike, const struct bike_values *first,
                   const struct sensor_mount *mount, struct sensor_position *position,
                   struct problem *problem);

/* Degrees by which the carrier is turned against the first build, its front up positive. */
double carrier_turn_deg(enum carrier carrier, const struct bike_values *first,
                        const struct bike_values *bike);

/* The beam's tilt after its carrier was turned. */
double beam_tilt_deg(const struct sensor_mount *mount, double turn_deg);

/* Height of the body over the bottom bracket from a range along the beam (docs/heights.md). */
double body_height_mm(double sensor_height_mm, int direction, double tilt_deg, double range_mm);

#endif
