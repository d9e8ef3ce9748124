/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/drag_run.h"

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

struct drag_level drag_level_of(const struct drag_rider *rider, double u_rolling, double drag_m2,
                                double speed_m_per_s, double density_kg_per_m3)
{
    double v = speed_m_per_s;
    double air_n = 0.5 * density_kg_per_m3 * drag_m2 * v * v;
    double weight_n = drag_weight_n(rider);
    double driven_n =
        air_n + rider->rolling * weight_n + rider->bearing_n + rider->bearing_n_per_m_per_s * v;
    double share = driven_n / air_n;
    struct drag_level level = {
        .power = share * DRAG_U_POWER,
        .rolling = weight_n / air_n * u_rolling,
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

double drag_worth_w(double difference_m2, double speed_m_per_s, double density_kg_per_m3,
                    double efficiency)
{
    return 0.5 * density_kg_per_m3 * difference_m2 * speed_m_per_s * speed_m_per_s * speed_m_per_s /
           efficiency;
}
