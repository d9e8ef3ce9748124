/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_YORK_H
#define HOLDLINE_MEASURE_YORK_H

#include "measure/status.h"

#include <stddef.h>

/* Straight line through points that are uncertain both ways, each by its own amount (York, Evensen,
 * Lopez Martinez and De Basabe Delgado 2004, Am. J. Phys. 72, 367-375, eq. 13). */
#define YORK_POINTS_MAX 64

struct york_point {
    double x, y, u_x, u_y; /* standard uncertainties, over 0 */
    double correlation;    /* of the two errors, in (-1, 1) */
};
struct york_line {
    double intercept, slope;
    double intercept_se, slope_se; /* as the uncertainties have them */
    double squares;                /* S: weighted squares of what the line leaves */
    double df;                     /* points less two */
    /* 95 %, by t with df; where the points lie further off the line than their uncertainties
     * allow (S over df), wider by sqrt(S/df) */
    double slope_half_width;
};
/* From 3 points. MEASURE_CONSTANT where all x are the same, or the slope does not come to rest;
 * MEASURE_BAD_SETTING for uncertainties that are none. */
enum measure_status york_fit(const struct york_point *points, size_t count, struct york_line *line);

#endif
