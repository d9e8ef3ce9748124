/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_FILTER_H
#define HOLDLINE_MEASURE_FILTER_H

#include <stdbool.h>
#include <stddef.h>

/* Low-pass of 2nd order (Butterworth 1930, bilinear transform with pre-warping; Winter 2009,
 * Biomechanics and Motor Control of Human Movement, 4th ed., section 3.4.4.2 for the two-pass
 * correction). */
struct low_pass {
    double b0, b1, b2, a1, a2; /* y = b0 x + b1 x1 + b2 x2 - a1 y1 - a2 y2 */
};
struct low_pass_state {
    double x1, x2, y1, y2;
};

/* False (and no filter) unless 0 < cutoff_hz < rate_hz / 2, both finite. */
bool low_pass_design(double cutoff_hz, double rate_hz, struct low_pass *filter);
/* The filter of which two passes have this cut-off. */
bool low_pass_design_two_pass(double cutoff_hz, double rate_hz, struct low_pass *filter);

/* At rest at value: a constant signal passes unchanged from the first sample. */
void low_pass_rest(struct low_pass_state *state, double value);
double low_pass_step(const struct low_pass *filter, struct low_pass_state *state, double value);

/* Zero lag, in place: forwards and backwards over one contiguous stretch, ends continued by odd
 * reflection (9 samples, fewer when the stretch is shorter) and at rest there. The magnitude is
 * that of the filter squared. Stretches of 1 sample stay as they are. */
void low_pass_two_pass(const struct low_pass *filter, double *values, size_t count);

#endif
