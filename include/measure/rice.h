/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_RICE_H
#define HOLDLINE_MEASURE_RICE_H

#include "measure/status.h"

#include <stddef.h>

/* How often a Gaussian signal crosses a level (Rice 1944, 1945, Bell Syst. Tech. J. 23 and 24): a
 * cross-check of the cues that a band would give, from the signal's SD and the SD of its rate of
 * change alone. */

/* Up-crossings a second of a level this far above the mean: sd_rate / (2 pi sd) exp(-level^2 / (2
 * sd^2)). sd > 0, sd_rate >= 0 (units a second); level may be negative. */
enum measure_status rice_upcrossings(double level, double sd, double sd_rate, double *per_second);

/* The same from a contiguous, evenly sampled signal of period step_s: level is absolute. sd with
 * divisor n, the rate of change from differences (which lose what is faster than a tenth of the
 * sampling rate). From 3 values. */
enum measure_status rice_from_signal(const double *values, size_t count, double step_s,
                                     double level, double *per_second);

/* Counted: how often values[i-1] < level <= values[i]. */
size_t count_upcrossings(const double *values, size_t count, double level);

#endif
