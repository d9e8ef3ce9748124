/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rider_parts.h"

#include "screen/digits.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LABEL_SHARE 4 /* of the rows, at most one in so many */

/* The axis: so many mm above and below the target, in half-rows from the top. */
struct axis {
    double reach_mm;
    int row, rows;
};

static double half_row_of(const struct axis *axis, double above_mm)
{
    double row = (axis->reach_mm - above_mm) / (2.0 * axis->reach_mm) * (2.0 * axis->rows);
    return fmin(fmax(row, -1e6), 1e6); /* anything can be read, and typed */
}

/* What is drawn in a row of half-rows: both, the upper, the lower, or none. */
static void put_halves(struct canvas *canvas, int row, int column, enum style style, bool upper,
                       bool lower)
{
    if (!upper && !lower) {
        return;
    }
    uint32_t code = canvas->letters == LETTERS_ASCII ? '#'
                    : upper && lower                 ? 0x2588
                    : upper                          ? 0x2580
                                                     : 0x2584;
    canvas_put(canvas, row, column, style, code);
}

static void draw_ground(struct canvas *canvas, const struct axis *axis,
                        const struct view_channel *channel, const struct room *room,
                        bool band[CANVAS_ROWS_MAX])
{
    bool ascii = canvas->letters == LETTERS_ASCII;
    for (int r = 0; r < axis->rows; r++) {
        double mm = axis->reach_mm * (1.0 - (2.0 * r + 1.0) / axis->rows);
        band[r] = gauge_has_band(channel) && mm <= channel->band_above_mm &&
                  mm >= -channel->band_below_mm;
    }
    for (int r = 0; r < axis->rows; r++) {
        bool edge = band[r] && ((r > 0 && !band[r - 1]) || (r + 1 < axis->rows && !band[r + 1]));
        uint32_t code = edge ? (ascii ? '=' : 0x2500) : band[r] ? ' ' : ascii ? '.' : 0x00B7;
        canvas_fill(canvas, axis->row + r, room->column, 1, room->columns,
                    band[r] ? STYLE_BAND_LINE : STYLE_PANEL_LINE, code);
    }
}

/* The body as a slab across the scale, and where it is out a wedge from there to the band. */
static void draw_body(struct canvas *canvas, const struct axis *axis,
                      const struct view_channel *channel, const struct room *room,
                      const bool band[CANVAS_ROWS_MAX])
{
    double at_mm = isfinite(channel->quick_mm) ? channel->quick_mm : channel->slow_mm;
    if (!isfinite(at_mm) || channel->cue == CUE_NO_READING) {
        return;
    }
    int half_rows = 2 * axis->rows, thick = axis->rows / 5 > 2 ? axis->rows / 5 : 2;
    double above_mm = at_mm - channel->target_mm;
    int top = (int)round(half_row_of(axis, above_mm) - thick / 2.0);
    top = top < 0 ? 0 : top > half_rows - thick ? half_rows - thick : top;
    bool high = above_mm > channel->band_above_mm, low = -above_mm > channel->band_below_mm;
    /* the wedge: from the slab's edge to the band's */
    int from = high ? top + thick : top - 1;
    int to = high  ? (int)floor(half_row_of(axis, channel->band_above_mm)) - 1
             : low ? (int)ceil(half_row_of(axis, -channel->band_below_mm))
                   : from;
    int length = abs(to - from) + 1;
    enum style style = gauge_has_band(channel) ? gauge_cue_style(channel->cue) : STYLE_PANEL_CURVE;
    for (int r = 0; r < axis->rows; r++) {
        enum style here = (enum style)(style + (band[r] ? STYLE_INTO_BAND : 0));
        for (int c = 0; c < room->columns; c++) {
            bool on[2];
            for (int half = 0; half < 2; half++) {
                int y = 2 * r + half, gone = abs(y - from);
                bool slab = y >= top && y < top + thick;
                bool between = high ? y >= from && y <= to : low && y <= from && y >= to;
                double width = fmax(1.0, (room->columns - 2) * (1.0 - (double)gone / length));
                on[half] = slab || (between && fabs(c + 0.5 - room->columns / 2.0) <= width / 2.0);
            }
            put_halves(canvas, axis->row + r, room->column + c, here, on[0], on[1]);
        }
    }
}

/* The whole name where it is no smaller for that, else its first letter. Gives the rows used. */
static int draw_label(struct canvas *canvas, const char *name, const struct room *room)
{
    char text[CHANNEL_NAME_SIZE], first[2] = "";
    int most = room->rows / LABEL_SHARE, high, wide;
    big_text_capitals(text, sizeof text, name);
    first[0] = text[0];
    if (!digits_has(text) || text[0] == '\0') {
        canvas_text(canvas, room->row + room->rows - 1, room->column, room->columns, STYLE_STRONG,
                    text);
        return 1;
    }
    int whole = digits_scale(DIGITS_SMALL, text, most, room->columns);
    int scale = digits_scale(DIGITS_SMALL, first, most, room->columns);
    const char *label = whole > 1 && whole >= scale - 1 ? text : first;
    scale = label == text ? whole : scale;
    if (scale == 0) {
        return 0;
    }
    digits_size(DIGITS_SMALL, label, scale, &high, &wide);
    digits_draw(canvas, DIGITS_SMALL, label, scale, room->row + room->rows - high,
                room->column + (room->columns - wide) / 2, STYLE_STRONG);
    return high;
}

void rider_scale(struct canvas *canvas, const struct view_channel *channel, const char *name,
                 const struct room *room)
{
    bool band[CANVAS_ROWS_MAX];
    int label = draw_label(canvas, name, room);
    struct axis axis = {.reach_mm = gauge_reach_mm(channel),
                        .row = room->row,
                        .rows = room->rows - label - (label > 0 ? 1 : 0)};
    if (axis.rows < 3 || axis.rows > CANVAS_ROWS_MAX) {
        return;
    }
    draw_ground(canvas, &axis, channel, room, band);
    draw_body(canvas, &axis, channel, room, band);
}
