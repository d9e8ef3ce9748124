/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BIKE_SLIPS_H
#define HOLDLINE_BIKE_SLIPS_H

#include "bike/carrier.h"

/* What is within its range, and yet is hardly meant: centimetres, inches, a digit too many. Each
 * asks (problem_ask) and returns false, or returns true. Lengths in mm. */

/* A part that is far from each value that is known of it, and near one if it were in another unit;
 * or further than parts change. Of the frame, which does not change, no more than a slip of the
 * tape passes. known: count values, NAN where one is not known. Parts' angles, and a measure of
 * which nothing is known, pass. */
bool bike_change_check(int key, double value, const double *known, int count,
                       struct problem *problem);

/* A place of a body's sensor on bars, pads or extensions where none can be: inside the bar, further
 * out than bars are, or looking down, where nothing of the rider is. What is not known of it (NAN),
 * stands and the frame pass. */
bool mount_check(const struct sensor_mount *mount, struct problem *problem);

/* The same of a sensor's place on the carrier that it was on. */
bool mount_change_check(const struct sensor_mount *mount, const struct sensor_mount *former,
                        struct problem *problem);

/* How far ahead of its carrier's reference point a beam is where it is PLACE_BEAM_MM long. */
double mount_looks_at_mm(const struct sensor_mount *mount);

#endif
