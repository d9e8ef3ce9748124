/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_MEASURE_COMPARE_LIMITS_H
#define HOLDLINE_SRC_MEASURE_COMPARE_LIMITS_H

#include "compare_fit.h"

/* How many standard errors the intervals of all differences reach, so that together they hold the
 * truth with COMPARE_CONFIDENCE: of what is estimated from the holds, and of what is known (ties,
 * an order not taken out). A difference is known to sqrt(holds^2 V + known^2 U), V and U its
 * variances of the one kind and the other. Inside the layer only. */
struct compare_limits {
    double holds, known;
};

/* For these setups against the input's baseline; the fit has degrees of freedom. */
struct compare_limits compare_limits(const struct fit *fit, const int *setups, int count);
/* The same for a difference whose holds' variance is worth fewer degrees of freedom. */
struct compare_limits compare_limits_of(const struct compare_limits *all, const struct fit *fit,
                                        double df);
/* From the variances of both kinds. */
double compare_half_width(const struct compare_limits *limits, double holds, double known);

/* The two-sided level at which one difference alone, with these degrees of freedom, has the limit
 * of all: with it the limit after more holds is worked out. */
double compare_level(const struct compare_limits *limits, double df);

#endif
