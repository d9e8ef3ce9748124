/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_VIRTUAL_DAY_H
#define HOLDLINE_RIG_VIRTUAL_DAY_H

#include "measure/ride.h"

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

/* A modelled day of runs: a rider of a club's winter group with a power meter and a sensor at the
 * wheel, on a straight road out and back or on laps of an indoor track, seeded and deterministic.
 * Forces are those of Martin et al. 1998 (measure/drag_leg.h), worked forward: from power to speed.
 * What drifts on such a day drifts here. Its truth is for tests and studies only. */

#define VIRTUAL_SETUPS_MAX 8
#define VIRTUAL_RUNS_MAX 40
#define VIRTUAL_LEGS_MAX 64

struct virtual_day_settings {
    uint64_t seed;
    int runs;
    int setup_of_run[VIRTUAL_RUNS_MAX]; /* from 0 on */
    double drag_m2[VIRTUAL_SETUPS_MAX];
    bool laps;       /* of a track indoors; else out and back */
    double course_m; /* of a lap, or of one way */
    int legs_a_run;  /* laps, or ways: two make a pair */
    double mass_kg, power_w;
    double wind_sd_m_s;         /* mean wind along the course, from day to day */
    double gust_sd_m_s;         /* about it, on the way */
    double gust_s;              /* time constant of the gusts: AR(1) */
    double grade_sd;            /* rise over run of the road */
    double rolling, rolling_sd; /* of tyres, and how wrong that is taken */
    double rolling_fall_a_run;  /* as they warm up */
    double power_scale_sd;      /* of the power meter */
    double rider_sd;            /* posture from run to run, of drag area */
    double warming_c;           /* of the air from first run to last */
    double passer_share;        /* of legs on which somebody passes */
};
/* Runs A B B A A B B A, 240 W, two pairs of 1 km a run, A .250 and B .244 m2, gusts of .1 m/s: a
 * calm morning. */
void virtual_day_defaults(struct virtual_day_settings *settings, uint64_t seed);

struct virtual_day;
/* NULL: no memory, or settings that make no day. */
struct virtual_day *virtual_day_create(const struct virtual_day_settings *settings);
void virtual_day_free(struct virtual_day *day);

/* What the fitter would write down. */
struct virtual_air {
    double temperature_c, pressure_hpa, humidity_percent, wind_m_s;
    int at_min; /* minutes after midnight */
};
struct virtual_run {
    int setup;  /* from 0 on */
    int at_min; /* begins; minutes after midnight */
    double effort;
    int passers;                      /* legs on which somebody passed, */
    int passer_leg[VIRTUAL_LEGS_MAX]; /* from 1 on */
};
struct virtual_air virtual_day_air(const struct virtual_day *day, bool at_end);
void virtual_day_run(const struct virtual_day *day, int run, struct virtual_run *told);

/* A run as its recording: once a second, a lap mark at both ends of each leg. NULL: no memory. */
struct ride *virtual_day_ride(const struct virtual_day *day, int run);
/* The same as a file, which rig/ride_file.h reads. False: no memory, or it can't be written. */
bool virtual_day_write_table(const struct virtual_day *day, int run, FILE *stream);
bool virtual_day_write_gpx(const struct virtual_day *day, int run, FILE *stream);
/* The ends of the road as lines, for GPX: no lap marks are in it. */
struct virtual_place {
    double latitude_deg, longitude_deg, heading_deg;
};
void virtual_day_places(const struct virtual_day *day, struct virtual_place ends[2]);

/* The truth, for tests and studies. */
struct virtual_day_truth {
    double wind_m_s; /* mean, + from ahead on the way out */
    double grade, power_scale;
    double drag_m2[VIRTUAL_RUNS_MAX]; /* of each run */
    double rolling[VIRTUAL_RUNS_MAX];
    double density_kg_m3[VIRTUAL_RUNS_MAX];
};
void virtual_day_truth(const struct virtual_day *day, struct virtual_day_truth *truth);

#endif
