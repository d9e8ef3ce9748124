/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/range_calibration.h"

#include "measure/distribution.h"

#include <math.h>
#include <string.h>

#define SAME_LEVEL_MM 1e-6

static enum measure_status check(const double *known_mm, const double *reading_mm, size_t count)
{
    if (count > CALIBRATION_POINTS_MAX) {
        return MEASURE_BAD_SETTING;
    }
    if (count < 2) {
        return MEASURE_TOO_FEW;
    }
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(known_mm[i]) || !isfinite(reading_mm[i])) {
            return MEASURE_NOT_FINITE;
        }
    }
    return MEASURE_OK;
}

static double mean_of(const double *values, size_t count)
{
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        sum += values[i] - values[0];
    }
    return values[0] + sum / (double)count;
}

/* The pure error: how readings of one level scatter about their own mean. */
static void judge_levels(const double *known_mm, const double *reading_mm, size_t count,
                         double ss_residual, struct range_calibration *calibration)
{
    bool done[CALIBRATION_POINTS_MAX] = {false};
    double ss_scatter = 0.0, levels = 0.0;
    for (size_t i = 0; i < count; i++) {
        double sum = 0.0, n = 0.0;
        if (done[i]) {
            continue;
        }
        levels += 1.0;
        for (size_t j = i; j < count; j++) {
            if (fabs(known_mm[j] - known_mm[i]) <= SAME_LEVEL_MM) {
                done[j] = true;
                sum += reading_mm[j];
                n += 1.0;
            }
        }
        for (size_t j = i; j < count; j++) {
            double away = reading_mm[j] - sum / n;
            if (fabs(known_mm[j] - known_mm[i]) <= SAME_LEVEL_MM) {
                ss_scatter += away * away;
            }
        }
    }
    double lack_df = levels - 2.0, scatter_df = (double)count - levels;
    if (lack_df < 1.0 || scatter_df < 1.0 || !(ss_scatter > 0.0)) {
        return;
    }
    double ss_lack = fmax(ss_residual - ss_scatter, 0.0);
    calibration->has_lack_of_fit = true;
    calibration->lack_of_fit_p =
        f_upper((ss_lack / lack_df) / (ss_scatter / scatter_df), lack_df, scatter_df);
}

enum measure_status calibration_fit(const double *known_mm, const double *reading_mm, size_t count,
                                    struct range_calibration *calibration)
{
    memset(calibration, 0, sizeof *calibration);
    enum measure_status status = check(known_mm, reading_mm, count);
    if (status != MEASURE_OK) {
        return status;
    }
    double known_mean = mean_of(known_mm, count), reading_mean = mean_of(reading_mm, count);
    double ss_known = 0.0, products = 0.0, ss_reading = 0.0, ss_residual = 0.0;
    for (size_t i = 0; i < count; i++) {
        double x = known_mm[i] - known_mean, y = reading_mm[i] - reading_mean;
        ss_known += x * x;
        products += x * y;
        ss_reading += y * y;
    }
    if (!(ss_known > SAME_LEVEL_MM * SAME_LEVEL_MM) || !(ss_reading > 0.0) || products == 0.0) {
        return MEASURE_CONSTANT;
    }
    calibration->slope = products / ss_known;
    calibration->gain = 1.0 / calibration->slope;
    calibration->offset_mm = known_mean - reading_mean / calibration->slope;
    for (size_t i = 0; i < count; i++) {
        double residual =
            reading_mm[i] - reading_mean - calibration->slope * (known_mm[i] - known_mean);
        ss_residual += residual * residual;
        if (fabs(residual) > fabs(calibration->worst_residual_mm)) {
            calibration->worst_residual_mm = residual;
        }
    }
    if (count >= 3) {
        calibration->has_errors = true;
        calibration->residual_sd_mm = sqrt(ss_residual / ((double)count - 2.0));
        calibration->slope_u = calibration->residual_sd_mm / sqrt(ss_known);
    }
    judge_levels(known_mm, reading_mm, count, ss_residual, calibration);
    return MEASURE_OK;
}
