/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/stamp_watch.h"

#include "rig/rig_clock.h"

/* A step is odd that is so much longer than the lines in it explain. Nothing is lost by holding one
 * line more than need be. */
#define ODD_US INT64_C(100000)
#define ODD_TIMES 1.5
/* No more lines than this are reckoned with in a step. */
#define LINES_MOST 1000
/* A clock that stands still for longer is none: its lines go on. */
#define SAME_MOST 3

/* Lines from one to the next by their sequence. */
static double lines_between(const struct raw_sample *from, const struct raw_sample *to)
{
    if (!from->has_sequence || !to->has_sequence || to->sequence <= from->sequence ||
        to->sequence - from->sequence > LINES_MOST) {
        return 1.0;
    }
    return (double)(to->sequence - from->sequence);
}

static double step_us(const struct raw_sample *from, const struct raw_sample *to)
{
    return (double)to->rig_time_us - (double)from->rig_time_us;
}

/* By how much a step differs from what its lines explain. */
static double misfit_us(const struct stamp_watch *watch, double step, double lines)
{
    double off = step - lines * (double)watch->interval_us;
    return off < 0 ? -off : off;
}

static bool is_odd(const struct stamp_watch *watch, const struct raw_sample *raw)
{
    double step = step_us(&watch->last, raw);
    double expected = lines_between(&watch->last, raw) * (double)watch->interval_us;
    return step < 0 || (watch->interval_us > 0 && step > ODD_TIMES * expected + (double)ODD_US);
}

static bool is_repeat(const struct stamp_watch *watch, const struct raw_sample *raw)
{
    return raw->has_sequence && watch->last.has_sequence && raw->sequence <= watch->last.sequence &&
           watch->last.sequence - raw->sequence < RIG_CLOCK_STALE_LINES &&
           raw->rig_time_us <= watch->last.rig_time_us;
}

/* Does this line go on from before the held one? */
static bool comes_back(const struct stamp_watch *watch, const struct raw_sample *raw)
{
    const struct raw_sample *held = &watch->held.raw;
    double over = step_us(&watch->last, raw), from_held = step_us(held, raw);
    double held_lines = lines_between(held, raw);
    bool outside = held->rig_time_us < watch->last.rig_time_us || from_held < 0;
    return outside && over > 0 &&
           misfit_us(watch, over, lines_between(&watch->last, held) + held_lines) <=
               misfit_us(watch, from_held, held_lines);
}

static void goes_on(struct stamp_watch *watch, const struct raw_sample *raw)
{
    double step = watch->has_last ? step_us(&watch->last, raw) : 0;
    if (watch->has_last && step > 0 && step < (double)RIG_CLOCK_INTERVAL_MAX_US) {
        watch->interval_us = (int64_t)(step / lines_between(&watch->last, raw));
    }
    watch->has_last = true;
    watch->last = *raw;
}

int stamp_watch_take(struct stamp_watch *watch, const struct raw_sample *raw, int64_t arrival_us,
                     struct stamped_line on[2])
{
    int count = 0;
    if (!raw->has_rig_time || (watch->has_last && is_repeat(watch, raw))) {
        /* it may be a rig that began anew: what is held goes before it or never */
        if (watch->holds) {
            watch->holds = false;
            on[count++] = watch->held;
            goes_on(watch, &watch->held.raw);
        }
        on[count++] = (struct stamped_line){*raw, arrival_us};
        return count;
    }
    if (watch->holds) {
        watch->holds = false;
        if (comes_back(watch, raw)) {
            watch->left_out++;
        } else {
            on[count++] = watch->held;
            goes_on(watch, &watch->held.raw);
        }
    }
    if (watch->has_last && watch->interval_us > 0 && raw->rig_time_us == watch->last.rig_time_us &&
        watch->same_in_a_row < SAME_MOST) {
        watch->same_in_a_row++;
        watch->left_out++;
        return count;
    }
    if (watch->has_last && count == 0 && is_odd(watch, raw)) {
        watch->holds = true;
        watch->held = (struct stamped_line){*raw, arrival_us};
        return count;
    }
    watch->same_in_a_row =
        watch->has_last && raw->rig_time_us == watch->last.rig_time_us ? watch->same_in_a_row : 0;
    on[count++] = (struct stamped_line){*raw, arrival_us};
    goes_on(watch, raw);
    return count;
}

void stamp_watch_end(struct stamp_watch *watch)
{
    watch->left_out += watch->holds ? 1 : 0;
    watch->holds = false;
}
