/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BIKE_SHIFT_H
#define HOLDLINE_BIKE_SHIFT_H

#include "bike/carrier.h"

/* How far a sensor moves from one bike to another, from the parts alone (docs/heights.md). Only
 * what differs between the two is needed: spacers taken out need the head angle, but no stem
 * length. */

struct sensor_shift {
    bool moved;                  /* a part that moves this carrier differs */
    double x_mm, y_mm, tilt_deg; /* later minus first */
    double u_mm;                 /* standard uncertainty of y_mm */
};

/* Values of the table that move a carrier: count, keys in order of the table (NULL allowed). */
int carrier_movers(enum carrier carrier, const enum bike_key **keys);

/* Do all values that move this carrier agree (assumed ones where not given; unknown equals
 * unknown)? */
bool carrier_unmoved(enum carrier carrier, const struct bike_values *first,
                     const struct bike_values *bike);

/* False where something that differs is not known well enough: the sentence names what is missing;
 * moved and tilt_deg are right even then. */
bool sensor_shift_make(const struct bike_values *first, const struct bike_values *bike,
                       const struct sensor_mount *mount, struct sensor_shift *shift,
                       struct problem *problem);

#endif
