/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_HOLM_H
#define HOLDLINE_MEASURE_HOLM_H

#include "measure/status.h"

#include <stdbool.h>
#include <stddef.h>

/* p-values adjusted for how many comparisons are made at once (Holm 1979, Scand. J. Stat. 6,
 * 65-70): adjusted (i) = max over j <= i of min(1, (m - j + 1) p(j)), p in ascending order.
 * adjusted keeps the order of p and may be p itself. MEASURE_NOT_FINITE when a p is not in 0..1. */
enum measure_status holm_adjust(const double *p, size_t count, double *adjusted);

/* Equivalence by two one-sided tests (Schuirmann 1987, J. Pharmacokinet. Biopharm. 15, 657-680):
 * the difference is inside (-margin, margin) at the 5 % level when the 90 % interval is. */
struct equivalence {
    double t_lower, t_upper; /* (difference + margin) / se, (difference - margin) / se */
    double p;                /* the larger of the two one-sided p */
    double low_90, high_90;
    bool equivalent;
};
/* MEASURE_BAD_SETTING unless se, df and margin are positive and all is finite. */
enum measure_status equivalence_test(double difference, double se, double df, double margin,
                                     struct equivalence *result);

/* Two means with their SDs (n-1) and counts, variances not assumed equal (Welch 1947, Biometrika
 * 34; Satterthwaite 1946, Biometrics 2; the same df as in JCGM 100:2008 G.4.1) or pooled. From 2
 * values each. */
struct mean_difference {
    double difference, se, t, df, p;
    double low, high; /* 95 % */
};
enum measure_status welch_test(double mean_a, double sd_a, size_t count_a, double mean_b,
                               double sd_b, size_t count_b, struct mean_difference *result);
enum measure_status pooled_test(double mean_a, double sd_a, size_t count_a, double mean_b,
                                double sd_b, size_t count_b, struct mean_difference *result);

#endif
