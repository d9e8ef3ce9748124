/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_PLAN_DRAG_H
#define HOLDLINE_APP_PLAN_DRAG_H

#include "base/problem.h"

#include <stdbool.h>
#include <stdio.h>

/* 'plan --drag': the smallest difference in drag that a day of runs finds in 80 of 100 days, by
 * where it is ridden and how many runs each setup gets (measure/drag_plan.h), and how to ride them.
 * own: how runs of an earlier day repeated; NULL: none was named. */
struct own_runs {
    double sd_percent;                  /* from run to run, in percent of the drag area */
    double least_percent, most_percent; /* what so few runs leave open, 95 % */
};
bool plan_drag_text(FILE *stream, const struct own_runs *own, int width, struct problem *problem);
bool plan_drag_json(FILE *stream, const struct own_runs *own, struct problem *problem);

#endif
