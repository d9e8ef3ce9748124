/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_RICE_H
#define HOLDLINE_MEASURE_RICE_H

#include "measure/status.h"

/* How often a Gaussian signal crosses a level (Rice 1944, 1945, Bell Syst. Tech. J. 23 and 24): a
 * cross-check of the cues that a band would give, from the signal's SD and the SD of its rate of
 * change alone. */

/* Up-crossings a second of a level this far above the mean: sd_rate / (2 pi sd) exp(-level^2 / (2
 * sd^2)). sd > 0, sd_rate >= 0 (units a second); level may be negative. */
enum measure_status rice_upcrossings(double level, double sd, double sd_rate, double *per_second);

#endif
