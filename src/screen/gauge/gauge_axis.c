/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "gauge_parts.h"

#include <math.h>
#include <stddef.h>

/* The axis of heights that history, gauge and marks share. */

#define HEIGHT_MOST_MM 1e5 /* beyond is no height of anybody */
#define FAR_MM 120.0       /* history further from the middle than this does not widen the axis */

static bool sane(double mm)
{
    return isfinite(mm) && fabs(mm) < HEIGHT_MOST_MM;
}

bool gauge_has_target(const struct view_channel *channel)
{
    return channel->has_target && sane(channel->target_mm);
}

bool gauge_has_band(const struct view_channel *channel)
{
    return gauge_has_target(channel) && channel->has_band && channel->band_above_mm > 0.0 &&
           channel->band_below_mm > 0.0;
}

double gauge_reach_mm(const struct view_channel *channel)
{
    double reach_mm = 30.0;
    if (gauge_has_band(channel)) {
        reach_mm = isfinite(channel->band_above_mm) ? fmax(reach_mm, 2.0 * channel->band_above_mm)
                                                    : reach_mm;
        reach_mm = isfinite(channel->band_below_mm) ? fmax(reach_mm, 2.0 * channel->band_below_mm)
                                                    : reach_mm;
    }
    return reach_mm;
}

int gauge_marks(const struct view *view, int channel, struct gauge_mark marks[SETUPS_MAX])
{
    const struct session_record *record = &view->snapshot->record;
    int count = 0;
    for (int s = 0; s < record->setup_count; s++) {
        const struct setup_estimate *estimate =
            analysis_estimate(&view->snapshot->analysis, channel, s);
        if (estimate->holds > 0 && estimate->tied) {
            marks[count++] = (struct gauge_mark){record->setup[s].number, estimate->mean};
        }
    }
    return count;
}

double gauge_shown_mm(const struct view *view, int channel, const struct view_point *point)
{
    bool same = point->tied == snapshot_tied(view->snapshot, channel);
    return same ? (double)point->slow_mm : (double)NAN;
}

static void widen(double *low, double *high, double mm)
{
    if (sane(mm)) {
        *low = mm < *low ? mm : *low;
        *high = mm > *high ? mm : *high;
    }
}

void gauge_fit_axis(struct gauge_axis *axis, const struct view *view, int c)
{
    const struct view_channel *channel = &view->channel[c];
    struct gauge_mark marks[SETUPS_MAX];
    int mark_count = gauge_marks(view, c, marks);
    double middle = gauge_has_target(channel) ? channel->target_mm : NAN;
    axis->set = axis->set && axis->redrawn == view->history->redrawn; /* other heights */
    axis->redrawn = view->history->redrawn;
    int count = view_history_count(view->history);
    if (count > GAUGE_HISTORY_WANTED_S / VIEW_HISTORY_STEP_S) {
        count = (int)(GAUGE_HISTORY_WANTED_S / VIEW_HISTORY_STEP_S);
    }
    if (!isfinite(middle)) {
        double sum = 0.0;
        int used = 0;
        for (int i = 0; i < count; i++) {
            double slow = gauge_shown_mm(view, c, view_history_back(view->history, c, i));
            if (sane(slow)) {
                sum += slow;
                used++;
            }
        }
        middle = used > 0 ? sum / used : sane(channel->slow_mm) ? channel->slow_mm : NAN;
        if (axis->set && (!isfinite(middle) || (middle > axis->low_mm && middle < axis->high_mm))) {
            middle = (axis->low_mm + axis->high_mm) / 2.0;
        } else if (!isfinite(middle)) {
            middle = 0.0;
        } else {
            middle = 10.0 * round(middle / 10.0);
        }
    }
    double low = middle - 18.0, high = middle + 18.0;
    if (gauge_has_band(channel)) {
        widen(&low, &high, middle + channel->band_above_mm * 1.6);
        widen(&low, &high, middle - channel->band_below_mm * 1.2);
    }
    for (int i = 0; i < mark_count; i++) {
        if (fabs(marks[i].height_mm - middle) < FAR_MM) {
            widen(&low, &high, marks[i].height_mm);
        }
    }
    for (int i = 0; i < count; i++) {
        double slow = gauge_shown_mm(view, c, view_history_back(view->history, c, i));
        if (sane(slow) && fabs(slow - middle) < FAR_MM) {
            widen(&low, &high, slow);
        }
    }
    /* whole tens about the middle */
    low = middle - 10.0 * ceil((middle - low + 1.0) / 10.0);
    high = middle + 10.0 * ceil((high - middle + 1.0) / 10.0);
    bool covers = axis->set && axis->low_mm <= low && axis->high_mm >= high;
    bool aligned = axis->set && fabs(remainder(axis->low_mm - middle, 10.0)) < 1e-6;
    bool wasteful = covers && high - low < 0.7 * (axis->high_mm - axis->low_mm);
    if (!covers || !aligned || wasteful) {
        axis->low_mm = low;
        axis->high_mm = high;
        axis->set = true;
    }
}

/* Steps above the bottom of the axis; steps is the whole height. */
int gauge_level(const struct gauge_axis *axis, double mm, int steps)
{
    double share = (mm - axis->low_mm) / (axis->high_mm - axis->low_mm);
    double level = floor(share * steps);
    return !(level >= -1.0) ? -1 : level > steps ? steps : (int)level;
}

int gauge_row(const struct gauge_axis *axis, double mm, int rows)
{
    int row = rows - 1 - gauge_level(axis, mm, rows);
    return row < 0 ? 0 : row >= rows ? rows - 1 : row;
}
