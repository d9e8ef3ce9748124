/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/rolling.h"

#include "measure/distribution.h"
#include "measure/least_squares.h"
#include "measure/rules.h"

#include <math.h>

/* Air and tyres: what the air would take, were there no tyres. */
static double force_of_both(const struct drag_leg *leg, const struct drag_rider *rider)
{
    return drag_leg_force_n(leg, rider) + rider->rolling * drag_weight_n(rider);
}

struct rolling_step rolling_step_of_lap(const struct drag_leg *leg, const struct drag_rider *rider)
{
    return (struct rolling_step){force_of_both(leg, rider), leg->speed_squared};
}

enum measure_status rolling_step_of_pair(const struct drag_leg *out, const struct drag_leg *back,
                                         const struct drag_rider *rider, double density_kg_per_m3,
                                         struct rolling_step *step, double *wind_m_per_s)
{
    struct drag_pair pair = {NAN, NAN};
    enum measure_status status = drag_of_pair(out, back, rider, density_kg_per_m3, &pair);
    double wind = pair.wind_m_per_s;
    *step = (struct rolling_step){
        0.5 * (force_of_both(out, rider) + force_of_both(back, rider)),
        0.5 * (drag_leg_air_squared(out, wind) + drag_leg_air_squared(back, -wind))};
    *wind_m_per_s = wind;
    return status;
}

static bool wide_enough(const struct rolling_step *steps, size_t count)
{
    double least = INFINITY, most = 0.0;
    for (size_t i = 0; i < count; i++) {
        least = fmin(least, steps[i].speed_squared);
        most = fmax(most, steps[i].speed_squared);
    }
    return most >= DRAG_STEPS_SPAN * DRAG_STEPS_SPAN * least;
}

double rolling_line_u(const struct rolling_line *line)
{
    return line->rolling_u * t_quantile(INTERVAL_HIGH, line->df) / normal_quantile(INTERVAL_HIGH);
}

/* One more row, of the coefficient alone: what both know, each by its variance. */
static void join_prior(struct rolling_line *line)
{
    double u = rolling_line_u(line);
    double prior = 1.0 / (DRAG_ROLLING_PRIOR_SD * DRAG_ROLLING_PRIOR_SD), own = 1.0 / (u * u);
    if (!isfinite(own)) { /* steps without any scatter */
        line->together = line->rolling;
        line->together_u = 0.0;
        return;
    }
    line->together = (own * line->rolling + prior * DRAG_ROLLING) / (own + prior);
    line->together_u = 1.0 / sqrt(own + prior);
}

enum measure_status rolling_from_steps(const struct rolling_step *steps, size_t count,
                                       const struct drag_rider *rider, double density_kg_per_m3,
                                       struct rolling_line *line)
{
    double x[2 * ROLLING_STEPS_MAX], y[ROLLING_STEPS_MAX];
    struct least_squares fit;
    if (count < (size_t)DRAG_STEPS_MIN) {
        return MEASURE_TOO_FEW;
    }
    if (count > ROLLING_STEPS_MAX || !(density_kg_per_m3 > 0.0) || !(drag_weight_n(rider) > 0.0)) {
        return MEASURE_BAD_SETTING;
    }
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(steps[i].force_n) || !(steps[i].speed_squared > 0.0)) {
            return MEASURE_NOT_FINITE;
        }
        x[2 * i] = drag_weight_n(rider);
        x[2 * i + 1] = 0.5 * density_kg_per_m3 * steps[i].speed_squared;
        y[i] = steps[i].force_n;
    }
    if (!wide_enough(steps, count)) {
        return MEASURE_CONSTANT;
    }
    enum measure_status status = least_squares_fit(x, y, NULL, count, 2, &fit);
    if (status != MEASURE_OK) {
        return status;
    }
    *line = (struct rolling_line){
        .rolling = fit.coefficient[0],
        .rolling_u = fit.residual_sd * sqrt(fit.inverse[0][0]),
        .drag_m2 = fit.coefficient[1],
        .drag_u = fit.residual_sd * sqrt(fit.inverse[1][1]),
        .correlation = fit.inverse[0][1] / sqrt(fit.inverse[0][0] * fit.inverse[1][1]),
        .residual_sd_n = fit.residual_sd,
        .df = fit.df,
    };
    join_prior(line);
    return MEASURE_OK;
}
