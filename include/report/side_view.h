/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_SIDE_VIEW_H
#define HOLDLINE_REPORT_SIDE_VIEW_H

#include "bike/side_view.h"

#include <stdio.h>

/* A side view drawn to scale. before may be NULL; else it is drawn dotted or dashed under the
 * other. */

/* For a terminal of width cells and about rows lines: braille where letters can be (UTF-8), else
 * ASCII. Marked points stand as their letters; the scale and the legend stand under it. False
 * without memory. */
bool side_view_text(FILE *stream, const struct side_view *view, const struct side_view *before,
                    int width, int rows, bool ascii, struct problem *problem);

/* SVG 1.1; user units are millimetres with y downwards, so that a point (x, y) stands at (x, -y);
 * printed at 100 % it is 1:5. Marked points are circles with id 'now-bar_clamp' ('before-...'). */
bool side_view_svg(FILE *stream, const struct side_view *view, const struct side_view *before,
                   const char *title, struct problem *problem);

/* For a narrow place beside a table that has the coordinates: the bike, and under it its front
 * (spacers, stem, pads, extensions) as large as there is room, in letters that print readably. */
bool side_view_front_svg(FILE *stream, const struct side_view *view, const struct side_view *before,
                         const char *title, struct problem *problem);

#endif
