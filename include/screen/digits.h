/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_DIGITS_H
#define HOLDLINE_SCREEN_DIGITS_H

#include "screen/canvas.h"

/* Big figures and capital letters of blocks: '0'-'9', 'A'-'Z', ':', '+', '-', '.', ',' and blank;
 * seven high and five wide, or small five high and three wide (a few letters are wider), each dot a
 * square of scale half-rows. */
enum digits_kind { DIGITS_SMALL, DIGITS_TALL };

/* All of text can be drawn. */
bool digits_has(const char *text);

/* Cells that text takes at this scale. */
void digits_size(enum digits_kind kind, const char *text, int scale, int *rows, int *columns);

/* The largest scale that fits (0: none does). */
int digits_scale(enum digits_kind kind, const char *text, int rows, int columns);

void digits_draw(struct canvas *canvas, enum digits_kind kind, const char *text, int scale, int row,
                 int column, enum style style);

#endif
