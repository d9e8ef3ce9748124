/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_MEASURE_HOLD_STEP_H
#define HOLDLINE_SRC_MEASURE_HOLD_STEP_H

#include "hold_fit.h"

/* A level that moves at once and stays: where it did, and whether it is more than a look up and
 * back, a beginning that settles or a line. Inside the layer only. */

/* A sensor that is knocked moves at once. In blocks as long as a long hold has, a body that tires
 * within minutes looks the same: there each stretch of STEP_STRETCH_S is looked at by itself, every
 * half of one, and the largest step counts. So many looks are paid for as Bonferroni has it: a
 * chance of 1 in n more is worth 2 log n of -2 log. */

/* Is a hold so long that steps are looked for in stretches of it? */
bool hold_step_in_stretches(double duration_s);
/* One of them, of a hold that lasts duration_s: the model has the larger step of this one and its
 * own. fit is written over. False without memory. */
bool hold_step_look_in_stretch(const struct series *series, const struct hold_stretch *stretch,
                               double duration_s, struct hold_fit *fit, struct hold_model *model);
/* All of them. */
bool hold_step_look_in_stretches(const struct series *series, struct hold_fit *fit,
                                 struct hold_model *model);
/* In the blocks of the fit, whose base is fitted; dearer: what a step must bring beyond the usual,
 * where it is looked for in many places. False without memory. */
bool hold_step_look(struct hold_fit *fit, double dearer, struct hold_model *model);
/* The column of the model's step, where it has one. */
void hold_step_column(const struct hold_model *model, struct hold_fit *fit);

#endif
