#include "screen/gauge.h"

#include "screen/wording.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define LABEL_COLUMNS 5
#define BAR_COLUMNS 4 /* three of posture, one of where the body is this instant */
#define MARK_COLUMNS 9
#define HISTORY_WANTED_S 60.0
#define THICK_FROM_ROWS 9 /* the curve is two points thick where a point is little enough */
#define FAR_MM 120.0      /* history further from the middle than this does not widen the axis */

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

int gauge_points_per_column(int columns)
{
    /* Divisors of the ring's size, so that a column always holds the same points while it moves
     * left. */
    static const int divisors[] = {1,  2,  3,  4,  5,  6,  8,  10, 12,
                                   15, 16, 20, 24, 25, 30, 40, 60, 120};
    int wanted = (int)(HISTORY_WANTED_S / VIEW_HISTORY_STEP_S);
    for (size_t i = 0; i < sizeof divisors / sizeof divisors[0]; i++) {
        if (columns * divisors[i] >= wanted) {
            return divisors[i];
        }
    }
    return 120;
}

static const struct view_point *point_back(const struct view *view,
                                           const struct view_channel *channel, int back)
{
    int at = (view->history_end - 1 - back) % VIEW_HISTORY;
    return &channel->history[at < 0 ? at + VIEW_HISTORY : at];
}

static int point_count(const struct view *view)
{
    return view->history_count < VIEW_HISTORY ? view->history_count : VIEW_HISTORY;
}

/* ---- axis ---- */

static void widen(double *low, double *high, double mm)
{
    if (isfinite(mm)) {
        *low = mm < *low ? mm : *low;
        *high = mm > *high ? mm : *high;
    }
}

