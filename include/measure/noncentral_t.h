/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_NONCENTRAL_T_H
#define HOLDLINE_MEASURE_NONCENTRAL_T_H

/* P(T <= t) for the noncentral t distribution with df degrees of freedom and noncentrality delta:
 * the integral of the normal distribution function over the chi distribution of the standard
 * deviation (Johnson, Kotz and Balakrishnan 1995, Continuous Univariate Distributions 2,
 * eq. 31.11), by Gauss-Legendre quadrature in panels; absolute error under 1e-11. Outside its
 * domain (df <= 0, not finite): 1. */
double noncentral_t_lower(double t, double df, double delta);

#endif
