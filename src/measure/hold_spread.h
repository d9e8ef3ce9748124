/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_MEASURE_HOLD_SPREAD_H
#define HOLDLINE_SRC_MEASURE_HOLD_SPREAD_H

#include "measure/hold.h"

/* Where the heights of a hold lie, one at a time and none of them kept: mean and SD as in Welford
 * 1962 (Technometrics 4, 419-420), quantiles from counts by 0.1 mm. Inside the layer only. */
struct spread {
    size_t count;
    double first_mm, mean_mm, squares, least_mm, most_mm;
    uint32_t *bin; /* of heights about the first; owned */
};

bool spread_begin(struct spread *spread); /* false without memory */
void spread_end(struct spread *spread);
void spread_take(struct spread *spread, double height_mm);
/* Mean, SD, extremes and quantiles of the summary, of two readings at least; MEASURE_CONSTANT where
 * nothing moved. */
enum measure_status spread_tell(const struct spread *spread, struct hold_summary *summary);

#endif
