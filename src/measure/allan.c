/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/allan.h"

#include <math.h>
#include <string.h>

#define GROUPS_MIN 9

static enum measure_status check(const double *values, size_t count, size_t factor)
{
    if (factor < 1) {
        return MEASURE_BAD_SETTING;
    }
    if (count / factor < 2) {
        return MEASURE_TOO_FEW;
    }
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(values[i])) {
            return MEASURE_NOT_FINITE;
        }
    }
    return MEASURE_OK;
}

/* The difference of two neighbouring groups' sums moves along by exchanging three readings; it is
 * summed anew now and then, so that rounding does not pile up. */
#define RESUM_EVERY 4096

static double difference_of_sums(const double *values, size_t first, size_t factor)
{
    double sum = 0.0;
    for (size_t i = 0; i < factor; i++) {
        sum += values[first + factor + i] - values[first + i];
    }
    return sum;
}

enum measure_status allan_overlapping(const double *values, size_t count, size_t factor,
                                      double *deviation)
{
    enum measure_status status = check(values, count, factor);
    if (status != MEASURE_OK) {
        return status;
    }
    size_t pairs = count - 2 * factor + 1;
    double squares = 0.0, sum = 0.0, m = (double)factor;
    for (size_t k = 0; k < pairs; k++) {
        if (k % RESUM_EVERY == 0) {
            sum = difference_of_sums(values, k, factor);
        } else {
            sum += values[k - 1 + 2 * factor] - 2.0 * values[k - 1 + factor] + values[k - 1];
        }
        squares += sum * sum;
    }
    *deviation = sqrt(squares / (2.0 * m * m * (double)pairs));
    return MEASURE_OK;
}

enum measure_status allan_curve(const double *values, size_t count, double step_s,
                                struct allan_curve *curve)
{
    memset(curve, 0, sizeof *curve);
    if (!(step_s > 0.0) || isinf(step_s)) {
        return MEASURE_BAD_SETTING;
    }
    if (count < 2 * GROUPS_MIN) {
        return MEASURE_TOO_FEW;
    }
    for (size_t factor = 1; count / factor >= GROUPS_MIN && curve->count < ALLAN_POINTS_MAX;
         factor *= 2) {
        struct allan_point *point = &curve->point[curve->count];
        enum measure_status status = allan_overlapping(values, count, factor, &point->deviation);
        if (status != MEASURE_OK) {
            return status;
        }
        if (factor == 1 && !(point->deviation > 0.0)) {
            return MEASURE_CONSTANT;
        }
        point->factor = factor;
        point->averaging_s = (double)factor * step_s;
        if (point->deviation < curve->point[curve->best].deviation) {
            curve->best = curve->count;
        }
        curve->count++;
    }
    return MEASURE_OK;
}
