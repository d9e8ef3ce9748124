/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/arrival_axis.h"

#include <math.h>
#include <string.h>

/* Without a line for so long the rig was silent: nothing holds its lines back for longer. */
#define SILENCE_US INT64_C(2000000)
/* Lines are missing when for so long even the least delayed comes late by most of an interval. */
#define LATE_LINES 16
#define LATE_US INT64_C(250000)
#define LATE_INTERVALS 0.75
/* When lines seem to be missing so often in a row, the interval is another one. */
#define LATE_IN_A_ROW 3
/* A line that comes so much too early shows that the ones before it were no guide. */
#define EARLY_INTERVALS 0.6
/* Either way what hosts do by themselves is no sign. */
#define SIGN_US 5000.0
/* So many lines at once were kept. */
#define BACKLOG_LINES 16
/* More lines than this are never lost at once: a number that leaps is none. */
#define LOST_MOST UINT64_C(1000000)
/* How long an interval known from before is believed. */
#define TRUSTED_LINES 128
/* By how much of an interval a step may differ from it while the axis draws near. */
#define NEARING 0.5

void arrival_axis_start(struct arrival_axis *axis)
{
    memset(axis, 0, sizeof *axis);
    envelope_start(&axis->envelope, 1, 0, 0);
}

/* The lines so far are no guide to the ones from here on; their interval may be. */
static void begin_anew(struct arrival_axis *axis)
{
    bool known = axis->envelope.count >= TRUSTED_LINES && axis->envelope.slope > 0;
    double interval_us = known ? axis->envelope.slope : axis->envelope.expected_slope;
    envelope_start(&axis->envelope, 1, interval_us, interval_us > 0 ? TRUSTED_LINES : 0);
    axis->stretch.lines = 0;
}

/* Lines that are missing by all coming late. */
static int64_t missing_lines(struct arrival_axis *axis, int64_t arrival_us, double interval_us)
{
    double least_us;
    double above_us = envelope_above(&axis->envelope, axis->line, arrival_us);
    if (!stretch_add(&axis->stretch, arrival_us, above_us, LATE_LINES, LATE_US, &least_us)) {
        return 0;
    }
    if (!(interval_us > 0) || least_us < fmax(LATE_INTERVALS * interval_us, SIGN_US)) {
        axis->late_in_a_row = 0;
        return 0;
    }
    axis->pauses++;
    axis->late_in_a_row++;
    return (int64_t)(least_us / interval_us + 0.5);
}

/* Whether the interval between lines is known. */
static bool has_interval(const struct arrival_axis *axis)
{
    return envelope_is_settled(&axis->envelope) || axis->envelope.expected_slope > 0;
}

/* Lines that come at once after a silence were kept by the system while the program stood still:
 * the rig was not silent, and its lines go on as before. True with the first one behind them. */
static bool follow_backlog(struct arrival_axis *axis, bool waited)
{
    bool before = axis->in_backlog;
    if (waited) {
        axis->in_backlog = axis->behind >= BACKLOG_LINES && has_interval(axis) && !axis->link_gap;
    } else {
        /* the last of a read, too; the next read may go on with it */
        axis->in_backlog = before && (axis->behind > 0 || axis->last_behind > 0);
    }
    axis->last_behind = axis->behind;
    axis->behind = 0;
    return before && !axis->in_backlog;
}

static double step_to(double from_us, double target_us, double interval_us, uint64_t lost)
{
    double least_us = (1 - NEARING) * interval_us;
    double most_us = ((double)(lost + 1) + NEARING) * interval_us;
    return fmax(least_us, fmin(most_us, target_us - from_us));
}

int64_t arrival_axis_place(struct arrival_axis *axis, int64_t arrival_us, uint64_t lost)
{
    struct envelope *envelope = &axis->envelope;
    if (!axis->started) {
        axis->started = true;
        axis->first_arrival_us = arrival_us;
        axis->last_arrival_us = arrival_us;
        envelope_add(envelope, 0, arrival_us);
        return 0;
    }
    double since_first_us = (double)(arrival_us - axis->first_arrival_us);
    bool waited = arrival_us - axis->last_arrival_us > SILENCE_US;
    bool backlog_ends = follow_backlog(axis, waited); /* what comes now is as it happens again */
    bool silence = axis->link_gap || backlog_ends || (waited && !axis->in_backlog);
    axis->link_gap = false;
    lost = lost < LOST_MOST ? lost : LOST_MOST;
    axis->last_arrival_us = arrival_us;
    axis->line += 1 + (int64_t)lost;
    if (silence) {
        begin_anew(axis);
        axis->pauses++;
    } else if (envelope->count >= TRUSTED_LINES &&
               envelope_above(envelope, axis->line, arrival_us) <
                   -fmax(EARLY_INTERVALS * envelope->slope, SIGN_US)) {
        begin_anew(axis);
    }
    if (!axis->in_backlog) {
        envelope_add(envelope, axis->line, arrival_us);
    }
    if (silence || !has_interval(axis)) {
        axis->time_us = fmax(axis->time_us, since_first_us);
        return (int64_t)(axis->time_us + 0.5);
    }
    double interval_us = fmax(envelope->slope, 0);
    int64_t missing = axis->in_backlog ? 0 : missing_lines(axis, arrival_us, interval_us);
    axis->line += missing;
    double line_us = envelope_at(envelope, axis->line) - (double)axis->first_arrival_us;
    axis->time_us += step_to(axis->time_us, line_us, interval_us, lost + (uint64_t)missing);
    if (axis->late_in_a_row == LATE_IN_A_ROW) {
        axis->late_in_a_row = 0;
        envelope_start(envelope, 1, 0, 0);
    }
    return (int64_t)(axis->time_us + 0.5);
}
