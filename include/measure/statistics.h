/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_STATISTICS_H
#define HOLDLINE_MEASURE_STATISTICS_H

#include "measure/status.h"

#include <stddef.h>

/* Plain statistics on arrays. Units are the caller's. Each returns a status and leaves its result
 * alone unless that is MEASURE_OK; non-finite input is MEASURE_NOT_FINITE. Nothing is kept, nothing
 * is printed. */

/* Mean by two passes (the second takes up what rounding left). From 1 value. */
enum measure_status statistics_mean(const double *values, size_t count, double *mean);

/* Mean and standard deviation with divisor n-1, corrected two-pass algorithm (Chan, Golub and
 * LeVeque 1983, The American Statistician 37, eq. 1.7). From 2 values; equal values give 0. */
enum measure_status statistics_mean_sd(const double *values, size_t count, double *mean,
                                       double *sd);

/* Autocorrelation of lag 1: sum (y[i]-m)(y[i-1]-m) / sum (y[i]-m)^2 (NIST StRD). From 3 values;
 * MEASURE_CONSTANT without spread. */
enum measure_status statistics_autocorrelation(const double *values, size_t count, double *lag_1);

/* Sample quantile, linear between order statistics (Hyndman and Fan 1996, The American Statistician
 * 50, type 7). values are put into a partial order: pass a copy. share 0..1. From 1 value. */
enum measure_status statistics_quantile(double *values, size_t count, double share,
                                        double *quantile);

/* Median; values are put into a partial order. */
enum measure_status statistics_median(double *values, size_t count, double *median);

/* Standard deviation of Gaussian data over their median absolute deviation. */
#define SD_PER_MAD 1.4826

/* Median and median absolute deviation from it (not scaled; 1.4826 makes it an SD of Gaussian
 * data). values are destroyed. */
enum measure_status statistics_mad(double *values, size_t count, double *median, double *mad);

struct line_fit {
    double intercept, slope; /* y = intercept + slope x */
    double slope_se;
    double residual_sd; /* divisor n-2 */
};
/* Least squares line, centred. From 3 points; MEASURE_CONSTANT when all x are equal. */
enum measure_status statistics_line(const double *x, const double *y, size_t count,
                                    struct line_fit *fit);

/* Robust slope: the median of the slopes of all pairs (Theil 1950; Sen 1968, J. Am. Stat. Assoc.
 * 63). Over THEIL_SEN_MAX points, neighbours are averaged first, so that work stays bounded. From 2
 * points. */
#define THEIL_SEN_MAX 160
enum measure_status statistics_theil_sen(const double *x, const double *y, size_t count,
                                         double *slope);

#endif
