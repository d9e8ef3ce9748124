/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "mutate/mutants.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { ROWS_MOST = 512 };
/* Rows by their tokens: a row from first to last, what can be swapped from value to last. */
struct row {
    size_t first, value, last;
};
struct rows {
    struct row row[ROWS_MOST];
    size_t count, name; /* the token that names them */
    bool separated;     /* by commas */
    bool sized;         /* it has as many rows, whichever are named */
};

static size_t starts(const struct scan *scan, size_t index)
{
    return scan->token[index].start;
}

static size_t ends(const struct scan *scan, size_t index)
{
    return scan->token[index].end;
}

static bool same_value(const struct scan *scan, const struct row *a, const struct row *b)
{
    size_t length = ends(scan, a->last) - starts(scan, a->value);
    return length == ends(scan, b->last) - starts(scan, b->value) &&
           memcmp(scan->text + starts(scan, a->value), scan->text + starts(scan, b->value),
                  length) == 0;
}

/* '[KEY] = 0' where the row is there anyway: nothing changes without it. */
static bool goes_unsaid(const struct scan *scan, const struct rows *rows, const struct row *row)
{
    return rows->sized && row->value > row->first && row->value == row->last &&
           (token_is(scan, row->value, "0") || token_is(scan, row->value, "false") ||
            token_is(scan, row->value, "NULL"));
}

static bool add_drop(struct mutants *mutants, const struct scan *scan, const struct rows *rows,
                     size_t index, struct mutant mutant)
{
    const struct row *row = &rows->row[index];
    if (goes_unsaid(scan, rows, row)) {
        return true;
    }
    snprintf(mutant.what, sizeof mutant.what, "row dropped");
    mutant.line = scan->token[row->first].line;
    mutant.start = starts(scan, row->first);
    size_t text_end = ends(scan, row->last);
    mutant.end = text_end;
    if (rows->separated && token_is(scan, row->last + 1, ",")) {
        mutant.end = ends(scan, row->last + 1);
    }
    return mutants_add(mutants, scan, &mutant, text_end, "");
}

static bool add_swap(struct mutants *mutants, const struct scan *scan, const struct rows *rows,
                     size_t index, struct mutant mutant)
{
    const struct row *one = &rows->row[index], *other = &rows->row[index + 1];
    if (same_value(scan, one, other)) {
        return true;
    }
    snprintf(mutant.what, sizeof mutant.what, "swapped with the next");
    mutant.line = scan->token[one->first].line;
    mutant.start = starts(scan, one->value);
    mutant.end = ends(scan, other->last);
    char *words = malloc(mutant.end - mutant.start + 1);
    if (words == NULL) {
        return false;
    }
    const char *text = scan->text;
    snprintf(words, mutant.end - mutant.start + 1, "%.*s%.*s%.*s",
             (int)(ends(scan, other->last) - starts(scan, other->value)),
             text + starts(scan, other->value),
             (int)(starts(scan, other->value) - ends(scan, one->last)),
             text + ends(scan, one->last), (int)(ends(scan, one->last) - starts(scan, one->value)),
             text + starts(scan, one->value));
    /* The text is the whole row's, with what it is designated by. */
    size_t value = mutant.start;
    mutant.start = starts(scan, one->first);
    bool good = mutants_add(mutants, scan, &mutant, ends(scan, one->last), words);
    if (good) {
        mutants->all[mutants->count - 1].start = value;
    }
    free(words);
    return good;
}

/* What ends a list for who walks it: NULL, or braces that begin with it or have only zeros. */
static bool ends_list(const struct scan *scan, const struct row *row)
{
    bool braces = token_is(scan, row->value, "{");
    if (token_is(scan, row->value + (braces ? 1 : 0), "NULL")) {
        return true;
    }
    for (size_t i = row->value + 1; braces && i < row->last; i++) {
        braces = token_is(scan, i, "0") || token_is(scan, i, ",");
    }
    return braces;
}

static bool add_rows(struct mutants *mutants, const char *file, const struct scan *scan,
                     struct rows *rows)
{
    struct mutant mutant = {.kind = MUTANT_TABLE};
    snprintf(mutant.file, sizeof mutant.file, "%s", file);
    snprintf(mutant.table, sizeof mutant.table, "%.*s",
             (int)(ends(scan, rows->name) - starts(scan, rows->name)),
             scan->text + starts(scan, rows->name));
    if (rows->count > 0 && rows->separated && ends_list(scan, &rows->row[rows->count - 1])) {
        rows->count--;
    }
    for (size_t i = 0; rows->count > 1 && i < rows->count; i++) {
        if (!add_drop(mutants, scan, rows, i, mutant) ||
            (i + 1 < rows->count && !add_swap(mutants, scan, rows, i, mutant))) {
            return false;
        }
    }
    return true;
}

