/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/exact_tests.h"

#include "measure/rules.h"
#include "measure/statistics.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

static bool all_finite(const double *values, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(values[i])) {
            return false;
        }
    }
    return true;
}

/* Twice the midrank of each value among all, a whole number whatever is tied. */
static void doubled_ranks(const double *values, size_t count, int *doubled)
{
    for (size_t i = 0; i < count; i++) {
        int under = 0, alike = 0;
        for (size_t k = 0; k < count; k++) {
            under += values[k] < values[i];
            alike += values[k] == values[i];
        }
        doubled[i] = 2 * under + alike + 1;
    }
}

/* The share of all choices of so many of the ranks whose sum is this or more: choices by how many
 * were chosen and their sum, one rank after the other. */
static enum measure_status share_of_choices(const int *doubled, int count, int chosen, int sum,
                                            double *share)
{
    int most = 0;
    for (int i = 0; i < count; i++) {
        most += doubled[i];
    }
    size_t row = (size_t)most + 1;
    double *ways = calloc(row * (size_t)(chosen + 1), sizeof *ways);
    if (ways == NULL) {
        return MEASURE_NO_MEMORY;
    }
    ways[0] = 1.0;
    for (int i = 0; i < count; i++) {
        for (int k = chosen < i + 1 ? chosen : i + 1; k >= 1; k--) {
            double *with = ways + row * (size_t)k;
            const double *without = ways + row * (size_t)(k - 1);
            for (int s = most; s >= doubled[i]; s--) {
                with[s] += without[s - doubled[i]];
            }
        }
    }
    double all = 0.0, as_large = 0.0;
    for (int s = 0; s <= most; s++) {
        double here = ways[row * (size_t)chosen + (size_t)s];
        all += here;
        as_large += s >= sum ? here : 0.0;
    }
    free(ways);
    *share = as_large / all;
    return MEASURE_OK;
}

enum measure_status mann_whitney(const double *later, size_t later_count, const double *base,
                                 size_t base_count, double *u, double *upper_p)
{
    double all[EXACT_VALUES_MAX];
    int doubled[EXACT_VALUES_MAX], sum = 0;
    size_t count = later_count + base_count;
    if (later_count < 1 || base_count < 1) {
        return MEASURE_TOO_FEW;
    }
    if (count > EXACT_VALUES_MAX) {
        return MEASURE_BAD_SETTING;
    }
    if (!all_finite(later, later_count) || !all_finite(base, base_count)) {
        return MEASURE_NOT_FINITE;
    }
    for (size_t i = 0; i < count; i++) {
        all[i] = i < later_count ? later[i] : base[i - later_count];
    }
    doubled_ranks(all, count, doubled);
    for (size_t i = 0; i < later_count; i++) {
        sum += doubled[i];
    }
    double p = 1.0;
    enum measure_status status = share_of_choices(doubled, (int)count, (int)later_count, sum, &p);
    if (status == MEASURE_OK) {
        double n = (double)later_count;
        *u = sum / 2.0 - n * (n + 1.0) / 2.0;
        *upper_p = p;
    }
    return status;
}

/* ---- Kendall ---- */

#define PAIRS_MAX (EXACT_VALUES_MAX * (EXACT_VALUES_MAX - 1) / 2)

/* Times the polynomial 1 + q + ... + q^(terms - 1), kept to most. */
static void times_row(double *ways, int most, int terms)
{
    for (int at = most; at >= 0; at--) {
        double sum = 0.0;
        for (int k = 0; k < terms && k <= at; k++) {
            sum += ways[at - k];
        }
        ways[at] = sum;
    }
}

/* And divided by it. */
static void over_row(double *ways, int most, int terms)
{
    for (int at = 1; at <= most; at++) {
        for (int k = 1; k < terms && k <= at; k++) {
            ways[at] -= ways[at - k];
        }
    }
}

/* Ways to have so many pairs that fall, of values of which some are tied: [n]! / prod [t]!. Shares,
 * so that no number grows large. */
