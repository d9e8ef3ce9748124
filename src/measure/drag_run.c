/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/drag_run.h"

#include "measure/least_squares.h"
#include "measure/rules.h"

#include <math.h>

enum measure_status drag_run_mean_of(const struct drag_value *values, size_t count,
                                     struct drag_run_mean *mean)
{
    struct block blocks[DRAG_RUN_VALUES_MAX];
    double sum = 0.0, length_m = 0.0;
    if (count == 0) {
        return MEASURE_TOO_FEW;
    }
    if (count > DRAG_RUN_VALUES_MAX) {
        return MEASURE_BAD_SETTING;
    }
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(values[i].drag_m2) || !(values[i].length_m > 0.0)) {
            return MEASURE_NOT_FINITE;
        }
        blocks[i] = (struct block){.index = i, .mean = values[i].drag_m2, .count = 1};
        sum += values[i].drag_m2 * values[i].length_m;
        length_m += values[i].length_m;
    }
    *mean = (struct drag_run_mean){sum / length_m, length_m, (int)count, false, (double)NAN};
    struct mean_interval interval;
    if (count >= DRAG_LAPS_FOR_INTERVAL &&
        blocks_mean_interval(blocks, count, &interval) == MEASURE_OK) {
        mean->has_interval = true;
        mean->half_width_m2 = interval.half_width;
    }
    return MEASURE_OK;
}

struct drag_level drag_level_of(const struct drag_rider *rider, double drag_m2,
                                double speed_m_per_s, double density_kg_per_m3)
{
    double v = speed_m_per_s;
    double air_n = 0.5 * density_kg_per_m3 * drag_m2 * v * v;
    double rolling_n = rider->mass_kg * rider->gravity_m_per_s2;
    double driven_n =
        air_n + rider->rolling * rolling_n + rider->bearing_n + rider->bearing_n_per_m_per_s * v;
    double share = driven_n / air_n;
    struct drag_level level = {
        .power = share * DRAG_U_POWER,
        .rolling = rolling_n / air_n * DRAG_U_ROLLING,
        .speed = (share + 2.0) * DRAG_U_SPEED,
        .efficiency = share * DRAG_U_EFFICIENCY / rider->efficiency,
        .density = DRAG_U_DENSITY,
        .mass = rider->rolling * rider->gravity_m_per_s2 * DRAG_U_MASS_KG / air_n,
    };
    level.together = sqrt(level.power * level.power + level.rolling * level.rolling +
                          level.speed * level.speed + level.efficiency * level.efficiency +
                          level.density * level.density + level.mass * level.mass);
    return level;
}

double drag_unlike_speeds_m2(const struct drag_rider *rider, double u_rolling,
                             double density_kg_per_m3, double squared_a, double squared_b)
{
    return u_rolling * 2.0 * rider->mass_kg * rider->gravity_m_per_s2 / density_kg_per_m3 *
           fabs(1.0 / squared_a - 1.0 / squared_b);
}

bool drag_speeds_are_unlike(double speed_a, double speed_b)
{
    return fabs(speed_a - speed_b) > DRAG_SPEED_APART * fmin(speed_a, speed_b);
}

double drag_lap_wind_circle(double wind_m_per_s, double speed_m_per_s)
{
    return 0.5 * drag_lap_wind_straight(wind_m_per_s, speed_m_per_s);
}

double drag_lap_wind_straight(double wind_m_per_s, double speed_m_per_s)
{
    double share = wind_m_per_s / speed_m_per_s;
    return share * share;
}

double drag_worth_w(double difference_m2, double speed_m_per_s, double density_kg_per_m3,
                    double efficiency)
{
    return 0.5 * density_kg_per_m3 * difference_m2 * speed_m_per_s * speed_m_per_s * speed_m_per_s /
           efficiency;
}

double drag_time_s(const struct drag_rider *rider, double drag_m2, double density_kg_per_m3,
                   double power_w, double distance_m)
{
    double low = 0.1, high = 60.0; /* m/s: power grows with speed, so halving finds it */
    struct drag_state state = {.drag_m2 = drag_m2, .density_kg_per_m3 = density_kg_per_m3};
    for (int i = 0; i < 60; i++) {
        state.speed_m_per_s = 0.5 * (low + high);
        if (drag_power_of(&state, rider).rider_w < power_w) {
            low = state.speed_m_per_s;
        } else {
            high = state.speed_m_per_s;
        }
    }
    bool found = low > 0.1 && high < 60.0 && isfinite(power_w) && isfinite(drag_m2);
    return found ? distance_m / low : (double)NAN;
}

#define STEPS_MOST 400

enum measure_status drag_rolling_of(const double *speed_m_per_s, const double *power_w,
                                    size_t count, const struct drag_rider *rider,
                                    double density_kg_per_m3, double prior, double prior_u,
                                    struct drag_rolling *rolling)
{
    double x[2 * (STEPS_MOST + 1)], y[STEPS_MOST + 1], weight[STEPS_MOST + 1];
    double weight_n = rider->mass_kg * rider->gravity_m_per_s2;
    struct least_squares fit;
    if (count < 3) {
        return MEASURE_TOO_FEW;
    }
    if (count > STEPS_MOST || !(density_kg_per_m3 > 0.0) || !(weight_n > 0.0)) {
        return MEASURE_BAD_SETTING;
    }
    for (size_t i = 0; i < count; i++) {
        double v = speed_m_per_s[i];
        x[2 * i] = weight_n;
        x[2 * i + 1] = 0.5 * density_kg_per_m3 * v * v;
        y[i] = rider->efficiency * power_w[i] / v - rider->bearing_n -
               rider->bearing_n_per_m_per_s * v;
        weight[i] = 1.0;
    }
    enum measure_status status = least_squares_fit(x, y, NULL, count, 2, &fit);
    if (status == MEASURE_OK && prior_u > 0.0 && fit.residual_sd > 0.0) {
        /* in units of the scatter about the line, so that a row of the prior weighs what it knows
         */
        for (size_t i = 0; i < count; i++) {
            weight[i] = 1.0 / (fit.residual_sd * fit.residual_sd);
        }
        x[2 * count] = weight_n;
        x[2 * count + 1] = 0.0;
        y[count] = prior * weight_n;
        weight[count] = 1.0 / (prior_u * weight_n * prior_u * weight_n);
        rolling->residual_n = fit.residual_sd;
        status = least_squares_fit(x, y, weight, count + 1, 2, &fit);
        fit.residual_sd = 1.0;
    } else {
        rolling->residual_n = fit.residual_sd;
    }
    if (status != MEASURE_OK || fit.rank < 2) {
        return status != MEASURE_OK ? status : MEASURE_CONSTANT;
    }
    rolling->rolling = fit.coefficient[0];
    rolling->drag_m2 = fit.coefficient[1];
    rolling->rolling_u = fit.residual_sd * sqrt(fit.inverse[0][0]);
    rolling->drag_u_m2 = fit.residual_sd * sqrt(fit.inverse[1][1]);
    rolling->correlation = fit.inverse[0][1] / sqrt(fit.inverse[0][0] * fit.inverse[1][1]);
    return MEASURE_OK;
}
