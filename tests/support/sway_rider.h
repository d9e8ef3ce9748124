/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_SWAY_RIDER_H
#define HOLDLINE_TESTS_SUPPORT_SWAY_RIDER_H

#include "base/random.h"
#include "measure/hold.h"

#include <stddef.h>
#include <stdint.h>

/* A second invented rider, made from what is published of people who try to keep still, and of
 * nothing else in this project: what is tried on the first (tests/measure/simulated_hold.h) must
 * hold here, too. Head and chest, heights in mm, up positive.
 *
 *   Wander: density f^-1.2 from a period of two minutes up to 0.5 Hz, falling to f^-2 above. Sway
 *     is a walk that over more than a second turns back (Collins and De Luca 1993, Exp. Brain Res.
 *     95, 308-318: abstract seen); their exponents H of 0.1 to 0.3 there, 0.7 to 0.8 below a
 *     second, make f^-(2H+1) (numbers from memory), and 1/f goes on over ten minutes and more
 *     (Duarte and Zatsiorsky 2001, Phys. Lett. A 283, 124-128: from memory). Slower than two
 *     minutes counts as sitting differently from hold to hold. Made as a sum of first-order
 *     processes an octave apart (as flicker noise is, van der Ziel 1950: from memory).
 *   Fidgets, shifts and drifts: people who stand long move off for seconds and come back, change to
 *     another place for good, or slowly (Duarte and Zatsiorsky 1999, Motor Control 3, 26-38: from
 *     memory). Here: looking up for 2 to 4 s, a step, creep. None of them where not asked for.
 *   Sitting down again: Student's t with 3 degrees of freedom, so that one in some holds is far
 *     off (our own). A session's spread is the rider's own times a log-normal factor of 0.35 (our
 *     own: nobody repeats equally well every day).
 *   Breathing of 12 to 25 a minute at the chest, less at the head, and pedalling's bob at twice the
 *     cadence, both with a wandering phase (rates as in textbooks, from memory). */
enum { SWAY_HEAD, SWAY_CHEST, SWAY_CHANNELS };

/* One rider in one session. */
struct sway_rider {
    double wander_mm[SWAY_CHANNELS];    /* SD of all periods under two minutes */
    double wander_together;             /* correlation of head and chest */
    double breathing_mm[SWAY_CHANNELS]; /* amplitude */
    double breathing_hz;
    double bob_mm[SWAY_CHANNELS]; /* amplitude */
    double bob_hz;
    double noise_mm;
    double resit_mm; /* SD of a hold's own place; of this session */
};

/* A rider's session, drawn: wander of the head about 2.5 mm (1.3 to 4.8 for nine in ten), re-sits
 * of 2 to 6 mm times the session's factor. */
void sway_rider_draw(struct random_source *random, struct sway_rider *rider);
/* Another session of the same rider: the spreads change, the rest stays. */
void sway_rider_next_session(struct random_source *random, const struct sway_rider *rider,
                             struct sway_rider *next);
/* By how much the rider sits higher than usual after sitting down again; head and chest go
 * together by half. */
void sway_rider_sit(struct random_source *random, const struct sway_rider *rider,
                    double resit_mm[SWAY_CHANNELS]);

/* What happens in a hold. All but the first three may be left at 0. */
struct sway_plan {
    double seconds, rate_hz;
    double level_mm[SWAY_CHANNELS]; /* the truth: where the channel is without all that follows */
    double settling_mm[SWAY_CHANNELS]; /* so much higher at the start, */
    double settling_s;                 /* gone exponentially with this time constant; */
    double settling_ramp_s; /* or, where this is over 0, evenly, and at rest from then on */
    double creep_mm_per_min[SWAY_CHANNELS]; /* about the middle of the hold */
    double step_mm[SWAY_CHANNELS];          /* at once, and to the end */
    double step_at_s;
    double
        glances_per_min; /* looks up for 2 to 4 s: the head by 15 to 50 mm, the chest by a tenth */
};

#define SWAY_READINGS_MAX 30000

struct sway_hold {
    double time_s[SWAY_READINGS_MAX], height_mm[SWAY_CHANNELS][SWAY_READINGS_MAX];
    uint8_t valid[SWAY_READINGS_MAX]; /* all 1 */
    size_t count;
    double duration_s, rate_hz;
    int glances;
};

/* The random source decides all of it. At most SWAY_READINGS_MAX readings. */
void sway_hold_make(struct random_source *random, const struct sway_rider *rider,
                    const struct sway_plan *plan, struct sway_hold *hold);
/* A channel as the measures take it; points into the hold. */
struct hold_input sway_input(const struct sway_hold *hold, int channel);

#endif
