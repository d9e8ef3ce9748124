/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_DRAG_RUN_H
#define HOLDLINE_MEASURE_DRAG_RUN_H

#include "measure/block.h"
#include "measure/drag_leg.h"

/* From the laps or pairs of a run to its one value, and what else is said of drag. */

struct drag_value { /* of a lap, or of a pair */
    double drag_m2, length_m;
};
struct drag_run_mean {
    double drag_m2;  /* mean, weighted by length */
    double length_m; /* in all */
    int count;
    bool has_interval;    /* from DRAG_LAPS_FOR_INTERVAL on */
    double half_width_m2; /* 95 %, of this run alone: not the setup's */
};
#define DRAG_RUN_VALUES_MAX 400
enum measure_status drag_run_mean_of(const struct drag_value *values, size_t count,
                                     struct drag_run_mean *mean);

/* How well the level of drag is known, apart from differences: relative standard uncertainties, of
 * what is the same in all runs of a day. */
struct drag_level {
    double power, rolling, speed, efficiency, density, mass;
    double together; /* in quadrature */
};
/* At a steady speed in still air, with the uncertainties that the rules have, and rolling
 * resistance known to u_rolling. */
struct drag_level drag_level_of(const struct drag_rider *rider, double u_rolling, double drag_m2,
                                double speed_m_per_s, double density_kg_per_m3);

/* What rolling resistance, known to u_rolling, leaves in the difference of two setups that were
 * ridden at unlike speeds, m2; the mean squared speeds in m2/s2. */
double drag_unlike_speeds_m2(const struct drag_rider *rider, double u_rolling,
                             double density_kg_per_m3, double squared_a, double squared_b);
/* Whether two mean speeds are that far apart (DRAG_SPEED_APART of the lower). */
bool drag_speeds_are_unlike(double speed_a, double speed_b);

/* Power at the pedals that a difference of drag is worth in still air, W: what may be lost for it
 * and leave the speed. */
double drag_worth_w(double difference_m2, double speed_m_per_s, double density_kg_per_m3,
                    double efficiency);

#endif
