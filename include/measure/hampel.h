/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_HAMPEL_H
#define HOLDLINE_MEASURE_HAMPEL_H

#include "measure/status.h"

#include <stddef.h>
#include <stdint.h>

/* Outliers: a reading is rejected when it lies more than sigmas x 1.4826 MAD from the median of its
 * window (Hampel 1974, J. Am. Stat. Assoc. 69, 383-393; Pearson 2002, IEEE Trans. Control Syst.
 * Technol. 10). The scale has a floor, since a quantised signal's MAD is often 0 and would reject
 * everything. */
struct hampel_settings {
    size_t half_window;
    double sigmas;
    double floor; /* least scale, in the values' unit; 0 = none */
    double jump;  /* further from the median than this: rejected whatever the scale; INFINITY = no
                     limit */
};

/* Offline, over one contiguous stretch: windows are cut at its ends. reject[i] is set to 0 or 1;
 * medians and scales (1.4826 MAD, floor not applied) may be NULL. Decisions are made on the values
 * as given, not on repaired ones. Stretches under 3 values: nothing is rejected. */
enum measure_status hampel_reject(const double *values, size_t count,
                                  const struct hampel_settings *settings, uint8_t *reject,
                                  double *medians, double *scales);

/* How a sensor's own readings are cleaned, of a plate and the like. */
struct hampel_settings hampel_of_sensor(void);

#endif
