/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/rig_clock.h"

#include <math.h>
#include <string.h>

#define MICROSECOND_WRAP (INT64_C(1) << 32)
#define MILLISECOND_WRAP ((INT64_C(1) << 32) * 1000)
/* A counter that came round cannot have stood still for longer. */
#define WRAP_STEP_MAX_US INT64_C(60000000)
/* The first samples of a stream may be left over from before its start, when its time counts from
 * there: a time since 1970, as this is, has gaps only. */
#define FIRST_SAMPLES 16
#define CALENDAR_US INT64_C(1000000000000000)
#define SEQUENCE_WRAP_STEP_MAX 1000
/* No stream is silent for longer than a day of 1000 samples a second: a count that jumps further
 * was begun anew. */
#define SEQUENCE_GAP_MAX UINT64_C(86400000)
/* Where an axis counted from the samples ends: after some thirty years. */
#define AXIS_END_US 1e15
/* Arrivals that make no sense can tilt the line between the clocks out of all bounds. */
#define HOST_TIME_MAX_US 9e18
#define SMALLEST_INTERVAL_US 1000
/* The window in which the rig's clock is held against the host's: a minute, in which the rate of a
 * clock that warms up stays as it is. */
#define WINDOW_US INT64_C(60000000)
/* Points after which the rig's rate is told from the jitter: 4 s. */
#define RATE_POINTS 64
/* When all arrivals come so much later, or one so much earlier, one of the clocks was stopped or
 * set. */
#define CLOCK_STEP_US 100000.0
#define STEP_LINES 16
#define STEP_LENGTH_US INT64_C(2000000)
/* No link holds all its lines back for so long: the rig slept, and its clock with it. */
#define SLEEP_US 5000000.0
/* But only where both clocks run alike: a stream that is played faster is no rig. */
#define ALIKE_SHARE 0.05
/* A step is that of the lines missing in it when it is as long as they to this share. */
#define EXPLAINED_SHARE 20

void rig_clock_start(struct rig_clock *clock, double stated_rate_hz, bool time_is_arrival)
{
    memset(clock, 0, sizeof *clock);
    clock->stated_rate_hz = stated_rate_hz;
    clock->time_is_arrival = time_is_arrival;
    envelope_start(&clock->rig_against_host, WINDOW_US / ENVELOPE_POINTS, 1, RATE_POINTS);
    arrival_axis_start(&clock->arrivals);
}

enum sequence_step { SEQUENCE_NONE, SEQUENCE_ON, SEQUENCE_STALE, SEQUENCE_RESTART };

/* How the sequence goes on, and how many lines are missing in it. */
static enum sequence_step step_sequence(const struct rig_clock *clock, const struct raw_sample *raw,
                                        uint64_t *lost)
{
    *lost = 0;
    if (!raw->has_sequence || !clock->has_last) {
        return SEQUENCE_NONE;
    }
    uint64_t last = clock->last_sequence;
    uint64_t next = raw->sequence;
    if (next > last) {
        if (next - last > SEQUENCE_GAP_MAX) {
            return SEQUENCE_RESTART;
        }
        *lost = next - last - 1;
        return SEQUENCE_ON;
    }
    /* A counter of 16 or 32 bits that came round. */
    static const uint64_t moduli[] = {UINT64_C(1) << 16, UINT64_C(1) << 32};
    for (int i = 0; i < 2; i++) {
        if (last < moduli[i] && next + moduli[i] - last <= SEQUENCE_WRAP_STEP_MAX) {
            *lost = next + moduli[i] - last - 1;
            return SEQUENCE_ON;
        }
    }
    /* A repeated line carries the same times again; after a restart the rig's time is early too, so
     * the two are told apart by how far back the line is. */
    bool time_is_back = !raw->has_rig_time || raw->rig_time_us <= clock->last_rig_time_us;
    bool recent = last - next < RIG_CLOCK_STALE_LINES && (next == last || next > 0);
    return time_is_back && recent ? SEQUENCE_STALE : SEQUENCE_RESTART;
}

static int64_t magnitude(int64_t value)
{
    return value < 0 ? -value : value;
}

/* How the next line stands to the one before it. */
struct step {
    int64_t rig_us, arrival_us;
    bool in_sequence; /* goes on in it: so many lines are missing, and no more */
    uint64_t lost;
    int64_t interval_us; /* the last plain step, not too short */
};

