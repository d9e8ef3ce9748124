/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Tables: columns as wide as they need, those that wrap give way; headings again on the next page.
 * A narrow long one is set in two halves beside each other. */
#include "pages_inside.h"

#include <math.h>
#include <stdlib.h>

#define SIZE 0.92    /* of running text */
#define SMALLEST 6.0 /* points: a wide table is set smaller before words are broken */
#define STEP 0.4
#define GAP 0.9 /* between columns, in sizes */
#define ABOVE 0.16
#define BELOW 0.2
#define HALVES_APART 3.0 /* in sizes */
#define HALVED_MOST 0.6  /* of a page, a half */

struct grid {
    const struct table *table;
    int columns, rows; /* rows without the headings */
    double size;
    PangoLayout **cell; /* headings first */
    double *least, *natural, *width;
};

static PangoLayout *cell_at(const struct grid *grid, int row, int column)
{
    return grid->cell[(size_t)row * (size_t)grid->columns + (size_t)column];
}

static void free_cells(const struct pages *pages, struct grid *grid)
{
    for (int i = 0; grid->cell != NULL && i < (grid->rows + 1) * grid->columns; i++) {
        if (grid->cell[i] != NULL) {
            pages->use.g_object_unref(grid->cell[i]);
            grid->cell[i] = NULL;
        }
    }
}

/* How wide a cell is as it stands, and how narrow it can be without a broken word. */
static void measure_cell(const struct pages *pages, PangoLayout *layout, bool wraps,
                         double *natural, double *least)
{
    double width = 0, height = 0;
    pages_layout_size(pages, layout, &width, &height);
    *natural = fmax(*natural, width);
    if (wraps) {
        pages->use.pango_layout_set_wrap(layout, PANGO_WRAP_WORD);
        pages->use.pango_layout_set_width(layout, 1);
        pages_layout_size(pages, layout, &width, &height);
        pages->use.pango_layout_set_width(layout, -1);
        pages->use.pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    }
    *least = fmax(*least, width);
}

static void make_cells(struct pages *pages, struct grid *grid)
{
    for (int column = 0; column < grid->columns; column++) {
        const struct table_column *heading = table_column(grid->table, column);
        grid->least[column] = grid->natural[column] = 0;
        for (int row = 0; row <= grid->rows; row++) {
            struct pages_type type = {grid->size, row == 0, 0};
            const char *text =
                row == 0 ? heading->heading : table_text(grid->table, row - 1, column);
            PangoLayout *layout = pages_layout(pages, type, -1, text);
            if (heading->align == TABLE_RIGHT) {
                pages->use.pango_layout_set_alignment(layout, PANGO_ALIGN_RIGHT);
            }
            grid->cell[(size_t)row * (size_t)grid->columns + (size_t)column] = layout;
            measure_cell(pages, layout, heading->wraps && row > 0, &grid->natural[column],
                         &grid->least[column]);
        }
    }
}

static double sum(const double *values, int count)
{
    double total = 0;
    for (int i = 0; i < count; i++) {
        total += values[i];
    }
    return total;
}

/* The widest columns give way first, none under what its words need (or all in proportion, where
 * even that is too much). */
static void share_out(struct grid *grid, double room)
{
    double low = 0, high = room;
    for (int step = 0; step < 40; step++) {
        double cap = (low + high) / 2, total = 0;
        for (int i = 0; i < grid->columns; i++) {
            grid->width[i] = fmin(grid->natural[i], fmax(cap, grid->least[i]));
            total += grid->width[i];
        }
        if (total > room) {
            high = cap;
        } else {
            low = cap;
        }
    }
    double total = sum(grid->width, grid->columns);
    for (int i = 0; i < grid->columns && total > room; i++) {
        grid->width[i] *= room / total;
    }
}

static void lay_out(struct pages *pages, struct grid *grid, double room)
{
    double gaps = 0;
    grid->size = SIZE * pages->settings.size_pt;
    for (;;) {
        gaps = GAP * grid->size * (grid->columns - 1);
        make_cells(pages, grid);
        if (sum(grid->least, grid->columns) + gaps <= room || grid->size - STEP < SMALLEST) {
            break;
        }
        free_cells(pages, grid);
        grid->size -= STEP;
    }
    share_out(grid, room - gaps);
    double spare = room - gaps - sum(grid->width, grid->columns);
    for (int i = 0; i < grid->columns && table_broad(grid->table) && spare > 0; i++) {
        grid->width[i] += spare / grid->columns;
    }
    for (int row = 0; row <= grid->rows; row++) {
        for (int column = 0; column < grid->columns; column++) {
            /* a hair wider, so that rounding breaks nothing */
            pages->use.pango_layout_set_width(
                cell_at(grid, row, column), (int)ceil((grid->width[column] + 0.05) * PANGO_SCALE));
        }
    }
}

static double row_height(const struct pages *pages, const struct grid *grid, int row)
{
    double most = 0;
    for (int column = 0; column < grid->columns; column++) {
        double width = 0, height = 0;
        pages_layout_size(pages, cell_at(grid, row, column), &width, &height);
        most = fmax(most, height);
    }
    return most + (ABOVE + BELOW) * grid->size;
}

