/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/york.h"

#include "measure/distribution.h"
#include "measure/statistics.h"

#include <math.h>
#include <stdbool.h>

#define ROUNDS_MOST 1000

struct state {
    const struct york_point *points;
    size_t count;
    double weight[YORK_POINTS_MAX], beta[YORK_POINTS_MAX];
    double mean_x, mean_y, sum_weight;
};

/* Weights and adjusted places (beta, about the weighted mean) for a slope. */
static void adjust(struct state *s, double slope)
{
    s->sum_weight = s->mean_x = s->mean_y = 0.0;
    for (size_t i = 0; i < s->count; i++) {
        const struct york_point *p = &s->points[i];
        double w_x = 1.0 / (p->u_x * p->u_x), w_y = 1.0 / (p->u_y * p->u_y);
        double w = w_x * w_y /
                   (w_x + slope * slope * w_y - 2.0 * slope * p->correlation * sqrt(w_x * w_y));
        s->weight[i] = w;
        s->sum_weight += w;
        s->mean_x += w * p->x;
        s->mean_y += w * p->y;
    }
    s->mean_x /= s->sum_weight;
    s->mean_y /= s->sum_weight;
    for (size_t i = 0; i < s->count; i++) {
        const struct york_point *p = &s->points[i];
        double u = p->x - s->mean_x, v = p->y - s->mean_y;
        s->beta[i] = s->weight[i] * (u * p->u_y * p->u_y + slope * v * p->u_x * p->u_x -
                                     (slope * u + v) * p->correlation * p->u_x * p->u_y);
    }
}

static bool next_slope(struct state *s, double slope, double *next)
{
    double above = 0.0, below = 0.0;
    adjust(s, slope);
    for (size_t i = 0; i < s->count; i++) {
        above += s->weight[i] * s->beta[i] * (s->points[i].y - s->mean_y);
        below += s->weight[i] * s->beta[i] * (s->points[i].x - s->mean_x);
    }
    *next = above / below;
    return isfinite(*next);
}

static enum measure_status check(const struct york_point *points, size_t count, double *slope)
{
    double x[YORK_POINTS_MAX], y[YORK_POINTS_MAX];
    struct line_fit plain;
    if (count < 3) {
        return MEASURE_TOO_FEW;
    }
    if (count > YORK_POINTS_MAX) {
        return MEASURE_BAD_SETTING;
    }
    for (size_t i = 0; i < count; i++) {
        const struct york_point *p = &points[i];
        if (!(p->u_x > 0.0) || !(p->u_y > 0.0) || isinf(p->u_x) || isinf(p->u_y) ||
            !(fabs(p->correlation) < 1.0)) {
            return MEASURE_BAD_SETTING;
        }
        x[i] = p->x;
        y[i] = p->y;
    }
    enum measure_status status = statistics_line(x, y, count, &plain);
    *slope = plain.slope;
    return status;
}

static void finish(const struct state *s, double slope, struct york_line *line)
{
    double mean = 0.0, spread = 0.0, squares = 0.0;
    double intercept = s->mean_y - slope * s->mean_x;
    for (size_t i = 0; i < s->count; i++) {
        mean += s->weight[i] * (s->mean_x + s->beta[i]);
    }
    mean /= s->sum_weight;
    for (size_t i = 0; i < s->count; i++) {
        double u = s->mean_x + s->beta[i] - mean;
        double left = s->points[i].y - slope * s->points[i].x - intercept;
        spread += s->weight[i] * u * u;
        squares += s->weight[i] * left * left;
    }
    line->intercept = intercept;
    line->slope = slope;
    line->slope_se = 1.0 / sqrt(spread);
    line->intercept_se = sqrt(1.0 / s->sum_weight + mean * mean / spread);
    line->squares = squares;
    line->df = (double)s->count - 2.0;
    line->slope_half_width =
        t_interval(line->df) * line->slope_se * sqrt(fmax(1.0, squares / line->df));
}

enum measure_status york_fit(const struct york_point *points, size_t count, struct york_line *line)
{
    struct state s = {.points = points, .count = count};
    double slope = 0.0;
    enum measure_status status = check(points, count, &slope);
    for (int round = 0; status == MEASURE_OK && round < ROUNDS_MOST; round++) {
        double next;
        if (!next_slope(&s, slope, &next)) {
            return MEASURE_CONSTANT;
        }
        bool rests = fabs(next - slope) <= 1e-12 * fabs(next);
        slope = next;
        if (rests) {
            adjust(&s, slope);
            finish(&s, slope, line);
            return isfinite(line->slope_half_width) ? MEASURE_OK : MEASURE_CONSTANT;
        }
    }
    return status == MEASURE_OK ? MEASURE_CONSTANT : status;
}
