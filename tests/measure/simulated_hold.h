/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_MEASURE_SIMULATED_HOLD_H
#define HOLDLINE_TESTS_MEASURE_SIMULATED_HOLD_H

#include "base/random.h"
#include "measure/hold.h"

#include <math.h>
#include <stddef.h>
#include <stdint.h>

/* An invented rider for the calibration of intervals: breathing and
 * pedalling with wandering phase, slow wander of the posture (first-order autoregressive), white
 * sensor noise, and what goes wrong: gaps, outliers, an unsettled beginning, creep. */
struct rider {
    double breathing_mm, breathing_hz; /* amplitude */
    double bob_mm, bob_hz;
    double wander_mm, wander_s; /* SD and time constant */
    double noise_mm;
    double unsettled_mm, unsettled_s; /* exponential beginning */
    double creep_mm_per_min;
    double gap_share;     /* of the time, in gaps of 0.3 to 2 s */
    double outlier_share; /* of the readings, off by 30 to 200 mm */
};

#define SIMULATED_MAX 30000

struct simulated {
    double time_s[SIMULATED_MAX], height_mm[SIMULATED_MAX];
    uint8_t valid[SIMULATED_MAX];
    size_t count;
    double duration_s, rate_hz;
};

static inline void simulate_hold(struct random_source *random, const struct rider *rider,
                                 double mean_mm, double duration_s, double rate_hz,
                                 struct simulated *out)
{
    const double two_pi = 6.28318530717958647692;
    double step_s = 1.0 / rate_hz, breath = random_uniform(random), bob = random_uniform(random);
    double wander = rider->wander_mm * random_normal(random), gap_until_s = -1.0;
    double keep = exp(-step_s / rider->wander_s),
           fresh = rider->wander_mm * sqrt(1.0 - keep * keep);
    out->count = (size_t)(duration_s * rate_hz + 0.5);
    out->duration_s = duration_s;
    out->rate_hz = rate_hz;
    for (size_t i = 0; i < out->count; i++) {
        double t = (double)i * step_s;
        breath += rider->breathing_hz * step_s +
                  0.15 * sqrt(rider->breathing_hz * step_s) * 0.3 * random_normal(random);
        bob += rider->bob_hz * step_s + 0.01 * random_normal(random);
        wander = keep * wander + fresh * random_normal(random);
        double height = mean_mm + rider->breathing_mm * sin(two_pi * breath) +
                        rider->bob_mm * sin(two_pi * bob) + wander +
                        rider->noise_mm * random_normal(random) +
                        rider->creep_mm_per_min * (t - 0.5 * duration_s) / 60.0;
        if (rider->unsettled_s > 0.0) {
            height += rider->unsettled_mm * exp(-t / rider->unsettled_s);
        }
        if (rider->outlier_share > 0.0 && random_uniform(random) < rider->outlier_share) {
            height += (random_uniform(random) < 0.5 ? -1.0 : 1.0) *
                      (30.0 + 170.0 * random_uniform(random));
        }
        if (rider->gap_share > 0.0 && t >= gap_until_s &&
            random_uniform(random) < rider->gap_share * step_s / 1.15) {
            gap_until_s = t + 0.3 + 1.7 * random_uniform(random);
        }
        out->time_s[i] = t;
        out->height_mm[i] = height;
        out->valid[i] = t >= gap_until_s;
    }
}

static inline struct hold_input simulated_input(const struct simulated *hold)
{
    return (struct hold_input){.time_s = hold->time_s,
                               .height_mm = hold->height_mm,
                               .valid = hold->valid,
                               .count = hold->count,
                               .duration_s = hold->duration_s,
                               .rate_hz = hold->rate_hz};
}

#endif
