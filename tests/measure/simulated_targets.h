/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_MEASURE_SIMULATED_TARGETS_H
#define HOLDLINE_TESTS_MEASURE_SIMULATED_TARGETS_H

#include "simulated_hold.h"
#include "support/sway_rider.h"

#include "measure/rules.h"
#include "measure/target.h"

#include <string.h>

/* Captures of invented riders that end as the session ends them, with the level as the truth. */
struct target_rider {
    const char *name;
    double wander_from_s, wander_to_s; /* time constant */
    double gap_share, unsettled_mm;
    bool sway;   /* of the second model */
    int channel; /* of it; -1: both, as long as both take */
    bool by_end; /* shown by when it ended, too */
};

/* 30 to 39 s, 40 to 49 s, .. 90 s */
enum { TARGET_BINS = 7 };

struct target_counts {
    long captures, intervals, covered, known, not_settled;
    double half_width_mm, squares, seconds;
};

static inline double target_between(struct random_source *random, double low, double high)
{
    return low + (high - low) * random_uniform(random);
}

#define TARGET_RATE_HZ 25.0
#define TARGET_LEVEL_MM 900.0

/* A capture of the longest length: up to two channels. */
static inline int target_capture(struct random_source *random, const struct target_rider *rider,
                                 struct hold_input inputs[2])
{
    static struct simulated hold;
    static struct sway_hold sway_hold;
    if (rider->sway) {
        struct sway_rider drawn;
        struct sway_plan plan = {.seconds = TARGET_AT_MOST_S,
                                 .rate_hz = TARGET_RATE_HZ,
                                 .level_mm = {TARGET_LEVEL_MM, TARGET_LEVEL_MM}};
        sway_rider_draw(random, &drawn);
        sway_hold_make(random, &drawn, &plan, &sway_hold);
        inputs[0] = sway_input(&sway_hold, rider->channel < 0 ? SWAY_HEAD : rider->channel);
        inputs[1] = sway_input(&sway_hold, SWAY_CHEST);
        return rider->channel < 0 ? 2 : 1;
    }
    struct rider drawn = {.breathing_mm = target_between(random, 2.0, 6.0),
                          .breathing_hz = target_between(random, 0.2, 0.7),
                          .bob_mm = target_between(random, 0.5, 5.0),
                          .bob_hz = target_between(random, 1.2, 3.0),
                          .wander_mm = target_between(random, 1.5, 4.0),
                          .wander_s =
                              target_between(random, rider->wander_from_s, rider->wander_to_s),
                          .noise_mm = target_between(random, 1.0, 3.0),
                          .gap_share = rider->gap_share,
                          .unsettled_mm = rider->unsettled_mm,
                          .unsettled_s = rider->unsettled_mm > 0.0 ? 5.0 : 0.0};
    simulate_hold(random, &drawn, TARGET_LEVEL_MM, TARGET_AT_MOST_S, TARGET_RATE_HZ, &hold);
    inputs[0] = simulated_input(&hold);
    return 1;
}

/* The first seconds of a capture. */
static inline void target_so_far(const struct hold_input *capture, double seconds,
                                 struct target_estimate *estimate)
{
    struct hold_input part = *capture;
    part.duration_s = seconds;
    while (part.count > 0 && part.time_s[part.count - 1] >= seconds) {
        part.count--;
    }
    target_estimate(&part, estimate);
}

static inline void add_target(const struct target_estimate *estimate, double seconds,
                              double until_mm, struct target_counts *counts)
{
    double off_mm = estimate->height_mm - TARGET_LEVEL_MM;
    counts->captures++;
    counts->seconds += seconds;
    counts->not_settled += estimate->not_settled;
    counts->known += target_is_known(estimate, until_mm);
    if (estimate->has_interval) {
        counts->intervals++;
        counts->covered += fabs(off_mm) <= estimate->half_width_mm;
        counts->half_width_mm += estimate->half_width_mm;
        counts->squares += off_mm * off_mm;
    }
}

/* One capture by the session's rule (session/capture.c): looked at after TARGET_FIRST_LOOK_S and at
 * the end of each proposed length. at: by how long it took; may be NULL. */
static inline void count_target(struct random_source *random, const struct target_rider *rider,
                                double until_mm, struct target_counts *counts,
                                struct target_counts *at)
{
    static struct target_estimate estimate[2];
    struct hold_input inputs[2];
    struct target_settings settings = target_usual();
    int channels = target_capture(random, rider, inputs);
    double elapsed_s = TARGET_FIRST_LOOK_S, length_s;
    settings.until_mm = until_mm;
    for (;;) {
        length_s = 0.0;
        for (int c = 0; c < channels; c++) {
            target_so_far(&inputs[c], elapsed_s, &estimate[c]);
            length_s = fmax(length_s, target_length_s(&estimate[c], &settings, elapsed_s));
        }
        if (!(length_s > elapsed_s)) {
            break;
        }
        elapsed_s = length_s;
    }
    for (int c = 0; c < channels; c++) {
        add_target(&estimate[c], elapsed_s, until_mm, counts);
        if (at != NULL) {
            int bin = (int)((elapsed_s - 30.0) / 10.0);
            add_target(&estimate[c], elapsed_s, until_mm,
                       &at[bin < 0              ? 0
                           : bin >= TARGET_BINS ? TARGET_BINS - 1
                                                : bin]);
        }
    }
}

#endif