/* What the lines take that the sequence counts. */
static int64_t lines_us(const struct step *step)
{
    double us = ((double)step->lost + 1.0) * (double)step->interval_us;
    return us < (double)RIG_CLOCK_GAP_MAX_US ? (int64_t)us : RIG_CLOCK_GAP_MAX_US;
}

/* So many lines are missing that the step is a gap, whatever the arrivals say: lines that the
 * system kept while the program stood still arrive all at once. */
static bool is_of_lost_lines(const struct step *step, int64_t step_us)
{
    return step->in_sequence && step->lost > 0 &&
           magnitude(step_us - lines_us(step)) <= lines_us(step) / EXPLAINED_SHARE;
}

/* The rig's time counter unwrapped: true when the step is a counter's coming round. */
static bool came_round(const struct rig_clock *clock, const struct step *step, int64_t wrap_us)
{
    int64_t unwrapped_us = step->rig_us + wrap_us;
    if (unwrapped_us <= 0 || unwrapped_us > WRAP_STEP_MAX_US) {
        return false;
    }
    int64_t difference_us = unwrapped_us - step->arrival_us;
    return !clock->time_is_arrival || is_of_lost_lines(step, unwrapped_us) ||
           (difference_us > -RIG_CLOCK_JUMP_US && difference_us < RIG_CLOCK_JUMP_US);
}

/* The two clocks are compared afresh. */
static void forget_host(struct rig_clock *clock)
{
    envelope_start(&clock->rig_against_host, WINDOW_US / ENVELOPE_POINTS, 1, RATE_POINTS);
    clock->stretch.lines = 0;
}

static bool run_alike(const struct envelope *envelope)
{
    return fabs(envelope->slope - 1) < ALIKE_SHARE;
}

/* Where the line's arrival stands on the axis: from the one before it, or, where that had been held
 * up, from the least delayed ones. */
static int64_t time_of_arrival(const struct rig_clock *clock, int64_t arrival_us,
                               const struct step *step)
{
    const struct envelope *envelope = &clock->rig_against_host;
    int64_t time_us = clock->last_time_us + step->arrival_us;
    /* lines that came all at once at the start can lay the line flat */
    if (!envelope_is_known(envelope) || !run_alike(envelope)) {
        return time_us;
    }
    double above_us = envelope_above(envelope, time_us, arrival_us) / envelope->slope;
    return fabs(above_us) > CLOCK_STEP_US && fabs(above_us) < AXIS_END_US
               ? time_us + (int64_t)above_us
               : time_us;
}

/* Another time from here on, or only in this sample. The axis goes on by the sequence, where that
 * goes on, by the arrival, or as before. */
static int64_t begin_anew(struct rig_clock *clock, int64_t rig_time_us, int64_t arrival_us,
                          const struct step *step)
{
    int64_t time_us = clock->last_time_us + step->interval_us;
    if (step->in_sequence && clock->interval_us > 0) {
        time_us = clock->last_time_us + lines_us(step);
    } else if (clock->time_is_arrival && step->arrival_us > 0) {
        int64_t arrived_us = time_of_arrival(clock, arrival_us, step);
        time_us = arrived_us > clock->last_time_us ? arrived_us : time_us;
    }
    clock->has_former = true;
    clock->former_offset_us = clock->offset_us;
    clock->offset_us = time_us - rig_time_us;
    clock->restarts++;
    return time_us;
}

/* Whether the rig's time leaps ahead of what can be. A line never arrives before it was measured.
 */
static bool leaps(const struct rig_clock *clock, int64_t rig_time_us, int64_t arrival_us,
                  const struct step *step)
{
    const struct envelope *envelope = &clock->rig_against_host;
    if (is_of_lost_lines(step, step->rig_us)) {
        return false;
    }
    if (step->rig_us > RIG_CLOCK_GAP_MAX_US) {
        return true;
    }
    if (clock->time_is_arrival && envelope_is_settled(envelope)) {
        return (double)(step->rig_us - lines_us(step)) > CLOCK_STEP_US &&
               envelope_above(envelope, rig_time_us + clock->offset_us, arrival_us) <
                   -CLOCK_STEP_US;
    }
    bool speaks_against = clock->time_is_arrival
                              ? step->rig_us - step->arrival_us > RIG_CLOCK_JUMP_US
                              : clock->index < FIRST_SAMPLES;
    return step->rig_us > RIG_CLOCK_JUMP_US && rig_time_us < CALENDAR_US && speaks_against;
}

