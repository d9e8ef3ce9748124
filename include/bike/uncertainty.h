/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BIKE_UNCERTAINTY_H
#define HOLDLINE_BIKE_UNCERTAINTY_H

#include "bike/geometry.h"

/* How well computed points are known: errors of measuring and of labels carried through the forward
 * geometry to first order, as independent ones. */

/* Standard error to expect of a measure: common practice, no source. An assumed value (not given)
 * has a wider one. */
double measuring_error(const struct bike_values *bike, enum bike_key key);

/* Standard uncertainties. */
struct points_uncertainty {
    struct point clamp, pad, extension_tip, saddle;
};

/* error[key]: standard error of each measure, NULL = measuring_error's. What the bike has no values
 * for is NAN. False as bike_forward. */
bool bike_uncertainty(const struct bike_values *bike, const double error[BIKE_KEYS],
                      struct points_uncertainty *uncertainty, struct problem *problem);

#endif
