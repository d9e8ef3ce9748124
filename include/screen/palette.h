/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_PALETTE_H
#define HOLDLINE_SCREEN_PALETTE_H

#include "screen/canvas.h"

/* Colours of the styles. The hues are Okabe and Ito's (2008), made to be told apart with every kind
 * of colour vision: bluish green in, orange high, reddish purple low, grey no reading; sky blue
 * what is next or recorded, yellow a warning. With 256 colours the nearest of the palette. Words on
 * a colour are black; instruments stand on a dark ground of their own, since the terminal's is
 * unknown. */
enum colour_depth { COLOURS_NONE, COLOURS_8, COLOURS_256 };

struct palette_entry {
    short letter, ground; /* colour numbers; -1 = the terminal's own */
    bool bold, reverse;
};
struct palette_entry palette_entry(enum style style, enum colour_depth depth);

#endif
