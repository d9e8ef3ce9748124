/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_TOLERANCE_H
#define HOLDLINE_MEASURE_TOLERANCE_H

#include "measure/status.h"

/* Normal tolerance factors: mean +- factor x SD holds at least this share of a normal population
 * with this confidence, SD known from n values only. For autocorrelated readings n is the effective
 * n, which need not be whole. */

/* Two-sided, approximation k = z((1+P)/2) sqrt((n-1)(1 + 1/n) / chi2(1-C; n-1)) (Howe 1969, J. Am.
 * Stat. Assoc. 64, 610-620; NIST/SEMATECH e-Handbook 7.2.6.3). Against exact factors at 95 %/95 %:
 * +1.6 % at n = 5, -1.0 % at 10, within 0.6 % from 20 on. n >= 2, shares inside 0..1. */
enum measure_status tolerance_two_sided(double n, double share, double confidence, double *factor);

#endif
