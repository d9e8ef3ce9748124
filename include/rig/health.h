/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_HEALTH_H
#define HOLDLINE_RIG_HEALTH_H

#include "rig/sample.h"

#include <stdbool.h>
#include <stdint.h>

/* The sensors' state over the last seconds and since the start (always on the screen). */
struct channel_health {
    uint64_t readings, missing, doubtful; /* since the start */
    double recent_valid_share;            /* of the last 5 s, 0 to 1 */
    double noise_mm;   /* white noise SD from first differences (MAD of differences / sqrt 2) of the
                          last 5 s; NAN: too few good readings */
    double quantum_mm; /* smallest step between readings seen; 0: none seen */
    bool stuck;   /* the same value for over 2 s and over 20 readings; of a sensor whose steps are
                     coarser than HEALTH_COARSE_MM for over 4 s: a body is that still */
    bool blocked; /* the window is covered: small valid-looking ranges (under 35 mm) and nothing
                     else for 1 s, which came there at a bound or jump about as no body does. A
                     chin that comes as near as that is none. */
    bool
        two_levels; /* readings of the last 5 s jump between two levels: the beam sees two things */
    double levels_apart_mm;
    double stuck_s, blocked_s, two_levels_s; /* so long since the start, in whole seconds */
    double last_mm;
};

/* What is wrong with a channel, the worst first; told of one that carries ranges. */
enum health_trouble {
    HEALTH_WELL,
    HEALTH_BLOCKED,
    HEALTH_STUCK,
    HEALTH_NO_READING, /* hardly one of the last 5 s' readings is good */
    HEALTH_TWO_LEVELS,
    HEALTH_GAPS, /* over a tenth of them is missing or doubtful */
    HEALTH_TROUBLES,
};
enum health_trouble health_trouble(const struct channel_health *health);
/* In a word or two ('sees two things'), and as a sentence that says what to look at. "ok" and
 * "readings come, and none looks wrong" where there is none. */
const char *health_trouble_word(enum health_trouble trouble);
const char *health_trouble_sentence(enum health_trouble trouble);

struct rig_health {
    double rate_hz;           /* measured over the last 5 s on the session axis */
    double sent_rate_hz;      /* the same with the samples that were lost, by the rig's sequence */
    double announced_rate_hz; /* 0 unknown */
    bool rate_differs;        /* the sent rate from the announced one by more than 5 % */
    uint64_t samples, lost;
    uint64_t rejected;
    double worst_gap_ms;
    double arrival_jitter_ms; /* SD of arrival minus rig time over the last 5 s */
    double bytes_per_s;
    bool link_down;
    bool silent; /* the link is up, and nothing came for so long that it should have */
    uint64_t times_down;
    uint64_t clock_restarts;
    bool clock_known;      /* how the rig's time lies on the host's (rig/rig_clock.h) */
    double clock_error_ms; /* of the corrected time, where it is known */
    bool clock_rate_known; /* only where the rig sends its time */
    double clock_rate_ppm; /* by how much the rig's clock runs fast of the host's */
    int channel_count;
    struct channel_health channel[CHANNELS_MAX];
};

/* Are samples overdue, of which the last came so long ago? False before the first two. */
bool health_is_silent(const struct rig_health *health, double since_s);
/* Is nothing heard, for whichever reason? What was last heard is not what is, then. */
bool health_is_mute(const struct rig_health *health);

/* Accumulates samples; no allocation after the start. */
struct health_monitor;
struct health_monitor *health_create(int channel_count);
void health_destroy(struct health_monitor *monitor);
void health_add(struct health_monitor *monitor, const struct sample *sample);
/* Fills in what samples tell. What they don't is the caller's and stays: announced_rate_hz
 * (rate_differs is judged by it), rejected, bytes_per_s, the link's state, the clock's restarts. */
void health_read(const struct health_monitor *monitor, struct rig_health *health);

#endif
