#include "screen/pages.h"

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
    int scale = digits_scale(DIGITS_TALL, time, rows, canvas->columns - 2), high, wide;
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
    case VIEW_HOLD:
    case VIEW_TARGET:
    case VIEW_PLATE:
        wording_minutes(text, size, ceil(fmax(0.0, view->planned_s - view->elapsed_s)));
        break;
    case VIEW_WAITING:
    case VIEW_LIVE:
    case VIEW_ENDED:
        text[0] = '\0';
        break;
    }
}

static void draw_cue(struct canvas *canvas, const struct view *view, int row, int rows)
{
    const struct view_channel *channel = &view->channel[view->worst_channel];
    enum cue_state cue = view->worst_cue;
    enum style style = gauge_field_style(cue);
    int columns = canvas->columns;
    bool tall = rows >= 9;
    int bar = tall ? (rows >= 16 ? 3 : 2) : 1;
    int field = rows - bar - 1 - (tall ? 1 : 0);
    canvas_fill(canvas, row, 1, field, columns - 2, style, ' ');
    char words[WORDING_SIZE];
    snprintf(words, sizeof words, "%.24s %s", channel->name, wording_cue_word(cue));
    int shape_rows = field - 2;
    if (shape_rows >= 3 && cue != CUE_NO_READING) {
        int shape_columns = shape_rows * 2 + 1;
        int word_columns = canvas_width(canvas, words);
        int left = (columns - shape_columns * 2 - word_columns - 6) / 2;
        if (left >= 2) { /* a shape at either side of the word */
            draw_shape(canvas, cue, row + 1, left, shape_rows, shape_columns, style);
            draw_shape(canvas, cue, row + 1, columns - left - shape_columns, shape_rows,
                       shape_columns, style);
        }
    }
    canvas_text(canvas, row + field / 2, (columns - canvas_width(canvas, words)) / 2, columns - 2,
                style, words);
    double reach = 30.0;
    if (channel->has_band) {
        reach = fmax(reach,
                     2.0 * fmax(isfinite(channel->band_above_mm) ? channel->band_above_mm : 0.0,
                                isfinite(channel->band_below_mm) ? channel->band_below_mm : 0.0));
    }
    int at = row + field + (tall ? 1 : 0);
    gauge_draw_lying(canvas, channel, reach, at, 1, bar, columns - 2, false);
    canvas_text(canvas, at + bar, 1, 10, STYLE_PLAIN, "\u25BC low");
    canvas_right(canvas, at + bar, columns - 1, 10, STYLE_PLAIN, "high \u25B2");
}

void rider_draw(struct canvas *canvas, struct page_state *state, const struct view *view)
{
    char time[24];
    int rows = canvas->rows, row = 0;
    bool free_hold = (view->phase == VIEW_HOLD || view->phase == VIEW_SETTLING) &&
                     view->hold_number > 0 && !view->guided;
    time_text(time, sizeof time, view);
    int foot = state->message_is_problem || state->asks_to_end ? 1 : 0;
    rows -= foot;
    if (free_hold || view->phase == VIEW_PLATE || view->phase == VIEW_TARGET) {
        draw_time(canvas, time, 1, rows - 2);
    } else if (view->worst_channel >= 0 && view->worst_channel < view->channel_count) {
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
        page_message(canvas, state, canvas->rows - 1);
    }
}
