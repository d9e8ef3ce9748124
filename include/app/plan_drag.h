/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_PLAN_DRAG_H
#define HOLDLINE_APP_PLAN_DRAG_H

#include "base/problem.h"

#include <stdbool.h>
#include <stdio.h>

/* 'plan --drag': the smallest difference in drag that a day of runs finds in 80 of 100 days, by
 * where it is ridden and how many runs each setup gets (measure/drag_plan.h), and how to ride them.
 * own_sd_percent: SD from run to run of an earlier day, in percent of the drag area; NAN = none. */
bool plan_drag_text(FILE *stream, double own_sd_percent, int width, struct problem *problem);
bool plan_drag_json(FILE *stream, double own_sd_percent, struct problem *problem);

#endif
