/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/csv_reader.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool refuse(struct csv_file *file, const char *why, size_t at)
{
    snprintf(file->error, sizeof file->error, "%s at byte %zu", why, at);
    return false;
}

static void keep_cell(struct csv_file *file, const char *cell, size_t length)
{
    char *copy = malloc(length + 1);
    if (file->cell_count == file->cell_room) {
        file->cell_room = file->cell_room == 0 ? 256 : 2 * file->cell_room;
        file->cells = realloc(file->cells, file->cell_room * sizeof *file->cells);
    }
    if (file->cells == NULL || copy == NULL) {
        abort();
    }
    memcpy(copy, cell, length);
    copy[length] = '\0';
    file->cells[file->cell_count++] = copy;
}

/* escaped = DQUOTE *(TEXTDATA / COMMA / CR / LF / 2DQUOTE) DQUOTE; *at stands behind it afterwards.
 */
static bool read_escaped(const char *text, size_t length, size_t *at, struct csv_file *file)
{
    char *cell = malloc(length + 1);
    size_t used = 0, i = *at + 1;
    if (cell == NULL) {
        abort();
    }
    for (;; i++) {
        if (i >= length) {
            free(cell);
            return refuse(file, "a quote is not closed", *at);
        }
        if (text[i] == '"') {
            if (i + 1 < length && text[i + 1] == '"') {
                i++;
            } else {
                break;
            }
        }
        cell[used++] = text[i];
    }
    keep_cell(file, cell, used);
    free(cell);
    *at = i + 1;
    return true;
}

static bool read_bare(const char *text, size_t length, size_t *at, struct csv_file *file)
{
    size_t i = *at;
    while (i < length && text[i] != ',' && text[i] != '\r') {
        if (text[i] == '"' || text[i] == '\n') {
            return refuse(file, "a quote or line feed in a bare cell", i);
        }
        i++;
    }
    keep_cell(file, text + *at, i - *at);
    *at = i;
    return true;
}

static bool end_row(struct csv_file *file, size_t in_row, size_t at)
{
    if (file->rows == 0) {
        file->columns = in_row;
    } else if (in_row != file->columns) {
        return refuse(file, "a row with another number of cells", at);
    }
    file->rows++;
    return true;
}

bool csv_read(const char *text, size_t length, struct csv_file *file)
{
    size_t at = 0, in_row = 0;
    memset(file, 0, sizeof *file);
    while (at < length) {
        bool sound = text[at] == '"' ? read_escaped(text, length, &at, file)
                                     : read_bare(text, length, &at, file);
        if (!sound) {
            return false;
        }
        in_row++;
        if (at < length && text[at] == ',') {
            at++;
            if (at == length) {
                return refuse(file, "no line end after the last comma", at);
            }
        } else if (at + 1 < length && text[at] == '\r' && text[at + 1] == '\n') {
            at += 2;
            if (!end_row(file, in_row, at)) {
                return false;
            }
            in_row = 0;
        } else {
            return refuse(file, "neither comma nor CRLF behind a cell", at);
        }
    }
    return in_row == 0 || refuse(file, "no line end at the end", at);
}

void csv_free(struct csv_file *file)
{
    for (size_t i = 0; i < file->cell_count; i++) {
        free(file->cells[i]);
    }
    free(file->cells);
    memset(file, 0, sizeof *file);
}

const char *csv_cell(const struct csv_file *file, size_t row, size_t column)
{
    size_t index = row * file->columns + column;
    return column < file->columns && index < file->cell_count ? file->cells[index] : NULL;
}

const char *csv_under(const struct csv_file *file, size_t row, const char *heading)
{
    for (size_t column = 0; column < file->columns; column++) {
        if (strcmp(file->cells[column], heading) == 0) {
            return csv_cell(file, row, column);
        }
    }
    return NULL;
}
