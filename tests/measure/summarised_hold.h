/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_MEASURE_SUMMARISED_HOLD_H
#define HOLDLINE_TESTS_MEASURE_SUMMARISED_HOLD_H

#include "simulated_hold.h"

#include "measure/hold.h"
#include "support/test_main.h"
#include "support/test_seed.h"

/* One simulated hold of a quiet rider and its summary, for the tests of holds. */

static struct simulated hold; /* big: each test runs in a process of its own */

static const struct rider quiet = {.breathing_mm = 4,
                                   .breathing_hz = 0.4,
                                   .bob_mm = 3,
                                   .bob_hz = 1.5,
                                   .wander_mm = 2,
                                   .wander_s = 2,
                                   .noise_mm = 2};

static inline struct hold_settings with_band(double target_mm, double above_mm, double below_mm)
{
    return (struct hold_settings){.has_target = true,
                                  .target_mm = target_mm,
                                  .has_band = true,
                                  .cue = {above_mm, below_mm, 1.0, 0.2, 0.7, 0.5, 0.5}};
}

static inline void simulate(unsigned seed, const struct rider *rider, double duration_s)
{
    struct random_source random;
    random_seed(&random, test_seed(seed));
    simulate_hold(&random, rider, 900.0, duration_s, 50.0, &hold);
}

static inline struct hold_summary summarise(const struct hold_settings *settings)
{
    struct hold_input input = simulated_input(&hold);
    struct hold_summary summary;
    ck_assert_int_eq(hold_summarise(&input, settings, &summary), MEASURE_OK);
    ck_assert_int_eq(summary.status, MEASURE_OK);
    return summary;
}

#endif
