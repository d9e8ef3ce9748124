/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_ELLIPSE_H
#define HOLDLINE_MEASURE_ELLIPSE_H

#include "measure/status.h"

#include <stddef.h>

/* Where 95 % of a hold's readings of two channels (head against chest) lie together: the prediction
 * ellipse area = pi c sqrt(det S), S with divisor n-1. c = 2 (n-1)(n+1) / (n (n-2)) F(0.95; 2, n-2)
 * for n points (Chew 1966, J. Am. Stat. Assoc. 61, 605-617; Duarte 2015, Gait & Posture 41, 44-45);
 * chi-square's -2 ln 0.05 in its place is the limit for many (Schubert and Kirchner 2014, Gait &
 * Posture 39, 518-522). Not the confidence ellipse of the mean, which shrinks with n. */
struct ellipse {
    size_t count;
    double mean_x, mean_y, var_x, var_y, cov_xy;
    double scale; /* c */
    double area;  /* unit^2 */
    double semi_major, semi_minor;
    double angle_deg; /* of the long axis from +x, in (-90, 90] */
    double correlation;
};
/* From 3 pairs. MEASURE_CONSTANT when a channel does not move or both move as one. */
enum measure_status ellipse_95(const double *x, const double *y, size_t count,
                               struct ellipse *ellipse);
/* The ellipse of all points of several clouds together, from their moments (Chan, Golub and LeVeque
 * 1983, The American Statistician 37, eq. 2.1). From one cloud; MEASURE_CONSTANT as above. */
enum measure_status ellipse_pool(const struct ellipse *ellipses, int count, struct ellipse *pooled);

#endif
