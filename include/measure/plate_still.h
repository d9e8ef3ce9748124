/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_PLATE_STILL_H
#define HOLDLINE_MEASURE_PLATE_STILL_H

#include "measure/status.h"

#include <stdbool.h>
#include <stddef.h>

/* Was a plate held still while its range was read? The reading's parts, of equal lengths, are
 * compared: a plate that sinks or sways has means that are further apart than the sensor's noise
 * makes them. */
struct plate_still {
    double moved_mm; /* between the parts that are furthest apart */
    double noise_mm; /* white noise SD: of first differences, over the square root of 2 */
    double step_mm;  /* the smallest step between readings; 0 when there is none */
    double u_mm;     /* of the reading: its noise, its way and its sensor's step, standard */
    bool moved;      /* by more than PLATE_MOVED_MM, a step of the sensor, and its noise */
};

/* ranges in mm, count of them in the order in which they came. From 8 of them. */
enum measure_status plate_still(const double *range_mm, size_t count, struct plate_still *still);

#endif