static void falling_pairs(const double *values, int count, double *share, int most)
{
    double all = 1.0, sum = 0.0;
    for (int i = 0; i <= most; i++) {
        share[i] = i == 0 ? 1.0 : 0.0;
    }
    for (int terms = 2; terms <= count; terms++) {
        times_row(share, most, terms);
        all = terms;
        for (int i = 0; i <= most; i++) {
            share[i] /= all;
        }
    }
    for (int i = 0; i < count; i++) {
        int alike = 1;
        for (int k = 0; k < i; k++) {
            alike += values[k] == values[i];
        }
        if (alike > 1) {
            over_row(share, most, alike);
        }
    }
    for (int i = 0; i <= most; i++) {
        share[i] = fmax(share[i], 0.0);
        sum += share[i];
    }
    for (int i = 0; i <= most; i++) {
        share[i] /= sum;
    }
}

/* P(S >= s); S = pairs not tied - 2 falling ones. */
static double upper_of(const double *share, int pairs, int s)
{
    double p = 0.0;
    for (int falling = 0; falling <= pairs && pairs - 2 * falling >= s; falling++) {
        p += share[falling];
    }
    return fmin(p, 1.0);
}

static void count_pairs(const double *values, int count, int *s, int *pairs)
{
    *s = *pairs = 0;
    for (int i = 0; i < count; i++) {
        for (int k = 0; k < i; k++) {
            *s += (values[i] > values[k]) - (values[i] < values[k]);
            *pairs += values[i] != values[k];
        }
    }
}

enum measure_status kendall_rising(const double *values, size_t count, int *s, double *upper_p)
{
    double share[PAIRS_MAX + 1];
    int pairs = 0, rising = 0;
    if (count < 2) {
        return MEASURE_TOO_FEW;
    }
    if (count > EXACT_VALUES_MAX) {
        return MEASURE_BAD_SETTING;
    }
    if (!all_finite(values, count)) {
        return MEASURE_NOT_FINITE;
    }
    count_pairs(values, (int)count, &rising, &pairs);
    falling_pairs(values, (int)count, share, pairs);
    *s = rising;
    *upper_p = upper_of(share, pairs, rising);
    return MEASURE_OK;
}

/* ---- the slope ---- */

static int by_size(const void *a, const void *b)
{
    double one = *(const double *)a, other = *(const double *)b;
    return (one > other) - (one < other);
}

/* The least S that chance reaches in a share of INTERVAL_LOW at most, of values none tied (of tied
 * ones the interval is too wide); -1: none. */
static int s_of_interval(int count, int pairs)
{
    double share[PAIRS_MAX + 1], apart[EXACT_VALUES_MAX];
    for (int i = 0; i < count; i++) {
        apart[i] = i;
    }
    falling_pairs(apart, count, share, pairs);
    for (int s = pairs % 2; s <= pairs; s += 2) {
        if (upper_of(share, pairs, s) <= INTERVAL_LOW) {
            return s;
        }
    }
    return -1;
}

enum measure_status trend_of(const double *x, const double *y, size_t count, struct trend *trend)
{
    struct trend found = {.low = -INFINITY, .high = INFINITY};
    double falling[EXACT_VALUES_MAX];
    enum measure_status status = kendall_rising(y, count, &found.s, &found.rising_p);
    if (status != MEASURE_OK) {
        return status;
    }
    int n = (int)count, pairs = 0, s = 0;
    double *slopes = malloc(sizeof *slopes * (size_t)(n * (n - 1) / 2));
    if (slopes == NULL) {
        return MEASURE_NO_MEMORY;
    }
    for (int i = 0; i < n; i++) {
        falling[i] = -y[i];
        for (int k = 0; k < i; k++) {
            if (!isfinite(x[i]) || !(x[i] > x[k])) {
                free(slopes);
                return MEASURE_UNSORTED;
            }
            slopes[pairs++] = (y[i] - y[k]) / (x[i] - x[k]);
        }
    }
    kendall_rising(falling, count, &s, &found.falling_p);
    qsort(slopes, (size_t)pairs, sizeof *slopes, by_size);
    int passed = s_of_interval(n, pairs);
    if (passed >= 0) {
        int lowest = (pairs - (passed - 2)) / 2;
        if (lowest >= 1) {
            found.low = slopes[lowest - 1];
            found.high = slopes[pairs - lowest];
        }
    }
    status = statistics_median(slopes, (size_t)pairs, &found.slope);
    free(slopes);
    if (status == MEASURE_OK) {
        *trend = found;
    }
    return status;
}
