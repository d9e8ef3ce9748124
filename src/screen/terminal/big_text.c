/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/big_text.h"

#include "screen/digits.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#define LINES_MAX 12
#define LINE_SIZE 64
#define SCALE_MAX 40

struct broken {
    int count;
    char line[LINES_MAX][LINE_SIZE];
};

void big_text_capitals(char *text, size_t size, const char *name)
{
    size_t i = 0;
    for (; name[i] != '\0' && i + 1 < size; i++) {
        text[i] = name[i] >= 'a' && name[i] <= 'z' ? (char)(name[i] - 'a' + 'A') : name[i];
    }
    text[i] = '\0';
}

/* Lines of whole words of at most so many columns. False: they don't fit. */
static bool break_words(enum digits_kind kind, const char *text, int scale, int columns,
                        struct broken *broken)
{
    const char *next = text;
    broken->count = 0;
    while (*next != '\0') {
        int rows, wide;
        size_t length = strcspn(next, " ");
        char *line = broken->count > 0 ? broken->line[broken->count - 1] : NULL;
        char longer[2 * LINE_SIZE];
        if (length >= LINE_SIZE) {
            return false;
        }
        snprintf(longer, sizeof longer, "%s%s%.*s", line != NULL ? line : "",
                 line != NULL ? " " : "", (int)length, next);
        digits_size(kind, longer, scale, &rows, &wide);
        if (line == NULL || wide > columns || strlen(longer) >= LINE_SIZE) {
            snprintf(longer, sizeof longer, "%.*s", (int)length, next);
            digits_size(kind, longer, scale, &rows, &wide);
            if (wide > columns || broken->count == LINES_MAX) {
                return false;
            }
            line = broken->line[broken->count++];
        }
        memcpy(line, longer, strlen(longer) + 1);
        next += length;
        next += strspn(next, " ");
    }
    return broken->count > 0;
}

/* A row between lines that are one row for each dot: they would touch. */
static int line_rows(enum digits_kind kind, int scale)
{
    int rows, columns;
    digits_size(kind, "0", scale, &rows, &columns);
    return rows + (scale + 1) / 2;
}

static bool fits(enum digits_kind kind, const char *text, int scale, const struct room *room,
                 struct broken *broken)
{
    return break_words(kind, text, scale, room->columns, broken) &&
           broken->count * line_rows(kind, scale) - (scale + 1) / 2 <= room->rows;
}

static int draw(struct canvas *canvas, enum digits_kind kind, int scale,
                const struct broken *broken, const struct room *room, enum style style,
                enum big_text_side side)
{
    int each = line_rows(kind, scale), used = broken->count * each - (scale + 1) / 2;
    int row = room->row + (side == BIG_CENTRED ? (room->rows - used) / 2 : 0);
    for (int i = 0; i < broken->count; i++) {
        int rows, columns, column = room->column;
        digits_size(kind, broken->line[i], scale, &rows, &columns);
        column += side == BIG_CENTRED ? (room->columns - columns) / 2 : 0;
        digits_draw(canvas, kind, broken->line[i], scale, row + i * each, column, style);
    }
    return used;
}

int big_text(struct canvas *canvas, const char *text, const struct room *room, enum style style,
             enum big_text_side side)
{
    static const enum digits_kind kinds[] = {DIGITS_TALL, DIGITS_SMALL};
    struct broken broken;
    char capitals[256];
    big_text_capitals(capitals, sizeof capitals, text);
    for (char *next = capitals; *next != '\0'; next++) {
        *next = *next == ';' ? ',' : *next;
    }
    for (int k = 0; k < 2 && digits_has(capitals); k++) {
        for (int scale = SCALE_MAX; scale >= 1; scale--) {
            if (fits(kinds[k], capitals, scale, room, &broken)) {
                return draw(canvas, kinds[k], scale, &broken, room, style, side);
            }
        }
    }
    int width = canvas_width(canvas, text), column = room->column;
    int wrapped = width > room->columns ? room->rows : 1;
    column += side == BIG_CENTRED && wrapped == 1 ? (room->columns - width) / 2 : 0;
    int row = room->row + (side == BIG_CENTRED && wrapped == 1 ? room->rows / 2 : 0);
    return canvas_wrapped(canvas, row, column, room->columns, wrapped, style, text);
}
