/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_MEASURE_HOLD_NOISE_H
#define HOLDLINE_SRC_MEASURE_HOLD_NOISE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* What a body does while it stays where it is, as a model in state space (Harvey 1989, chapters 2
 * to 4): slow wander (first-order autoregressive), breathing (a damped oscillator), and what is
 * left of legs and sensor in a block's mean. What was measured decides how large each is, and
 * what riders do where it says little: the largest posterior density, with priors of
 * measure/rule_rows.h. Missing blocks are left out exactly. Inside the layer only. */
enum noise_part { NOISE_WANDER, NOISE_WANDER_S, NOISE_REST, NOISE_BREATHING, NOISE_PARTS };

#define NOISE_BLOCKS_MAX 256
#define NOISE_COLUMNS_MAX 3

struct noise_blocks {
    size_t count;
    double block_s;
    double value_mm[NOISE_BLOCKS_MAX]; /* any value where nothing is there */
    uint8_t there[NOISE_BLOCKS_MAX];
    double breathing_hz;
};

struct noise {
    double log[NOISE_PARTS]; /* of SDs in mm, and of the wander's time constant in s */
};

/* The Kalman filter of a noise: what it makes of one series it makes of all. */
struct noise_filter {
    double keep, turn_cos, turn_sin;                                /* from block to block */
    double gain[NOISE_BLOCKS_MAX][3], inverse_sd[NOISE_BLOCKS_MAX]; /* 0 = nothing there */
    double log_variances;
};

/* Blocks about their mean, explained by columns: values in mm, of NOISE_BLOCKS_MAX. */
struct noise_regression {
    double coefficient[NOISE_COLUMNS_MAX], se[NOISE_COLUMNS_MAX];
    double misfit; /* -2 log of likelihood and prior, but for a constant */
};

/* Where the breathing's line is: the highest of the periodogram. */
double noise_breathing_hz(const struct noise_blocks *blocks);
/* Before anything is known. */
void noise_usual(const struct noise_blocks *blocks, struct noise *noise);
void noise_filter_make(const struct noise_blocks *blocks, const struct noise *noise,
                       struct noise_filter *filter);
/* Prediction errors of values over their SDs; values before from are 0 and so are theirs. */
void noise_whiten(const struct noise_filter *filter, size_t count, const double *values,
                  size_t from, double *white);
/* Least squares of the whitened blocks on the whitened columns. Where these can't be told apart
 * everything is 0 and the misfit too large for any fit. */
void noise_regress(const struct noise_blocks *blocks, const struct noise *noise,
                   const double *const *columns, int column_count,
                   struct noise_regression *regression);
/* The noise that fits best beside these columns, searched from the one given (Nelder and Mead
 * 1965, GSL). False without memory. */
bool noise_fit(const struct noise_blocks *blocks, const double *const *columns, int column_count,
               struct noise *noise, struct noise_regression *regression);

#endif
