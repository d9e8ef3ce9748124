/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "sensors_parts.h"

#include "base/numbers.h"
#include "screen/wording.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The readings of the last minute or two, from the lowest to the highest of each tenth of a second:
 * what a hand in the beam, a nod, two surfaces or a frozen sensor look like. Heights where they are
 * known, else ranges; each on its own scale. */

#define TRACE_ROWS_MOST 16
#define TRACE_ROWS_LEAST 3
#define LABEL_COLUMNS 8
#define SPAN_LEAST_MM 20.0

struct trace {
    const struct view_history *history;
    int channel, points;
    double low_mm, high_mm;
};

static const struct view_point *point_at(const struct trace *trace, int index)
{
    return view_history_back(trace->history, trace->channel, trace->points - 1 - index);
}

static bool fit(struct trace *trace)
{
    trace->low_mm = INFINITY;
    trace->high_mm = -INFINITY;
    for (int i = 0; i < trace->points; i++) {
        const struct view_point *point = point_at(trace, i);
        if (isfinite(point->low_mm) && isfinite(point->high_mm)) {
            trace->low_mm = fmin(trace->low_mm, (double)point->low_mm);
            trace->high_mm = fmax(trace->high_mm, (double)point->high_mm);
        }
    }
    double middle = (trace->low_mm + trace->high_mm) / 2.0;
    double half = fmax(SPAN_LEAST_MM, trace->high_mm - trace->low_mm) / 2.0;
    trace->low_mm = floor((middle - half) / 10.0) * 10.0;
    trace->high_mm = ceil((middle + half) / 10.0) * 10.0;
    return isfinite(middle);
}

static void draw(const struct trace *trace, struct plot *plot)
{
    int columns = plot->columns * plot_across(plot), levels = plot->rows * plot_down(plot);
    double level_mm = (trace->high_mm - trace->low_mm) / (levels - 1);
    for (int i = 0; i < trace->points; i++) {
        const struct view_point *point = point_at(trace, i);
        if (!isfinite(point->low_mm) || !isfinite(point->high_mm)) {
            continue;
        }
        int low = (int)lround(((double)point->low_mm - trace->low_mm) / level_mm);
        int high = (int)lround(((double)point->high_mm - trace->low_mm) / level_mm);
        for (int y = low; y <= high; y++) {
            plot_point(plot, columns - trace->points + i, y, STYLE_PANEL_CURVE, true);
        }
    }
}

static void put_trace(struct scroll *scroll, struct plot *plot, const struct view *view,
                      int channel, int rows)
{
    struct canvas *canvas = scroll->canvas;
    struct trace trace = {.history = view->history, .channel = channel};
    int there = view_history_count(view->history);
    char text[WORDING_SIZE], clock[24];
    int columns = canvas->columns - LABEL_COLUMNS - 2;
    scroll->line++;
    int row = scroll_row(scroll);
    scroll->line += rows;
    if (row < 0 || row + rows > scroll->bottom) {
        return; /* a part of a plot tells nothing */
    }
    plot_begin(plot, rows, columns);
    trace.points = columns * plot_across(plot);
    trace.points = trace.points < there ? trace.points : there;
    canvas_fill(canvas, row, LABEL_COLUMNS, rows, columns, STYLE_PANEL, ' ');
    if (!fit(&trace)) {
        canvas_text(canvas, row, LABEL_COLUMNS + 1, columns - 1, STYLE_PANEL, "no reading");
        return;
    }
    draw(&trace, plot);
    plot_draw(plot, canvas, row, LABEL_COLUMNS, NULL);
    wording_whole(text, sizeof text, trace.high_mm);
    canvas_right(canvas, row, LABEL_COLUMNS - 1, LABEL_COLUMNS - 1, STYLE_FAINT, text);
    canvas_text(canvas, row + 1, 1, LABEL_COLUMNS - 2, STYLE_PLAIN,
                snapshot_channel(view->snapshot, channel)->name);
    wording_whole(text, sizeof text, trace.low_mm);
    canvas_right(canvas, row + rows - 1, LABEL_COLUMNS - 1, LABEL_COLUMNS - 1, STYLE_FAINT, text);
    say_minutes(clock, sizeof clock, trace.points * VIEW_HISTORY_STEP_S);
    snprintf(text, sizeof text, "\u2212%s", clock);
    canvas_text(canvas, row + rows - 1, LABEL_COLUMNS + 1, columns - 1, STYLE_PANEL_LINE, text);
}

void sensors_put_traces(struct scroll *scroll, struct plot *plot, const struct view *view)
{
    int count = 0;
    for (int c = 0; c < view->channel_count; c++) {
        count += sensors_is_range(snapshot_channel(view->snapshot, c)) ? 1 : 0;
    }
    /* what the words leave, with a gap before each */
    int left = scroll->bottom - scroll->top - scroll->line;
    int rows = count > 0 ? left / count - 1 : 0;
    if (rows < TRACE_ROWS_LEAST) {
        return;
    }
    rows = rows > TRACE_ROWS_MOST ? TRACE_ROWS_MOST : rows;
    for (int c = 0; c < view->channel_count; c++) {
        if (sensors_is_range(snapshot_channel(view->snapshot, c))) {
            put_trace(scroll, plot, view, c, rows);
        }
    }
}
