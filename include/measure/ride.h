/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_RIDE_H
#define HOLDLINE_MEASURE_RIDE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* A ride on road or track as its recording has it: one sample after the other, each channel an
 * array of its own. Readers fill it (rig/ride_file.h), legs and laps are cut from it
 * (measure/ride_cut.h). */

enum ride_channel {
    RIDE_TIME,
    RIDE_POWER,
    RIDE_SPEED,
    RIDE_DISTANCE,
    RIDE_LAP,
    RIDE_LATITUDE,
    RIDE_LONGITUDE,
    RIDE_ALTITUDE,
    RIDE_WIND,
    RIDE_AIR_TEMPERATURE,
    RIDE_PRESSURE,
    RIDE_HUMIDITY,
    RIDE_CADENCE,
    RIDE_HEART,
    RIDE_CHANNELS,
};

/* What a value of a channel may be; beyond these it is none of a ride. In the channel's unit. */
struct ride_channel_kind {
    const char *name, *unit;
    double least, most;
};
extern const struct ride_channel_kind ride_channel_kinds[RIDE_CHANNELS];

/* Where speed and distance come from. */
enum ride_source {
    RIDE_SOURCE_NOT_SAID, /* the file does not tell: to be asked */
    RIDE_SOURCE_WHEEL,
    RIDE_SOURCE_SATELLITES, /* not good enough for a verdict on drag */
};

/* Why a reader passed over something, and how often it did. */
enum ride_passed {
    RIDE_PASSED_NO_TIME,       /* a sample without a time */
    RIDE_PASSED_SAME_TIME,     /* a sample that is not later than the one before */
    RIDE_PASSED_NO_NUMBER,     /* a value that is no number: not known in that sample */
    RIDE_PASSED_OUT_OF_LIMITS, /* a value that can't be: not known in that sample */
    RIDE_PASSED_OTHER_CELLS,   /* a line with more or fewer cells than the heading */
    RIDE_PASSED_COMMENT,       /* a line without values, or one that is a comment */
    RIDE_PASSED_REASONS,
};

struct ride {
    size_t count;
    /* Of count values, ascending without two alike; from the first sample on. */
    double *time_s;
    /* Each of count values, NAN where it is not known; NULL where the file has no such channel. */
    double *power_w;
    double *speed_m_s;
    double *distance_m; /* as recorded: begins anywhere */
    double *latitude_deg, *longitude_deg;
    double *altitude_m;
    double *wind_m_s; /* along the direction of travel, + from ahead */
    float *air_temperature_c, *pressure_pa;
    float *humidity_percent;
    float *cadence_per_min, *heart_per_min;
    int32_t *lap; /* changes at a border; RIDE_LAP_NONE where it is not known */

    enum ride_source speed_from, distance_from;
    bool speed_made;    /* worked out from distance: the file has none */
    bool distance_made; /* worked out from speed, or from places */
    bool has_start;
    int64_t start_unix_us; /* of the first sample, UTC */
    bool zone_assumed;     /* the start had no offset: taken as UTC */
    uint64_t passed[RIDE_PASSED_REASONS];
    size_t room; /* samples that the arrays can take */
};
#define RIDE_LAP_NONE INT32_MIN

/* No more is read: a rate of 1/s for 115 days. */
#define RIDE_SAMPLES_MOST 10000000

/* has: 1 for each channel that the file has; RIDE_TIME is always there. NULL: no memory. */
struct ride *ride_create(const bool has[RIDE_CHANNELS]);
void ride_free(struct ride *ride);
/* Takes a channel away that turned out to be empty. */
void ride_drop(struct ride *ride, enum ride_channel channel);
bool ride_has(const struct ride *ride, enum ride_channel channel);

enum ride_added {
    RIDE_ADDED,
    RIDE_ADDED_NOT_LATER, /* passed over, and counted */
    RIDE_ADDED_TOO_MANY,  /* RIDE_SAMPLES_MOST are there */
    RIDE_ADDED_NO_MEMORY,
};
/* One sample; value: of all channels, in the units above, NAN where not known. What is beyond a
 * channel's limits becomes not known, and is counted. The time is finite, from any origin; the
 * first one becomes 0 in ride_finish. */
enum ride_added ride_add(struct ride *ride, const double value[RIDE_CHANNELS]);

/* Once all samples are there: times from the first sample on; distance worked out from speed where
 * the file has none (trapezoids), speed from distance (over a second or more about each sample),
 * distance from places where there is neither (great circles; then both are from satellites).
 * False: no memory. */
bool ride_finish(struct ride *ride);

/* Metres between two places on a ball of the Earth's mean radius (haversine formula). */
double ride_metres_between(double latitude_a_deg, double longitude_a_deg, double latitude_b_deg,
                           double longitude_b_deg);

/* 'samples without a time': for the count beside it. */
const char *ride_passed_text(enum ride_passed reason);

#endif
