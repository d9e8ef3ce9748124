/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitter_parts.h"

#include "screen/table.h"

/* The fitter's screen. From the top: who and how long; the setup; a panel for each channel of the
 * body; what is being recorded; the setups so far; the sensors; the next step and the keys; the
 * message. Here is the layout for every size. */

#define PANEL_ROWS_MOST 30
#define WIDE_COLUMNS 150 /* from here on the tables stand beside the panels */

/* In the place of the gauges while no sensor is heard: why, as the program that listens says it. */
static void draw_unheard(struct canvas *canvas, const struct view *view, int row, int rows)
{
    const char *why = view->link_trouble[0] != '\0' ? view->link_trouble : "Plug them in.";
    int width = canvas->columns - 2;
    canvas_text(canvas, row, 1, width, STYLE_STRONG,
                "No sensor is heard yet; the gauge begins by itself.");
    if (rows > 1) {
        canvas_wrapped(canvas, row + 1, 1, width, rows - 1, STYLE_PLAIN, why);
    }
}

/* Sensors, next step, message; a message of two rows takes that of the sensors as well, since it is
 * there for a while and they always. */
static void draw_foot(struct canvas *canvas, struct page_state *state, const struct view *view)
{
    int rows = canvas->rows, message = page_message_rows(canvas, state, view);
    if (message == 1) {
        fitter_health(canvas, view, rows - 3, 1, canvas->columns - 2);
    }
    page_next(canvas, state, view, rows - 1 - message);
    page_message_in(canvas, state, view, rows - message, message);
}

static void draw_small(struct canvas *canvas, struct page_state *state, const struct view *view,
                       const int *index, int channels)
{
    int rows = canvas->rows, columns = canvas->columns, row = 2;
    int room = rows - 6; /* head 2, recording, health, next, message */
    int each = channels > 0 && room - 2 >= 2 * channels ? 2 : 1;
    int shown = channels * each <= room ? channels : room / each;
    if (channels == 0) {
        draw_unheard(canvas, view, row, room - 1);
        row += room - 1 < 6 ? room - 1 : 6;
    }
    for (int i = 0; i < shown; i++) {
        fitter_small_panel(canvas, view, index[i], row, each);
        row += each;
    }
    fitter_recording(canvas, view, row++, 1, columns - 2);
    table_draw(canvas, view, row, 1, rows - 3 - row, columns - 2, true);
    draw_foot(canvas, state, view);
}

/* The tables beside the panels of a wide terminal: setups, differences, latest holds. */
static void draw_beside(struct canvas *canvas, const struct view *view, const int *index,
                        int channels, int column)
{
    int width = canvas->columns - column - 1, row = 2, end = canvas->rows - 5;
    int table =
        1 + (view->snapshot->record.setup_count > 0 ? view->snapshot->record.setup_count : 1);
    int most = (end - row) / 3 > 4 ? (end - row) / 3 : 4;
    row +=
        table_draw(canvas, view, row, column, table < most ? table : most, width, channels > 4) + 1;
    for (int i = 0; i < channels && i < 4; i++) {
        int room = (end - row) / (channels - i) - (i == channels - 1 ? 0 : 1);
        int used = table_draw_differences(canvas, view, index[i], row, column,
                                          room < table ? room : table, width);
        row += used > 0 ? used + 1 : 0;
    }
    int latest[PAGE_HOLDS], holds = page_latest_holds(&view->snapshot->record, latest) + 1;
    int half = (end - row) / 2;
    row += table_draw_holds(canvas, view, row, column, holds < half ? holds : half, width) + 1;
    table_draw_events(canvas, view, row, column, end - row, width);
}

/* Rows of the table of setups below the panels, of so much room. */
static int table_rows_of(const struct canvas *canvas, const struct view *view, int channels,
                         int room)
{
    int latest[PAGE_HOLDS], setups = view->snapshot->record.setup_count;
    bool high = canvas->rows >= 36;
    int panel = high ? (channels > 2 ? 7 : 9) : (channels > 2 ? 5 : 7);
    int most = room - panel * (channels > 0 ? channels : 1);
    most = most < 2 ? 2 : most;
    int rows = setups < 3 ? 4 : 1 + setups;
    rows = rows > most ? most : rows;
    if (high && page_latest_holds(&view->snapshot->record, latest) > 0 && rows + 6 <= most) {
        rows += 6; /* a blank row and the latest holds */
    }
    return rows;
}

void fitter_draw(struct canvas *canvas, struct page_state *state, const struct view *view)
{
    int index[CHANNELS_MAX], channels = page_body_channels(view, index);
    int rows = canvas->rows, columns = canvas->columns;
    bool wide = columns >= WIDE_COLUMNS;
    fitter_head(canvas, view);
    fitter_setup(canvas, view);
    /* the rows between the setup's line and the recording's */
    int room = rows - 2 - 1 - 3; /* head, recording, health, next, message */
    int least = 5 * (channels > 0 ? channels : 1);
    if (columns < 66 || room - 2 < least) {
        draw_small(canvas, state, view, index, channels);
        return;
    }
    int table_rows = wide ? 0 : table_rows_of(canvas, view, channels, room);
    bool airy = rows >= 30;
    int spare = room - table_rows - (airy ? 2 : 0);
    int each = channels > 0 ? spare / channels : spare;
    each = each > PANEL_ROWS_MOST ? PANEL_ROWS_MOST : each;
    int panel_columns = (wide ? columns * 3 / 5 : columns) - 1;
    int row = 2;
    if (channels == 0) {
        draw_unheard(canvas, view, row + 1, spare - 1);
    }
    for (int i = 0; i < channels; i++) {
        int more = i < spare - each * channels && each < PANEL_ROWS_MOST ? 1 : 0;
        fitter_panel(canvas, state, view, index[i], row, 1, each + more, panel_columns);
        row += each + more;
    }
    if (wide) {
        draw_beside(canvas, view, index, channels, panel_columns + 3);
    }
    row += airy && row < rows - 4 - table_rows - 1 ? 1 : 0;
    if (channels == 0) {
        row = rows - 4 - table_rows - (airy ? 1 : 0);
    }
    fitter_recording(canvas, view, row++, 1, columns - 2);
    row += airy && !wide ? 1 : 0;
    if (!wide) {
        int used = table_draw(canvas, view, row, 1, rows - 3 - row, columns - 2, true);
        if (rows - 3 - (row + used + 1) >= 4) {
            table_draw_holds(canvas, view, row + used + 1, 1, rows - 3 - (row + used + 1),
                             columns - 2);
        }
    }
    draw_foot(canvas, state, view);
}
