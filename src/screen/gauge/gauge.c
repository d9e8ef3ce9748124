/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "gauge_parts.h"

#include "base/numbers.h"
#include "screen/wording.h"

#include <math.h>
#include <stdio.h>

/* The upright gauge put together: ground, history, live edge, numbers, marks. */

#define LABEL_COLUMNS 5
#define BAR_COLUMNS 4 /* three of posture, one of where the body is this instant */
#define MARK_COLUMNS 9

enum style gauge_cue_style(enum cue_state cue)
{
    return cue == CUE_IN     ? STYLE_PANEL_IN
           : cue == CUE_HIGH ? STYLE_PANEL_HIGH
           : cue == CUE_LOW  ? STYLE_PANEL_LOW
                             : STYLE_PANEL_NONE;
}

enum style gauge_field_style(enum cue_state cue)
{
    return cue == CUE_IN     ? STYLE_IN
           : cue == CUE_HIGH ? STYLE_HIGH
           : cue == CUE_LOW  ? STYLE_LOW
                             : STYLE_NO_READING;
}

/* ---- the live edge ---- */

/* An upright bar from one height to another, in eighths of a row (halves, or whole rows where the
 * letters lack them). */
static void draw_bar(struct canvas *canvas, const struct gauge_axis *axis, int row, int rows,
                     int column, int columns, double from_mm, double to_mm, enum style style,
                     const bool *band)
{
    int steps = rows * 8;
    int low = gauge_level(axis, fmin(from_mm, to_mm), steps),
        high = gauge_level(axis, fmax(from_mm, to_mm), steps);
    if (high - low < 3) { /* never thinner than can be seen */
        low -= 1;
        high = low + 3;
    }
    low = low < 0 ? 0 : low > steps - 3 ? steps - 3 : low;
    high = high > steps ? steps : high < 3 ? 3 : high;
    for (int r = 0; r < rows; r++) {
        int bottom = (rows - 1 - r) * 8;
        int from = low - bottom, to = high - bottom;
        from = from < 0 ? 0 : from;
        to = to > 8 ? 8 : to;
        if (to <= from) {
            continue;
        }
        bool hangs = from > 0 && to == 8; /* filled from the top: ground and letter change places */
        if (from > 0 && to < 8) {
            hangs = from > 8 - to;
        }
        int eighths = hangs ? 8 - from : to;
        if (from > 0 && to < 8) {
            eighths = hangs ? 8 - from : to;
        }
        uint32_t code = ' ';
        bool reverse = false;
        if (canvas->letters == LETTERS_FULL) {
            code = eighths >= 8 ? 0x2588 : 0x2580 + (uint32_t)(hangs ? 8 - eighths : eighths);
            reverse = hangs && eighths < 8;
        } else if (canvas->letters == LETTERS_BLOCK) {
            code = eighths > 5   ? 0x2588
                   : eighths > 2 ? (hangs ? 0x2580 : 0x2584)
                                 : (hangs ? 0x2594 : '_');
            if (code == 0x2594) {
                code = 0x2500;
            }
        } else {
            code = eighths > 4 ? '#' : hangs ? '"' : '=';
        }
        int shift = band[r] ? STYLE_INTO_BAND : 0;
        for (int c = 0; c < columns; c++) {
            canvas_put(canvas, row + r, column + c, (enum style)(style + (enum style)shift), code);
            canvas_at(canvas, row + r, column + c)->reverse = reverse;
        }
    }
}

static void draw_edge(struct canvas *canvas, const struct gauge_axis *axis,
                      const struct view_channel *channel, int row, int rows, int column,
                      const bool *band)
{
    if (!isfinite(channel->slow_mm)) {
        return;
    }
    double from = gauge_has_target(channel) ? channel->target_mm : channel->slow_mm;
    enum style style = gauge_has_band(channel) ? gauge_cue_style(channel->seen) : STYLE_PANEL_CURVE;
    if (channel->seen == CUE_NO_READING && gauge_has_band(channel)) {
        style = STYLE_PANEL_NONE;
    }
    draw_bar(canvas, axis, row, rows, column, BAR_COLUMNS - 1, from, channel->slow_mm, style, band);
    if (isfinite(channel->quick_mm)) {
        draw_bar(canvas, axis, row, rows, column + BAR_COLUMNS - 1, 1,
                 gauge_has_target(channel) ? channel->target_mm : channel->quick_mm,
                 channel->quick_mm, STYLE_PANEL_CURVE, band);
    }
}

