/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_DRAG_LEG_H
#define HOLDLINE_MEASURE_DRAG_LEG_H

#include "measure/status.h"

#include <stddef.h>

/* Forces on a rider over a stretch of a ride, by the model of Martin, Milliken, Cobb, McFadden and
 * Coggan 1998 (J. Appl. Biomech. 14, 276-291), and drag area from a closed lap or from a way out
 * and back (docs/measures.md, 'Drag'). Drag area here is that of rider and bike with what the
 * wheels' turning adds (the paper's CdA + Fw), m2. */

struct drag_rider {
    double mass_kg; /* rider, bike and all on it */
    double rolling; /* coefficient of rolling resistance */
    double efficiency;
    double bearing_n, bearing_n_per_m_per_s; /* bearings: force at rest, and with speed */
    double wheels_kg;                        /* what the wheels' turning adds in inertia */
    double gravity_m_per_s2;
};
/* Everything as the rules have it, for this mass. */
struct drag_rider drag_usual_rider(double mass_kg);

/* What is kept of a stretch: all that mass, tyres and air are worked in afterwards. */
struct drag_leg {
    double length_m, duration_s, work_j;
    double speed_m_per_s;           /* mean over the length */
    double speed_squared;           /* the same of its square, m2/s2 */
    double in_m_per_s, out_m_per_s; /* at its borders */
    double climb_m;                 /* end over beginning; 0 on a closed lap */
};

/* From samples first to last (of count), by trapezoids. in, out: the border's speeds, NAN = the
 * samples' own. MEASURE_TOO_FEW under 2 samples, MEASURE_UNSORTED, MEASURE_NOT_FINITE;
 * MEASURE_CONSTANT where it went nowhere. */
struct drag_samples {
    const double *time_s, *speed_m_per_s, *power_w;
    size_t count;
};
enum measure_status drag_leg_make(const struct drag_samples *samples, size_t first, size_t last,
                                  double in_m_per_s, double out_m_per_s, double climb_m,
                                  struct drag_leg *leg);
/* Mean speed over DRAG_BORDER_S about sample at, as far as there are samples. */
double drag_border_speed(const struct drag_samples *samples, size_t at);

/* Of rider and bike, N. */
double drag_weight_n(const struct drag_rider *rider);
/* Mean of the square of the speed through the air, m2/s2; wind + from ahead on this leg. */
double drag_leg_air_squared(const struct drag_leg *leg, double wind_m_per_s);
/* Mean force that the air took over the leg, N. */
double drag_leg_force_n(const struct drag_leg *leg, const struct drag_rider *rider);
/* The force by which all of it was driven, at the wheel: efficiency * work / length. */
double drag_leg_driven_n(const struct drag_leg *leg, const struct drag_rider *rider);

/* Drag area from a closed lap in still air: 2 F / (density * mean squared speed). MEASURE_CONSTANT
 * where the force is not positive. */
enum measure_status drag_of_lap(const struct drag_leg *leg, const struct drag_rider *rider,
                                double density_kg_per_m3, double *drag_m2);

struct drag_pair {
    double drag_m2;
    double wind_m_per_s; /* along the course, + from ahead on the way out */
};
/* Drag area and the wind along the course, both unknown and the same both ways, from the way out
 * and the way back over the same stretch: the small root of
 * (F1-F2) w^2 - 2 (F1 v2 + F2 v1) w + F1 s2 - F2 s1 = 0. MEASURE_CONSTANT where a force is not
 * positive or no wind fits. */
enum measure_status drag_of_pair(const struct drag_leg *out, const struct drag_leg *back,
                                 const struct drag_rider *rider, double density_kg_per_m3,
                                 struct drag_pair *pair);

/* The model's power at a steady state, with its parts at the wheel, W. slope: rise over run. wind
 * + from ahead. (Martin et al. 1998, eq. 1 to 9.) */
struct drag_state {
    double speed_m_per_s, wind_m_per_s, slope, drag_m2, density_kg_per_m3;
    double gained_j_per_s; /* kinetic energy */
};
struct drag_power {
    double air_w, rolling_w, bearings_w, slope_w, kinetic_w;
    double sum_w;   /* of them */
    double rider_w; /* at the pedals: sum / efficiency */
};
struct drag_power drag_power_of(const struct drag_state *state, const struct drag_rider *rider);
/* Kinetic energy from one speed to another, J. */
double drag_kinetic_j(const struct drag_rider *rider, double from_m_per_s, double to_m_per_s);

#endif
