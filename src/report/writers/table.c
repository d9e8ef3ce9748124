/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/table.h"

#include "base/text.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#define COLUMNS_MAX 24
#define COLUMN_GAP 2
#define CELL_SIZE 1024
#define HEIGHT_WEIGHT 4  /* a line more of the table weighs as much as four cells' lines */
#define WRAPPED_LEAST 12 /* a column that wraps is never made narrower */

struct table {
    const struct table_column *columns;
    int column_count;
    char **cells; /* row after row */
    size_t cell_count, cell_room;
    bool failed, broad; /* no memory */
};

struct table *table_create(const struct table_column *columns, int count)
{
    if (count < 1 || count > COLUMNS_MAX) {
        return NULL;
    }
    struct table *table = calloc(1, sizeof *table);
    if (table != NULL) {
        table->columns = columns;
        table->column_count = count;
    }
    return table;
}

void table_destroy(struct table *table)
{
    if (table == NULL) {
        return;
    }
    for (size_t i = 0; i < table->cell_count; i++) {
        free(table->cells[i]);
    }
    free(table->cells);
    free(table);
}

void table_set_broad(struct table *table)
{
    if (table != NULL) {
        table->broad = true;
    }
}

bool table_broad(const struct table *table)
{
    return table->broad;
}

void table_cell(struct table *table, const char *text)
{
    if (table == NULL || table->failed) {
        return;
    }
    if (table->cell_count == table->cell_room) {
        size_t room = table->cell_room == 0 ? 64 : table->cell_room * 2;
        char **cells = realloc(table->cells, room * sizeof *cells);
        if (cells == NULL) {
            table->failed = true;
            return;
        }
        table->cells = cells;
        table->cell_room = room;
    }
    char *copy = strdup(text);
    if (copy == NULL) {
        table->failed = true;
        return;
    }
    table->cells[table->cell_count++] = copy;
}

void table_cell_format(struct table *table, const char *format, ...)
{
    char text[CELL_SIZE];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    table_cell(table, text);
}

int table_rows(const struct table *table)
{
    return table == NULL ? 0 : (int)(table->cell_count / (size_t)table->column_count);
}

int table_column_count(const struct table *table)
{
    return table->column_count;
}

const struct table_column *table_column(const struct table *table, int column)
{
    return &table->columns[column];
}

const char *table_text(const struct table *table, int row, int column)
{
    return table->cells[(size_t)row * (size_t)table->column_count + (size_t)column];
}

bool table_sound(const struct table *table, struct problem *problem)
{
    return (table != NULL && !table->failed) ||
           problem_set(problem, "no memory for a table of the report");
}

/* Cells of the widest line of a text with '\n' in it. */
static int lines_width(const char *text)
{
    int widest = 0;
    while (text != NULL && *text != '\0') {
        const char *end = strchr(text, '\n');
        size_t length = end != NULL ? (size_t)(end - text) : strlen(text);
        char line[CELL_SIZE];
        snprintf(line, sizeof line, "%.*s", (int)length, text);
        int cells = text_width(line);
        widest = cells > widest ? cells : widest;
        text = end != NULL ? end + 1 : NULL;
    }
    return widest;
}

static void natural_widths(const struct table *table, int widths[COLUMNS_MAX])
{
    for (int column = 0; column < table->column_count && column < COLUMNS_MAX; column++) {
        widths[column] = lines_width(table->columns[column].heading);
    }
    for (size_t i = 0; i < table->cell_count; i++) {
        int column = (int)(i % (size_t)table->column_count);
        int cells = lines_width(table->cells[i]);
        widths[column] = cells > widths[column] ? cells : widths[column];
    }
}

static int wrapped_lines(const char *text, int width)
{
    const char *start = NULL;
    size_t length = 0;
    int lines = 0;
    while (wrap_next(&text, width, &start, &length)) {
        lines++;
    }
    return lines;
}

/* How bad the table looks at these widths: its height first, then how many lines its cells take. */
static long looks(const struct table *table, const int widths[COLUMNS_MAX])
{
    long sum = 0;
    int highest = 1;
    for (size_t i = 0; i < table->cell_count; i++) {
        int column = (int)(i % (size_t)table->column_count);
        int lines =
            table->columns[column].wraps ? wrapped_lines(table->cells[i], widths[column]) : 1;
        highest = lines > highest ? lines : highest;
        sum += lines;
        if (column == table->column_count - 1) {
            sum += HEIGHT_WEIGHT * highest;
            highest = 1;
        }
    }
    return sum;
}

static bool gives_way(const struct table *table, int column, int width)
{
    int least = lines_width(table->columns[column].heading);
    least = least > WRAPPED_LEAST ? least : WRAPPED_LEAST;
    return table->columns[column].wraps && width > least;
}

