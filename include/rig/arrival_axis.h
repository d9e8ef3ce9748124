/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_ARRIVAL_AXIS_H
#define HOLDLINE_RIG_ARRIVAL_AXIS_H

#include "rig/envelope.h"

#include <stdbool.h>
#include <stdint.h>

/* The time axis of a live stream that carries no time. Its lines are taken as made at even spaces,
 * as sensors do that measure by themselves, and as delayed on their way by what only ever adds. So
 * each is placed on the line through the least delayed arrivals, at the rate these show: the
 * jitter of USB and of the computer, bursts and pairs don't reach the axis. Lines that were lost
 * without a number to show for it are noticed by all that follow being late; a silence of two
 * seconds is a silence. A time once given stays, and none is before the one before it. */
struct arrival_axis {
    struct envelope envelope; /* arrivals over lines */
    struct stretch stretch;
    bool started;
    bool link_gap;   /* the link was down: the next line ends a silence, however short */
    uint64_t behind; /* lines that came at once with the next one */
    uint64_t last_behind;
    bool in_backlog; /* of lines that were kept while the program stood still */
    int64_t first_arrival_us, last_arrival_us;
    int64_t line; /* place in the stream, lost lines counted */
    double time_us;
    int late_in_a_row; /* stretches in which lines seemed to be missing */
    uint64_t pauses;   /* silences, and times when lines were taken for lost */
};

void arrival_axis_start(struct arrival_axis *axis);

/* The line's time, in us from the first one's arrival. lost: lines known to be missing before it.
 */
int64_t arrival_axis_place(struct arrival_axis *axis, int64_t arrival_us, uint64_t lost);

#endif
