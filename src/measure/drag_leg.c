/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/drag_leg.h"

#include "measure/rules.h"

#include <math.h>
#include <stdbool.h>

struct drag_rider drag_usual_rider(double mass_kg)
{
    return (struct drag_rider){
        .mass_kg = mass_kg,
        .rolling = DRAG_ROLLING,
        .efficiency = DRAG_EFFICIENCY,
        .bearing_n = DRAG_BEARING_N,
        .bearing_n_per_m_per_s = DRAG_BEARING_N_PER_M_PER_S,
        .wheels_kg = DRAG_WHEEL_INERTIA / (DRAG_WHEEL_RADIUS_M * DRAG_WHEEL_RADIUS_M),
        .gravity_m_per_s2 = DRAG_GRAVITY,
    };
}

static bool samples_finite(const struct drag_samples *samples, size_t at)
{
    return isfinite(samples->time_s[at]) && isfinite(samples->speed_m_per_s[at]) &&
           isfinite(samples->power_w[at]);
}

enum measure_status drag_leg_make(const struct drag_samples *samples, size_t first, size_t last,
                                  double in_m_per_s, double out_m_per_s, double climb_m,
                                  struct drag_leg *leg)
{
    if (last >= samples->count || first >= last) {
        return MEASURE_TOO_FEW;
    }
    struct drag_leg made = {.climb_m = climb_m};
    for (size_t i = first; i < last; i++) {
        if (!samples_finite(samples, i) || !samples_finite(samples, i + 1)) {
            return MEASURE_NOT_FINITE;
        }
        double dt = samples->time_s[i + 1] - samples->time_s[i];
        double speed = 0.5 * (samples->speed_m_per_s[i] + samples->speed_m_per_s[i + 1]);
        double dx = speed * dt;
        if (!(dt > 0.0)) {
            return MEASURE_UNSORTED;
        }
        made.length_m += dx;
        made.duration_s += dt;
        made.work_j += 0.5 * (samples->power_w[i] + samples->power_w[i + 1]) * dt;
        made.speed_m_per_s += speed * dx;
        made.speed_squared += speed * speed * dx;
    }
    if (!(made.length_m > 0.0)) {
        return MEASURE_CONSTANT;
    }
    made.speed_m_per_s /= made.length_m;
    made.speed_squared /= made.length_m;
    made.in_m_per_s = isfinite(in_m_per_s) ? in_m_per_s : samples->speed_m_per_s[first];
    made.out_m_per_s = isfinite(out_m_per_s) ? out_m_per_s : samples->speed_m_per_s[last];
    *leg = made;
    return MEASURE_OK;
}

double drag_border_speed(const struct drag_samples *samples, size_t at)
{
    double reach_s = 0.5 * DRAG_BORDER_S + 1e-9, sum = 0.0, least = samples->time_s[at] - reach_s;
    double most = samples->time_s[at] + reach_s;
    size_t from = at, count = 0;
    while (from > 0 && samples->time_s[from - 1] >= least) {
        from--;
    }
    for (size_t i = from; i < samples->count && samples->time_s[i] <= most; i++) {
        sum += samples->speed_m_per_s[i];
        count++;
    }
    return sum / (double)count;
}

double drag_kinetic_j(const struct drag_rider *rider, double from_m_per_s, double to_m_per_s)
{
    return 0.5 * (rider->mass_kg + rider->wheels_kg) *
           (to_m_per_s * to_m_per_s - from_m_per_s * from_m_per_s);
}

double drag_weight_n(const struct drag_rider *rider)
{
    return rider->mass_kg * rider->gravity_m_per_s2;
}

double drag_leg_air_squared(const struct drag_leg *leg, double wind_m_per_s)
{
    return leg->speed_squared + 2.0 * wind_m_per_s * leg->speed_m_per_s +
           wind_m_per_s * wind_m_per_s;
}

double drag_leg_driven_n(const struct drag_leg *leg, const struct drag_rider *rider)
{
    return rider->efficiency * leg->work_j / leg->length_m;
}

double drag_leg_force_n(const struct drag_leg *leg, const struct drag_rider *rider)
{
    double weight_n = drag_weight_n(rider);
    double kinetic_j = drag_kinetic_j(rider, leg->in_m_per_s, leg->out_m_per_s);
    double bearings_n = rider->bearing_n + rider->bearing_n_per_m_per_s * leg->speed_m_per_s;
    return drag_leg_driven_n(leg, rider) - (kinetic_j + weight_n * leg->climb_m) / leg->length_m -
           bearings_n - rider->rolling * weight_n;
}

enum measure_status drag_of_lap(const struct drag_leg *leg, const struct drag_rider *rider,
                                double density_kg_per_m3, double *drag_m2)
{
    double force_n = drag_leg_force_n(leg, rider);
    if (!(density_kg_per_m3 > 0.0) || !(leg->speed_squared > 0.0)) {
        return MEASURE_BAD_SETTING;
    }
    if (!isfinite(force_n)) {
        return MEASURE_NOT_FINITE;
    }
    if (!(force_n > 0.0)) {
        return MEASURE_CONSTANT;
    }
    *drag_m2 = 2.0 * force_n / (density_kg_per_m3 * leg->speed_squared);
    return MEASURE_OK;
}

enum measure_status drag_of_pair(const struct drag_leg *out, const struct drag_leg *back,
                                 const struct drag_rider *rider, double density_kg_per_m3,
                                 struct drag_pair *pair)
{
    double f1 = drag_leg_force_n(out, rider), f2 = drag_leg_force_n(back, rider);
    if (!(density_kg_per_m3 > 0.0)) {
        return MEASURE_BAD_SETTING;
    }
    if (!isfinite(f1) || !isfinite(f2)) {
        return MEASURE_NOT_FINITE;
    }
    double a = f1 - f2, b = f1 * back->speed_m_per_s + f2 * out->speed_m_per_s;
    double c = f1 * back->speed_squared - f2 * out->speed_squared;
    double inside = b * b - a * c;
    if (!(f1 > 0.0) || !(f2 > 0.0) || inside < 0.0) {
        return MEASURE_CONSTANT;
    }
    double wind = c / (b + copysign(sqrt(inside), b));
    double squared = drag_leg_air_squared(out, wind);
    if (!isfinite(wind) || !(squared > 0.0)) {
        return MEASURE_CONSTANT;
    }
    *pair = (struct drag_pair){2.0 * f1 / (density_kg_per_m3 * squared), wind};
    return MEASURE_OK;
}

struct drag_power drag_power_of(const struct drag_state *state, const struct drag_rider *rider)
{
    double v = state->speed_m_per_s, through = v + state->wind_m_per_s;
    double weight_n = drag_weight_n(rider), angle = atan(state->slope);
    struct drag_power power = {
        .air_w = 0.5 * state->density_kg_per_m3 * state->drag_m2 * through * fabs(through) * v,
        .rolling_w = v * rider->rolling * weight_n * cos(angle),
        .bearings_w = v * (rider->bearing_n + rider->bearing_n_per_m_per_s * v),
        .slope_w = v * weight_n * sin(angle),
        .kinetic_w = state->gained_j_per_s,
    };
    power.sum_w =
        power.air_w + power.rolling_w + power.bearings_w + power.slope_w + power.kinetic_w;
    power.rider_w = power.sum_w / rider->efficiency;
    return power;
}
