/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/plot.h"

#include <stdlib.h>
#include <string.h>

#define CELLS_MAX ((size_t)CANVAS_ROWS_MAX * CANVAS_COLUMNS_MAX)

bool plot_create(struct plot *plot, enum letters letters)
{
    *plot = (struct plot){.letters = letters};
    plot->dots = malloc(CELLS_MAX);
    plot->style = malloc(CELLS_MAX);
    plot->curve = malloc(CELLS_MAX);
    return plot->dots != NULL && plot->style != NULL && plot->curve != NULL;
}

void plot_destroy(struct plot *plot)
{
    free(plot->dots);
    free(plot->style);
    free(plot->curve);
    *plot = (struct plot){.rows = 0};
}

void plot_begin(struct plot *plot, int rows, int columns)
{
    plot->rows = rows < 0 ? 0 : rows < CANVAS_ROWS_MAX ? rows : CANVAS_ROWS_MAX;
    plot->columns = columns < 0 ? 0 : columns < CANVAS_COLUMNS_MAX ? columns : CANVAS_COLUMNS_MAX;
    size_t cells = (size_t)plot->rows * (size_t)plot->columns;
    memset(plot->dots, 0, cells);
    memset(plot->style, STYLE_PANEL, cells);
    memset(plot->curve, 0, cells);
}

int plot_across(const struct plot *plot)
{
    return plot->letters == LETTERS_FULL ? 2 : 1;
}

int plot_down(const struct plot *plot)
{
    return plot->letters == LETTERS_FULL ? 4 : plot->letters == LETTERS_BLOCK ? 2 : 3;
}

void plot_point(struct plot *plot, int x, int y, enum style style, bool curve)
{
    int across = plot_across(plot), down = plot_down(plot);
    if (x < 0 || y < 0 || x >= plot->columns * across || y >= plot->rows * down) {
        return;
    }
    int row = plot->rows - 1 - y / down;
    size_t cell = (size_t)row * (size_t)plot->columns + (size_t)(x / across);
    int from_top = down - 1 - y % down;
    if (curve && !plot->curve[cell]) {
        plot->dots[cell] = 0;
        plot->curve[cell] = 1;
    } else if (!curve && plot->curve[cell]) {
        return;
    }
    plot->dots[cell] = (uint8_t)(plot->dots[cell] | 1u << (from_top * 2 + x % across));
    plot->style[cell] = (uint8_t)style;
}

void plot_level(struct plot *plot, int y, enum style style, int every)
{
    if (plot->letters != LETTERS_FULL && every > 1) {
        every /= 2; /* a cell is one point wide there */
    }
    for (int x = 0; x < plot->columns * plot_across(plot); x += every) {
        plot_point(plot, x, y, style, false);
    }
}

void plot_upright(struct plot *plot, int column, enum style style)
{
    int down = plot_down(plot);
    for (int y = 0; y < plot->rows * down; y += down == 4 ? 2 : 1) {
        plot_point(plot, column * plot_across(plot), y, style, false);
    }
}

static uint32_t braille(uint8_t dots)
{
    /* bit y * 2 + x to the bits of Unicode's braille patterns */
    static const uint8_t bit[8] = {0x01, 0x08, 0x02, 0x10, 0x04, 0x20, 0x40, 0x80};
    uint32_t pattern = 0;
    for (int i = 0; i < 8; i++) {
        if (dots & 1u << i) {
            pattern |= bit[i];
        }
    }
    return 0x2800 + pattern;
}

static uint32_t letter_of(const struct plot *plot, size_t cell)
{
    uint8_t dots = plot->dots[cell];
    bool top = dots & 1u, second = dots & 4u, third = dots & 16u;
    switch (plot->letters) {
    case LETTERS_FULL:
        return braille(dots);
    case LETTERS_BLOCK:
        if (!plot->curve[cell]) {
            return top && second ? 0x2502 : 0x2500; /* lines of the ground stay thin */
        }
        return top && second ? 0x2588 : top ? 0x2580 : 0x2584;
    case LETTERS_ASCII:
        break;
    }
    int count = top + second + third;
    return count > 1           ? (plot->curve[cell] ? '|' : ':')
           : top               ? '\''
           : second            ? '-'
           : plot->curve[cell] ? '.'
                               : '_';
}

void plot_draw(const struct plot *plot, struct canvas *canvas, int row, int column,
               const bool *band)
{
    for (int r = 0; r < plot->rows; r++) {
        int shift = band != NULL && band[r] ? STYLE_INTO_BAND : 0;
        for (int c = 0; c < plot->columns; c++) {
            size_t cell = (size_t)r * (size_t)plot->columns + (size_t)c;
            canvas_put(canvas, row + r, column + c, (enum style)(plot->style[cell] + shift),
                       plot->dots[cell] != 0 ? letter_of(plot, cell) : ' ');
        }
    }
}