void gauge_fit_axis(struct gauge_axis *axis, const struct view *view,
                    const struct view_channel *channel)
{
    double middle = channel->has_target ? channel->target_mm : NAN;
    int count = point_count(view);
    if (count > HISTORY_WANTED_S / VIEW_HISTORY_STEP_S) {
        count = (int)(HISTORY_WANTED_S / VIEW_HISTORY_STEP_S);
    }
    if (!isfinite(middle)) {
        double sum = 0.0;
        int used = 0;
        for (int i = 0; i < count; i++) {
            float slow = point_back(view, channel, i)->slow_mm;
            if (isfinite(slow)) {
                sum += (double)slow;
                used++;
            }
        }
        middle = used > 0 ? sum / used : isfinite(channel->slow_mm) ? channel->slow_mm : NAN;
        if (axis->set && (!isfinite(middle) || (middle > axis->low_mm && middle < axis->high_mm))) {
            middle = (axis->low_mm + axis->high_mm) / 2.0;
        } else if (!isfinite(middle)) {
            middle = 0.0;
        } else {
            middle = 10.0 * round(middle / 10.0);
        }
    }
    double low = middle - 18.0, high = middle + 18.0;
    if (channel->has_target && channel->has_band) {
        widen(&low, &high, middle + channel->band_above_mm * 1.6);
        widen(&low, &high, middle - channel->band_below_mm * 1.2);
    }
    for (int i = 0; i < channel->mark_count; i++) {
        if (fabs(channel->earlier[i].height_mm - middle) < FAR_MM) {
            widen(&low, &high, channel->earlier[i].height_mm);
        }
    }
    for (int i = 0; i < count; i++) {
        double slow = (double)point_back(view, channel, i)->slow_mm;
        if (isfinite(slow) && fabs(slow - middle) < FAR_MM) {
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
static int level_of(const struct gauge_axis *axis, double mm, int steps)
{
    double share = (mm - axis->low_mm) / (axis->high_mm - axis->low_mm);
    double level = floor(share * steps);
    return level < -1.0 ? -1 : level > steps ? steps : (int)level;
}

static int row_of(const struct gauge_axis *axis, double mm, int rows)
{
    int row = rows - 1 - level_of(axis, mm, rows);
    return row < 0 ? 0 : row >= rows ? rows - 1 : row;
}

/* ---- history ---- */

static enum style curve_style(const struct view_channel *channel, double mm)
{
    if (!channel->has_target || !channel->has_band) {
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

/* Curve, boundaries of holds and setups, and a line under what was captured. */
static void plot_history(struct plot *plot, const struct gauge_axis *axis, const struct view *view,
                         const struct view_channel *channel)
{
    int per_column = gauge_points_per_column(plot->columns);
    int across = plot_across(plot), steps = plot->rows * plot_down(plot);
    int count = point_count(view);
    int newest = ((view->history_end - 1) % VIEW_HISTORY + VIEW_HISTORY) % VIEW_HISTORY;
    int in_last = newest % per_column; /* points in the newest column before the newest */
    int previous_level = -2, previous_x = -2;
    int thick = plot->letters == LETTERS_FULL && plot->rows >= THICK_FROM_ROWS ? 1 : 0;
    const struct view_point *before = NULL;
    int oldest = in_last + 1 + (plot->columns - 1) * per_column - 1;
    if (oldest >= count) {
        oldest = count - 1;
    }
    double sum = 0.0;
    int used = 0, x_now = -1;
    for (int back = oldest; back >= -1; back--) {
        int x = plot->columns * across; /* beyond the end: closes the last one */
        const struct view_point *point = NULL;
        if (back >= 0) {
            point = point_back(view, channel, back);
            int columns_back = (back + per_column - 1 - in_last) / per_column;
            if (back <= in_last) {
                columns_back = 0;
            }
            int column = plot->columns - 1 - columns_back;
            int within = ((newest - back) % per_column + per_column) % per_column;
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
        if (x != x_now) {
            if (used > 0) {
                double mean = sum / used;
                int level = level_of(axis, mean, steps);
                level = level < 0 ? 0 : level >= steps ? steps - 1 : level;
                enum style style = curve_style(channel, mean);
                int from = level, to = level;
                if (previous_x == x_now - 1 && previous_level >= 0) {
                    /* joined to the one before, without drawing its point once more */
                    from = previous_level < level ? previous_level + 1 : level;
                    to = previous_level > level ? previous_level - 1 : level;
                }
                for (int y = from - thick; y <= to; y++) {
                    plot_point(plot, x_now, y, style, true);
                }
                plot_point(plot, x_now, level, style, true);
                previous_level = level;
                previous_x = x_now;
            }
            x_now = x;
            sum = 0.0;
            used = 0;
        }
        if (point != NULL && isfinite(point->slow_mm)) {
            sum += (double)point->slow_mm;
            used++;
        }
    }
}

/* ---- the live edge ---- */

/* An upright bar from one height to another, in eighths of a row (halves, or whole rows where the
 * letters lack them). */
static void draw_bar(struct canvas *canvas, const struct gauge_axis *axis, int row, int rows,
                     int column, int columns, double from_mm, double to_mm, enum style style,
                     const bool *band)
{
    int steps = rows * 8;
    int low = level_of(axis, fmin(from_mm, to_mm), steps),
        high = level_of(axis, fmax(from_mm, to_mm), steps);
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
    double from = channel->has_target ? channel->target_mm : channel->slow_mm;
    enum style style = channel->has_target && channel->has_band ? gauge_cue_style(channel->cue)
                                                                : STYLE_PANEL_CURVE;
    if (channel->cue == CUE_NO_READING && channel->has_band) {
        style = STYLE_PANEL_NONE;
    }
    draw_bar(canvas, axis, row, rows, column, BAR_COLUMNS - 1, from, channel->slow_mm, style, band);
    if (isfinite(channel->quick_mm)) {
        draw_bar(canvas, axis, row, rows, column + BAR_COLUMNS - 1, 1,
                 channel->has_target ? channel->target_mm : channel->quick_mm, channel->quick_mm,
                 STYLE_PANEL_CURVE, band);
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
    int row = row_of(axis, mm, place->rows);
    if (taken[row]) {
        return;
    }
    char text[WORDING_SIZE];
    if (channel->has_target) {
        wording_signed(text, sizeof text, mm - channel->target_mm);
    } else {
        wording_whole(text, sizeof text, mm);
    }
    canvas_right(canvas, place->row + row, place->column + LABEL_COLUMNS - 1, LABEL_COLUMNS - 1,
                 style, text);
    taken[row] = true;
}

static void draw_marks(struct canvas *canvas, const struct gauge_axis *axis,
                       const struct view_channel *channel, const struct gauge_place *place,
                       int column)
{
    int marks_in_row[CANVAS_ROWS_MAX] = {0};
    for (int i = 0; i < channel->mark_count; i++) {
        marks_in_row[row_of(axis, channel->earlier[i].height_mm, place->rows)]++;
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
        for (int i = 0; i < channel->mark_count; i++) {
            const struct view_mark *mark = &channel->earlier[i];
            if (row_of(axis, mark->height_mm, place->rows) != r) {
                continue;
            }
            bool beyond = mark->height_mm > axis->high_mm || mark->height_mm < axis->low_mm;
            at += canvas_print(canvas, place->row + r, at, column + MARK_COLUMNS - at, STYLE_STRONG,
                               "%d", mark->setup);
            if (marks_in_row[r] == 1) {
                char height[WORDING_SIZE];
                if (channel->has_target) {
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
    if (!channel->has_target) {
        return;
    }
    plot_level(plot, level_of(axis, channel->target_mm, steps), STYLE_PANEL_LINE, 2);
    if (channel->has_band && isfinite(channel->band_above_mm)) {
        plot_level(plot, level_of(axis, channel->target_mm + channel->band_above_mm, steps),
                   STYLE_PANEL_LINE, 4);
    }
    if (channel->has_band && isfinite(channel->band_below_mm)) {
        plot_level(plot, level_of(axis, channel->target_mm - channel->band_below_mm, steps),
                   STYLE_PANEL_LINE, 4);
    }
}

void gauge_draw(struct canvas *canvas, struct plot *plot, const struct gauge_axis *axis,
                const struct view *view, const struct view_channel *channel,
                const struct gauge_place *place)
{
    int marks = place->marks ? MARK_COLUMNS : 0;
    int history_columns = place->columns - LABEL_COLUMNS - BAR_COLUMNS - marks;
    int edge_column = place->column + LABEL_COLUMNS + history_columns;
    if (history_columns < 4 || place->rows < 2 || place->rows > CANVAS_ROWS_MAX) {
        return;
    }
    bool band[CANVAS_ROWS_MAX] = {false}, taken[CANVAS_ROWS_MAX] = {false};
    double above = channel->target_mm + channel->band_above_mm,
           below = channel->target_mm - channel->band_below_mm;
    bool has_band = channel->has_target && channel->has_band;
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
    plot_history(plot, axis, view, channel);
    plot_draw(plot, canvas, place->row, place->column + LABEL_COLUMNS, band);
    draw_edge(canvas, axis, channel, place->row, place->rows, edge_column, band);
    if (place->rows >= 5 && history_columns >= 30) {
        /* how long ago the left edge was */
        char ago[WORDING_SIZE], text[WORDING_SIZE + 8];
        wording_minutes(ago, sizeof ago,
                        history_columns * gauge_points_per_column(history_columns) *
                            VIEW_HISTORY_STEP_S);
        snprintf(text, sizeof text, "\u2212%s", ago);
        canvas_text(canvas, place->row + place->rows - 1, place->column + LABEL_COLUMNS, 7,
                    band[place->rows - 1] ? STYLE_BAND_LINE : STYLE_PANEL_LINE, text);
    }
    /* numbers: target, band, ends */
    if (channel->has_target) {
        draw_label(canvas, axis, channel, place, taken, channel->target_mm, STYLE_STRONG);
    }
    if (has_band) {
        draw_label(canvas, axis, channel, place, taken, above, STYLE_PLAIN);
        draw_label(canvas, axis, channel, place, taken, below, STYLE_PLAIN);
    }
    draw_label(canvas, axis, channel, place, taken, axis->high_mm, STYLE_FAINT);
    draw_label(canvas, axis, channel, place, taken, axis->low_mm, STYLE_FAINT);
    if (!channel->has_target && place->rows >= 5) {
        draw_label(canvas, axis, channel, place, taken, (axis->low_mm + axis->high_mm) / 2.0,
                   STYLE_FAINT);
    }
    if (marks > 0) {
        draw_marks(canvas, axis, channel, place, edge_column + BAR_COLUMNS);
    }
}

/* ---- lying ---- */

void gauge_draw_lying(struct canvas *canvas, const struct view_channel *channel,
                      double half_range_mm, int row, int column, int rows, int columns, bool marks)
{
    if (columns < 5 || !channel->has_target) {
        return;
    }
    double per_column = 2.0 * half_range_mm / columns;
    bool has_band = channel->has_band;
    int needle = -1;
    double at_mm = isfinite(channel->quick_mm) ? channel->quick_mm : channel->slow_mm;
    if (isfinite(at_mm)) {
        double place = floor((at_mm - channel->target_mm + half_range_mm) / per_column);
        needle = place < 0.0 ? 0 : place > columns - 1.0 ? columns - 1 : (int)place;
    }
    for (int c = 0; c < columns; c++) {
        double mm = (c + 0.5) * per_column - half_range_mm;
        bool in_band = has_band && mm <= channel->band_above_mm && mm >= -channel->band_below_mm;
        bool middle = fabs(mm) <= per_column / 2.0;
        uint32_t code = ' ';
        if (canvas->letters == LETTERS_ASCII || !in_band) {
            code = in_band ? '=' : canvas->letters == LETTERS_FULL ? 0x00B7 : '-';
        }
        if (middle) {
            code = canvas->letters == LETTERS_ASCII ? '|' : 0x2502;
        }
        for (int r = 0; r < rows; r++) {
            canvas_put(canvas, row + r, column + c, in_band ? STYLE_BAND_LINE : STYLE_PANEL_LINE,
                       code);
        }
    }
    for (int i = 0; marks && i < channel->mark_count; i++) {
        double place = floor((channel->earlier[i].height_mm - channel->target_mm + half_range_mm) /
                             per_column);
        if (place >= 0.0 && place < columns) {
            struct canvas_cell *cell = canvas_at(canvas, row, column + (int)place);
            if (cell != NULL) {
                cell->code[0] = (uint32_t)('0' + channel->earlier[i].setup % 10);
            }
        }
    }
    if (needle >= 0) {
        enum style style = has_band ? gauge_field_style(channel->cue) : STYLE_NO_READING;
        for (int r = 0; r < rows; r++) {
            canvas_put(canvas, row + r, column + needle, style,
                       canvas->letters == LETTERS_ASCII ? '#' : ' ');
            if (columns >= 60 && needle + 1 < columns) {
                canvas_put(canvas, row + r, column + needle + 1, style,
                           canvas->letters == LETTERS_ASCII ? '#' : ' ');
            }
        }
    }
}
