/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_ALLAN_H
#define HOLDLINE_MEASURE_ALLAN_H

#include "measure/status.h"

#include <stddef.h>

/* Allan deviation of a still sensor over averaging time: how far averaging helps before drift takes
 * over (Allan 1966, Proc. IEEE 54; Riley 2008, NIST SP 1065, sections 5.2.1 and 5.2.4). Readings
 * themselves are what is averaged; contiguous and evenly spaced. Never of a rider: a body moves. */

/* avar = sum (mean[k+factor] - mean[k])^2 / (2 M) over the means of all M = count - 2 factor + 1
 * overlapping pairs of groups. From 2 groups. */
enum measure_status allan_overlapping(const double *values, size_t count, size_t factor,
                                      double *deviation);

struct allan_point {
    size_t factor;
    double averaging_s, deviation;
};
#define ALLAN_POINTS_MAX 64

struct allan_curve {
    struct allan_point point[ALLAN_POINTS_MAX];
    size_t count;
    size_t best; /* index of the smallest deviation: the longest averaging worth doing */
};
/* Overlapping deviations at averaging factors 1, 2, 4, ... with at least 9 groups left. From 18
 * readings; MEASURE_CONSTANT for a stuck sensor. */
enum measure_status allan_curve(const double *values, size_t count, double step_s,
                                struct allan_curve *curve);

#endif
