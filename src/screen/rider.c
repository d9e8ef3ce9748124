/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/rider.h"

#include "base/numbers.h"
#include "screen/digits.h"
#include "screen/wording.h"

#include <math.h>
#include <stdio.h>

/* The rider's screen, read from two metres with the head down: one shape and one word, a needle on
 * a wide bar, the time. Free holds show the time only, since a rider who sees a gauge follows it.
 */

/* The cue's shape, filled: an arrow as the body is, or a lozenge. Height is half the width in
 * cells. */
static void draw_shape(struct canvas *canvas, enum cue_state cue, int row, int column, int rows,
                       int columns, enum style style)
{
    uint32_t code = canvas->letters == LETTERS_ASCII ? '#' : 0x2588;
    for (int r = 0; r < rows; r++) {
        double down = (r + 0.5) / rows; /* 0 at the top */
        double half = cue == CUE_HIGH  ? down
                      : cue == CUE_LOW ? 1.0 - down
                      : cue == CUE_IN  ? 1.0 - fabs(2.0 * down - 1.0)
                                       : 0.0;
        int width = (int)round(half * columns);
        width += (columns - width) % 2;
        for (int c = 0; c < width; c++) {
            canvas_put(canvas, row + r, column + (columns - width) / 2 + c, style, code);
        }
    }
}

static void draw_centred(struct canvas *canvas, int row, enum style style, const char *text)
{
    int width = canvas_width(canvas, text);
    canvas_text(canvas, row, (canvas->columns - width) / 2, width, style, text);
}

/* The time, as large as the room allows. Gives the rows used. */
static int draw_time(struct canvas *canvas, const char *time, int row, int rows)
{
    int scale = digits_scale(DIGITS_TALL, time, rows, canvas->columns), high, wide;
    if (scale == 0) {
        draw_centred(canvas, row + rows / 2, STYLE_STRONG, time);
        return rows;
    }
    digits_size(DIGITS_TALL, time, scale, &high, &wide);
    digits_draw(canvas, DIGITS_TALL, time, scale, row + (rows - high) / 2,
                (canvas->columns - wide) / 2, STYLE_STRONG);
    return rows;
}

static void time_text(char *text, size_t size, const struct view *view)
{
    switch (view->phase) {
    case VIEW_SETTLING:
        snprintf(text, size, "%.0f", ceil(fmax(0.0, view->countdown_s)));
        break;
    case VIEW_TARGET: /* upwards, until it is known how long it takes */
        say_minutes(text, size,
                    view->length_proposed ? ceil(fmax(0.0, view->planned_s - view->elapsed_s))
                                          : view->elapsed_s);
        break;
    case VIEW_HOLD:
    case VIEW_PLATE:
        say_minutes(text, size, ceil(fmax(0.0, view->planned_s - view->elapsed_s)));
        break;
    case VIEW_WAITING:
    case VIEW_LIVE:
    case VIEW_CHECK:
    case VIEW_ENDED:
        text[0] = '\0';
        break;
    }
}

/* A word in letters of blocks as large as fits, or plain where it can't be. Gives the rows used. */
static int draw_word(struct canvas *canvas, const char *word, int row, int rows, int column,
                     int columns, enum style style)
{
    int scale = digits_has(word) ? digits_scale(DIGITS_TALL, word, rows, columns) : 0, high, wide;
    if (scale == 0 || (scale == 1 && canvas->letters == LETTERS_ASCII)) {
        canvas_text(canvas, row + rows / 2, column, columns, style, word);
        return 1;
    }
    digits_size(DIGITS_TALL, word, scale, &high, &wide);
    digits_draw(canvas, DIGITS_TALL, word, scale, row + (rows - high) / 2, column, style);
    return high;
}

static double reach_of(const struct view_channel *channel)
{
    double reach = 30.0;
    if (gauge_has_band(channel)) {
        reach = fmax(reach,
                     2.0 * fmax(isfinite(channel->band_above_mm) ? channel->band_above_mm : 0.0,
                                isfinite(channel->band_below_mm) ? channel->band_below_mm : 0.0));
    }
    return reach;
}

