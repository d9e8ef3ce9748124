/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_DISTRIBUTION_H
#define HOLDLINE_MEASURE_DISTRIBUTION_H

/* The distributions that intervals and tests are made of. Outside their domain (df <= 0, p outside
 * 0..1, not finite) a quantile is INFINITY, an interval that says nothing, and a probability is 1:
 * never a NaN. */

double normal_quantile(double p);
double normal_upper(double z); /* P(Z > z) */
double t_quantile(double p, double df);
double t_interval(double df);              /* half a 95 % interval over its standard error */
double t_two_sided_p(double t, double df); /* P(|T| > |t|) */
double t_upper(double t, double df);       /* P(T > t) */
double chi2_quantile(double p, double df);
double f_upper(double f, double df_1, double df_2); /* P(F > f) */

#endif
