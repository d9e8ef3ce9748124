/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_PLOT_H
#define HOLDLINE_SCREEN_PLOT_H

#include "screen/canvas.h"

/* Points finer than a cell: two by four of braille, one by two of half-blocks, one by three of
 * plain letters. Lines of the ground give way to curves in a cell. */
struct plot {
    int rows, columns;
    enum letters letters;
    uint8_t *dots;  /* bit y * 2 + x of a cell, y from its top */
    uint8_t *style; /* of the cell, as on the panel outside the band */
    uint8_t *curve; /* 1 where a curve went through */
};

bool plot_create(struct plot *plot, enum letters letters);
void plot_destroy(struct plot *plot);
void plot_begin(struct plot *plot, int rows, int columns);

/* Points in a cell, across and down. */
int plot_across(const struct plot *plot);
int plot_down(const struct plot *plot);

/* A point: x from the left, y from the BOTTOM. Outside: nothing. */
void plot_point(struct plot *plot, int x, int y, enum style style, bool curve);
/* Level line at y over all columns, of every so manieth point of braille. */
void plot_level(struct plot *plot, int y, enum style style, int every);
/* Upright line at a column's left edge, every second point. */
void plot_upright(struct plot *plot, int column, enum style style);

/* Onto the canvas; band[row] says whether the row lies on the band's ground (NULL = none does). */
void plot_draw(const struct plot *plot, struct canvas *canvas, int row, int column,
               const bool *band);

#endif