/* The field: the shape at the left; beside it which part of the body, and the word. */
static void draw_field(struct canvas *canvas, const struct channel_record *channel,
                       enum cue_state cue, int row, int rows)
{
    enum style style = gauge_field_style(cue);
    int columns = canvas->columns, inner = rows - 2;
    char name[CHANNEL_NAME_SIZE];
    size_t i = 0;
    for (; channel->name[i] != '\0'; i++) {
        char letter = channel->name[i];
        name[i] = letter >= 'a' && letter <= 'z' ? (char)(letter - 'a' + 'A') : letter;
    }
    name[i] = '\0';
    canvas_fill(canvas, row, 1, rows, columns - 2, style, ' ');
    if (inner < 3) {
        canvas_print(canvas, row + rows / 2, 3, columns - 6, style, "%s  %s", name,
                     wording_cue(cue));
        return;
    }
    int shape_columns = inner * 2 + 1;
    if (shape_columns > columns / 3) {
        shape_columns = columns / 3 | 1;
    }
    int shape_rows = shape_columns / 2 < inner ? shape_columns / 2 : inner;
    shape_rows |= cue == CUE_IN ? 1 : 0;
    int left = 4 + shape_columns + 3, width = columns - 4 - left;
    if (cue != CUE_NO_READING) {
        draw_shape(canvas, cue, row + (rows - shape_rows) / 2, 4, shape_rows, shape_columns, style);
    } else {
        left = 4;
        width = columns - 8;
    }
    int name_rows = inner >= 11 && canvas->letters != LETTERS_ASCII ? 4 : 1;
    if (name_rows == 4 && digits_has(name)) {
        draw_word(canvas, name, row + 1, name_rows, left, width, style);
    } else {
        name_rows = 0; /* in the row above, so that the word is as large as can be */
        canvas_text(canvas, row, left, width, style, name);
    }
    draw_word(canvas, wording_cue_word(cue), row + 1 + name_rows, inner - name_rows, left, width,
              style);
}

static void draw_cue(struct canvas *canvas, const struct view *view, int row, int rows)
{
    const struct view_channel *channel = &view->channel[view->worst_channel];
    int columns = canvas->columns;
    bool tall = rows >= 9;
    int bar = tall ? (rows >= 16 ? 3 : 2) : 1;
    int field = rows - bar - 1 - (tall ? 1 : 0);
    draw_field(canvas, snapshot_channel(view->snapshot, view->worst_channel), view->worst_cue, row,
               field);
    int at = row + field + (tall ? 1 : 0);
    gauge_draw_lying(canvas, view, view->worst_channel, reach_of(channel), at, 1, bar, columns - 2,
                     false);
    canvas_text(canvas, at + bar, 1, 10, STYLE_PLAIN, "\u25BC low");
    canvas_right(canvas, at + bar, columns - 1, 10, STYLE_PLAIN, "high \u25B2");
}

void rider_draw(struct canvas *canvas, struct page_state *state, const struct view *view)
{
    char time[24] = "";
    int rows = canvas->rows, row = 0;
    bool free_hold = (view->phase == VIEW_HOLD || view->phase == VIEW_SETTLING) &&
                     view->hold_number > 0 && !view->guided;
    time_text(time, sizeof time, view);
    int foot = state->message_is_problem || state->asks_to_end ? 1 : 0;
    rows -= foot;
    bool time_only = free_hold || view->phase == VIEW_PLATE || view->phase == VIEW_TARGET;
    bool has_cue = view->worst_channel >= 0 && view->worst_channel < view->channel_count;
    if (has_cue && !time_only) {
        int time_rows = time[0] != '\0' ? rows * 2 / 5 : 0;
        draw_cue(canvas, view, row + 1, rows - time_rows - 2);
        if (time_rows > 0) {
            draw_time(canvas, time, rows - time_rows, time_rows);
        }
    } else if (time[0] != '\0') {
        draw_time(canvas, time, 1, rows - 2);
    } else {
        draw_centred(canvas, rows / 2, STYLE_STRONG,
                     view->phase == VIEW_ENDED     ? "the session has ended"
                     : view->phase == VIEW_WAITING ? "waiting for the sensors"
                                                   : "ride easy");
    }
    if (foot > 0) {
        page_message(canvas, state, view, canvas->rows - 1);
    }
}
