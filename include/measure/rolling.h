/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_ROLLING_H
#define HOLDLINE_MEASURE_ROLLING_H

#include "measure/drag_leg.h"

/* Rolling resistance from steps of speed in one posture: the force that is left without bearings,
 * slope and gain of speed, set on the square of the speed through the air, is a straight line. Its
 * slope is density * drag area / 2, where it begins rolling resistance * weight (Lim et al. 2011,
 * Med. Sci. Sports Exerc. 43, 853-860, had both from such a line). */

struct rolling_step {
    double force_n;       /* of air and tyres together */
    double speed_squared; /* mean of its square, through the air, m2/s2 */
};
struct rolling_line {
    double rolling, rolling_u; /* coefficient by the steps alone, with its standard uncertainty */
    double drag_m2, drag_u;
    double correlation; /* of the two */
    double residual_sd_n, df;
    /* With what is known of tyres beforehand, DRAG_ROLLING to DRAG_ROLLING_PRIOR_SD, as one more
     * row of the least squares; the steps' u by rolling_line_u. */
    double together, together_u;
};
#define ROLLING_STEPS_MAX 400
/* rolling_u as it is joined: the half-width of a 95 % interval by t over the normal's 1.96, so that
 * few steps are not taken for many. */
double rolling_line_u(const struct rolling_line *line);
/* MEASURE_TOO_FEW under DRAG_STEPS_MIN steps; MEASURE_CONSTANT where the fastest is not
 * DRAG_STEPS_SPAN times as fast as the slowest: the line could turn either way. */
enum measure_status rolling_from_steps(const struct rolling_step *steps, size_t count,
                                       const struct drag_rider *rider, double density_kg_per_m3,
                                       struct rolling_line *line);

/* What tyres and air took together of a closed lap, in still air. */
struct rolling_step rolling_step_of_lap(const struct drag_leg *leg, const struct drag_rider *rider);
/* Of a way out and back: means of both, with the wind that the rider's rolling resistance leaves to
 * be solved for; that is worked out again with the line's until it rests. Status as drag_of_pair.
 */
enum measure_status rolling_step_of_pair(const struct drag_leg *out, const struct drag_leg *back,
                                         const struct drag_rider *rider, double density_kg_per_m3,
                                         struct rolling_step *step, double *wind_m_per_s);

#endif
