/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_TABLE_H
#define HOLDLINE_REPORT_TABLE_H

#include "base/problem.h"

#include <stdbool.h>
#include <stdio.h>

/* Text tables and paragraphs for terminals. Widths are cells. A table is filled row by row, then
 * written once: columns are as wide as their widest cell; where that is more than the width allows,
 * the columns that may wrap give way, widest first, and their cells go over several lines. */
enum table_align { TABLE_LEFT, TABLE_RIGHT };

struct table_column {
    const char *heading; /* '\n' begins another line */
    enum table_align align;
    bool wraps;
};

struct table;
/* columns are not copied. NULL without memory: the other functions take that and table_write says
 * so. */
struct table *table_create(const struct table_column *columns, int count);
void table_destroy(struct table *table);
/* On pages it takes their whole width: there is something to be written into it. */
void table_set_broad(struct table *table);
bool table_broad(const struct table *table);

/* The next cell of the current row; after the last column a new row begins; '\n' begins another
 * line of the cell. Copies text. */
void table_cell(struct table *table, const char *text);
void table_cell_format(struct table *table, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
int table_rows(const struct table *table);
/* For other ways to write a table. */
int table_column_count(const struct table *table);
const struct table_column *table_column(const struct table *table, int column);
const char *table_text(const struct table *table, int row, int column);
/* False when there was no memory for the table or a cell of it. */
bool table_sound(const struct table *table, struct problem *problem);

/* Headings, a rule, the rows; each line begins with indent blanks and none ends with one. */
bool table_write(const struct table *table, FILE *stream, int indent, int width,
                 struct problem *problem);

/* Writes text in lines of at most width cells, indented; lines after the first have hanging more.
 */
void paragraph_write(FILE *stream, int indent, int hanging, int width, const char *text);
void paragraph_format(FILE *stream, int indent, int hanging, int width, const char *format, ...)
    __attribute__((format(printf, 5, 6)));
/* A section's title with a rule under it and an empty line above. */
void title_write(FILE *stream, const char *title);

/* From so many rows on a table may go over several pages, and a narrow one is set in two halves
 * beside each other. */
#define TABLE_LONG_ROWS 10

/* The next line of at most width cells of *cursor: broken at '\n', at blanks, or within a word that
 * is longer. False at the end. start and length are within the text; *cursor moves on. */
bool wrap_next(const char **cursor, int width, const char **start, size_t *length);

#endif
