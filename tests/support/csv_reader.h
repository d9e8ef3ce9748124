/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_CSV_READER_H
#define HOLDLINE_TESTS_SUPPORT_CSV_READER_H

#include <stdbool.h>
#include <stddef.h>

/* A reader of RFC 4180, written from the RFC's grammar and apart from the program's writer: records
 * end with CRLF, cells are bare or in double quotes with "" for a quote; anything else is an error.
 */
struct csv_file {
    char **cells; /* row after row, headings first */
    size_t cell_count, cell_room, rows, columns;
    char error[160]; /* why it is no such file, or empty */
};

bool csv_read(const char *text, size_t length, struct csv_file *file);
void csv_free(struct csv_file *file);
const char *csv_cell(const struct csv_file *file, size_t row, size_t column);
/* Cell of a row (1 is the first after the headings) under this heading; NULL when there is none. */
const char *csv_under(const struct csv_file *file, size_t row, const char *heading);

#endif