/* Takes cells from the widest column that may wrap until everything fits, or nothing gives way. */
static void shrink(const struct table *table, int widths[COLUMNS_MAX], int room)
{
    int total = (table->column_count - 1) * COLUMN_GAP;
    for (int column = 0; column < table->column_count; column++) {
        total += widths[column];
    }
    for (; total > room; total--) {
        int widest = -1;
        for (int column = 0; column < table->column_count; column++) {
            if (gives_way(table, column, widths[column]) &&
                (widest < 0 || widths[column] > widths[widest])) {
                widest = column;
            }
        }
        if (widest < 0) {
            return;
        }
        widths[widest]--;
    }
}

/* Moves width from one column that wraps to another where the table looks better for it, as little
 * as will do. */
static void balance(const struct table *table, int from, int to, int widths[COLUMNS_MAX])
{
    int given = 0, best = 0;
    long best_looks = looks(table, widths);
    while (gives_way(table, from, widths[from])) {
        widths[from]--;
        widths[to]++;
        given++;
        long now = looks(table, widths);
        if (now < best_looks) {
            best_looks = now;
            best = given;
        }
    }
    widths[from] += given - best;
    widths[to] -= given - best;
}

static void fit_widths(const struct table *table, int widths[COLUMNS_MAX], int room)
{
    shrink(table, widths, room);
    for (int from = 0; from < table->column_count; from++) {
        for (int to = 0; to < table->column_count; to++) {
            if (from != to && table->columns[from].wraps && table->columns[to].wraps) {
                balance(table, from, to, widths);
            }
        }
    }
}

/* One text line of a row: blanks are kept back until something follows them. */
struct line {
    FILE *stream;
    int pending;
};

static void put_piece(struct line *line, const char *piece, size_t length, int width,
                      enum table_align align)
{
    char text[CELL_SIZE];
    snprintf(text, sizeof text, "%.*s", (int)length, piece);
    int cells = text_width(text);
    int space = width > cells ? width - cells : 0;
    if (align == TABLE_RIGHT) {
        line->pending += space;
    }
    if (cells > 0) {
        text_print(line->stream, "%*s%s", line->pending, "", text);
        line->pending = 0;
    }
    if (align == TABLE_LEFT) {
        line->pending += space;
    }
}

static void write_rule(const struct table *table, FILE *stream, int indent,
                       const int widths[COLUMNS_MAX])
{
    struct line line = {.stream = stream, .pending = indent};
    for (int column = 0; column < table->column_count; column++) {
        if (widths[column] > 0) {
            fprintf(stream, "%*s", line.pending, "");
            line.pending = 0;
        }
        for (int i = 0; i < widths[column]; i++) {
            fputc('-', stream);
        }
        line.pending += COLUMN_GAP;
    }
    fputc('\n', stream);
}

static void write_headings(const struct table *table, FILE *stream, int indent,
                           const int widths[COLUMNS_MAX])
{
    const char *at[COLUMNS_MAX];
    int lines = 1;
    for (int column = 0; column < table->column_count; column++) {
        int own = 1;
        at[column] = table->columns[column].heading;
        for (const char *c = at[column]; *c != '\0'; c++) {
            own += *c == '\n';
        }
        lines = own > lines ? own : lines;
    }
    for (int i = 0; i < lines; i++) {
        struct line line = {.stream = stream, .pending = indent};
        for (int column = 0; column < table->column_count; column++) {
            const char *end = strchr(at[column], '\n');
            size_t length = end != NULL ? (size_t)(end - at[column]) : strlen(at[column]);
            put_piece(&line, at[column], length, widths[column], table->columns[column].align);
            line.pending += COLUMN_GAP;
            at[column] = end != NULL ? end + 1 : at[column] + length;
        }
        fputc('\n', stream);
    }
    write_rule(table, stream, indent, widths);
}

static void write_row(const struct table *table, size_t row, FILE *stream, int indent,
                      const int widths[COLUMNS_MAX])
{
    char **cells = table->cells + row * (size_t)table->column_count;
    const char *cursor[COLUMNS_MAX];
    bool more = true;
    for (int column = 0; column < table->column_count; column++) {
        cursor[column] = cells[column];
    }
    for (bool first = true; more || first; first = false) {
        struct line line = {.stream = stream, .pending = indent};
        more = false;
        for (int column = 0; column < table->column_count; column++) {
            const char *start = "";
            size_t length = 0;
            wrap_next(&cursor[column], widths[column], &start, &length);
            put_piece(&line, start, length, widths[column], table->columns[column].align);
            line.pending += COLUMN_GAP;
            more = more || *cursor[column] != '\0';
        }
        fputc('\n', stream);
    }
}

bool table_write(const struct table *table, FILE *stream, int indent, int width,
                 struct problem *problem)
{
    int widths[COLUMNS_MAX] = {0};
    if (!table_sound(table, problem)) {
        return false;
    }
    natural_widths(table, widths);
    fit_widths(table, widths, width - indent);
    write_headings(table, stream, indent, widths);
    for (int row = 0; row < table_rows(table); row++) {
        write_row(table, (size_t)row, stream, indent, widths);
    }
    return true;
}