/* The rows between the braces; a directive among them makes it no table. */
static bool read_rows(const struct scan *scan, size_t brace, struct rows *rows)
{
    size_t close = scan_closing(scan, brace), first = brace + 1;
    *rows = (struct rows){.separated = true};
    for (size_t i = first; i <= close && close < scan->count; i++) {
        if (scan->token[i].kind == TOKEN_DIRECTIVE) {
            return false;
        }
        if (i < close &&
            (token_is(scan, i, "{") || token_is(scan, i, "(") || token_is(scan, i, "["))) {
            i = scan_closing(scan, i);
        } else if (i == close || token_is(scan, i, ",")) {
            if (i > first && rows->count < ROWS_MOST) {
                struct row *row = &rows->row[rows->count++];
                *row = (struct row){first, first, i - 1};
                size_t equals = token_is(scan, first, "[") ? scan_closing(scan, first) + 1 : i;
                if (equals < i && token_is(scan, equals, "=")) {
                    row->value = equals + 1;
                }
            }
            first = i + 1;
        }
    }
    return true;
}

/* The bracket at index ends the size of an array of constants: 'const' stands in its declaration,
 * also before a structure that is declared with it. */
static bool declares_constants(const struct scan *scan, size_t index, size_t *named)
{
    size_t i = index, name;
    while (i < scan->count && token_is(scan, i, "]")) {
        i = scan_opening(scan, i) - 1;
    }
    for (name = *named = i; i < scan->count; i--) {
        if (token_is(scan, i, "const")) {
            return true;
        }
        if (token_is(scan, i, "}") && i + 1 == name) {
            i = scan_opening(scan, i);
        } else if (token_is(scan, i, ";") || token_is(scan, i, "{") || token_is(scan, i, "}") ||
                   token_is(scan, i, "(") || scan->token[i].kind == TOKEN_DIRECTIVE) {
            return false;
        }
        if (i == 0 || i >= scan->count) {
            return false;
        }
    }
    return false;
}

/* '#define LIST(ROW) ROW(...) ROW(...)': what is handed to the macro is called with each row. */
static bool of_macro(struct mutants *mutants, const char *file, const struct scan *scan,
                     const struct token *directive, struct rows *rows)
{
    struct scan inner;
    *rows = (struct rows){.name = 1, .separated = false};
    if (!scan_text(&inner, scan->text, directive->start + 1, directive->end, directive->line)) {
        return false;
    }
    if (inner.count > 5 && token_is(&inner, 0, "define") && token_is(&inner, 2, "(") &&
        token_is(&inner, 4, ")")) {
        for (size_t i = 5; i + 1 < inner.count; i++) {
            size_t length = ends(&inner, 3) - starts(&inner, 3);
            bool row = ends(&inner, i) - starts(&inner, i) == length &&
                       memcmp(inner.text + starts(&inner, 3), inner.text + starts(&inner, i),
                              length) == 0 &&
                       token_is(&inner, i + 1, "(");
            if (!row || rows->count == ROWS_MOST) {
                rows->count = 0;
                break;
            }
            size_t last = scan_closing(&inner, i + 1);
            rows->row[rows->count++] = (struct row){i, i, last};
            i = last;
        }
    }
    bool good = add_rows(mutants, file, &inner, rows);
    scan_free(&inner);
    return good;
}

/* 'WORD_LIST(name, [KEY] = "word", ...)': the words, designated or in order. */
static bool read_words(const struct scan *scan, size_t index, struct rows *rows)
{
    const struct token *token = &scan->token[index];
    if (token->kind != TOKEN_NAME || strncmp(scan->text + token->start, "WORD_LIST", 9) != 0 ||
        !token_is(scan, index + 1, "(")) {
        return false;
    }
    size_t kept = 0;
    bool read = read_rows(scan, index + 1, rows);
    for (size_t i = 0; read && i < rows->count; i++) {
        if (scan->token[rows->row[i].value].kind == TOKEN_TEXT) {
            rows->row[kept++] = rows->row[i];
        }
    }
    rows->count = kept;
    rows->name = index + 2;
    return read;
}

bool mutants_of_tables(struct mutants *mutants, const char *file, const struct scan *scan)
{
    struct rows *rows = malloc(sizeof *rows);
    bool good = rows != NULL;
    size_t named;
    for (size_t i = 0; good && i < scan->count; i++) {
        if (scan->token[i].kind == TOKEN_DIRECTIVE) {
            good = of_macro(mutants, file, scan, &scan->token[i], rows);
        } else if (read_words(scan, i, rows)) {
            good = add_rows(mutants, file, scan, rows);
        } else if (i > 2 && token_is(scan, i, "{") && token_is(scan, i - 1, "=") &&
                   token_is(scan, i - 2, "]") && declares_constants(scan, i - 2, &named) &&
                   read_rows(scan, i, rows)) {
            rows->name = named;
            rows->sized = !token_is(scan, i - 3, "[");
            good = add_rows(mutants, file, scan, rows);
        }
    }
    free(rows);
    return good;
}