static void draw_row(struct pages *pages, const struct grid *grid, int row)
{
    double x = pages->left, height = row_height(pages, grid, row);
    double across = sum(grid->width, grid->columns) + GAP * grid->size * (grid->columns - 1);
    pages_tag_begin(pages, "TR");
    for (int column = 0; column < grid->columns; column++) {
        double wide = 0, high = 0;
        PangoLayout *cell = cell_at(grid, row, column);
        pages_layout_size(pages, cell, &wide, &high);
        /* headings stand on the rule */
        double y = row == 0 ? pages->y + height - BELOW * grid->size - high
                            : pages->y + ABOVE * grid->size;
        pages_leaf_begin(pages, row == 0 ? "TH" : "TD");
        pages_draw_layout(pages, cell, x, y, 0);
        pages_leaf_end(pages);
        x += grid->width[column] + GAP * grid->size;
    }
    pages_tag_end(pages, "TR");
    pages->y += height;
    pages_draw_rule(pages, pages->left, pages->left + across, pages->y, row == 0 ? 0.9 : 0.35,
                    row == 0 ? 0 : 0.7);
}

/* A row whose first cell is empty goes on with what the one above it is about: they stay together.
 * The row after the last of them. */
static int group_end(const struct grid *grid, int row)
{
    row++;
    while (row <= grid->rows && table_text(grid->table, row - 1, 0)[0] == '\0') {
        row++;
    }
    return row;
}

static double rows_height(const struct pages *pages, const struct grid *grid, int from, int end)
{
    double height = 0;
    for (int row = from; row < end; row++) {
        height += row_height(pages, grid, row);
    }
    return height;
}

/* Should a new page begin before these rows? Where they don't fit, and where the table's last would
 * stand alone over there. */
static bool turns_before(const struct pages *pages, const struct grid *grid, int from, int end)
{
    double left = pages->bottom - pages->y, these = rows_height(pages, grid, from, end);
    if (these > left) {
        return these <= pages->bottom - pages->top; /* else they break somewhere in any case */
    }
    return end <= grid->rows && group_end(grid, end) > grid->rows &&
           these + rows_height(pages, grid, end, grid->rows + 1) > left;
}

static void turn(struct pages *pages, const struct grid *grid)
{
    pages_turn(pages);
    draw_row(pages, grid, 0);
}

static bool make_grid(const struct table *table, struct grid *grid)
{
    *grid = (struct grid){
        .table = table, .columns = table_column_count(table), .rows = table_rows(table)};
    grid->cell = calloc((size_t)(grid->rows + 1) * (size_t)grid->columns, sizeof(PangoLayout *));
    grid->least = calloc((size_t)grid->columns * 3, sizeof(double));
    if (grid->cell == NULL || grid->least == NULL) {
        return false;
    }
    grid->natural = grid->least + grid->columns;
    grid->width = grid->natural + grid->columns;
    return true;
}

static double grid_width(const struct grid *grid)
{
    return sum(grid->width, grid->columns) + GAP * grid->size * (grid->columns - 1);
}

/* The row with which the second half of a narrow and long table begins, if it is set in two halves
 * beside each other; else 0. */
static int second_half(const struct pages *pages, const struct grid *grid)
{
    double room = pages_right(pages) - pages->left;
    if (grid->rows < TABLE_LONG_ROWS || 2 * grid_width(grid) + HALVES_APART * grid->size > room) {
        return 0;
    }
    int begin = 1;
    while (begin <= grid->rows && 2 * (begin - 1) < grid->rows) {
        begin = group_end(grid, begin);
    }
    double high = rows_height(pages, grid, 0, begin);
    bool fits = high <= HALVED_MOST * (pages->bottom - pages->top);
    return begin <= grid->rows && fits ? begin : 0;
}

static void draw_rows(struct pages *pages, const struct grid *grid, int from, int end)
{
    draw_row(pages, grid, 0);
    for (int row = from; row < end; row++) {
        draw_row(pages, grid, row);
    }
}

static void draw_halves(struct pages *pages, const struct grid *grid, int second)
{
    const double left = pages->left, right = pages_right(pages);
    pages_room(pages, rows_height(pages, grid, 0, second));
    pages_list(pages, false);
    const double top = pages->y;
    pages_tag_begin(pages, "Table");
    draw_rows(pages, grid, 1, second);
    const double bottom = pages->y;
    pages->y = top;
    pages->left = left + (right - left + HALVES_APART * grid->size) / 2;
    draw_rows(pages, grid, second, grid->rows + 1);
    pages_tag_end(pages, "Table");
    pages->left = left;
    pages->y = fmax(bottom, pages->y);
}

static void draw_whole(struct pages *pages, const struct grid *grid)
{
    int first = grid->rows > 0 ? group_end(grid, 1) : 1;
    int second = first <= grid->rows ? group_end(grid, first) : first;
    pages_room(pages, rows_height(pages, grid, 0, second));
    pages_list(pages, false);
    pages_tag_begin(pages, "Table");
    draw_row(pages, grid, 0);
    for (int row = 1, end; row <= grid->rows; row = end) {
        end = group_end(grid, row);
        if (row > 1 && turns_before(pages, grid, row, end)) {
            turn(pages, grid);
        }
        for (int i = row; i < end; i++) {
            if (pages->y + row_height(pages, grid, i) > pages->bottom) {
                turn(pages, grid);
            }
            draw_row(pages, grid, i);
        }
    }
    pages_tag_end(pages, "Table");
}

bool pages_table(struct pages *pages, const struct table *table, struct problem *problem)
{
    struct grid grid;
    bool done = make_grid(table, &grid);
    if (done) {
        pages->y += 0.25 * pages->settings.size_pt;
        lay_out(pages, &grid, pages_right(pages) - pages->left);
        int second = second_half(pages, &grid);
        if (second > 0) {
            draw_halves(pages, &grid, second);
        } else {
            draw_whole(pages, &grid);
        }
        pages->y += 0.5 * pages->settings.size_pt;
    }
    free_cells(pages, &grid);
    free(grid.cell);
    free(grid.least);
    return done || problem_set(problem, "no memory for a table of the report");
}
