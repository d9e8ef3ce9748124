/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_EXACT_TESTS_H
#define HOLDLINE_MEASURE_EXACT_TESTS_H

#include "measure/status.h"

#include <stddef.h>

/* Rank tests of few values, by counting all orders in which they could have come, ties as they are.
 * Nothing is assumed of how values spread. */
#define EXACT_VALUES_MAX 60 /* of both groups together, or of one row */

/* Are later values larger than base ones? u: pairs in which the later is larger, a tie counts half
 * (Mann and Whitney 1947, Ann. Math. Stat. 18, 50-60); upper_p: P(U >= u) were both groups alike.
 * From one value each. */
enum measure_status mann_whitney(const double *later, size_t later_count, const double *base,
                                 size_t base_count, double *u, double *upper_p);

/* Do values, in the order of time, rise? s: pairs that rise less pairs that fall (Kendall 1938,
 * Biometrika 30, 81-93); upper_p: P(S >= s) were their order chance. From 2 values. */
enum measure_status kendall_rising(const double *values, size_t count, int *s, double *upper_p);

struct trend {
    double slope; /* units of y a unit of x: median of the slopes of all pairs */
    /* 95 % at least (Sen 1968, J. Am. Stat. Assoc. 63, 1379-1389); infinite where too few values
       tell none */
    double low, high;
    int s;
    double rising_p, falling_p; /* one-sided */
};
/* Theil and Sen's slope with Kendall's exact test. x ascending, no two alike. From 2 values. */
enum measure_status trend_of(const double *x, const double *y, size_t count, struct trend *trend);

#endif