/* One wrong stamp, and the next goes on from before it: true, and the former axis holds. */
static bool back_on_former(struct rig_clock *clock, int64_t rig_time_us, const struct step *step)
{
    int64_t former_us = rig_time_us + clock->former_offset_us;
    int64_t former_step_us = former_us - clock->last_time_us, expected_us = lines_us(step);
    clock->has_former = false;
    if (former_step_us >= -step->interval_us && former_step_us <= RIG_CLOCK_JUMP_US &&
        magnitude(former_step_us - expected_us) < magnitude(step->rig_us - expected_us)) {
        clock->offset_us = clock->former_offset_us;
        clock->restarts--;
        return true;
    }
    forget_host(clock);
    return false;
}

/* Session time of a sample that carries the rig's own. */
static int64_t place_rig_time(struct rig_clock *clock, const struct raw_sample *raw,
                              int64_t arrival_us, enum sequence_step sequence, uint64_t lost)
{
    struct step step = {.rig_us = raw->rig_time_us - clock->last_rig_time_us,
                        .arrival_us = arrival_us - clock->last_arrival_us,
                        .in_sequence = sequence == SEQUENCE_ON,
                        .lost = lost,
                        .interval_us = clock->interval_us > SMALLEST_INTERVAL_US
                                           ? clock->interval_us
                                           : SMALLEST_INTERVAL_US};
    if (clock->has_former && back_on_former(clock, raw->rig_time_us, &step)) {
        return raw->rig_time_us + clock->offset_us;
    }
    if (step.rig_us < 0 && sequence != SEQUENCE_RESTART) {
        int64_t wrap_us = came_round(clock, &step, MICROSECOND_WRAP)   ? MICROSECOND_WRAP
                          : came_round(clock, &step, MILLISECOND_WRAP) ? MILLISECOND_WRAP
                                                                       : 0;
        clock->offset_us += wrap_us;
        step.rig_us += wrap_us;
    }
    /* A sequence begun anew whose time is not of when it came is another time, too. */
    bool is_other = sequence == SEQUENCE_RESTART && clock->time_is_arrival &&
                    (double)magnitude(step.rig_us - step.arrival_us) > CLOCK_STEP_US;
    if (step.rig_us < 0 || is_other || leaps(clock, raw->rig_time_us, arrival_us, &step)) {
        return begin_anew(clock, raw->rig_time_us, arrival_us, &step);
    }
    clock->restarts += sequence == SEQUENCE_RESTART ? 1 : 0;
    if (step.rig_us > 0 && step.rig_us < RIG_CLOCK_INTERVAL_MAX_US) {
        clock->interval_us =
            step.rig_us / (int64_t)(lost < RIG_CLOCK_INTERVAL_MAX_US ? lost + 1 : 1);
    }
    return raw->rig_time_us + clock->offset_us;
}

/* Holds the rig's time against the arrival. */
static void compare_clocks(struct rig_clock *clock, int64_t time_us, int64_t arrival_us)
{
    struct envelope *envelope = &clock->rig_against_host;
    double above_us = envelope_above(envelope, time_us, arrival_us);
    double least_us;
    bool set = above_us < -CLOCK_STEP_US;
    if (stretch_add(&clock->stretch, arrival_us, above_us, STEP_LINES, STEP_LENGTH_US, &least_us)) {
        set = set || least_us > CLOCK_STEP_US;
        bool alike = envelope_is_settled(envelope) && run_alike(envelope);
        if (alike && least_us > SLEEP_US && least_us < AXIS_END_US) {
            clock->offset_us += (int64_t)least_us; /* from the next line on */
            clock->restarts++;
        }
    }
    if (set && envelope_is_settled(envelope)) {
        forget_host(clock);
    }
    envelope_add(envelope, time_us, arrival_us);
}

/* Whether what looks like repeats is a rig that began anew: each goes on from the one before, and
 * they come as they are measured. */
