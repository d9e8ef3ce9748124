/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_RANGE_CALIBRATION_H
#define HOLDLINE_MEASURE_RANGE_CALIBRATION_H

#include "measure/status.h"

#include <stdbool.h>
#include <stddef.h>

/* A range sensor's straight line: readings of known distances, reading = intercept + slope known,
 * residuals of one size (ISO 11095:1996, linear calibration, basic method; JCGM 100:2008, GUM, H.3
 * for standard uncertainties). Use means of 5 s or more as readings:
 * single ones follow each other and would say the line is better known than it is. */
#define CALIBRATION_POINTS_MAX 400

struct range_calibration {
    double slope;
    bool has_errors; /* from three points on; with two the line is exact and nothing checks it */
    double residual_sd_mm, slope_u; /* divisor n-2; standard error */
    double worst_residual_mm;       /* signed: the largest by its size */
    /* Is a straight line enough? Residuals of the levels' means against the scatter within levels,
     * of three levels or more, some read more than once. */
    bool has_lack_of_fit;
    double lack_of_fit_p;
    /* The line turned round: true range = gain * reading + offset. */
    double gain, offset_mm;
};

/* From two points at two distances; MEASURE_CONSTANT when all known distances, or all readings, are
 * the same (a stuck sensor). Any order; equal distances are readings of one level. */
enum measure_status calibration_fit(const double *known_mm, const double *reading_mm, size_t count,
                                    struct range_calibration *calibration);

#endif
