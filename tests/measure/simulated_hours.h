/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_MEASURE_SIMULATED_HOURS_H
#define HOLDLINE_TESTS_MEASURE_SIMULATED_HOURS_H

#include "simulated_targets.h"

#include "measure/band.h"

/* Hours in a band: is it lost by who only sways, and is it found when it is lost? */
enum hour_rider {
    HOUR_SWAYS,       /* 3 mm of 3 s and breathing of 2 mm about the target; a fixed band */
    HOUR_FIRST_MODEL, /* about the target, in the band proposed from a capture: chest */
    HOUR_SECOND_HEAD,
    HOUR_SECOND_CHEST,
};

struct hour_row {
    const char *name;
    enum hour_rider rider;
    double half_width_mm; /* of HOUR_SWAYS */
    double rise_mm;       /* higher over five minutes from minute 20 on; 0 = steady */
};

#define HOUR_S 3600.0
#define HOUR_RATE_HZ 8.0
#define HOUR_RISE_FROM_S 1200.0
#define HOUR_RISE_S 300.0

static inline void raise_hour(double *height_mm, const double *time_s, size_t count, double rise_mm)
{
    for (size_t i = 0; i < count; i++) {
        double part = (time_s[i] - HOUR_RISE_FROM_S) / HOUR_RISE_S;
        height_mm[i] += rise_mm * fmin(1.0, fmax(0.0, part));
    }
}

/* The band that is suggested from a capture; that of the middle where none is. */
static inline bool hour_band(struct random_source *random, const struct hour_row *row,
                             struct target_drawn *drawn, struct cue_settings *cue)
{
    static struct target_estimate estimate;
    static struct band_proposal proposals[BAND_PROPOSALS_MAX];
    struct hold_input inputs[2];
    bool sway = row->rider != HOUR_FIRST_MODEL, head = row->rider == HOUR_SECOND_HEAD;
    struct target_rider rider = {"", .wander_from_s = 1, .wander_to_s = 8, .sway = sway};
    struct target_settings settings = target_usual();
    rider.channel = head ? SWAY_HEAD : SWAY_CHEST;
    *cue = cue_usual(head);
    target_capture(random, &rider, drawn, inputs);
    double elapsed_s = target_run(inputs, 1, &settings, &estimate);
    struct hold_input capture = target_part(&inputs[0], elapsed_s);
    int count = band_propose(&capture, estimate.height_mm,
                             head ? BAND_FLOOR_HEAD_MM : BAND_FLOOR_MM, cue, proposals);
    for (int i = 0; i < count; i++) {
        if (proposals[i].suggested) {
            cue->band_above_mm = proposals[i].above_mm;
            cue->band_below_mm = proposals[i].below_mm;
            return true;
        }
    }
    return false;
}

/* One hour at the rider's own level, and what is said of it. False: no band was suggested. */
static inline bool hour_ride(struct random_source *random, const struct hour_row *row,
                             struct hold_summary *summary)
{
    static struct simulated hold;
    static struct sway_hold sway_hold;
    struct target_drawn drawn;
    struct hold_input input;
    struct hold_settings settings = {.has_target = true,
                                     .target_mm = TARGET_LEVEL_MM,
                                     .has_band = true,
                                     .cue = cue_usual(false)};
    memset(&drawn, 0, sizeof drawn);
    if (row->rider == HOUR_SWAYS) {
        drawn.rider = (struct rider){.breathing_mm = 2.0,
                                     .breathing_hz = 0.3,
                                     .bob_hz = 2.0,
                                     .wander_mm = 3.0,
                                     .wander_s = 3.0};
        settings.cue.band_above_mm = settings.cue.band_below_mm = row->half_width_mm;
    } else if (!hour_band(random, row, &drawn, &settings.cue)) {
        return false;
    }
    if (drawn.sway) {
        struct sway_plan plan = {.seconds = HOUR_S,
                                 .rate_hz = HOUR_RATE_HZ,
                                 .level_mm = {TARGET_LEVEL_MM, TARGET_LEVEL_MM}};
        sway_hold_make(random, &drawn.sway_rider, &plan, &sway_hold);
        raise_hour(sway_hold.height_mm[drawn.channel], sway_hold.time_s, sway_hold.count,
                   row->rise_mm);
        input = sway_input(&sway_hold, drawn.channel);
    } else {
        simulate_hold(random, &drawn.rider, TARGET_LEVEL_MM, HOUR_S, HOUR_RATE_HZ, &hold);
        raise_hour(hold.height_mm, hold.time_s, hold.count, row->rise_mm);
        input = simulated_input(&hold);
    }
    hold_summarise(&input, &settings, summary);
    return summary->has_band;
}

#endif
