/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_HOLD_HEALTH_H
#define HOLDLINE_ANALYSIS_HOLD_HEALTH_H

#include "measure/hold_measures.h"
#include "rig/sample.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* How the sensors were during one hold: what rig/health.h sees of its samples, over the whole of
 * it. */
struct sensor_health {
    uint64_t readings, missing, doubtful;
    double noise_mm;                 /* median of what each 5 s had; NAN when too short */
    double quantum_mm;               /* NAN when not seen */
    bool stuck, blocked, two_levels; /* at some time within the hold, or (two levels) over all */
};
struct hold_health {
    bool known;
    int64_t first_sample, last_sample; /* that it was made of */
    int channel_count;                 /* and of so many channels: one may be described later */
    double rate_hz;                    /* samples there were over the time they took */
    double worst_gap_ms;
    uint64_t lost; /* by sequence */
    bool link_gap; /* the link was down within the hold */
    struct sensor_health channel[CHANNELS_MAX];
};

/* What exports say of a channel's, as of a hold's other measures (measure/hold_measures.h). */
extern const struct hold_measure sensor_measures[];
extern const int sensor_measure_count;

/* known is false when there is no memory or there are fewer than two samples. */
void hold_health_of(const struct sample *samples, size_t count, int channel_count,
                    struct hold_health *health);
/* It was made of these samples of so many channels: of a hold that goes on after all, or of another
 * that had its place, it was not. */
bool hold_health_is_of(const struct hold_health *health, int64_t first_sample, int64_t last_sample,
                       int channel_count);
/* The same piece by piece; two levels are looked for within each, and are there
 * where LEVELS_MINUTES_SHARE of them show them. begin: NULL without memory.
 * hold_health_end frees the watch (NULL: nothing is known). */
struct hold_health_watch;
struct hold_health_watch *hold_health_begin(int channel_count);
void hold_health_add(struct hold_health_watch *watch, const struct sample *samples, size_t count);
void hold_health_end(struct hold_health_watch *watch, struct hold_health *health);

#endif
