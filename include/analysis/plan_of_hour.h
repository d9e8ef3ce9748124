/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_PLAN_OF_HOUR_H
#define HOLDLINE_ANALYSIS_PLAN_OF_HOUR_H

#include "analysis/analysis.h"

/* Where a session stands in the plan of its hour: setups in a row, free holds on each, the first
 * setup built once more at the end (without it, setup and tiredness can't be told apart). What each
 * takes: plan_usual_times (measure/plan.h). */
struct plan_of_hour {
    int holds;        /* free ones of the current build that count */
    int holds_wanted; /* on it: one more than planned where one had not settled */
    int unsettled;    /* that hold's number; 0 = none */
    bool closed;      /* the first setup is on the bike once more: the round is closed */
    bool keeps_room;  /* for the return to the first setup */
    int setups_fit;   /* more setups in the minutes left, with that room kept; without a plan 0 */
    bool return_due;  /* nothing but the return fits any more */
};

/* build: the current one, -1 = none yet. minutes_left NAN: no end was planned. */
void plan_of_hour_make(const struct session_record *record, const struct analysis *analysis,
                       int build, double minutes_left, struct plan_of_hour *plan);
/* One setup ridden as planned: parts changed, ridden in, held, rated. */
double plan_of_hour_setup_min(void);

#endif
