/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_RIDE_INTAKE_H
#define HOLDLINE_RIG_RIDE_INTAKE_H

#include "base/problem.h"
#include "measure/ride.h"

/* Samples on their way from a reader into a ride: what no ride can have is refused here, whichever
 * form the file has. */
struct ride_intake {
    struct ride *ride;
    uint64_t offered;                 /* samples that had a time */
    uint64_t known[RIDE_CHANNELS];    /* numbers that came */
    uint64_t possible[RIDE_CHANNELS]; /* and were within the channel's limits */
    char label[RIDE_CHANNELS][48];    /* what the file calls a channel; "" as we do */
    double last_time_s;
};

/* A sample with its time; place: 'line 12'. False with a sentence. */
bool ride_intake_add(struct ride_intake *intake, const double value[RIDE_CHANNELS], uint64_t line,
                     struct problem *problem);
/* All are there: is it a ride? Makes what can be worked out. False with a sentence. */
bool ride_intake_finish(struct ride_intake *intake, struct problem *problem);

#endif
