/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_PLAN_H
#define HOLDLINE_MEASURE_PLAN_H

#include "measure/status.h"

#include <stdbool.h>

/* Which holds, in which order, in the minutes that are left, for a difference worth finding
 * (docs/measures.md, 'Setups against each other'). */

/* Probability that a two-sided test at level alpha finds a difference that is there: the estimate
 * has the standard error sqrt(variance + known), variance being estimated with df degrees of
 * freedom, known a part taken as known (ties). Without a known part it is the noncentral t's (both
 * tails). MEASURE_BAD_SETTING outside the domain. */
enum measure_status plan_power(double difference, double variance, double df, double known,
                               double alpha, double *power);

/* Share of the trial order's variation that lies between setups (R^2): 0 mirror order, 1 order and
 * setup the same. setup[i]: which one was ridden as hold i. 0 when all are of one setup. */
double plan_order_index(const int *setup, int holds);

struct plan_times {
    double change_min; /* parts */
    double ride_in_min;
    double hold_min;
    double rating_min; /* once a setup */
    double rest_min;   /* between holds of a build */
};
struct plan_times plan_usual_times(void);
/* One build: changed to it or not, ridden in, held so often, with or without a rating. */
double plan_build_minutes(const struct plan_times *times, bool changed, int holds, bool rated);

enum plan_order {
    PLAN_ROWS,   /* setups in a row, the first again at the end: A A B B C C A A */
    PLAN_MIRROR, /* A B C C B A, again and again: for quick changes */
};

struct plan_input {
    int setups;
    enum plan_order order;
    double hold_sd_mm; /* hold to hold: 3 to 5 is to be expected */
    double
        tie_mm; /* standard uncertainty of a build's tie, its own part: 0 fixed, 1 plate, 2 tape */
    double difference_mm; /* worth finding */
    struct plan_times times;
    double minutes_left;
    int builds_done;  /* of the plan's, ridden already: their minutes are gone */
    double learnt_df; /* that hold_sd_mm is worth beyond the plan's holds */
    bool only_chance; /* neither half_width_mm nor detectable_mm are asked for */
};

#define PLAN_ROUNDS_MAX 8
#define PLAN_LAID_MAX 200
#define PLAN_SETUPS_MAX 20
struct plan {
    int rounds; /* holds a build (rows), or passes there and back (mirror) */
    int holds, builds;
    int setup[PLAN_LAID_MAX];   /* hold by hold */
    bool change[PLAN_LAID_MAX]; /* parts are changed before this hold */
    double minutes;             /* of what is to be ridden */
    bool fits;                  /* in minutes_left */
    double order_index;
    bool order_fitted; /* the trial order can be taken out */
    int df;
    double half_width_mm; /* expected 95 % half-width of the worst known setup against the first */
    double power;         /* to call that setup lower or higher among all setups */
    double detectable_mm; /* difference found with power 0.8 */
};

/* Fills one plan for so many rounds (1 to PLAN_ROUNDS_MAX). MEASURE_BAD_SETTING when it is out of
 * bounds or too long. */
enum measure_status plan_make(const struct plan_input *input, int rounds, struct plan *plan);

/* Whether a plan is to be ridden rather than another: one that fits; one with PLAN_HOLDS_A_BUILD
 * holds of each; one with power PLAN_POWER, the shortest of these; else the one with more. */
bool plan_is_better(const struct plan *plan, const struct plan *than);

/* The best plan with times.hold_min as it is; MEASURE_TOO_FEW: nothing fits. */
enum measure_status plan_choose(const struct plan_input *input, struct plan *plan);

/* What SD holds of another length have, where those of of_s have sd_mm: sitting down anew does not
 * change, the mean's own error falls with the length (PLAN_HOLD_ERROR_MM). */
double plan_hold_sd_mm(double sd_mm, double of_s, double for_s);

/* So many holds of such a length on each build. */
struct plan_holds {
    double hold_s;
    int holds;
};
struct plan_holds plan_usual_holds(void);
/* The holds with the best chance in the minutes left, of PLAN_HOLD_S to PLAN_HOLD_LONGEST_S and at
 * most PLAN_HOLDS_MOST a build; so_far unless others are better by PLAN_STAYS_CHANCE or
 * PLAN_STAYS_MINUTES. hold_sd_mm is that of holds of so_far's length. Where not even two of the
 * shortest fit, these. The plan is filled with what is known of them. Rows only. */
enum measure_status plan_choose_holds(const struct plan_input *input, struct plan_holds so_far,
                                      struct plan_holds *chosen, struct plan *plan);

#endif