static bool stale_row_is_restart(struct rig_clock *clock, const struct raw_sample *raw,
                                 int64_t arrival_us)
{
    int64_t rig_time_us = raw->has_rig_time ? raw->rig_time_us : arrival_us;
    if (clock->stale_row.lines == 0 || raw->sequence != clock->stale_row.sequence + 1) {
        clock->stale_row.lines = 0;
        clock->stale_row.first_time_us = rig_time_us;
        clock->stale_row.first_arrival_us = arrival_us;
    }
    clock->stale_row.lines++;
    clock->stale_row.sequence = raw->sequence;
    int64_t measured_us = rig_time_us - clock->stale_row.first_time_us;
    int64_t arrived_us = arrival_us - clock->stale_row.first_arrival_us;
    return clock->time_is_arrival && clock->stale_row.lines >= RIG_CLOCK_STALE_ROW &&
           arrived_us >= RIG_CLOCK_STALE_ROW_US &&
           measured_us < RIG_CLOCK_STALE_ROW_PACE * arrived_us;
}

bool rig_clock_place(struct rig_clock *clock, const struct raw_sample *raw, int64_t arrival_us,
                     struct sample *sample)
{
    uint64_t lost;
    enum sequence_step sequence = step_sequence(clock, raw, &lost);
    if (sequence == SEQUENCE_STALE) {
        if (!clock->link_gap && !stale_row_is_restart(clock, raw, arrival_us)) {
            return false;
        }
        sequence = SEQUENCE_RESTART;
    }
    clock->stale_row.lines = 0;
    clock->link_gap = false;
    if (!clock->started) {
        clock->started = true;
        clock->first_arrival_us = arrival_us;
    }
    int64_t time_us = 0;
    if (raw->has_rig_time) {
        if (!clock->has_last) {
            clock->offset_us = -raw->rig_time_us;
        } else {
            time_us = place_rig_time(clock, raw, arrival_us, sequence, lost);
        }
        clock->last_rig_time_us = raw->rig_time_us;
    } else if (clock->stated_rate_hz > 0) {
        clock->index += lost;
        time_us =
            (int64_t)fmin((double)clock->index * 1e6 / clock->stated_rate_hz + 0.5, AXIS_END_US);
    } else if (clock->time_is_arrival) {
        time_us = arrival_axis_place(&clock->arrivals, arrival_us, lost) +
                  clock->arrivals.first_arrival_us - clock->first_arrival_us;
    } else {
        time_us = arrival_us - clock->first_arrival_us;
    }
    clock->placed_by_arrivals =
        !raw->has_rig_time && clock->stated_rate_hz <= 0 && clock->time_is_arrival;
    if (clock->has_last && time_us < clock->last_time_us) {
        time_us = clock->last_time_us;
    }
    if (raw->has_rig_time && clock->time_is_arrival && !clock->has_former) {
        compare_clocks(clock, time_us, arrival_us);
    }
    if (raw->has_sequence) {
        clock->last_sequence = raw->sequence;
    }
    clock->has_last = true;
    clock->last_time_us = time_us;
    clock->last_arrival_us = arrival_us;
    clock->index++;
    clock->lost += lost;
    sample->time_us = time_us;
    sample->delay_us = arrival_us - clock->first_arrival_us - time_us;
    sample->lost_before = (uint32_t)lost; /* at most SEQUENCE_GAP_MAX */
    return true;
}

void rig_clock_link_gap(struct rig_clock *clock)
{
    clock->arrivals.link_gap = clock->arrivals.started;
    clock->link_gap = true;
}

void rig_clock_lines_behind(struct rig_clock *clock, uint64_t lines)
{
    clock->arrivals.behind = lines;
}

bool rig_clock_host_time(const struct rig_clock *clock, int64_t time_us, int64_t *host_us,
                         double *error_ms)
{
    const struct envelope *envelope =
        clock->placed_by_arrivals ? &clock->arrivals.envelope : &clock->rig_against_host;
    if (!clock->time_is_arrival || !envelope_is_known(envelope)) {
        return false;
    }
    double line_us = clock->placed_by_arrivals ? 0 : envelope_at(envelope, time_us);
    if (!(fabs(line_us) < HOST_TIME_MAX_US)) {
        return false;
    }
    *host_us = clock->placed_by_arrivals ? clock->first_arrival_us + time_us
                                         : (int64_t)floor(line_us + 0.5);
    *error_ms = envelope->error / 1000;
    return true;
}

bool rig_clock_rate_ppm(const struct rig_clock *clock, double *rate_ppm)
{
    const struct envelope *envelope = &clock->rig_against_host;
    if (clock->placed_by_arrivals || !envelope_is_settled(envelope) || envelope->slope <= 0) {
        return false;
    }
    *rate_ppm = (1 / envelope->slope - 1) * 1e6;
    return true;
}
