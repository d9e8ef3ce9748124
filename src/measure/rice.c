/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/rice.h"

#include <math.h>

enum measure_status rice_upcrossings(double level, double sd, double sd_rate, double *per_second)
{
    if (!isfinite(level) || !isfinite(sd) || !isfinite(sd_rate)) {
        return MEASURE_NOT_FINITE;
    }
    if (sd < 0.0 || sd_rate < 0.0) {
        return MEASURE_BAD_SETTING;
    }
    if (!(sd > 0.0)) {
        return MEASURE_CONSTANT;
    }
    double z = level / sd;
    *per_second = sd_rate / (6.28318530717958647692 * sd) * exp(-0.5 * z * z);
    return MEASURE_OK;
}

enum measure_status rice_from_signal(const double *values, size_t count, double step_s,
                                     double level, double *per_second)
{
    if (count < 3) {
        return MEASURE_TOO_FEW;
    }
    if (!(step_s > 0.0) || isinf(step_s)) {
        return MEASURE_BAD_SETTING;
    }
    double sum = 0.0, squares = 0.0, differences = 0.0, n = (double)count;
    for (size_t i = 0; i < count; i++) {
        sum += values[i] - values[0];
    }
    double mean = values[0] + sum / n;
    for (size_t i = 0; i < count; i++) {
        squares += (values[i] - mean) * (values[i] - mean);
        if (i > 0) {
            differences += (values[i] - values[i - 1]) * (values[i] - values[i - 1]);
        }
    }
    double sd_rate = sqrt(differences / (n - 1.0)) / step_s;
    return rice_upcrossings(level - mean, sqrt(squares / n), sd_rate, per_second);
}

size_t count_upcrossings(const double *values, size_t count, double level)
{
    size_t crossings = 0;
    for (size_t i = 1; i < count; i++) {
        crossings += values[i - 1] < level && level <= values[i];
    }
    return crossings;
}