/* ---- numbers at the left, marks at the right ---- */

static void draw_label(struct canvas *canvas, const struct gauge_axis *axis,
                       const struct view_channel *channel, const struct gauge_place *place,
                       bool *taken, double mm, enum style style)
{
    if (!isfinite(mm) || mm < axis->low_mm - 0.5 || mm > axis->high_mm + 0.5) {
        return;
    }
    int row = gauge_row(axis, mm, place->rows);
    if (taken[row]) {
        return;
    }
    char text[WORDING_SIZE];
    if (gauge_has_target(channel)) {
        wording_signed(text, sizeof text, mm - channel->target_mm);
    } else {
        wording_whole(text, sizeof text, mm);
    }
    canvas_right(canvas, place->row + row, place->column + LABEL_COLUMNS - 1, LABEL_COLUMNS - 1,
                 style, text);
    taken[row] = true;
}

static void draw_marks(struct canvas *canvas, const struct gauge_axis *axis,
                       const struct view *view, int c, const struct gauge_place *place, int column)
{
    const struct view_channel *channel = &view->channel[c];
    struct gauge_mark marks[SETUPS_MAX];
    int mark_count = gauge_marks(view, c, marks);
    int marks_in_row[CANVAS_ROWS_MAX] = {0};
    for (int i = 0; i < mark_count; i++) {
        marks_in_row[gauge_row(axis, marks[i].height_mm, place->rows)]++;
    }
    for (int r = 0; r < place->rows; r++) {
        if (marks_in_row[r] == 0) {
            continue;
        }
        int at = column;
        canvas_put(canvas, place->row + r, at++, STYLE_PLAIN,
                   canvas->letters == LETTERS_FULL    ? 0x25C2
                   : canvas->letters == LETTERS_BLOCK ? 0x25C0
                                                      : '<');
        for (int i = 0; i < mark_count; i++) {
            const struct gauge_mark *mark = &marks[i];
            if (gauge_row(axis, mark->height_mm, place->rows) != r) {
                continue;
            }
            bool beyond = mark->height_mm > axis->high_mm || mark->height_mm < axis->low_mm;
            at += canvas_print(canvas, place->row + r, at, column + MARK_COLUMNS - at, STYLE_STRONG,
                               "%d", mark->setup);
            if (marks_in_row[r] == 1) {
                char height[WORDING_SIZE];
                if (gauge_has_target(channel)) {
                    wording_signed(height, sizeof height, mark->height_mm - channel->target_mm);
                } else {
                    wording_whole(height, sizeof height, mark->height_mm);
                }
                at += 1;
                at += canvas_text(canvas, place->row + r, at, column + MARK_COLUMNS - at,
                                  STYLE_FAINT, height);
            }
            if (beyond) {
                at += canvas_text(canvas, place->row + r, at, column + MARK_COLUMNS - at,
                                  STYLE_STRONG,
                                  mark->height_mm > axis->high_mm ? "\u25B2" : "\u25BC");
            }
            if (--marks_in_row[r] > 0) {
                at += canvas_text(canvas, place->row + r, at, column + MARK_COLUMNS - at,
                                  STYLE_FAINT, " ");
                marks_in_row[r]++;
                marks_in_row[r]--;
            }
        }
    }
}

