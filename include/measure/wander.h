/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_WANDER_H
#define HOLDLINE_MEASURE_WANDER_H

#include "measure/status.h"

#include <stddef.h>

/* How well a posture's level is known from a capture in which it wanders, slowly too
 * (docs/measures.md, 'Target and band'). What is slower than the capture is hardly seen in it, so
 * that a scatter from within, however widened, says too little. Here the capture's slow part (its
 * cosine transforms under WANDER_TO_HZ; Mueller 2014, J. Bus. Econ. Stat. 32, 311-322) weighs
 * first-order processes of time constants from 1 to 32 s, of spreads of 0.6 to 10 mm and with more
 * or less of breathing and noise between them; each says how far a mean of so many seconds lies
 * from the level. */
enum { WANDER_MODELS_MAX = 256 };

struct wander_estimate {
    double mean_mm;       /* of the capture */
    double half_width_mm; /* about it, 95 % */
    double error_mm;      /* root mean square of what lies between it and the level */
    double weight[WANDER_MODELS_MAX];
};

/* time_s ascending, from_s to to_s is looked at; what is missing in between is interpolated.
 * MEASURE_TOO_FEW from under 4 readings or where no slow cosine fits in. */
enum measure_status wander_estimate(const double *time_s, const double *height_mm, size_t count,
                                    double from_s, double to_s, struct wander_estimate *estimate);

/* The half-width that is to be expected of so many seconds of the same. */
double wander_half_width_after(const struct wander_estimate *estimate, double seconds);
/* Root mean square of what lies between the level and a mean of so many other seconds. */
double wander_error_of(const struct wander_estimate *estimate, double seconds);

#endif
