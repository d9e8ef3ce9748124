/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_BIG_TEXT_H
#define HOLDLINE_SCREEN_BIG_TEXT_H

#include "screen/canvas.h"

/* A part of the canvas. */
struct room {
    int row, column, rows, columns;
};

/* Words that are read from afar: in capitals of blocks, broken at blanks, as large as there is room
 * for; in the terminal's own letters where that has letters without blocks, or no room. Characters
 * without a block, as a semicolon, are a comma or blank. Gives the rows used. */
enum big_text_side { BIG_LEFT, BIG_CENTRED };
int big_text(struct canvas *canvas, const char *text, const struct room *room, enum style style,
             enum big_text_side side);

/* A name in capitals; of UTF-8 the letters A to Z only. */
void big_text_capitals(char *text, size_t size, const char *name);

#endif
