/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_NOISE_H
#define HOLDLINE_RIG_NOISE_H

#include <stddef.h>
#include <stdint.h>

/* White noise of a sensor (SD of a reading) from the differences of readings next to each other: by
 * their median absolute deviation, over the square root of 2. All in one unit, quantum (the step
 * the sensor counts in) too; 0 where all are alike, NAN where there are fewer than 8. At most
 * 65535; their order and values are lost. */
double noise_of_differences(int32_t *differences, size_t count, double quantum);

#endif
