/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_RIPPLE_H
#define HOLDLINE_MEASURE_RIPPLE_H

#include "measure/status.h"

#include <stdbool.h>
#include <stddef.h>

/* A line in the spectrum of a still sensor's readings: lamps on the mains, a fan, a motor. What
 * goes faster than half the readings shows as something slower (Shannon 1949), so a line at f may
 * be at f, rate - f, rate + f, ... A line is what stands over the spectrum on both its sides by
 * more than chance does in one test of a thousand (Welch's averages as gamma variables). */
struct ripple {
    bool found;
    double amplitude_mm; /* half of peak to peak */
    double hz;           /* as it shows */
    double mains_hz;     /* twice the mains, or the mains, that would show there; 0 = none would */
};

/* Readings evenly in time, at rate_hz; those not finite are bridged. Not found below
 * RIPPLE_LEAST_MM, nor below RIPPLE_FROM_HZ, where a sensor's wander is. */
enum measure_status ripple_find(const double *range_mm, size_t count, double rate_hz,
                                struct ripple *ripple);

#endif
