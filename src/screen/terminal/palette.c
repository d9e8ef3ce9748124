/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/palette.h"

/* Numbers of the 256-colour palette nearest to the published hues. */
enum {
    OWN = -1,
    BLACK = 16,        /* 000000 */
    GREEN = 36,        /* 00AF87 for bluish green 009E73 */
    ORANGE = 214,      /* FFAF00 for orange E69F00 */
    PURPLE = 175,      /* D787AF for reddish purple CC79A7 */
    SKY = 74,          /* 5FAFD7 for sky blue 56B4E9 */
    YELLOW = 227,      /* FFFF5F for yellow F0E442 */
    GREY = 247,        /* 9E9E9E for grey 999999 */
    MIDDLE = 243,      /* 767676: 4.5:1 on black and on white */
    PANEL = 234,       /* 1C1C1C */
    BAND = 237,        /* 3A3A3A */
    INPUT = 253,       /* DADADA */
    LIGHT = 254,       /* E4E4E4 */
    LINE = 246,        /* 949494 */
    LINE_IN_BAND = 249 /* B2B2B2 */
};

struct row {
    short letter, ground;     /* 256 colours */
    short letter_8, ground_8; /* 8 colours */
    bool bold;                /* with any number of colours */
    bool reverse_none;        /* without colours */
    bool bold_none;
};

static const struct row rows[STYLES] = {
    [STYLE_PLAIN] = {OWN, OWN, OWN, OWN, false, false, false},
    [STYLE_STRONG] = {OWN, OWN, OWN, OWN, true, false, true},
    [STYLE_FAINT] = {MIDDLE, OWN, OWN, OWN, false, false, false},
    [STYLE_IN] = {BLACK, GREEN, 0, 2, false, true, false},
    [STYLE_HIGH] = {BLACK, ORANGE, 0, 3, false, true, true},
    [STYLE_LOW] = {BLACK, PURPLE, 0, 5, false, true, true},
    [STYLE_NO_READING] = {BLACK, GREY, 0, 7, false, true, false},
    [STYLE_WARNING] = {BLACK, YELLOW, 0, 3, false, true, true},
    [STYLE_NEXT] = {BLACK, SKY, 0, 6, false, true, false},
    [STYLE_RECORDING] = {BLACK, SKY, 0, 6, false, true, true},
    [STYLE_INPUT] = {BLACK, INPUT, 0, 7, false, true, false},
    [STYLE_PANEL] = {LIGHT, PANEL, 7, 0, false, false, false},
    [STYLE_PANEL_LINE] = {LINE, PANEL, 7, 0, false, false, false},
    [STYLE_PANEL_CURVE] = {LIGHT, PANEL, 7, 0, false, false, true},
    [STYLE_PANEL_IN] = {GREEN, PANEL, 2, 0, false, false, true},
    [STYLE_PANEL_HIGH] = {ORANGE, PANEL, 3, 0, false, false, true},
    [STYLE_PANEL_LOW] = {PURPLE, PANEL, 5, 0, false, false, true},
    [STYLE_PANEL_NONE] = {GREY, PANEL, 7, 0, false, false, false},
    [STYLE_PANEL_NEXT] = {SKY, PANEL, 6, 0, false, false, true},
    [STYLE_BAND] = {LIGHT, BAND, 7, 0, false, false, false},
    [STYLE_BAND_LINE] = {LINE_IN_BAND, BAND, 7, 0, false, false, false},
    [STYLE_BAND_CURVE] = {LIGHT, BAND, 7, 0, false, false, true},
    [STYLE_BAND_IN] = {GREEN, BAND, 2, 0, false, false, true},
    [STYLE_BAND_HIGH] = {ORANGE, BAND, 3, 0, false, false, true},
    [STYLE_BAND_LOW] = {PURPLE, BAND, 5, 0, false, false, true},
    [STYLE_BAND_NONE] = {LINE_IN_BAND, BAND, 7, 0, false, false, false},
    [STYLE_BAND_NEXT] = {SKY, BAND, 6, 0, false, false, true},
};

struct palette_entry palette_entry(enum style style, enum colour_depth depth)
{
    const struct row *row = &rows[style];
    switch (depth) {
    case COLOURS_256:
        return (struct palette_entry){row->letter, row->ground, row->bold, false};
    case COLOURS_8:
        return (struct palette_entry){row->letter_8, row->ground_8, row->bold, false};
    case COLOURS_NONE:
        break;
    }
    return (struct palette_entry){OWN, OWN, row->bold_none, row->reverse_none};
}
