/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_MEASURE_COMPARE_FIT_H
#define HOLDLINE_SRC_MEASURE_COMPARE_FIT_H

#include "measure/compare.h"

/* The least squares behind a comparison: value = level of its cell + slope x (order - mean order).
 * Cells are the setups (with the holds of their tied builds) and, each for itself, the builds that
 * are not tied: these say something about repeatability and order, and nothing about a setup.
 * Inside the layer only. */
#define CELLS_MAX (COMPARE_SETUPS_MAX + COMPARE_BUILDS_MAX)

struct cell {
    int holds;
    double mean_value, mean_order;
    double order_squares; /* of the order about its mean */
    struct spread own;    /* of its holds alone; df 0: none */
    bool apart;           /* they differ more than the others': its own holds for it */
};

struct fit {
    const struct compare_input *input;
    struct cell cell[CELLS_MAX]; /* setups first, then builds */
    int cells_used;
    double mean_order;
    double order_within; /* sum of squares of order within cells */
    double order_index;  /* share of the order's variation that lies between setups */
    bool order_fitted;
    double slope, slope_se;
    bool slope_significant; /* at 5 %, whether fitted or only looked at */
    bool no_spread;         /* holds of a setup all equal */
    int df;                 /* of this session's holds */
    struct spread pooled;   /* of one hold, with what was learnt */
    struct spread here;     /* of this session's holds alone */
};

enum measure_status compare_fit(const struct compare_input *input, struct fit *fit);
/* The setup's level at the mean trial order. */
double fit_level(const struct fit *fit, int setup);
/* Of level(setup) - level(baseline), with baseline < 0 of level(setup) alone: how much of the
 * variance of one hold is in it, */
double fit_hold_factor(const struct fit *fit, int setup, int baseline);
/* that variance, cells that are apart with their own, and what it is worth (Welch-Satterthwaite),
 */
struct spread fit_hold_variance(const struct fit *fit, int setup, int baseline);
/* and the variance of the ties in mm^2. */
double fit_tie_variance(const struct fit *fit, int setup, int baseline);

/* How far the setup's mean order is from the baseline's (baseline < 0: from the mean of all). */
double fit_order_distance(const struct fit *fit, int setup, int baseline);
/* What an order that is not taken out may do to a difference; 0 where it is. */
double fit_order_variance(const struct fit *fit, int setup, int baseline);

#endif
