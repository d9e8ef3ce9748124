/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/side_view.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A grid of dots, finer than a letter in braille (two across, four down), one a letter in ASCII. A
 * letter is twice as high as wide, so a braille dot is square and an ASCII dot is not. */
struct grid {
    int columns, rows;     /* letters */
    int across, down;      /* dots in a letter */
    double x_mm, y_mm;     /* of a dot */
    struct point low;      /* the lower left corner */
    unsigned char *dots;   /* braille: bits; ASCII: the letter */
    unsigned char *letter; /* a mark, 0 = none */
};

static const double scales_mm[] = {1, 2, 2.5, 4, 5, 8, 10, 12.5, 16, 20, 25, 40, 50, 80, 100};

static void add_corners(struct point *low, struct point *high, const struct side_view *view)
{
    low->x_mm = fmin(low->x_mm, view->low.x_mm);
    low->y_mm = fmin(low->y_mm, view->low.y_mm);
    high->x_mm = fmax(high->x_mm, view->high.x_mm);
    high->y_mm = fmax(high->y_mm, view->high.y_mm);
}

/* The largest round scale that fits. */
static void fit(struct grid *grid, struct point high, int width, int rows, bool ascii)
{
    int last = (int)(sizeof scales_mm / sizeof scales_mm[0]) - 1;
    grid->across = ascii ? 1 : 2;
    grid->down = ascii ? 1 : 4;
    for (int i = 0; i <= last; i++) {
        grid->x_mm = scales_mm[i];
        grid->y_mm = ascii ? 2.0 * scales_mm[i] : scales_mm[i];
        double dots_across = floor((high.x_mm - grid->low.x_mm) / grid->x_mm) + 1.0;
        double dots_down = floor((high.y_mm - grid->low.y_mm) / grid->y_mm) + 1.0;
        grid->columns = (int)ceil(dots_across / grid->across);
        grid->rows = (int)ceil(dots_down / grid->down);
        if (grid->columns <= width && grid->rows <= rows) {
            return;
        }
    }
}

static void dot(struct grid *grid, double x_mm, double y_mm, unsigned char ascii)
{
    static const unsigned char bits[4][2] = {
        {0x01, 0x08}, {0x02, 0x10}, {0x04, 0x20}, {0x40, 0x80}};
    int x = (int)floor((x_mm - grid->low.x_mm) / grid->x_mm);
    int from_low = (int)floor((y_mm - grid->low.y_mm) / grid->y_mm);
    int y = grid->rows * grid->down - 1 - from_low;
    if (x < 0 || y < 0 || x >= grid->columns * grid->across || from_low < 0) {
        return;
    }
    unsigned char *cell = &grid->dots[(y / grid->down) * grid->columns + x / grid->across];
    if (grid->down == 1) {
        *cell = ascii;
    } else {
        *cell |= bits[y % 4][x % 2];
    }
}

/* The plain letter that runs like the stroke. */
static unsigned char slant(const struct side_stroke *stroke, bool dotted)
{
    double x = stroke->to.x_mm - stroke->from.x_mm, y = stroke->to.y_mm - stroke->from.y_mm;
    double steep = fabs(y) / fmax(fabs(x), 1e-9);
    if (dotted) {
        return '.';
    }
    return steep < 0.35 ? '-' : steep > 2.5 ? '|' : (x > 0.0) == (y > 0.0) ? '/' : '\\';
}

static void draw(struct grid *grid, const struct side_view *view, bool dotted)
{
    for (int i = 0; i < view->stroke_count; i++) {
        const struct side_stroke *stroke = &view->stroke[i];
        double x = stroke->to.x_mm - stroke->from.x_mm, y = stroke->to.y_mm - stroke->from.y_mm;
        int steps = (int)ceil(2.0 * fmax(fabs(x) / grid->x_mm, fabs(y) / grid->y_mm)) + 1;
        bool gaps = dotted || stroke->part == SIDE_BEAM;
        for (int k = 0; k <= steps; k++) {
            if (!gaps || k % 6 == 0) {
                dot(grid, stroke->from.x_mm + x * k / steps, stroke->from.y_mm + y * k / steps,
                    slant(stroke, gaps));
            }
        }
    }
}

static void put_marks(struct grid *grid, const struct side_view *view)
{
    for (int i = 0; i < view->mark_count; i++) {
        const struct side_mark *mark = &view->mark[i];
        int x = (int)floor((mark->at.x_mm - grid->low.x_mm) / grid->x_mm) / grid->across;
        int from_low = (int)floor((mark->at.y_mm - grid->low.y_mm) / grid->y_mm);
        int y = (grid->rows * grid->down - 1 - from_low) / grid->down;
        if (x >= 0 && y >= 0 && x < grid->columns && y < grid->rows) {
            grid->letter[y * grid->columns + x] = (unsigned char)mark->letter;
        }
    }
}

static void print_grid(FILE *stream, const struct grid *grid)
{
    for (int row = 0; row < grid->rows; row++) {
        int last = grid->columns - 1;
        const unsigned char *dots = &grid->dots[row * grid->columns];
        const unsigned char *letter = &grid->letter[row * grid->columns];
        while (last >= 0 && !dots[last] && !letter[last]) {
            last--;
        }
        for (int column = 0; column <= last; column++) {
            unsigned char bits = dots[column];
            if (letter[column] || grid->down == 1 || !bits) {
                fputc(letter[column]            ? letter[column]
                      : grid->down == 1 && bits ? bits
                                                : ' ',
                      stream);
            } else { /* U+2800 and the dots, in UTF-8 */
                fprintf(stream, "\xe2%c%c", 0xa0 | (bits >> 6), 0x80 | (bits & 0x3f));
            }
        }
        fputc('\n', stream);
    }
}

static void print_legend(FILE *stream, const struct grid *grid, const struct side_view *view,
                         const struct side_view *before, int width)
{
    int used = 0;
    for (int i = 0; i < view->mark_count; i++) {
        int length = (int)strlen(view->mark[i].words) + 2;
        if (used > 0 && used + 3 + length > width) {
            fputc('\n', stream);
            used = 0;
        }
        used += fprintf(stream, "%s%c %s", used > 0 ? "   " : "", view->mark[i].letter,
                        view->mark[i].words);
    }
    fprintf(
        stream,
        "\na letter is %.0f mm wide and %.0f mm high; the frame's lines are for orientation%s\n",
        grid->x_mm * grid->across, grid->y_mm * grid->down, before ? "; dotted: before" : "");
}

bool side_view_text(FILE *stream, const struct side_view *view, const struct side_view *before,
                    int width, int rows, bool ascii, struct problem *problem)
{
    struct point high = view->high;
    struct grid grid = {.low = view->low};
    add_corners(&grid.low, &high, view);
    if (before) {
        add_corners(&grid.low, &high, before);
    }
    fit(&grid, high, width < 20 ? 20 : width, rows < 8 ? 8 : rows, ascii);
    size_t cells = (size_t)grid.columns * (size_t)grid.rows;
    grid.dots = calloc(2, cells);
    if (!grid.dots) {
        return problem_set(problem, "no memory for a drawing");
    }
    grid.letter = grid.dots + cells;
    if (before) {
        draw(&grid, before, true);
    }
    draw(&grid, view, false);
    put_marks(&grid, view);
    print_grid(stream, &grid);
    print_legend(stream, &grid, view, before, width);
    free(grid.dots);
    return true;
}
