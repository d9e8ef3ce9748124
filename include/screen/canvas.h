/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_CANVAS_H
#define HOLDLINE_SCREEN_CANVAS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* What is to stand on the screen, as plain cells: everything is drawn here, and display.c, the one
 * file that speaks curses, sends what differs from before. Drawing outside the canvas does nothing,
 * so that no layout can break the next one. Text is UTF-8 of any origin: control characters become
 * '?', combining marks join their letter, wide letters take two cells and are never cut in half. */

#define CANVAS_ROWS_MAX 120
#define CANVAS_COLUMNS_MAX 400

/* What a cell means; palette.c says how that looks with 256, 8 or no colours. */
enum style {
    STYLE_PLAIN, /* the terminal's own colours */
    STYLE_STRONG,
    STYLE_FAINT,
    /* fields: black words on a colour */
    STYLE_IN,
    STYLE_HIGH,
    STYLE_LOW,
    STYLE_NO_READING,
    STYLE_WARNING,
    STYLE_NEXT,
    STYLE_RECORDING,
    STYLE_INPUT, /* where something is typed */
    /* on the instruments' own dark ground: outside the band, then inside it */
    STYLE_PANEL,
    STYLE_PANEL_LINE,
    STYLE_PANEL_CURVE,
    STYLE_PANEL_IN,
    STYLE_PANEL_HIGH,
    STYLE_PANEL_LOW,
    STYLE_PANEL_NONE,
    STYLE_PANEL_NEXT,
    STYLE_BAND,
    STYLE_BAND_LINE,
    STYLE_BAND_CURVE,
    STYLE_BAND_IN,
    STYLE_BAND_HIGH,
    STYLE_BAND_LOW,
    STYLE_BAND_NONE,
    STYLE_BAND_NEXT,
    STYLES,
};
/* From a style on the panel to the same inside the band. */
#define STYLE_INTO_BAND (STYLE_BAND - STYLE_PANEL)

/* What the terminal's letters can do. */
enum letters {
    LETTERS_FULL,  /* UTF-8: eighth-blocks and braille */
    LETTERS_BLOCK, /* UTF-8 on the Linux console: lines and half-blocks, no braille */
    LETTERS_ASCII,
};

struct canvas_cell {
    uint32_t
        code[3]; /* letter and up to two combining marks; code[0] = 0: second half of a wide one */
    uint8_t style;
    bool reverse; /* ground and letter change places */
};

struct canvas {
    int rows, columns;
    enum letters letters;
    struct canvas_cell *cell; /* CANVAS_ROWS_MAX x CANVAS_COLUMNS_MAX, owned */
};

bool canvas_create(struct canvas *canvas, enum letters letters);
void canvas_destroy(struct canvas *canvas);
/* Blank, of this size (cut at the largest). */
void canvas_begin(struct canvas *canvas, int rows, int columns);
struct canvas_cell *canvas_at(struct canvas *canvas, int row, int column); /* NULL outside */

/* Writes text from a column into at most width cells; what does not fit is cut with an ellipsis.
 * Gives the cells used. Letters that the terminal lacks are replaced by plain ones. */
int canvas_text(struct canvas *canvas, int row, int column, int width, enum style style,
                const char *text);
/* The same, formatted. */
int canvas_print(struct canvas *canvas, int row, int column, int width, enum style style,
                 const char *format, ...) __attribute__((format(printf, 6, 7)));
/* Ends at the column before right_end. Gives the column where it begins. */
int canvas_right(struct canvas *canvas, int row, int right_end, int width, enum style style,
                 const char *text);
/* Bytes of the text, whole words, that fit into width cells; at least a word. A number stays with
 * its unit and its '±'. */
size_t canvas_fitting(const struct canvas *canvas, const char *text, int width);
/* Broken at blanks into at most so many rows; the last is cut with an ellipsis where there is more.
 * Each row is of the style in its words only. Gives the rows used (rows outside the canvas count).
 */
int canvas_wrapped(struct canvas *canvas, int row, int column, int width, int rows,
                   enum style style, const char *text);
/* Cells that the text takes here. */
int canvas_width(const struct canvas *canvas, const char *text);
/* One letter. */
void canvas_put(struct canvas *canvas, int row, int column, enum style style, uint32_t code);
/* Letter everywhere in a rectangle. */
void canvas_fill(struct canvas *canvas, int row, int column, int rows, int columns,
                 enum style style, uint32_t code);

/* UTF-8 of one character; buffer of 5 bytes, NUL-ended. Gives the length. */
size_t canvas_encode(char *text, uint32_t code);

#endif
