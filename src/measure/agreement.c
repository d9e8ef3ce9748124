/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/agreement.h"

#include "measure/distribution.h"
#include "measure/statistics.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

static const double z_95 = 1.959963984540054; /* what is written as 1.96 */

static bool finite_all(const double *values, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(values[i])) {
            return false;
        }
    }
    return true;
}

/* Means in two passes: the second takes up what rounding left. */
static void group_means(const int *group, const double *values, size_t count, double *mean,
                        size_t *size)
{
    double rest[ONE_WAY_GROUPS_MAX] = {0};
    for (size_t i = 0; i < count; i++) {
        mean[group[i]] += values[i];
        size[group[i]]++;
    }
    for (int g = 0; g < ONE_WAY_GROUPS_MAX; g++) {
        mean[g] = size[g] > 0 ? mean[g] / (double)size[g] : 0.0;
    }
    for (size_t i = 0; i < count; i++) {
        rest[group[i]] += values[i] - mean[group[i]];
    }
    for (int g = 0; g < ONE_WAY_GROUPS_MAX; g++) {
        mean[g] += size[g] > 0 ? rest[g] / (double)size[g] : 0.0;
    }
}

enum measure_status one_way_table(const int *group, const double *values, size_t count,
                                  struct one_way *table)
{
    double mean[ONE_WAY_GROUPS_MAX] = {0}, grand;
    size_t size[ONE_WAY_GROUPS_MAX] = {0};
    struct one_way made = {.count = count};
    for (size_t i = 0; i < count; i++) {
        if (group[i] < 0 || group[i] >= ONE_WAY_GROUPS_MAX) {
            return MEASURE_BAD_SETTING;
        }
    }
    enum measure_status status = statistics_mean(values, count, &grand);
    if (status != MEASURE_OK) {
        return status;
    }
    group_means(group, values, count, mean, size);
    for (int g = 0; g < ONE_WAY_GROUPS_MAX; g++) {
        if (size[g] == 0) {
            continue;
        }
        made.groups++;
        made.ss_between += (double)size[g] * (mean[g] - grand) * (mean[g] - grand);
    }
    if (made.groups < 2 || count <= made.groups) {
        return MEASURE_TOO_FEW;
    }
    for (size_t i = 0; i < count; i++) {
        double e = values[i] - mean[group[i]];
        made.ss_within += e * e;
    }
    if (!(made.ss_within > 0.0)) {
        return MEASURE_CONSTANT;
    }
    made.df_between = (double)(made.groups - 1);
    made.df_within = (double)(count - made.groups);
    made.ms_between = made.ss_between / made.df_between;
    made.ms_within = made.ss_within / made.df_within;
    made.f = made.ms_between / made.ms_within;
    made.p = f_upper(made.f, made.df_between, made.df_within);
    made.r_squared = made.ss_between / (made.ss_between + made.ss_within);
    made.residual_sd = sqrt(made.ms_within);
    *table = made;
    return MEASURE_OK;
}

enum measure_status intraclass(const double *ratings, size_t targets, size_t judges,
                               struct intraclass *result)
{
    if (targets < 2 || judges < 2) {
        return MEASURE_TOO_FEW;
    }
    if (!finite_all(ratings, targets * judges)) {
        return MEASURE_NOT_FINITE;
    }
    double n = (double)targets, k = (double)judges, grand = 0.0, total = 0.0, rows = 0.0,
           columns = 0.0;
    for (size_t i = 0; i < targets * judges; i++) {
        grand += ratings[i] / (n * k);
    }
    for (size_t t = 0; t < targets; t++) {
        double sum = 0.0;
        for (size_t j = 0; j < judges; j++) {
            double d = ratings[t * judges + j] - grand;
            sum += d;
            total += d * d;
        }
        rows += sum * sum / k;
    }
    for (size_t j = 0; j < judges; j++) {
        double sum = 0.0;
        for (size_t t = 0; t < targets; t++) {
            sum += ratings[t * judges + j] - grand;
        }
        columns += sum * sum / n;
    }
    struct intraclass r = {0};
    r.bms = rows / (n - 1.0);
    r.wms = (total - rows) / (n * (k - 1.0));
    r.jms = columns / (k - 1.0);
    r.ems = fmax(0.0, total - rows - columns) / ((n - 1.0) * (k - 1.0));
    double one = r.bms + (k - 1.0) * r.wms, three = r.bms + (k - 1.0) * r.ems;
    double two = three + k * (r.jms - r.ems) / n, two_k = r.bms + (r.jms - r.ems) / n;
    if (!(r.bms > 0.0) || !(one > 0.0) || !(three > 0.0) || !(two > 0.0) || !(two_k > 0.0)) {
        return MEASURE_CONSTANT;
    }
    r.icc_1_1 = (r.bms - r.wms) / one;
    r.icc_2_1 = (r.bms - r.ems) / two;
    r.icc_3_1 = (r.bms - r.ems) / three;
    r.icc_1_k = (r.bms - r.wms) / r.bms;
    r.icc_2_k = (r.bms - r.ems) / two_k;
    r.icc_3_k = (r.bms - r.ems) / r.bms;
    r.sem = sqrt(r.ems);
    r.smallest_change = z_95 * sqrt(2.0) * r.sem;
    *result = r;
    return MEASURE_OK;
}

enum measure_status agreement_limits(const double *a, const double *b, size_t count,
                                     struct agreement *result)
{
    if (count < 3) {
        return MEASURE_TOO_FEW;
    }
    double sum = 0.0, squares = 0.0, n = (double)count;
    if (!finite_all(a, count) || !finite_all(b, count)) {
        return MEASURE_NOT_FINITE;
    }
    for (size_t i = 0; i < count; i++) {
        sum += a[i] - b[i];
    }
    double mean = sum / n;
    for (size_t i = 0; i < count; i++) {
        squares += (a[i] - b[i] - mean) * (a[i] - b[i] - mean);
    }
    double sd = sqrt(squares / (n - 1.0)), t = t_quantile(0.975, n - 1.0);
    if (!(sd > 0.0)) {
        return MEASURE_CONSTANT;
    }
    result->mean_difference = mean;
    result->sd_difference = sd;
    result->low = mean - z_95 * sd;
    result->high = mean + z_95 * sd;
    result->mean_low = mean - t * sd / sqrt(n);
    result->mean_high = mean + t * sd / sqrt(n);
    result->limit_half_width = t * sd * sqrt(3.0 / n);
    return MEASURE_OK;
}

enum measure_status repeatability_of_pairs(const double *first, const double *second, size_t count,
                                           double *within_sd, double *coefficient)
{
    if (count < 2) {
        return MEASURE_TOO_FEW;
    }
    if (!finite_all(first, count) || !finite_all(second, count)) {
        return MEASURE_NOT_FINITE;
    }
    double squares = 0.0;
    for (size_t i = 0; i < count; i++) {
        squares += (first[i] - second[i]) * (first[i] - second[i]);
    }
    *within_sd = sqrt(squares / (2.0 * (double)count));
    *coefficient = z_95 * sqrt(2.0) * *within_sd;
    return MEASURE_OK;
}
