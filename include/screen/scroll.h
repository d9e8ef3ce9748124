/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_SCROLL_H
#define HOLDLINE_SCREEN_SCROLL_H

#include "screen/canvas.h"

/* A page longer than the screen: lines one below the other, of which those from the first on are
 * drawn; what lies outside is not. */
struct scroll {
    struct canvas *canvas;
    int top, bottom; /* rows of the canvas between which it is drawn */
    int first, line; /* the line shown first, and the one that comes next */
};

/* The row of the line that comes next; outside: one where nothing is drawn (-1). */
int scroll_row(const struct scroll *scroll);
/* Text from a column on, over as many lines as it takes. */
void scroll_wrapped(struct scroll *scroll, int column, enum style style, const char *text);
void scroll_heading(struct scroll *scroll, const char *text);
/* More lines follow than are shown. */
bool scroll_has_more(const struct scroll *scroll);

/* Lines to move by with a key on a page of so many rows, 0: it is no key of moving; and the line
 * shown first after the move. */
int scroll_step(uint32_t key, int rows);
int scroll_moved(int first, int step, int lines, int rows);

#endif
