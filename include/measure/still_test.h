/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_STILL_TEST_H
#define HOLDLINE_MEASURE_STILL_TEST_H

#include "measure/allan.h"
#include "measure/ripple.h"
#include "measure/status.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Still test: the sensor looks at a fixed plate. Noise, drift, the step between readings, and how
 * far averaging helps (measure/allan.h). Sixty seconds for a quick one, ten minutes and more for a
 * full one. Limits are this tool's: what a posture's millimetres can bear. */
enum still_reason {
    STILL_STUCK = 1,   /* every reading the same */
    STILL_BLOCKED = 2, /* the range is under SENSOR_BLOCKED_MM */
    STILL_NOISY = 4,
    STILL_DRIFTS = 8,      /* still warming up, or the plate moves */
    STILL_DROPS = 16,      /* missing, doubtful or outlying readings */
    STILL_TWO_LEVELS = 32, /* the beam sees two things */
    STILL_WANDERS = 64,    /* more than its noise explains: plate, clamp or sensor is not still */
};

struct still_input {
    const double *time_s; /* ascending */
    const double *range_mm;
    const uint8_t *valid;
    size_t count;
};

struct still_test {
    size_t good; /* valid readings that are no outliers */
    double duration_s, rate_hz;
    double valid_share, outlier_share;
    double mean_mm, sd_mm;
    double white_mm;   /* white noise SD: of first differences, over the square root of 2 */
    double quantum_mm; /* the smallest step between readings; 0 when there is none */
    bool has_drift;    /* from 8 blocks of 2.5 s on */
    double drift_mm_per_min, drift_half_width_mm_per_min; /* 95 % */
    /* The drift is slower in the second half, beyond both halves' errors, as what warms up is: so
     * many minutes more until it is under the limit, by the curve 1 - exp(-t / tau). 0 = not told
     */
    double warms_minutes;
    bool has_allan; /* good readings are closed up: only when few are missing */
    struct allan_curve allan;
    double best_s, best_mm; /* the longest averaging worth doing, and what it leaves */
    struct ripple ripple;   /* only where few are missing */
    bool best_is_longest;   /* the curve still falls at its end: a longer test would say more */
    unsigned reasons;       /* of enum still_reason; 0 = passed */
};

/* From 20 good readings. A stuck sensor is a result (STILL_STUCK), no failure of the test. */
enum measure_status still_test(const struct still_input *input, struct still_test *test);

#endif
