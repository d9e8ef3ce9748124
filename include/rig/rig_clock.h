#ifndef HOLDLINE_RIG_RIG_CLOCK_H
#define HOLDLINE_RIG_RIG_CLOCK_H

#include "rig/decoder.h"
#include "rig/sample.h"

/* Forward steps of the rig's time over this, where the arrival time or the stream's first lines
 * speak against it, are taken for another time and not for a gap. */
#define RIG_CLOCK_JUMP_US INT64_C(10000000)
/* A step over this is another time whatever speaks for it. */
#define RIG_CLOCK_GAP_MAX_US INT64_C(86400000000)

/* Puts decoded lines on the session's time axis: unwraps a 32-bit microsecond or millisecond
 * counter, notices a rig that restarted (time or sequence runs backwards) and goes on from the
 * arrival time, counts what was lost by sequence, and without rig time uses the stated rate or the
 * arrival time. The axis never runs backwards. */
struct rig_clock {
    double stated_rate_hz;
    bool time_is_arrival;
    bool started;
    bool has_last;
    int64_t first_arrival_us;
    int64_t last_time_us, last_arrival_us;
    int64_t last_rig_time_us;
    int64_t offset_us; /* session time = rig time + offset */
    uint64_t last_sequence;
    uint64_t index; /* samples placed, with those lost where a stated rate makes the time */
    int64_t
        interval_us; /* the last plain step forward: what a step across a restart is taken to be */
    bool has_former; /* the last sample was a restart: the axis before it, in case that was only one
                        wrong time stamp */
    int64_t former_offset_us;
    uint64_t restarts, lost;
};

void rig_clock_start(struct rig_clock *clock, double stated_rate_hz, bool time_is_arrival);

/* Fills sample's time, delay, lost_before; false = a stale line (its sequence was seen just now):
 * drop. */
bool rig_clock_place(struct rig_clock *clock, const struct raw_sample *raw, int64_t arrival_us,
                     struct sample *sample);

#endif
