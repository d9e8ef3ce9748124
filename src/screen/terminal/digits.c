/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/digits.h"

#include <string.h>

struct figure {
    char letter;
    const char *small; /* 5 rows */
    const char *tall;  /* 7 rows */
};

/* clang-format off */
static const struct figure figures[] = {
    {'0', "###" "# #" "# #" "# #" "###",  " ### " "## ##" "## ##" "## ##" "## ##" "## ##" " ### "},
    {'1', " # " "## " " # " " # " "###",  "  ## " " ### " "  ## " "  ## " "  ## " "  ## " " ####"},
    {'2', "###" "  #" "###" "#  " "###",  " ### " "## ##" "   ##" "  ## " " ##  " "##   " "#####"},
    {'3', "###" "  #" "###" "  #" "###",  "#### " "   ##" "   ##" " ### " "   ##" "   ##" "#### "},
    {'4', "# #" "# #" "###" "  #" "  #",  "## ##" "## ##" "## ##" "#####" "   ##" "   ##" "   ##"},
    {'5', "###" "#  " "###" "  #" "###",  "#####" "##   " "#### " "   ##" "   ##" "## ##" " ### "},
    {'6', "###" "#  " "###" "# #" "###",  " ### " "##   " "##   " "#### " "## ##" "## ##" " ### "},
    {'7', "###" "  #" "  #" " # " " # ",  "#####" "   ##" "   ##" "  ## " "  ## " " ##  " " ##  "},
    {'8', "###" "# #" "###" "# #" "###",  " ### " "## ##" "## ##" " ### " "## ##" "## ##" " ### "},
    {'9', "###" "# #" "###" "  #" "###",  " ### " "## ##" "## ##" " ####" "   ##" "   ##" " ### "},
    {'-', "   " "   " "###" "   " "   ",  "     " "     " "     " "#####" "     " "     " "     "},
    {'+', "   " " # " "###" " # " "   ",  "     " "  #  " "  #  " "#####" "  #  " "  #  " "     "},
    {'?', "###" "  #" " ##" "   " " # ",  " ### " "## ##" "   ##" "  ## " "  ## " "     " "  ## "},
    {' ', "   " "   " "   " "   " "   ",  "     " "     " "     " "     " "     " "     " "     "},
};
static const struct figure narrow[] = { /* one or two wide */
    {':', " " "#" " " "#" " ",  "  " "##" "##" "  " "##" "##" "  "},
    {'.', " " " " " " " " "#",  "  " "  " "  " "  " "  " "##" "##"},
    {',', " " " " " " "#" "#",  "  " "  " "  " "  " "  " "##" " #"},
    {'\'', "#" "#" " " " " " ",  "##" " #" "  " "  " "  " "  " "  "},
};
static const struct {
    char letter;
    const char *tall;
    const char *small; /* its width follows from its length: M, N, Q, W are wider than three */
} letters[] = {
    {'A', " ### " "## ##" "## ##" "#####" "## ##" "## ##" "## ##",  " # " "# #" "###" "# #" "# #"},
    {'B', "#### " "## ##" "## ##" "#### " "## ##" "## ##" "#### ",  "## " "# #" "## " "# #" "## "},
    {'C', " ####" "##   " "##   " "##   " "##   " "##   " " ####",  " ##" "#  " "#  " "#  " " ##"},
    {'D', "#### " "## ##" "## ##" "## ##" "## ##" "## ##" "#### ",  "## " "# #" "# #" "# #" "## "},
    {'E', "#####" "##   " "##   " "#### " "##   " "##   " "#####",  "###" "#  " "## " "#  " "###"},
    {'F', "#####" "##   " "##   " "#### " "##   " "##   " "##   ",  "###" "#  " "## " "#  " "#  "},
    {'G', " ####" "##   " "##   " "## ##" "## ##" "## ##" " ####",  " ##" "#  " "# #" "# #" " ##"},
    {'H', "## ##" "## ##" "## ##" "#####" "## ##" "## ##" "## ##",  "# #" "# #" "###" "# #" "# #"},
    {'I', " ####" "  ## " "  ## " "  ## " "  ## " "  ## " " ####",  "###" " # " " # " " # " "###"},
    {'J', "   ##" "   ##" "   ##" "   ##" "## ##" "## ##" " ### ",  "  #" "  #" "  #" "# #" " # "},
    {'K', "## ##" "## ##" "#### " "###  " "#### " "## ##" "## ##",  "# #" "# #" "## " "# #" "# #"},
    {'L', "##   " "##   " "##   " "##   " "##   " "##   " "#####",  "#  " "#  " "#  " "#  " "###"},
    {'M', "#   #" "## ##" "#####" "# # #" "# # #" "#   #" "#   #",  "#   #" "## ##" "# # #" "#   #" "#   #"},
    {'N', "##  #" "### #" "### #" "#####" "# ###" "# ###" "#  ##",  "#  #" "## #" "# ##" "#  #" "#  #"},
    {'O', " ### " "## ##" "## ##" "## ##" "## ##" "## ##" " ### ",  " # " "# #" "# #" "# #" " # "},
    {'P', "#### " "## ##" "## ##" "#### " "##   " "##   " "##   ",  "## " "# #" "## " "#  " "#  "},
    {'Q', " ### " "## ##" "## ##" "## ##" "## ##" " ### " "   ##",  " ## " "#  #" "#  #" "# ##" " ###"},
    {'R', "#### " "## ##" "## ##" "#### " "#### " "## ##" "## ##",  "## " "# #" "## " "# #" "# #"},
    {'S', " ####" "##   " "##   " " ### " "   ##" "   ##" "#### ",  " ##" "#  " " # " "  #" "## "},
    {'T', "#####" "  ## " "  ## " "  ## " "  ## " "  ## " "  ## ",  "###" " # " " # " " # " " # "},
    {'U', "## ##" "## ##" "## ##" "## ##" "## ##" "## ##" " ### ",  "# #" "# #" "# #" "# #" "###"},
    {'V', "## ##" "## ##" "## ##" "## ##" "## ##" " ### " "  #  ",  "# #" "# #" "# #" "# #" " # "},
    {'W', "#   #" "#   #" "# # #" "# # #" "#####" "## ##" "#   #",  "#   #" "#   #" "# # #" "## ##" "#   #"},
    {'X', "## ##" "## ##" " ### " "  #  " " ### " "## ##" "## ##",  "# #" "# #" " # " "# #" "# #"},
    {'Y', "## ##" "## ##" " ### " "  ## " "  ## " "  ## " "  ## ",  "# #" "# #" " # " " # " " # "},
    {'Z', "#####" "   ##" "  ## " " ##  " "##   " "##   " "#####",  "###" "  #" " # " "#  " "###"},
};
/* clang-format on */

