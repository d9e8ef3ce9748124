/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/statistics.h"

#include <math.h>
#include <stdbool.h>

static bool all_finite(const double *values, size_t count)
{
    /* x - x is 0 for every finite x and a NaN otherwise, and a sum keeps a NaN. */
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        sum += values[i] - values[i];
    }
    return sum == 0.0;
}

static double mean_of(const double *values, size_t count)
{
    double sum = 0.0, rest = 0.0;
    for (size_t i = 0; i < count; i++) {
        sum += values[i];
    }
    double mean = sum / (double)count;
    for (size_t i = 0; i < count; i++) {
        rest += values[i] - mean;
    }
    return mean + rest / (double)count;
}

enum measure_status statistics_mean(const double *values, size_t count, double *mean)
{
    if (count < 1) {
        return MEASURE_TOO_FEW;
    }
    if (!all_finite(values, count)) {
        return MEASURE_NOT_FINITE;
    }
    *mean = mean_of(values, count);
    return MEASURE_OK;
}

enum measure_status statistics_mean_sd(const double *values, size_t count, double *mean, double *sd)
{
    if (count < 2) {
        return MEASURE_TOO_FEW;
    }
    if (!all_finite(values, count)) {
        return MEASURE_NOT_FINITE;
    }
    *mean = mean_of(values, count);
    double squares = 0.0, rest = 0.0;
    for (size_t i = 0; i < count; i++) {
        double d = values[i] - *mean;
        squares += d * d;
        rest += d;
    }
    double variance = (squares - rest * rest / (double)count) / (double)(count - 1);
    *sd = variance > 0.0 ? sqrt(variance) : 0.0;
    return MEASURE_OK;
}

enum measure_status statistics_autocorrelation(const double *values, size_t count, double *lag_1)
{
    if (count < 3) {
        return MEASURE_TOO_FEW;
    }
    if (!all_finite(values, count)) {
        return MEASURE_NOT_FINITE;
    }
    double mean = mean_of(values, count), products = 0.0;
    double squares = (values[0] - mean) * (values[0] - mean);
    for (size_t i = 1; i < count; i++) {
        products += (values[i] - mean) * (values[i - 1] - mean);
        squares += (values[i] - mean) * (values[i] - mean);
    }
    if (!(squares > 0.0)) {
        return MEASURE_CONSTANT;
    }
    *lag_1 = products / squares;
    return MEASURE_OK;
}

static void swap(double *a, double *b)
{
    double t = *a;
    *a = *b;
    *b = t;
}

/* Puts the k-th smallest value at place k, none larger before it, none smaller after (Hoare 1961,
 * Algorithm 65, with the median of three as pivot). */
static void select_place(double *values, size_t count, size_t k)
{
    size_t low = 0, high = count - 1;
    while (low < high) {
        double a = values[low], b = values[low + (high - low) / 2], c = values[high];
        double pivot = fmax(fmin(a, b), fmin(fmax(a, b), c));
        size_t i = low, j = high;
        for (;;) {
            while (values[i] < pivot) {
                i++;
            }
            while (pivot < values[j]) {
                j--;
            }
            if (i > j) {
                break;
            }
            swap(&values[i], &values[j]);
            i++;
            if (j == 0) {
                break;
            }
            j--;
            if (i > j) {
                break;
            }
        }
        if (j < k) {
            low = i;
        }
        if (k < i) {
            high = j;
        }
    }
}

static double quantile_of(double *values, size_t count, double share)
{
    double place = share * (double)(count - 1);
    size_t below = (size_t)place;
    if (below >= count - 1) {
        below = count - 1;
    }
    double part = place - (double)below;
    select_place(values, count, below);
    if (!(part > 0.0) || below + 1 >= count) {
        return values[below];
    }
    double next = values[below + 1];
    for (size_t i = below + 2; i < count; i++) {
        if (values[i] < next) {
            next = values[i];
        }
    }
    return values[below] + part * (next - values[below]);
}

enum measure_status statistics_quantile(double *values, size_t count, double share,
                                        double *quantile)
{
    if (!(share >= 0.0 && share <= 1.0)) {
        return MEASURE_BAD_SETTING;
    }
    if (count < 1) {
        return MEASURE_TOO_FEW;
    }
    if (!all_finite(values, count)) {
        return MEASURE_NOT_FINITE;
    }
    *quantile = quantile_of(values, count, share);
    return MEASURE_OK;
}

enum measure_status statistics_median(double *values, size_t count, double *median)
{
    return statistics_quantile(values, count, 0.5, median);
}

enum measure_status statistics_mad(double *values, size_t count, double *median, double *mad)
{
    enum measure_status status = statistics_median(values, count, median);
    if (status != MEASURE_OK) {
        return status;
    }
    for (size_t i = 0; i < count; i++) {
        values[i] = fabs(values[i] - *median);
    }
    *mad = quantile_of(values, count, 0.5);
    return MEASURE_OK;
}

enum measure_status statistics_line(const double *x, const double *y, size_t count,
                                    struct line_fit *fit)
{
    if (count < 3) {
        return MEASURE_TOO_FEW;
    }
    if (!all_finite(x, count) || !all_finite(y, count)) {
        return MEASURE_NOT_FINITE;
    }
    double mean_x = mean_of(x, count), mean_y = mean_of(y, count);
    double xx = 0.0, xy = 0.0;
    for (size_t i = 0; i < count; i++) {
        double dx = x[i] - mean_x;
        xx += dx * dx;
        xy += dx * (y[i] - mean_y);
    }
    if (!(xx > 0.0)) {
        return MEASURE_CONSTANT;
    }
    double slope = xy / xx, residual = 0.0;
    for (size_t i = 0; i < count; i++) {
        double e = (y[i] - mean_y) - slope * (x[i] - mean_x);
        residual += e * e;
    }
    double variance = residual / (double)(count - 2);
    fit->slope = slope;
    fit->intercept = mean_y - slope * mean_x;
    fit->residual_sd = sqrt(variance);
    fit->slope_se = sqrt(variance / xx);
    return MEASURE_OK;
}

enum measure_status statistics_theil_sen(const double *x, const double *y, size_t count,
                                         double *slope)
{
    if (count < 2) {
        return MEASURE_TOO_FEW;
    }
    if (!all_finite(x, count) || !all_finite(y, count)) {
        return MEASURE_NOT_FINITE;
    }
    double px[THEIL_SEN_MAX], py[THEIL_SEN_MAX];
    double slopes[THEIL_SEN_MAX * (THEIL_SEN_MAX - 1) / 2];
    size_t group = (count + THEIL_SEN_MAX - 1) / THEIL_SEN_MAX, points = 0, pairs = 0;
    for (size_t first = 0; first < count; first += group) {
        size_t in_group = count - first < group ? count - first : group;
        px[points] = mean_of(x + first, in_group);
        py[points] = mean_of(y + first, in_group);
        points++;
    }
    for (size_t i = 0; i < points; i++) {
        for (size_t j = i + 1; j < points; j++) {
            if (px[j] != px[i]) {
                slopes[pairs++] = (py[j] - py[i]) / (px[j] - px[i]);
            }
        }
    }
    if (pairs == 0) {
        return MEASURE_CONSTANT;
    }
    *slope = quantile_of(slopes, pairs, 0.5);
    return MEASURE_OK;
}
