/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_SESSION_DRIVE_H
#define HOLDLINE_TESTS_SUPPORT_SESSION_DRIVE_H

#include "base/random.h"
#include "session/session.h"

/* Drives a session machine with invented samples: two channels at 50 samples/s whose bodies stand
 * at the heights given, over sensors whose true heights are given, with breathing and noise. */
struct drive {
    struct session *session;
    struct random_source random;
    int64_t number, time_us;
    double body_mm[2];   /* height of the body over the bottom bracket */
    double sensor_mm[2]; /* true height of the sensor */
    double noise_mm;
    double breathing_mm;
    uint8_t quality; /* of the next samples */
    bool stays_down; /* else the rider sits up for 2 s as a countdown of 3 s and more begins */
    int settled;     /* samples of the countdown so far */
    /* what the machine gave out */
    int effects, commands;
    char log[64][256];
    int64_t log_after[64];
};

void drive_start(struct drive *drive, uint64_t seed);
void drive_end(struct drive *drive);
/* A command that must be done; fails the test with its sentence otherwise. */
void drive_do(struct drive *drive, const char *line);
/* A command that must be refused with a sentence that has this in it. */
void drive_refused(struct drive *drive, const char *line, const char *sentence_part);
void drive_samples(struct drive *drive, int count);
/* Records and what follows from them as they are now; until the next call. */
const struct snapshot *drive_snapshot(struct drive *drive);
/* Samples until nothing is in progress any more (at most 10 minutes of them). */
void drive_finish(struct drive *drive);
/* Rider, bike, two sensors on the base bar, and the rig. */
void drive_describe(struct drive *drive);

#endif
