/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/csv.h"

#include "base/text.h"

#include <inttypes.h>
#include <math.h>
#include <string.h>

void csv_begin(struct csv_writer *csv, FILE *stream)
{
    csv->stream = stream;
    csv->within_row = false;
}

static void next_cell(struct csv_writer *csv)
{
    if (csv->within_row) {
        fputc(',', csv->stream);
    }
    csv->within_row = true;
}

/* Would a spreadsheet read this as a formula? '=' '+' '-' '@', control characters, and the
 * full-width forms of the signs (U+FF0B, FF0D, FF1D, FF20). */
static bool starts_formula(const char *text)
{
    static const char *const wide[] = {"\xEF\xBC\x8B", "\xEF\xBC\x8D", "\xEF\xBC\x9D",
                                       "\xEF\xBC\xA0"};
    if (text[0] != '\0' && strchr("=+-@\t\r\n", text[0]) != NULL) {
        return true;
    }
    for (size_t i = 0; i < sizeof wide / sizeof wide[0]; i++) {
        if (text_starts_with(text, wide[i])) {
            return true;
        }
    }
    return false;
}

/* ';' and tab too: some spreadsheets split at them. */
static bool needs_quotes(const char *text)
{
    size_t length = strlen(text);
    return strpbrk(text, ",;\"\r\n\t") != NULL ||
           (length > 0 && (text[0] == ' ' || text[length - 1] == ' '));
}

void csv_text(struct csv_writer *csv, const char *text)
{
    next_cell(csv);
    text = text != NULL ? text : "";
    const char *guard = starts_formula(text) ? "'" : "";
    if (!needs_quotes(text)) {
        fputs(guard, csv->stream);
        text_write(csv->stream, text);
        return;
    }
    fprintf(csv->stream, "\"%s", guard);
    for (const char *quote; (quote = strchr(text, '"')) != NULL; text = quote + 1) {
        text_print(csv->stream, "%.*s\"\"", (int)(quote - text), text);
    }
    text_write(csv->stream, text);
    fputc('"', csv->stream);
}

void csv_integer(struct csv_writer *csv, int64_t value)
{
    next_cell(csv);
    fprintf(csv->stream, "%" PRId64, value);
}

void csv_number(struct csv_writer *csv, double value, int decimals)
{
    char text[64];
    next_cell(csv);
    if (isfinite(value)) {
        text_from_double(text, sizeof text, value, decimals);
        fputs(text, csv->stream);
    }
}

void csv_exact(struct csv_writer *csv, double value)
{
    char text[64];
    next_cell(csv);
    if (isfinite(value)) {
        text_from_double_shortest(text, sizeof text, value);
        fputs(text, csv->stream);
    }
}

void csv_yes(struct csv_writer *csv, bool value)
{
    next_cell(csv);
    fputs(value ? "yes" : "no", csv->stream);
}

void csv_empty(struct csv_writer *csv)
{
    next_cell(csv);
}

void csv_row_end(struct csv_writer *csv)
{
    fputs("\r\n", csv->stream);
    csv->within_row = false;
}

void csv_member(struct csv_writer *csv, struct member member, int decimals, const void *of)
{
    if (of == NULL) {
        csv_empty(csv);
        return;
    }
    switch (member.kind) {
    case MEMBER_NUMBER:
        if (decimals == CSV_ALL) {
            csv_exact(csv, member_number(member, of));
        } else {
            csv_number(csv, member_number(member, of), decimals);
        }
        return;
    case MEMBER_SIGNED:
    case MEMBER_UNSIGNED:
        csv_integer(csv, member_integer(member, of));
        return;
    case MEMBER_YES:
        csv_yes(csv, member_yes(member, of));
        return;
    case MEMBER_ARRAY:
    case MEMBER_TEXT:
        csv_text(csv, member_text(member, of));
        return;
    }
}

void csv_headings(struct csv_writer *csv, const struct csv_column *columns, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        csv_text(csv, columns[i].heading);
    }
}

void csv_cells(struct csv_writer *csv, const struct csv_column *columns, size_t count,
               const void *const *parts)
{
    for (size_t i = 0; i < count; i++) {
        const struct csv_column *column = &columns[i];
        const void *of = parts[column->part];
        if (of != NULL && column->words != NULL) {
            csv_text(csv, word_of(column->words, member_integer(column->member, of)));
        } else {
            csv_member(csv, column->member, column->decimals, of);
        }
    }
}

void csv_describe_one(struct csv_writer *csv, const char *file, const char *column,
                      const char *unit, const char *meaning)
{
    csv_text(csv, file);
    csv_text(csv, column);
    csv_text(csv, unit);
    csv_text(csv, meaning);
    csv_row_end(csv);
}

void csv_describe(struct csv_writer *csv, const char *file, const struct csv_column *columns,
                  size_t count)
{
    for (size_t i = 0; i < count; i++) {
        csv_describe_one(csv, file, columns[i].heading, columns[i].unit, columns[i].meaning);
    }
}