static int dots_high(enum digits_kind kind)
{
    return kind == DIGITS_SMALL ? 5 : 7;
}

static const char *find(enum digits_kind kind, char letter, int *width)
{
    for (size_t i = 0; i < sizeof figures / sizeof figures[0]; i++) {
        if (figures[i].letter == letter) {
            *width = kind == DIGITS_SMALL ? 3 : 5;
            return kind == DIGITS_SMALL ? figures[i].small : figures[i].tall;
        }
    }
    for (size_t i = 0; i < sizeof narrow / sizeof narrow[0]; i++) {
        if (narrow[i].letter == letter) {
            *width = kind == DIGITS_SMALL ? 1 : 2;
            return kind == DIGITS_SMALL ? narrow[i].small : narrow[i].tall;
        }
    }
    for (size_t i = 0; i < sizeof letters / sizeof letters[0]; i++) {
        if (letters[i].letter == letter) {
            const char *figure = kind == DIGITS_SMALL ? letters[i].small : letters[i].tall;
            *width = (int)strlen(figure) / dots_high(kind);
            return figure;
        }
    }
    return find(kind, ' ', width);
}

bool digits_has(const char *text)
{
    for (const char *next = text; *next != '\0'; next++) {
        bool letter = *next >= 'A' && *next <= 'Z', figure = *next >= '0' && *next <= '9';
        if (!letter && !figure && strchr(" :.,+-?'", *next) == NULL) {
            return false;
        }
    }
    return true;
}

void digits_size(enum digits_kind kind, const char *text, int scale, int *rows, int *columns)
{
    int dots = 0, width = 0;
    for (const char *next = text; *next != '\0'; next++) {
        find(kind, *next, &width);
        dots += width + (next[1] != '\0' ? 1 : 0);
    }
    *columns = dots * scale;
    *rows = (dots_high(kind) * scale + 1) / 2;
}

int digits_scale(enum digits_kind kind, const char *text, int rows, int columns)
{
    int scale = 0;
    for (int next = 1; next < 40; next++) {
        int needed_rows, needed_columns;
        digits_size(kind, text, next, &needed_rows, &needed_columns);
        if (needed_rows > rows || needed_columns > columns) {
            break;
        }
        scale = next;
    }
    return scale;
}

void digits_draw(struct canvas *canvas, enum digits_kind kind, const char *text, int scale, int row,
                 int column, enum style style)
{
    int at = column, high = dots_high(kind);
    for (const char *next = text; *next != '\0'; next++) {
        int width;
        const char *figure = find(kind, *next, &width);
        for (int c = 0; c < width * scale; c++) {
            for (int r = 0; r < (high * scale + 1) / 2; r++) {
                int upper = 2 * r / scale, lower = (2 * r + 1) / scale;
                bool top = upper < high && figure[upper * width + c / scale] == '#';
                bool bottom = lower < high && figure[lower * width + c / scale] == '#';
                if (!top && !bottom) {
                    continue;
                }
                uint32_t code = canvas->letters == LETTERS_ASCII ? (top && bottom ? '#'
                                                                    : top         ? '"'
                                                                                  : '.')
                                : top && bottom                  ? 0x2588
                                : top                            ? 0x2580
                                                                 : 0x2584;
                canvas_put(canvas, row + r, at + c, style, code);
            }
        }
        at += (width + 1) * scale;
    }
}
