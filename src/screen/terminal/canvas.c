/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/canvas.h"

#include "base/text.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

size_t canvas_encode(char *text, uint32_t code)
{
    size_t length;
    if (code < 0x80) {
        text[0] = (char)code;
        length = 1;
    } else if (code < 0x800) {
        text[0] = (char)(0xC0 | (code >> 6));
        text[1] = (char)(0x80 | (code & 0x3F));
        length = 2;
    } else if (code < 0x10000) {
        text[0] = (char)(0xE0 | (code >> 12));
        text[1] = (char)(0x80 | ((code >> 6) & 0x3F));
        text[2] = (char)(0x80 | (code & 0x3F));
        length = 3;
    } else {
        text[0] = (char)(0xF0 | (code >> 18));
        text[1] = (char)(0x80 | ((code >> 12) & 0x3F));
        text[2] = (char)(0x80 | ((code >> 6) & 0x3F));
        text[3] = (char)(0x80 | (code & 0x3F));
        length = 4;
    }
    text[length] = '\0';
    return length;
}

/* One character; bad bytes give U+FFFD. Gives the bytes taken, 0 at the end. */
static size_t decode(const char *text, uint32_t *code)
{
    if (text[0] == '\0') {
        return 0;
    }
    size_t taken = text_decode(text, strlen(text), code);
    if (*code == TEXT_NOT_SOUND) {
        *code = 0xFFFD;
    }
    return taken;
}

/* Letters of our own words that a poorer terminal lacks. */
struct substitute {
    uint32_t code;
    const char *ascii, *block; /* NULL: stays */
};
static const struct substitute substitutes[] = {
    {0x00B1, "+-", NULL},  /* plus-minus */
    {0x00B7, "-", NULL},   /* middle dot */
    {0x00B0, "deg", NULL}, /* degree */
    {0x00D7, "x", "x"},    /* times */
    {0x2013, "-", "-"},    /* en dash */
    {0x2014, "-", "-"},    /* em dash */
    {0x2018, "'", "'"},      {0x2019, "'", "'"},      {0x201C, "\"", "\""},
    {0x201D, "\"", "\""},    {0x2026, ".", "."}, /* ellipsis */
    {0x2190, "<", NULL},     {0x2191, "^", NULL},     {0x2192, ">", NULL},
    {0x2193, "v", NULL},     {0x2212, "-", "-"}, /* minus */
    {0x2248, "~", NULL},                         /* almost equal */
    {0x2264, "<=", NULL},    {0x2265, ">=", NULL},    {0x2500, "-", NULL},
    {0x2502, "|", NULL},     {0x251C, "|", NULL},     {0x2524, "|", NULL},
    {0x2550, "=", NULL},     {0x254C, "-", "\u2500"}, {0x2503, "|", "\u2502"},
    {0x2501, "-", "\u2500"}, {0x2588, "#", NULL},     {0x2591, ":", NULL},
    {0x2592, "%", NULL},     {0x2595, "|", "\u2502"}, {0x258F, "|", "\u2502"},
    {0x25B2, "^", NULL},     {0x25BC, "v", NULL},     {0x25C6, "*", NULL},
    {0x25CB, "?", "?"},      {0x25C0, "<", NULL},     {0x25B6, ">", NULL},
    {0x25C2, "<", "\u25C0"}, {0x25B8, ">", "\u25B6"}, {0x25CF, "o", "*"},
    {0x2713, "ok", "ok"},
};

/* Text as it can be shown: letters replaced, and what is obeyed or not seen (base/text.h). */
static void make_showable(const struct canvas *canvas, char *shown, size_t size, const char *text)
{
    size_t used = 0, length;
    uint32_t code;
    for (; used + 8 < size && (length = decode(text, &code)) > 0; text += length) {
        const char *instead = NULL;
        if (code >= 0x80 && canvas->letters != LETTERS_FULL) {
            for (size_t i = 0; i < sizeof substitutes / sizeof substitutes[0]; i++) {
                if (substitutes[i].code == code) {
                    instead = canvas->letters == LETTERS_ASCII ? substitutes[i].ascii
                                                               : substitutes[i].block;
                    break;
                }
            }
            if (instead == NULL && canvas->letters == LETTERS_ASCII) {
                int width = text_cells(code);
                instead = width == 0 ? "" : width == 2 ? "??" : "?";
            }
        }
        if (!text_is_plain(code)) {
            instead = "?";
        }
        if (instead != NULL) {
            memcpy(shown + used, instead, strlen(instead));
            used += strlen(instead);
        } else {
            used += canvas_encode(shown + used, code);
        }
    }
    shown[used] = '\0';
}

bool canvas_create(struct canvas *canvas, enum letters letters)
{
    canvas->rows = canvas->columns = 0;
    canvas->letters = letters;
    canvas->cell = calloc((size_t)CANVAS_ROWS_MAX * CANVAS_COLUMNS_MAX, sizeof *canvas->cell);
    return canvas->cell != NULL;
}

void canvas_destroy(struct canvas *canvas)
{
    free(canvas->cell);
    canvas->cell = NULL;
}

struct canvas_cell *canvas_at(struct canvas *canvas, int row, int column)
{
    if (row < 0 || row >= canvas->rows || column < 0 || column >= canvas->columns) {
        return NULL;
    }
    return &canvas->cell[(size_t)row * CANVAS_COLUMNS_MAX + (size_t)column];
}

