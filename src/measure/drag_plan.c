/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/drag_plan.h"

#include "measure/distribution.h"
#include "measure/rules.h"

#include <math.h>

/* Indoors: Kordi et al. 2021, Eur. J. Sport Sci.: 0.9 % between efforts of six laps. The others:
 * simulated days. */
const struct drag_place drag_places[DRAG_PLACES] = {
    {"indoor track", 0.9},
    {"calm, gusts of 0.1 m/s", 1.2},
    {"calm, gusts of 0.2 m/s", 1.8},
    {"light air, gusts of 0.5 m/s", 4.0},
};
const int drag_plan_runs[DRAG_PLAN_RUNS] = {2, 4, 6, 8, 12};

enum measure_status drag_plan_found(double run_sd, int runs, double *found)
{
    if (runs < 2) {
        return MEASURE_TOO_FEW;
    }
    if (!(run_sd > 0.0) || isinf(run_sd)) {
        return MEASURE_BAD_SETTING;
    }
    double df = 2.0 * runs - 3.0;
    *found = (t_interval(df) + t_quantile(DRAG_FOUND_SHARE, df)) * run_sd * sqrt(2.0 / runs);
    return MEASURE_OK;
}
