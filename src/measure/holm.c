/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/holm.h"

#include "measure/distribution.h"

#include <math.h>
#include <stdint.h>

enum measure_status holm_adjust(const double *p, size_t count, double *adjusted)
{
    for (size_t i = 0; i < count; i++) {
        if (!(p[i] >= 0.0 && p[i] <= 1.0)) {
            return MEASURE_NOT_FINITE;
        }
    }
    /* Families are small (setups): step down by looking for the next larger one. The results are
     * held back until all are known, since adjusted may be p. */
    double kept[64];
    double last_p = -1.0, largest = 0.0;
    size_t last = SIZE_MAX;
    if (count > sizeof kept / sizeof kept[0]) {
        return MEASURE_BAD_SETTING;
    }
    for (size_t rank = 0; rank < count; rank++) {
        size_t next = SIZE_MAX;
        for (size_t i = 0; i < count; i++) {
            bool behind = p[i] > last_p || (p[i] == last_p && last != SIZE_MAX && i > last);
            if (behind && (next == SIZE_MAX || p[i] < p[next])) {
                next = i;
            }
        }
        largest = fmax(largest, fmin(1.0, (double)(count - rank) * p[next]));
        kept[next] = largest;
        last = next;
        last_p = p[next];
    }
    for (size_t i = 0; i < count; i++) {
        adjusted[i] = kept[i];
    }
    return MEASURE_OK;
}

enum measure_status equivalence_test(double difference, double se, double df, double margin,
                                     struct equivalence *result)
{
    if (!isfinite(difference) || !(se > 0.0) || isinf(se) || !(df > 0.0) || !(margin > 0.0) ||
        isinf(margin)) {
        return MEASURE_BAD_SETTING;
    }
    double half = t_quantile(0.95, df) * se;
    result->t_lower = (difference + margin) / se;
    result->t_upper = (difference - margin) / se;
    result->p = fmax(t_upper(result->t_lower, df), t_upper(-result->t_upper, df));
    result->low_90 = difference - half;
    result->high_90 = difference + half;
    result->equivalent = result->low_90 > -margin && result->high_90 < margin;
    return MEASURE_OK;
}

static enum measure_status finish(double difference, double se, double df,
                                  struct mean_difference *result)
{
    if (!(se > 0.0)) {
        return MEASURE_CONSTANT;
    }
    double half = t_quantile(0.975, df) * se;
    result->difference = difference;
    result->se = se;
    result->df = df;
    result->t = difference / se;
    result->p = t_two_sided_p(result->t, df);
    result->low = difference - half;
    result->high = difference + half;
    return MEASURE_OK;
}

static enum measure_status check(double mean_a, double sd_a, size_t count_a, double mean_b,
                                 double sd_b, size_t count_b)
{
    if (count_a < 2 || count_b < 2) {
        return MEASURE_TOO_FEW;
    }
    if (!isfinite(mean_a) || !isfinite(mean_b) || !isfinite(sd_a) || !isfinite(sd_b)) {
        return MEASURE_NOT_FINITE;
    }
    return sd_a < 0.0 || sd_b < 0.0 ? MEASURE_BAD_SETTING : MEASURE_OK;
}

enum measure_status welch_test(double mean_a, double sd_a, size_t count_a, double mean_b,
                               double sd_b, size_t count_b, struct mean_difference *result)
{
    enum measure_status status = check(mean_a, sd_a, count_a, mean_b, sd_b, count_b);
    if (status != MEASURE_OK) {
        return status;
    }
    double a = sd_a * sd_a / (double)count_a, b = sd_b * sd_b / (double)count_b;
    double df = (a + b) * (a + b) / (a * a / (double)(count_a - 1) + b * b / (double)(count_b - 1));
    return finish(mean_a - mean_b, sqrt(a + b), df, result);
}

enum measure_status pooled_test(double mean_a, double sd_a, size_t count_a, double mean_b,
                                double sd_b, size_t count_b, struct mean_difference *result)
{
    enum measure_status status = check(mean_a, sd_a, count_a, mean_b, sd_b, count_b);
    if (status != MEASURE_OK) {
        return status;
    }
    double df_a = (double)(count_a - 1), df_b = (double)(count_b - 1);
    double variance = (df_a * sd_a * sd_a + df_b * sd_b * sd_b) / (df_a + df_b);
    double se = sqrt(variance * (1.0 / (double)count_a + 1.0 / (double)count_b));
    return finish(mean_a - mean_b, se, df_a + df_b, result);
}
