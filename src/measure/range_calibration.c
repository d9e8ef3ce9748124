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
    double ss_scatter = 0.0;
    calibration->levels = 0;
    for (size_t i = 0; i < count; i++) {
        double sum = 0.0, n = 0.0;
        if (done[i]) {
            continue;
        }
        calibration->levels++;
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
    calibration->lack_of_fit_df = (double)calibration->levels - 2.0;
    calibration->scatter_df = (double)(count - calibration->levels);
    if (calibration->lack_of_fit_df < 1.0 || calibration->scatter_df < 1.0 || !(ss_scatter > 0.0)) {
        return;
    }
    double ss_lack = fmax(ss_residual - ss_scatter, 0.0);
    calibration->has_lack_of_fit = true;
    calibration->lack_of_fit_f =
        (ss_lack / calibration->lack_of_fit_df) / (ss_scatter / calibration->scatter_df);
    calibration->lack_of_fit_p =
        f_upper(calibration->lack_of_fit_f, calibration->lack_of_fit_df, calibration->scatter_df);
}

static void find_errors(size_t count, double ss_residual, struct range_calibration *calibration)
{
    double n = (double)count, from_mean = calibration->known_mean_mm - calibration->origin_mm;
    if (count < 3) {
        return;
    }
    calibration->has_errors = true;
    calibration->df = n - 2.0;
    calibration->residual_sd_mm = sqrt(ss_residual / calibration->df);
    double at_origin = 1.0 / n + from_mean * from_mean / calibration->known_ss_mm2;
    calibration->intercept_u_mm = calibration->residual_sd_mm * sqrt(at_origin);
    calibration->slope_u = calibration->residual_sd_mm / sqrt(calibration->known_ss_mm2);
    calibration->correlation = -from_mean / sqrt(calibration->known_ss_mm2 * at_origin);
}

enum measure_status calibration_fit(const double *known_mm, const double *reading_mm, size_t count,
                                    double origin_mm, struct range_calibration *calibration)
{
    memset(calibration, 0, sizeof *calibration);
    enum measure_status status = check(known_mm, reading_mm, count);
    if (status == MEASURE_OK && !isfinite(origin_mm)) {
        status = MEASURE_BAD_SETTING;
    }
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
    calibration->points = count;
    calibration->origin_mm = origin_mm;
    calibration->known_mean_mm = known_mean;
    calibration->known_ss_mm2 = ss_known;
    calibration->slope = products / ss_known;
    calibration->intercept_mm = reading_mean + calibration->slope * (origin_mm - known_mean);
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
    find_errors(count, ss_residual, calibration);
    judge_levels(known_mm, reading_mm, count, ss_residual, calibration);
    return MEASURE_OK;
}
