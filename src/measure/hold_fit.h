/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_MEASURE_HOLD_FIT_H
#define HOLDLINE_SRC_MEASURE_HOLD_FIT_H

#include "hold_model.h"

/* One fit of level, noise and whatever else is tried of a hold, and what an added column brings:
 * what hold_model.c and hold_step.c look with. Inside the layer only. */
enum hold_fit_column { FIT_LEVEL, FIT_ADDED, FIT_STEP };

/* A part of a hold. */
struct hold_stretch {
    double from_s, to_s;
};

struct hold_fit {
    struct noise_blocks blocks;
    struct noise noise; /* of level and step alone */
    double misfit;
    double column[NOISE_COLUMNS_MAX][NOISE_BLOCKS_MAX];
    bool has_step;
    double mean_mm; /* taken off the blocks */
};

/* Blocks of a stretch; those before from_s are not there. False: too few of them. */
bool hold_fit_take(const struct series *series, const struct hold_stretch *stretch, double from_s,
                   struct hold_fit *fit);
/* Level, what is tried where added, and the step where there is one; how many. */
int hold_fit_columns(const struct hold_fit *fit, bool added, const double **columns);
/* The noise beside level and step. False without memory. */
bool hold_fit_base(struct hold_fit *fit);
/* By how much the likelihood grows when the added column is let in and the noise fitted anew. Where
 * the noise as it is promises little, that is enough to know. */
double hold_fit_gain(const struct hold_fit *fit, double promising,
                     struct noise_regression *regression);

/* ---- what is added ---- */
void hold_fit_line(struct hold_fit *fit);
/* How a beginning settles. */
struct settling_shape {
    double seconds; /* time constant, or when it is over */
    enum settling_way way;
};
/* Adds the shape that brings most with the noise as it is; its gain, as above. */
double hold_fit_settling(struct hold_fit *fit, double promising,
                         struct noise_regression *regression, struct settling_shape *shape);

#endif
