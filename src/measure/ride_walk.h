/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_RIDE_WALK_H
#define HOLDLINE_MEASURE_RIDE_WALK_H

#include "measure/ride.h"

/* A ride between its samples, of which it has one at least. */

/* The last sample at or before a moment; 0 before the first. */
size_t ride_index_at(const struct ride *ride, double at_s);
/* One of the ride's arrays at a moment, straight between the known samples about it; NAN where none
 * is known within RIDE_GAP_S. */
double ride_value_at(const struct ride *ride, const double *values, double at_s);
/* Integral of the same from one moment to another (trapezoids); NAN where a gap lies between. */
double ride_integral(const struct ride *ride, const double *values, double from_s, double to_s);
/* The moment, from the sample at index on, at which the distance comes to metres; NAN: never. Where
 * that sample's distance is not known, from the last before it whose is. */
double ride_moment_at(const struct ride *ride, size_t index, double metres);

#endif
