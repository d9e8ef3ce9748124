/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/ellipse.h"

#include "base/angle.h"

#include <math.h>

static enum measure_status moments(const double *x, const double *y, size_t count,
                                   struct ellipse *ellipse)
{
    double sum_x = 0.0, sum_y = 0.0, xx = 0.0, yy = 0.0, xy = 0.0, n = (double)count;
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(x[i]) || !isfinite(y[i])) {
            return MEASURE_NOT_FINITE;
        }
        sum_x += x[i] - x[0];
        sum_y += y[i] - y[0];
    }
    ellipse->mean_x = x[0] + sum_x / n;
    ellipse->mean_y = y[0] + sum_y / n;
    for (size_t i = 0; i < count; i++) {
        double dx = x[i] - ellipse->mean_x, dy = y[i] - ellipse->mean_y;
        xx += dx * dx;
        yy += dy * dy;
        xy += dx * dy;
    }
    ellipse->var_x = xx / (n - 1.0);
    ellipse->var_y = yy / (n - 1.0);
    ellipse->cov_xy = xy / (n - 1.0);
    return MEASURE_OK;
}

/* From count, means and covariances. */
static enum measure_status finish(struct ellipse made, struct ellipse *ellipse)
{
    double determinant = made.var_x * made.var_y - made.cov_xy * made.cov_xy;
    if (!(determinant > 1e-12 * made.var_x * made.var_y)) {
        return MEASURE_CONSTANT;
    }
    double n = (double)made.count, m = n - 2.0;
    /* F(0.95; 2, m) in closed form: (m/2) (0.05^(-2/m) - 1) */
    double f = 0.5 * m * expm1(-2.0 / m * log(0.05));
    made.scale = 2.0 * (n - 1.0) * (n + 1.0) / (n * m) * f;
    made.area = PI * made.scale * sqrt(determinant);
    double half_sum = 0.5 * (made.var_x + made.var_y),
           half_difference = 0.5 * (made.var_x - made.var_y);
    double root = hypot(half_difference, made.cov_xy), large = half_sum + root;
    made.semi_major = sqrt(made.scale * large);
    made.semi_minor = sqrt(made.scale * determinant / large);
    made.angle_deg = 0.5 * atan2(made.cov_xy, half_difference) * 180.0 / PI;
    made.correlation = made.cov_xy / sqrt(made.var_x * made.var_y);
    *ellipse = made;
    return MEASURE_OK;
}

enum measure_status ellipse_95(const double *x, const double *y, size_t count,
                               struct ellipse *ellipse)
{
    struct ellipse made = {.count = count};
    if (count < 3) {
        return MEASURE_TOO_FEW;
    }
    enum measure_status status = moments(x, y, count, &made);
    return status == MEASURE_OK ? finish(made, ellipse) : status;
}

enum measure_status ellipse_pool(const struct ellipse *ellipses, int count, struct ellipse *pooled)
{
    struct ellipse made = {0};
    double n = 0.0, xx = 0.0, yy = 0.0, xy = 0.0;
    for (int i = 0; i < count; i++) {
        const struct ellipse *one = &ellipses[i];
        double m = (double)one->count, dx = one->mean_x - made.mean_x,
               dy = one->mean_y - made.mean_y;
        if (one->count == 0) {
            continue;
        }
        double weight = n * m / (n + m);
        xx += one->var_x * (m - 1.0) + weight * dx * dx;
        yy += one->var_y * (m - 1.0) + weight * dy * dy;
        xy += one->cov_xy * (m - 1.0) + weight * dx * dy;
        made.mean_x += dx * m / (n + m);
        made.mean_y += dy * m / (n + m);
        n += m;
        made.count += one->count;
    }
    if (made.count < 3) {
        return MEASURE_TOO_FEW;
    }
    made.var_x = xx / (n - 1.0);
    made.var_y = yy / (n - 1.0);
    made.cov_xy = xy / (n - 1.0);
    return finish(made, pooled);
}
