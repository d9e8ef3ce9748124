/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_DRAG_PLAN_H
#define HOLDLINE_MEASURE_DRAG_PLAN_H

#include "measure/status.h"

/* The smallest difference of two setups that a day of so many runs of each finds in
 * DRAG_FOUND_SHARE of days, in units of run_sd: (t(.975) + t(share)) run_sd sqrt(2/runs), t with 2
 * runs - 3 degrees of freedom (the two means and the order of the runs). MEASURE_TOO_FEW under 2
 * runs. */
enum measure_status drag_plan_found(double run_sd, int runs, double *found);

/* How runs repeat, by where they are ridden: SD of a run in percent of the drag area. */
struct drag_place {
    const char *words;
    double run_sd_percent;
};
#define DRAG_PLACES 4
extern const struct drag_place drag_places[DRAG_PLACES];
/* The numbers of runs of each setup that the table has. */
#define DRAG_PLAN_RUNS 5
extern const int drag_plan_runs[DRAG_PLAN_RUNS];

#endif
