/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_RIG_CLOCK_H
#define HOLDLINE_RIG_RIG_CLOCK_H

#include "rig/arrival_axis.h"
#include "rig/decoder.h"
#include "rig/envelope.h"
#include "rig/sample.h"

/* Forward steps of the rig's time over this, where the arrival time or the stream's first lines
 * speak against it, are taken for another time and not for a gap. */
#define RIG_CLOCK_JUMP_US INT64_C(10000000)
/* Lines this far back in sequence are repeats; further back the rig has restarted. */
#define RIG_CLOCK_STALE_LINES 64
/* But of a live stream so many in a row, for so long, are no repeats, which come at once: the rig
 * restarted soon after it had started. Of more than this many times their arrival's pace they are
 * repeats. */
#define RIG_CLOCK_STALE_ROW 8
#define RIG_CLOCK_STALE_ROW_US INT64_C(50000)
#define RIG_CLOCK_STALE_ROW_PACE 2
/* A longer step is a gap: it tells nothing of the interval. */
#define RIG_CLOCK_INTERVAL_MAX_US INT64_C(1000000)
/* A step over this is another time whatever speaks for it. */
#define RIG_CLOCK_GAP_MAX_US INT64_C(86400000000)

/* Puts decoded lines on the session's time axis: unwraps a 32-bit microsecond or millisecond
 * counter, notices a rig that restarted (time or sequence runs backwards) and goes on from the
 * arrival time, counts what was lost by sequence, and without rig time uses the stated rate, or
 * evens the arrival times out (rig/arrival_axis.h). The axis never runs backwards. Where the rig
 * sends its time the axis is that time and nothing else: how it runs against the host's clock is
 * kept beside it, by the least delayed arrivals of the last minute. */
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
    struct {
        int lines;
        uint64_t sequence;                       /* of the last */
        int64_t first_time_us, first_arrival_us; /* of the first */
    } stale_row;                                 /* repeats that go on from each other */
    struct envelope rig_against_host; /* arrivals over the axis, where the rig sends its time */
    struct stretch stretch;
    struct arrival_axis arrivals; /* the axis of a live stream without time */
    bool placed_by_arrivals;      /* the last sample was */
    bool link_gap;                /* before the next line: none of before can be repeated */
};

void rig_clock_start(struct rig_clock *clock, double stated_rate_hz, bool time_is_arrival);

/* Fills sample's time, delay, lost_before; false = a stale line (its sequence was seen just now):
 * drop. */
bool rig_clock_place(struct rig_clock *clock, const struct raw_sample *raw, int64_t arrival_us,
                     struct sample *sample);

/* The link was down before the next sample: what a stream without time has lost is not delay, and a
 * sequence that is back is a rig that began anew. */
void rig_clock_link_gap(struct rig_clock *clock);
/* So many more lines came at once with the next sample. */
void rig_clock_lines_behind(struct rig_clock *clock, uint64_t lines);

/* Host time (monotonic, us) at which what stands at time_us on the axis was measured, but for the
 * least delay there is, which nothing tells. error_ms: how well that is known for the last samples,
 * by the least delays in parts of the window. False while it is not known, after a second or so of
 * samples, and for streams that are not live. */
bool rig_clock_host_time(const struct rig_clock *clock, int64_t time_us, int64_t *host_us,
                         double *error_ms);
/* By how much the rig's clock runs fast of the host's, in millionths. False where that is not
 * known. */
bool rig_clock_rate_ppm(const struct rig_clock *clock, double *rate_ppm);

#endif
