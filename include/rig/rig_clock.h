#ifndef HOLDLINE_RIG_RIG_CLOCK_H
#define HOLDLINE_RIG_RIG_CLOCK_H

#include "rig/decoder.h"
#include "rig/sample.h"

/* Puts decoded lines on the session's time axis: unwraps a 32-bit microsecond or millisecond counter,
 * notices a rig that restarted (time or sequence runs backwards) and goes on from the arrival time,
 * counts what was lost by sequence, and without rig time uses the stated rate or the arrival time.
 * The axis never runs backwards. */
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
    uint64_t index;
    uint64_t restarts, lost;
};

void rig_clock_start(struct rig_clock *clock, double stated_rate_hz, bool time_is_arrival);

/* Fills sample's time, delay, lost_before; false = a stale line (its sequence was seen just now): drop. */
bool rig_clock_place(struct rig_clock *clock, const struct raw_sample *raw, int64_t arrival_us,
                     struct sample *sample);

#endif
