/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "gauge_parts.h"

#include <math.h>
#include <stddef.h>

/* The posture of the last minute or two, column by column. */

#define THICK_FROM_ROWS 9 /* the curve is two points thick where a point is little enough */

int gauge_points_per_column(int columns)
{
    /* Divisors of the ring's size, so that a column always holds the same points while it moves
     * left. */
    static const int divisors[] = {1,  2,  3,  4,  5,  6,  8,  10, 12,
                                   15, 16, 20, 24, 25, 30, 40, 60, 120};
    int wanted = (int)(GAUGE_HISTORY_WANTED_S / VIEW_HISTORY_STEP_S);
    for (size_t i = 0; i < sizeof divisors / sizeof divisors[0]; i++) {
        if (columns * divisors[i] >= wanted) {
            return divisors[i];
        }
    }
    return 120;
}

static enum style curve_style(const struct view_channel *channel, double mm)
{
    if (!gauge_has_band(channel)) {
        return STYLE_PANEL_CURVE;
    }
    double above = mm - channel->target_mm;
    return above > channel->band_above_mm    ? STYLE_PANEL_HIGH
           : above < -channel->band_below_mm ? STYLE_PANEL_LOW
                                             : STYLE_PANEL_IN;
}

static bool being_captured(uint8_t phase)
{
    return phase == VIEW_HOLD || phase == VIEW_TARGET || phase == VIEW_PLATE;
}

/* The curve as it is drawn, from left to right. */
struct curve {
    double sum; /* of the points of this dot's column so far */
    int used, x;
    int level_before, x_before; /* of the dot drawn last */
};

/* The dot of the points so far, joined to the one before. */
static void draw_dot(struct plot *plot, const struct gauge_axis *axis,
                     const struct view_channel *channel, struct curve *curve)
{
    int steps = plot->rows * plot_down(plot);
    int thick = plot->letters == LETTERS_FULL && plot->rows >= THICK_FROM_ROWS ? 1 : 0;
    double mean = curve->sum / curve->used;
    int level = gauge_level(axis, mean, steps);
    level = level < 0 ? 0 : level >= steps ? steps - 1 : level;
    enum style style = curve_style(channel, mean);
    int from = level, to = level;
    if (curve->x_before == curve->x - 1 && curve->level_before >= 0) {
        /* without drawing its point once more */
        from = curve->level_before < level ? curve->level_before + 1 : level;
        to = curve->level_before > level ? curve->level_before - 1 : level;
    }
    for (int y = from - thick; y <= to; y++) {
        plot_point(plot, curve->x, y, style, true);
    }
    plot_point(plot, curve->x, level, style, true);
    curve->level_before = level;
    curve->x_before = curve->x;
}

/* Curve, boundaries of holds and setups, and a line under what was captured. */
void gauge_plot_history(struct plot *plot, const struct gauge_axis *axis, const struct view *view,
                        int channel)
{
    int per_column = gauge_points_per_column(plot->columns);
    int across = plot_across(plot);
    int count = view_history_count(view->history);
    int64_t newest = view->history->steps - 1;
    /* points in the newest column before the newest */
    int in_last = newest >= 0 ? (int)(newest % per_column) : 0;
    struct curve curve = {.x = -1, .level_before = -2, .x_before = -2};
    const struct view_point *before = NULL;
    int oldest = in_last + 1 + (plot->columns - 1) * per_column - 1;
    if (oldest >= count) {
        oldest = count - 1;
    }
    for (int back = oldest; back >= -1; back--) {
        int x = plot->columns * across; /* beyond the end: closes the last one */
        const struct view_point *point = NULL;
        if (back >= 0) {
            point = view_history_back(view->history, channel, back);
            int columns_back = (back + per_column - 1 - in_last) / per_column;
            if (back <= in_last) {
                columns_back = 0;
            }
            int column = plot->columns - 1 - columns_back;
            int within = (int)((newest - back) % per_column);
            x = column * across + within * across / per_column;
            if (before != NULL && (being_captured(before->phase) != being_captured(point->phase) ||
                                   before->setup != point->setup)) {
                plot_upright(plot, column, STYLE_PANEL_LINE);
            }
            if (being_captured(point->phase)) {
                plot_point(plot, x, 0, STYLE_PANEL_NEXT, false);
            }
            before = point;
        }
        if (x != curve.x) {
            if (curve.used > 0) {
                draw_dot(plot, axis, &view->channel[channel], &curve);
            }
            curve.x = x;
            curve.sum = 0.0;
            curve.used = 0;
        }
        double slow = point != NULL ? gauge_shown_mm(view, channel, point) : (double)NAN;
        if (isfinite(slow)) {
            curve.sum += slow;
            curve.used++;
        }
    }
}
