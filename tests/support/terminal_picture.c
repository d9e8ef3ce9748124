/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What a terminal shows: cells, rows, the cursor. */
#include "terminal_inside.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static size_t put_utf8(char *text, uint32_t code)
{
    if (code < 0x80) {
        text[0] = (char)code;
        return 1;
    }
    if (code < 0x800) {
        text[0] = (char)(0xC0 | (code >> 6));
        text[1] = (char)(0x80 | (code & 0x3F));
        return 2;
    }
    if (code < 0x10000) {
        text[0] = (char)(0xE0 | (code >> 12));
        text[1] = (char)(0x80 | ((code >> 6) & 0x3F));
        text[2] = (char)(0x80 | (code & 0x3F));
        return 3;
    }
    text[0] = (char)(0xF0 | (code >> 18));
    text[1] = (char)(0x80 | ((code >> 12) & 0x3F));
    text[2] = (char)(0x80 | ((code >> 6) & 0x3F));
    text[3] = (char)(0x80 | (code & 0x3F));
    return 4;
}

static int colour_index(const struct terminal *terminal, VTermColor colour)
{
    if (VTERM_COLOR_IS_DEFAULT_FG(&colour) || VTERM_COLOR_IS_DEFAULT_BG(&colour)) {
        return -1;
    }
    if (VTERM_COLOR_IS_INDEXED(&colour)) {
        return colour.indexed.idx;
    }
    /* Resolved to red, green, blue: which of the palette is it? */
    VTermState *state = vterm_obtain_state(terminal->emulator);
    for (int index = 0; index < 256; index++) {
        VTermColor entry;
        vterm_state_get_palette_color(state, index, &entry);
        vterm_state_convert_color_to_rgb(state, &entry);
        if (entry.rgb.red == colour.rgb.red && entry.rgb.green == colour.rgb.green &&
            entry.rgb.blue == colour.rgb.blue) {
            return index;
        }
    }
    return -2;
}

void terminal_cell(const struct terminal *terminal, int row, int column, struct terminal_cell *cell)
{
    *cell = (struct terminal_cell){.width = 1, .foreground = -1, .background = -1};
    VTermScreenCell from;
    if (row < 0 || row >= terminal->rows || column < 0 || column >= terminal->columns ||
        !vterm_screen_get_cell(terminal->screen, (VTermPos){row, column}, &from)) {
        return;
    }
    size_t used = 0;
    for (int i = 0; i < VTERM_MAX_CHARS_PER_CELL && from.chars[i] != 0; i++) {
        if (from.chars[i] != (uint32_t)-1) {
            used += put_utf8(cell->text + used, from.chars[i]);
        } else {
            cell->width = 0;
        }
    }
    cell->text[used] = '\0';
    if (cell->width != 0) {
        cell->width = (unsigned char)from.width;
    }
    cell->bold = from.attrs.bold;
    cell->reverse = from.attrs.reverse;
    cell->underline = from.attrs.underline != 0;
    cell->blink = from.attrs.blink;
    cell->foreground = colour_index(terminal, from.fg);
    cell->background = colour_index(terminal, from.bg);
}

/* The row's text, and for each byte the column it stands in (columns may be NULL). */
static size_t row_text(const struct terminal *terminal, int row, char *text, size_t size,
                       int *columns)
{
    size_t used = 0, kept = 0;
    for (int column = 0; column < terminal->columns; column++) {
        VTermScreenCell cell;
        if (!vterm_screen_get_cell(terminal->screen, (VTermPos){row, column}, &cell) ||
            cell.chars[0] == (uint32_t)-1) {
            continue;
        }
        char piece[32];
        size_t length = 0;
        for (int i = 0; i < VTERM_MAX_CHARS_PER_CELL && cell.chars[i] != 0; i++) {
            length += put_utf8(piece + length, cell.chars[i]);
        }
        bool blank = length == 0 || (length == 1 && piece[0] == ' ');
        if (length == 0) {
            piece[length++] = ' ';
        }
        if (used + length >= size) {
            break;
        }
        memcpy(text + used, piece, length);
        for (size_t i = 0; columns != NULL && i < length; i++) {
            columns[used + i] = column;
        }
        used += length;
        if (!blank) {
            kept = used;
        }
    }
    text[kept] = '\0';
    return kept;
}

void terminal_row(const struct terminal *terminal, int row, char *text, size_t size)
{
    text[0] = '\0';
    if (row >= 0 && row < terminal->rows) {
        row_text(terminal, row, text, size, NULL);
    }
}

void terminal_text(const struct terminal *terminal, char *text, size_t size)
{
    size_t used = 0;
    text[0] = '\0';
    for (int row = 0; row < terminal->rows && used + 2 < size; row++) {
        used += row_text(terminal, row, text + used, size - used - 1, NULL);
        text[used++] = '\n';
        text[used] = '\0';
    }
}

bool terminal_find(const struct terminal *terminal, const char *text, int *row, int *column)
{
    char line[4096];
    int columns[4096];
    for (int at = 0; at < terminal->rows; at++) {
        row_text(terminal, at, line, sizeof line, columns);
        const char *place = strstr(line, text);
        if (place != NULL) {
            if (row != NULL) {
                *row = at;
            }
            if (column != NULL) {
                *column = columns[place - line];
            }
            return true;
        }
    }
    return false;
}

bool terminal_shows(const struct terminal *terminal, const char *text)
{
    return terminal_find(terminal, text, NULL, NULL);
}

void terminal_cursor(const struct terminal *terminal, int *row, int *column, bool *visible)
{
    VTermPos place;
    vterm_state_get_cursorpos(vterm_obtain_state(terminal->emulator), &place);
    if (row != NULL) {
        *row = place.row;
    }
    if (column != NULL) {
        *column = place.col;
    }
    if (visible != NULL) {
        *visible = terminal->cursor_visible;
    }
}

bool terminal_alternate(const struct terminal *terminal)
{
    return terminal->alternate;
}
