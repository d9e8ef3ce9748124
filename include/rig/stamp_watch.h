/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_STAMP_WATCH_H
#define HOLDLINE_RIG_STAMP_WATCH_H

#include "rig/decoder.h"

#include <stdbool.h>
#include <stdint.h>

/* Tells a wrong time stamp from a clock that was really set. A line whose rig time does not go on
 * as the ones before is held back until the next one: where that goes on from before it, the held
 * one's time was wrong and its line is left out; where that goes on from the held one, time has
 * really stepped (a gap, a restart, a counter that came round), and both go on to the rig's clock
 * (rig/rig_clock.h), which says what it was. A line with the time of the one before it is left out,
 * too. Lines without rig time go through. */
struct stamped_line {
    struct raw_sample raw;
    int64_t arrival_us;
};

struct stamp_watch {
    bool has_last, holds;
    struct raw_sample last; /* the last that went through */
    struct stamped_line held;
    int64_t interval_us; /* the last plain step forward; 0 = not known yet */
    int same_in_a_row;
    uint64_t left_out;
};

/* One line in; those that go on, oldest first. How many: 0, 1 or 2. */
int stamp_watch_take(struct stamp_watch *watch, const struct raw_sample *raw, int64_t arrival_us,
                     struct stamped_line on[2]);
/* The end of the stream: a line that is still held had nothing behind it to go by, and is left out.
 */
void stamp_watch_end(struct stamp_watch *watch);

#endif
