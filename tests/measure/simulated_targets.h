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

/* Who was drawn. */
struct target_drawn {
    bool sway;
    int channel;
    struct rider rider;
    struct sway_rider sway_rider;
};

/* A capture of the longest length: up to two channels. */
static inline int target_capture(struct random_source *random, const struct target_rider *rider,
                                 struct target_drawn *drawn, struct hold_input inputs[2])
{
    static struct simulated hold;
    static struct sway_hold sway_hold;
    memset(drawn, 0, sizeof *drawn);
    if (rider->sway) {
        struct sway_plan plan = {.seconds = TARGET_AT_MOST_S,
                                 .rate_hz = TARGET_RATE_HZ,
                                 .level_mm = {TARGET_LEVEL_MM, TARGET_LEVEL_MM}};
        drawn->sway = true;
        drawn->channel = rider->channel < 0 ? SWAY_HEAD : rider->channel;
        sway_rider_draw(random, &drawn->sway_rider);
        sway_hold_make(random, &drawn->sway_rider, &plan, &sway_hold);
        inputs[0] = sway_input(&sway_hold, drawn->channel);
        inputs[1] = sway_input(&sway_hold, SWAY_CHEST);
        return rider->channel < 0 ? 2 : 1;
    }
    drawn->rider =
        (struct rider){.breathing_mm = target_between(random, 2.0, 6.0),
                       .breathing_hz = target_between(random, 0.2, 0.7),
                       .bob_mm = target_between(random, 0.5, 5.0),
                       .bob_hz = target_between(random, 1.2, 3.0),
                       .wander_mm = target_between(random, 1.5, 4.0),
                       .wander_s = target_between(random, rider->wander_from_s, rider->wander_to_s),
                       .noise_mm = target_between(random, 1.0, 3.0),
                       .gap_share = rider->gap_share,
                       .unsettled_mm = rider->unsettled_mm,
                       .unsettled_s = rider->unsettled_mm > 0.0 ? 5.0 : 0.0};
    simulate_hold(random, &drawn->rider, TARGET_LEVEL_MM, TARGET_AT_MOST_S, TARGET_RATE_HZ, &hold);
    inputs[0] = simulated_input(&hold);
    return 1;
}

/* The first seconds of a capture. */
static inline struct hold_input target_part(const struct hold_input *capture, double seconds)
{
    struct hold_input part = *capture;
    part.duration_s = seconds;
    while (part.count > 0 && part.time_s[part.count - 1] >= seconds) {
        part.count--;
    }
    return part;
}

/* By the session's rule (session/capture.c): looked at after TARGET_FIRST_LOOK_S and at the end of
 * each proposed length. How long it took. */
static inline double target_run(const struct hold_input inputs[2], int channels,
                                const struct target_settings *settings,
                                struct target_estimate *estimate)
{
    double elapsed_s = TARGET_FIRST_LOOK_S;
    for (;;) {
        double length_s = 0.0;
        for (int c = 0; c < channels; c++) {
            struct hold_input part = target_part(&inputs[c], elapsed_s);
            target_estimate(&part, &estimate[c]);
            length_s = fmax(length_s, target_length_s(&estimate[c], settings, elapsed_s));
        }
        if (!(length_s > elapsed_s)) {
            return elapsed_s;
        }
        elapsed_s = length_s;
    }
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

/* One capture. at: by how long it took; may be NULL. */
static inline void count_target(struct random_source *random, const struct target_rider *rider,
                                double until_mm, struct target_counts *counts,
                                struct target_counts *at)
{
    static struct target_estimate estimate[2];
    struct hold_input inputs[2];
    struct target_drawn drawn;
    struct target_settings settings = target_usual();
    settings.until_mm = until_mm;
    int channels = target_capture(random, rider, &drawn, inputs);
    double elapsed_s = target_run(inputs, channels, &settings, estimate);
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
