/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rider_parts.h"

#include "screen/wording.h"

#include <math.h>
#include <stdlib.h>

/* What is asked of the rider, read in one glance from two metres. */

#define BESIDE_COLUMNS 44 /* from here on the part stands beside the shape */

/* A point of the shape, in half-rows and columns: two arrow heads the way to go, a lozenge, or its
 * outline where nothing is seen. */
static bool in_shape(enum cue_state cue, int x, int y, int middle)
{
    int across = abs(x - middle), thick = middle / 3 > 1 ? middle / 3 : 1;
    if (cue == CUE_HIGH || cue == CUE_LOW) {
        int from_top = cue == CUE_HIGH ? y : 2 * middle - 1 - y;
        int depth = from_top - (middle - across); /* below the arrow head's upper edge */
        return depth >= 0 && (depth < thick || (depth >= 2 * thick && depth < 3 * thick));
    }
    int from_middle = across + abs(2 * y + 1 - 2 * middle) / 2;
    return from_middle < middle && (cue == CUE_IN || from_middle >= middle - thick);
}

/* As high as wide: so many rows, twice as many columns and one. */
static void draw_shape(struct canvas *canvas, enum cue_state cue, int row, int column, int rows,
                       enum style style)
{
    bool ascii = canvas->letters == LETTERS_ASCII;
    for (int r = 0; r < rows; r++) {
        for (int c = 0; c < 2 * rows + 1; c++) {
            bool upper = in_shape(cue, c, 2 * r, rows), lower = in_shape(cue, c, 2 * r + 1, rows);
            if (upper || lower) {
                canvas_put(canvas, row + r, column + c, style,
                           ascii            ? '#'
                           : upper && lower ? 0x2588
                           : upper          ? 0x2580
                                            : 0x2584);
            }
        }
    }
}

/* The shape and beside it the part, above the word. */
static void draw_beside(struct canvas *canvas, const char *name, enum cue_state cue,
                        const struct room *room, enum style style)
{
    int high = room->rows / 2, top = room->rows - high - 1, wide = 2 * top + 3;
    struct room word = {room->row + room->rows - high, room->column, high, room->columns};
    struct room part = {room->row, room->column + wide, top, room->columns - wide};
    draw_shape(canvas, cue, room->row, room->column, top, style);
    if (name[0] != '\0') {
        big_text(canvas, name, &part, style, BIG_LEFT);
    }
    big_text(canvas, wording_asked(cue), &word, style, BIG_LEFT);
}

/* Part, word, shape, one below the other. */
static void draw_stacked(struct canvas *canvas, const char *name, enum cue_state cue,
                         const struct room *room, enum style style)
{
    struct room place = {room->row, room->column, room->rows / 3 > 4 ? room->rows / 3 : 4,
                         room->columns};
    int airy = room->rows >= 14 ? 1 : 0;
    if (name[0] != '\0') {
        place.row += big_text(canvas, name, &place, style, BIG_LEFT) + airy;
    }
    place.row += big_text(canvas, wording_asked(cue), &place, style, BIG_LEFT) + 1;
    int left = room->row + room->rows - place.row, widest = (room->columns - 1) / 2;
    if (left >= 3) {
        draw_shape(canvas, cue, place.row, room->column, left < widest ? left : widest, style);
    }
}

void rider_field(struct canvas *canvas, const char *name, enum cue_state cue,
                 const struct room *room)
{
    enum style style = gauge_field_style(cue);
    int margin = 1, above = room->rows >= 10 ? 1 : 0;
    struct room inner = {room->row + above, room->column + margin, room->rows - 2 * above,
                         room->columns - 2 * margin};
    canvas_fill(canvas, room->row, room->column, room->rows, room->columns, style, ' ');
    if (room->columns >= BESIDE_COLUMNS && inner.rows >= 8) {
        draw_beside(canvas, name, cue, &inner, style);
    } else {
        draw_stacked(canvas, name, cue, &inner, style);
    }
}
