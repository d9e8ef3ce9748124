/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_AGREEMENT_H
#define HOLDLINE_MEASURE_AGREEMENT_H

#include "measure/status.h"

#include <stddef.h>

/* One-way table: how much of the spread lies between groups (setups) and how much within (holds).
 */
struct one_way {
    size_t groups, count;
    double df_between, df_within;
    double ss_between, ss_within, ms_between, ms_within;
    double f, p, r_squared, residual_sd;
};
#define ONE_WAY_GROUPS_MAX 64
/* group[i] in 0 .. ONE_WAY_GROUPS_MAX-1; empty ones are skipped. MEASURE_TOO_FEW without 2 groups
 * and a repeat; MEASURE_CONSTANT without spread within. */
enum measure_status one_way_table(const int *group, const double *values, size_t count,
                                  struct one_way *table);

/* Intraclass correlations of targets x judges, row by row (Shrout and Fleiss 1979, Psychol. Bull.
 * 86, 420-428), and the standard error of measurement sqrt(EMS) with the smallest change 1.96 sqrt
 * 2 SEM (Weir 2005, J. Strength Cond. Res. 19, 231-240). */
struct intraclass {
    double bms, wms, jms, ems; /* mean squares: between targets, within, between judges, residual */
    double icc_1_1, icc_2_1, icc_3_1, icc_1_k, icc_2_k, icc_3_k;
    double sem, smallest_change;
};
enum measure_status intraclass(const double *ratings, size_t targets, size_t judges,
                               struct intraclass *result);

/* Two ways of measuring the same things: mean difference and the limits within which 95 % of the
 * differences lie (Bland and Altman 1986, Lancet 327, 307-310), limits at 1.96 SD. */
struct agreement {
    double mean_difference, sd_difference;
    double low, high;           /* limits of agreement */
    double mean_low, mean_high; /* 95 % interval of the mean difference */
    double limit_half_width;    /* of either limit's 95 % interval: t sqrt(3/n) SD */
};
enum measure_status agreement_limits(const double *a, const double *b, size_t count,
                                     struct agreement *result);

/* Repeatability from pairs of readings: 1.96 sqrt 2 s_w with s_w^2 = sum d^2 / (2 n). */
enum measure_status repeatability_of_pairs(const double *first, const double *second, size_t count,
                                           double *within_sd, double *coefficient);

#endif
