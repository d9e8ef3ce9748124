/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/censored_line.h"

#include "gsl_quiet.h"

#include "measure/distribution.h"
#include "measure/statistics.h"

#include <gsl/gsl_sf_erf.h>
#include <math.h>

#define ROUNDS_MOST 20000
#define CLOSE_ENOUGH 1e-13 /* of the SD, and of the line in SDs */
#define HALF_LOG_TWO_PI 0.91893853320467274178

/* phi(z) / (1 - Phi(z)). */
static double hazard(double z)
{
    return gsl_sf_hazard(z);
}

static enum measure_status look(const double *x, const double *y, const bool *at_least,
                                size_t count, struct censored_line *line)
{
    double first = NAN;
    bool apart = false;
    line->seen = 0;
    if (count > CENSORED_VALUES_MAX) {
        return MEASURE_BAD_SETTING;
    }
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(x[i]) || !isfinite(y[i])) {
            return MEASURE_NOT_FINITE;
        }
        if (!at_least[i]) {
            first = line->seen == 0 ? x[i] : first;
            apart = apart || x[i] != first;
            line->seen++;
        }
    }
    return line->seen < 3 ? MEASURE_TOO_FEW : apart ? MEASURE_OK : MEASURE_CONSTANT;
}

/* What is expected of each value, and the variance of what is censored; then the line through that.
 */
static enum measure_status improve(const double *x, const double *y, const bool *at_least,
                                   size_t count, struct censored_line *line)
{
    double expected[CENSORED_VALUES_MAX] = {0}, hidden = 0.0, squares = 0.0;
    struct line_fit fit;
    for (size_t i = 0; i < count; i++) {
        double mean = line->intercept + line->slope * x[i];
        double z = (y[i] - mean) / line->sd;
        expected[i] = y[i];
        if (at_least[i]) {
            double h = hazard(z);
            expected[i] = mean + line->sd * h;
            hidden += line->sd * line->sd * (1.0 + z * h - h * h);
        }
    }
    enum measure_status status = statistics_line(x, expected, count, &fit);
    if (status != MEASURE_OK) {
        return status;
    }
    for (size_t i = 0; i < count; i++) {
        double left = expected[i] - fit.intercept - fit.slope * x[i];
        squares += left * left;
    }
    line->intercept = fit.intercept;
    line->slope = fit.slope;
    line->sd = sqrt((squares + hidden) / (double)count);
    return line->sd > 0.0 ? MEASURE_OK : MEASURE_CONSTANT;
}

/* Second derivatives of the log likelihood in mean and SD, signs turned. */
static void information(double z, bool at_least, double sd, double *mean_mean, double *mean_sd,
                        double *sd_sd)
{
    double variance = sd * sd;
    if (at_least) {
        double h = hazard(z), slope = h * (h - z);
        *mean_mean = slope / variance;
        *mean_sd = (slope * z + h) / variance;
        *sd_sd = (slope * z * z + 2.0 * h * z) / variance;
    } else {
        *mean_mean = 1.0 / variance;
        *mean_sd = 2.0 * z / variance;
        *sd_sd = (3.0 * z * z - 1.0) / variance;
    }
}

/* Standard errors: the roots of the inverse's diagonal. */
static enum measure_status errors(const double *x, const double *y, const bool *at_least,
                                  size_t count, struct censored_line *line)
{
    double a = 0, b = 0, c = 0, d = 0, e = 0, f = 0; /* [a b c; b d e; c e f] */
    line->log_likelihood = 0.0;
    for (size_t i = 0; i < count; i++) {
        double z = (y[i] - line->intercept - line->slope * x[i]) / line->sd, mm, ms, ss;
        information(z, at_least[i], line->sd, &mm, &ms, &ss);
        a += mm;
        b += mm * x[i];
        c += ms;
        d += mm * x[i] * x[i];
        e += ms * x[i];
        f += ss;
        line->log_likelihood += at_least[i] ? gsl_sf_log_erfc(z / sqrt(2.0)) - log(2.0)
                                            : -log(line->sd) - HALF_LOG_TWO_PI - z * z / 2.0;
    }
    double all = a * (d * f - e * e) - b * (b * f - c * e) + c * (b * e - c * d);
    double intercept = (d * f - e * e) / all, slope = (a * f - c * c) / all;
    double sd = (a * d - b * b) / all;
    if (!(intercept > 0.0) || !(slope > 0.0) || !(sd > 0.0)) {
        return MEASURE_CONSTANT;
    }
    line->intercept_se = sqrt(intercept);
    line->slope_se = sqrt(slope);
    line->sd_se = sqrt(sd);
    return MEASURE_OK;
}

enum measure_status censored_line_fit(const double *x, const double *y, const bool *at_least,
                                      size_t count, struct censored_line *line)
{
    struct censored_line found = {.seen = 0};
    struct line_fit start;
    gsl_quiet();
    enum measure_status status = look(x, y, at_least, count, &found);
    if (status == MEASURE_OK) {
        status = statistics_line(x, y, count, &start);
    }
    if (status != MEASURE_OK) {
        return status;
    }
    found.intercept = start.intercept;
    found.slope = start.slope;
    found.sd = start.residual_sd;
    if (!(found.sd > 0.0)) {
        return MEASURE_CONSTANT;
    }
    for (int round = 0; round < ROUNDS_MOST && status == MEASURE_OK; round++) {
        struct censored_line before = found;
        status = improve(x, y, at_least, count, &found);
        double moved = fabs(found.intercept - before.intercept) + fabs(found.slope - before.slope) +
                       fabs(found.sd - before.sd);
        if (moved < CLOSE_ENOUGH * found.sd) {
            break;
        }
    }
    if (status == MEASURE_OK) {
        status = errors(x, y, at_least, count, &found);
    }
    found.df = (double)found.seen - 2.0;
    if (status == MEASURE_OK) {
        *line = found;
    }
    return status;
}

double censored_line_slope_half_width(const struct censored_line *line)
{
    double as_sample = sqrt((double)line->seen / line->df);
    return t_interval(line->df) * line->slope_se * as_sample;
}
