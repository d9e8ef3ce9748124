/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_CSV_H
#define HOLDLINE_REPORT_CSV_H

#include "base/member.h"
#include "base/word_list.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

/* CSV as in RFC 4180: comma, CRLF, cells in double quotes where they need them. Numbers are written
 * bare with a
 * '.'. A text cell that a spreadsheet would take for a formula (= + - @ or a control character in
 * front, the wide forms of these signs too) gets an apostrophe in front. What is not known is an
 * empty cell. */
struct csv_writer {
    FILE *stream;
    bool within_row;
};

void csv_begin(struct csv_writer *csv, FILE *stream);
void csv_text(struct csv_writer *csv, const char *text); /* NULL: empty */
void csv_integer(struct csv_writer *csv, int64_t value);
void csv_number(struct csv_writer *csv, double value, int decimals); /* not finite: empty */
void csv_exact(struct csv_writer *csv,
               double value); /* shortest digits that read back; not finite: empty */
void csv_yes(struct csv_writer *csv, bool value); /* yes, no */
void csv_empty(struct csv_writer *csv);
void csv_row_end(struct csv_writer *csv);

/* A column: what stands over it and what stands in it. A row is put together from parts (structs),
 * and a column names the part that it is a member of; a part that is NULL leaves its cells empty.
 */
struct csv_column {
    const char *heading;
    int part;
    struct member member;
    int decimals;                  /* of a number; CSV_ALL: all digits that it has */
    const struct word_list *words; /* of an enumeration; NULL: it is none */
    const char *unit, *meaning;    /* for the data dictionary */
};
#define CSV_ALL (-1)
/* The rest of a column's row, after its heading; unit and meaning may follow. */
#define CSV_OF(of, type, name) CSV_ROUNDED(of, type, name, 0)
#define CSV_ROUNDED(of, type, name, places)                                                        \
    .part = of, .member = MEMBER(struct type, name), .decimals = places, .words = NULL
#define CSV_EXACT(of, type, name) CSV_ROUNDED(of, type, name, CSV_ALL)
#define CSV_WORD(of, type, name, list)                                                             \
    .part = of, .member = MEMBER(struct type, name), .decimals = 0, .words = &(list)
void csv_headings(struct csv_writer *csv, const struct csv_column *columns, size_t count);
void csv_cells(struct csv_writer *csv, const struct csv_column *columns, size_t count,
               const void *const *parts);
/* Their rows in the data dictionary: file, column, unit, meaning. */
void csv_describe(struct csv_writer *csv, const char *file, const struct csv_column *columns,
                  size_t count);
void csv_describe_one(struct csv_writer *csv, const char *file, const char *column,
                      const char *unit, const char *meaning);
/* of NULL: empty. */
void csv_member(struct csv_writer *csv, struct member member, int decimals, const void *of);

#endif