void canvas_begin(struct canvas *canvas, int rows, int columns)
{
    static const struct canvas_cell blank = {.code = {' ', 0, 0}, .style = STYLE_PLAIN};
    canvas->rows = rows < CANVAS_ROWS_MAX ? rows : CANVAS_ROWS_MAX;
    canvas->columns = columns < CANVAS_COLUMNS_MAX ? columns : CANVAS_COLUMNS_MAX;
    for (int row = 0; row < canvas->rows; row++) {
        struct canvas_cell *cell = canvas_at(canvas, row, 0);
        for (int column = 0; column < canvas->columns; column++) {
            cell[column] = blank;
        }
    }
}

/* A wide letter of which one half is overwritten goes away whole. */
static void mend_halves(struct canvas *canvas, int row, int column, bool wide)
{
    struct canvas_cell *cell = canvas_at(canvas, row, column);
    struct canvas_cell *before = canvas_at(canvas, row, column - 1);
    struct canvas_cell *after = canvas_at(canvas, row, column + (wide ? 2 : 1));
    if (cell != NULL && cell->code[0] == 0 && before != NULL) {
        before->code[0] = ' ';
        before->code[1] = 0;
    }
    if (after != NULL && after->code[0] == 0) {
        after->code[0] = ' ';
    }
}

void canvas_put(struct canvas *canvas, int row, int column, enum style style, uint32_t code)
{
    struct canvas_cell *cell = canvas_at(canvas, row, column);
    if (cell == NULL) {
        return;
    }
    mend_halves(canvas, row, column, false);
    *cell = (struct canvas_cell){.code = {code, 0, 0}, .style = (uint8_t)style};
}

void canvas_fill(struct canvas *canvas, int row, int column, int rows, int columns,
                 enum style style, uint32_t code)
{
    for (int r = row; r < row + rows; r++) {
        for (int c = column; c < column + columns; c++) {
            canvas_put(canvas, r, c, style, code);
        }
    }
}

int canvas_width(const struct canvas *canvas, const char *text)
{
    char shown[1024];
    make_showable(canvas, shown, sizeof shown, text);
    return text_width(shown);
}

int canvas_text(struct canvas *canvas, int row, int column, int width, enum style style,
                const char *text)
{
    char shown[1024], fitted[1024];
    if (width > canvas->columns - column) {
        width = canvas->columns - column;
    }
    if (width <= 0 || row < 0 || row >= canvas->rows || column < 0) {
        return 0;
    }
    make_showable(canvas, shown, sizeof shown, text);
    text_fit(fitted, sizeof fitted, shown, width, canvas->letters != LETTERS_FULL);
    int at = column;
    struct canvas_cell *last = NULL;
    uint32_t code;
    size_t length;
    for (const char *next = fitted; (length = decode(next, &code)) > 0; next += length) {
        int cells = text_cells(code);
        if (cells == 0) {
            if (last != NULL && last->code[1] == 0) {
                last->code[1] = code;
            } else if (last != NULL && last->code[2] == 0) {
                last->code[2] = code;
            }
            continue;
        }
        if (at + cells > column + width) {
            break;
        }
        mend_halves(canvas, row, at, cells == 2);
        last = canvas_at(canvas, row, at);
        *last = (struct canvas_cell){.code = {code, 0, 0}, .style = (uint8_t)style};
        if (cells == 2) {
            *canvas_at(canvas, row, at + 1) = (struct canvas_cell){.style = (uint8_t)style};
        }
        at += cells;
    }
    return at - column;
}

int canvas_print(struct canvas *canvas, int row, int column, int width, enum style style,
                 const char *format, ...)
{
    char text[1024];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    return canvas_text(canvas, row, column, width, style, text);
}

/* Is this space between a number and its unit, or its '±'? */
static bool is_of_number(const char *text, size_t space)
{
    static const char *const units[] = {"%",   "mm",  "cm",  "m",      "m\u00B2", "km/h",
                                        "m/s", "s",   "min", "h",      "W",       "N\u00B7m",
                                        "kg",  "hPa", "Hz",  "\u00B0C"};
    const char *next = text + space + 1;
    if (space == 0 || strchr("0123456789)", text[space - 1]) == NULL) {
        return false;
    }
    size_t length = strcspn(next, " ,.;:)");
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++) {
        if (strlen(units[i]) == length && strncmp(next, units[i], length) == 0) {
            return true;
        }
    }
    return strncmp(next, "\u00B1", strlen("\u00B1")) == 0;
}

size_t canvas_fitting(const struct canvas *canvas, const char *text, int width)
{
    char line[1024];
    size_t fits = 0, length = strlen(text);
    length = length < sizeof line - 1 ? length : sizeof line - 1;
    for (size_t end = 1; end <= length; end++) {
        bool word_ends =
            end == length || (text[end] == ' ' && text[end - 1] != ' ' && !is_of_number(text, end));
        if (!word_ends) {
            continue;
        }
        memcpy(line, text, end);
        line[end] = '\0';
        if (canvas_width(canvas, line) > width) {
            break;
        }
        fits = end;
    }
    return fits > 0 ? fits : strcspn(text + strspn(text, " "), " ") + strspn(text, " ");
}

int canvas_wrapped(struct canvas *canvas, int row, int column, int width, int rows,
                   enum style style, const char *text)
{
    int used = 0;
    while (*text != '\0' && used < rows) {
        char line[1024];
        size_t fits = used + 1 < rows ? canvas_fitting(canvas, text, width) : strlen(text);
        snprintf(line, sizeof line, "%.*s", (int)fits, text);
        canvas_text(canvas, row + used++, column, width, style, line);
        text += fits;
        text += used > 0 ? strspn(text, " ") : 0;
    }
    return used;
}

int canvas_right(struct canvas *canvas, int row, int right_end, int width, enum style style,
                 const char *text)
{
    int needed = canvas_width(canvas, text);
    if (needed > width) {
        needed = width;
    }
    canvas_text(canvas, row, right_end - needed, needed, style, text);
    return right_end - needed;
}
