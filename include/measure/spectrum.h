/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_SPECTRUM_H
#define HOLDLINE_MEASURE_SPECTRUM_H

#include "measure/status.h"

#include <stddef.h>

/* Power spectral density by averaging windowed stretches (Welch 1967, IEEE Trans. Audio
 * Electroacoust. 15, 70-73): periodic Hann window, mean of each window removed, half overlap,
 * one-sided. */
struct spectrum;

/* window samples long (at least 4), rate_hz > 0. NULL without memory or with a bad setting. The
 * caller destroys it. */
struct spectrum *spectrum_create(size_t window, double rate_hz);
void spectrum_destroy(struct spectrum *spectrum);
/* Adds all whole windows of one contiguous, evenly sampled stretch; returns how many. */
size_t spectrum_add(struct spectrum *spectrum, const double *values, size_t count);
size_t spectrum_windows(const struct spectrum *spectrum);
double spectrum_bin_hz(const struct spectrum *spectrum); /* width of a bin */
/* Power (unit^2) in from_hz <= f < to_hz: sum of density x bin width over the bins, averaged over
 * the windows; 0 before the first. */
double spectrum_power(const struct spectrum *spectrum, double from_hz, double to_hz);

/* The longest window up to wanted samples that has only factors 2, 3 and 5 (fast to transform), and
 * is even. */
size_t spectrum_window_near(size_t wanted);

#endif
