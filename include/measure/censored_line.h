/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_CENSORED_LINE_H
#define HOLDLINE_MEASURE_CENSORED_LINE_H

#include "measure/status.h"

#include <stdbool.h>
#include <stddef.h>

/* A line through values of which some are known only to be larger than a number: normal regression
 * with right-censored values by expectation and maximisation (Schmee and Hahn 1979, Technometrics
 * 21, 417-432, for the expectations; Dempster, Laird and Rubin 1977 for the variance), standard
 * errors from the observed information. */
#define CENSORED_VALUES_MAX 200

struct censored_line {
    double intercept, slope, sd; /* y = intercept + slope x; sd by maximum likelihood */
    double intercept_se, slope_se, sd_se;
    double log_likelihood;
    size_t seen; /* values that are not censored */
    double df;   /* of its intervals: those, less the line's two */
};

/* at_least[i]: y[i] is no more than a lower limit. From 3 values that are not, at 2 x at least;
 * MEASURE_CONSTANT where all lie on a line. */
enum measure_status censored_line_fit(const double *x, const double *y, const bool *at_least,
                                      size_t count, struct censored_line *line);

/* Half a 95 % interval of the slope: t, and the SD as of a sample (docs/measures.md). */
double censored_line_slope_half_width(const struct censored_line *line);

#endif
