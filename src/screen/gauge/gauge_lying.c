/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/gauge.h"

#include <math.h>

/* A lying gauge, for small terminals. */

void gauge_draw_lying(struct canvas *canvas, const struct view *view, int index, int row,
                      int column, int rows, int columns)
{
    const struct view_channel *channel = &view->channel[index];
    struct gauge_mark mark[SETUPS_MAX];
    int mark_count = gauge_marks(view, index, mark);
    if (columns < 5 || !gauge_has_target(channel)) {
        return;
    }
    double half_range_mm = gauge_reach_mm(channel);
    double per_column = 2.0 * half_range_mm / columns;
    bool has_band = gauge_has_band(channel);
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
    for (int i = 0; i < mark_count; i++) {
        double place = floor((mark[i].height_mm - channel->target_mm + half_range_mm) / per_column);
        if (place >= 0.0 && place < columns) {
            struct canvas_cell *cell = canvas_at(canvas, row, column + (int)place);
            if (cell != NULL) {
                cell->code[0] = (uint32_t)('0' + mark[i].setup % 10);
            }
        }
    }
    if (needle >= 0) {
        enum style style = has_band ? gauge_field_style(channel->seen) : STYLE_NO_READING;
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
