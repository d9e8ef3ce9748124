/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_PLAN_OF_HOUR_H
#define HOLDLINE_ANALYSIS_PLAN_OF_HOUR_H

#include "analysis/analysis.h"
#include "measure/plan.h"

/* Where a session stands in the plan of its hour: setups in a row, free holds on each, the first
 * setup built once more at the end (without it, setup and tiredness can't be told apart). */

/* Why so many holds of such a length. */
enum hour_why {
    HOUR_AS_BEFORE,  /* nothing says otherwise; at the beginning: the usual hour */
    HOUR_REPEATS,    /* others than before, from how this rider's holds repeat */
    HOUR_NO_MORE_FIT /* more would find it surer, but not in the minutes left */
};

/* What is asked for on a build. It stays while the build is on the bike. */
struct hour_holds {
    struct plan_holds each;
    struct plan_times times; /* as seen in this session, where they were */
    enum hour_why why;
    double hold_sd_mm; /* that was reckoned with, of each.hold_s */
    double chance;     /* of finding what matters */
};

/* For the build that comes on the bike now, from the holds before it: how they repeat (what earlier
 * sessions showed with them, and a usual SD where that is little), what changes and rests took
 * (each the median of what was seen and the usual time), and the minutes left (NAN: no end was
 * planned). For PLAN_SETUPS setups where these fit. so_far: what was asked for before. build -1:
 * none yet. */
void plan_of_hour_choose(const struct session_record *record, const struct analysis *analysis,
                         int build, double minutes_left, const struct plan_holds *so_far,
                         struct hour_holds *holds);

struct plan_of_hour {
    struct hour_holds asked;
    int holds;        /* free ones of the current build that count */
    int holds_wanted; /* on it: one more than asked where one had not settled */
    int unsettled;    /* that hold's number; 0 = none */
    bool closed;      /* the first setup is on the bike once more: the round is closed */
    bool keeps_room;  /* for the return to the first setup */
    int setups_fit;   /* more setups in the minutes left, with that room kept; without a plan 0 */
    bool return_due;  /* nothing but the return fits any more */
};

/* build: the current one, -1 = none yet. minutes_left NAN: no end was planned. */
void plan_of_hour_make(const struct session_record *record, const struct analysis *analysis,
                       int build, double minutes_left, const struct hour_holds *asked,
                       struct plan_of_hour *plan);
/* One setup ridden as asked: parts changed, ridden in, held, rated. */
double plan_of_hour_setup_min(const struct hour_holds *asked);

#endif