/* Lines of the target and of the band's edges. */
static void plot_ground(struct plot *plot, const struct gauge_axis *axis,
                        const struct view_channel *channel)
{
    int steps = plot->rows * plot_down(plot);
    if (!gauge_has_target(channel)) {
        return;
    }
    plot_level(plot, gauge_level(axis, channel->target_mm, steps), STYLE_PANEL_LINE, 2);
    if (gauge_has_band(channel) && isfinite(channel->band_above_mm)) {
        plot_level(plot, gauge_level(axis, channel->target_mm + channel->band_above_mm, steps),
                   STYLE_PANEL_LINE, 4);
    }
    if (gauge_has_band(channel) && isfinite(channel->band_below_mm)) {
        plot_level(plot, gauge_level(axis, channel->target_mm - channel->band_below_mm, steps),
                   STYLE_PANEL_LINE, 4);
    }
}

void gauge_draw(struct canvas *canvas, struct plot *plot, const struct gauge_axis *axis,
                const struct view *view, int c, const struct gauge_place *place)
{
    const struct view_channel *channel = &view->channel[c];
    int marks = place->marks ? MARK_COLUMNS : 0;
    int history_columns = place->columns - LABEL_COLUMNS - BAR_COLUMNS - marks;
    int edge_column = place->column + LABEL_COLUMNS + history_columns;
    if (history_columns < 4 || place->rows < 2 || place->rows > CANVAS_ROWS_MAX) {
        return;
    }
    bool band[CANVAS_ROWS_MAX] = {false}, taken[CANVAS_ROWS_MAX] = {false};
    double above = channel->target_mm + channel->band_above_mm,
           below = channel->target_mm - channel->band_below_mm;
    bool has_band = gauge_has_band(channel);
    for (int r = 0; r < place->rows && has_band; r++) {
        double mm = axis->high_mm - (r + 0.5) * (axis->high_mm - axis->low_mm) / place->rows;
        band[r] = mm <= above && mm >= below;
    }
    /* the lines run through to the gauge: its ground first, then the history with its curve */
    plot_begin(plot, place->rows, history_columns + BAR_COLUMNS);
    plot_ground(plot, axis, channel);
    plot_draw(plot, canvas, place->row, place->column + LABEL_COLUMNS, band);
    plot_begin(plot, place->rows, history_columns);
    plot_ground(plot, axis, channel);
    gauge_plot_history(plot, axis, view, c);
    plot_draw(plot, canvas, place->row, place->column + LABEL_COLUMNS, band);
    draw_edge(canvas, axis, channel, place->row, place->rows, edge_column, band);
    if (place->rows >= 5 && history_columns >= 30) {
        /* how long ago the left edge was */
        char ago[WORDING_SIZE], text[WORDING_SIZE + 8];
        say_minutes(ago, sizeof ago,
                    history_columns * gauge_points_per_column(history_columns) *
                        VIEW_HISTORY_STEP_S);
        snprintf(text, sizeof text, "\u2212%s", ago);
        canvas_text(canvas, place->row + place->rows - 1, place->column + LABEL_COLUMNS, 7,
                    band[place->rows - 1] ? STYLE_BAND_LINE : STYLE_PANEL_LINE, text);
    }
    /* numbers: target, band, ends */
    if (gauge_has_target(channel)) {
        draw_label(canvas, axis, channel, place, taken, channel->target_mm, STYLE_STRONG);
    }
    if (has_band) {
        draw_label(canvas, axis, channel, place, taken, above, STYLE_PLAIN);
        draw_label(canvas, axis, channel, place, taken, below, STYLE_PLAIN);
    }
    draw_label(canvas, axis, channel, place, taken, axis->high_mm, STYLE_FAINT);
    draw_label(canvas, axis, channel, place, taken, axis->low_mm, STYLE_FAINT);
    if (!gauge_has_target(channel) && place->rows >= 5) {
        draw_label(canvas, axis, channel, place, taken, (axis->low_mm + axis->high_mm) / 2.0,
                   STYLE_FAINT);
    }
    if (marks > 0) {
        draw_marks(canvas, axis, view, c, place, edge_column + BAR_COLUMNS);
    }
}
