/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_SVG_H
#define HOLDLINE_REPORT_SVG_H

#include <stdbool.h>
#include <stdio.h>

/* SVG 1.1 as all pictures need it: user units are about a pixel, the page's font, and no opacity,
 * mask or filter but fill-opacity and stroke-opacity (others would turn text into pictures where a
 * PDF is made of it). Looks are presentation attributes, so a picture can stand in a page without
 * touching the rest of it. */
#define SVG_FONT "'DejaVu Sans', sans-serif"
#define SVG_WIDTH 720.0  /* of a page: its letters are printed at 7 tenths of their size */
#define SVG_NARROW 330.0 /* of a telephone, 348 to 380 dots wide */

/* alone: a file of its own, with the XML declaration. title is read out to those who can't see. */
void svg_begin(FILE *stream, double width, double height, bool alone, const char *title);
void svg_end(FILE *stream);

/* What comes until the end is moved by x and y. */
void svg_group_begin(FILE *stream, double x, double y);
void svg_group_end(FILE *stream);

enum svg_anchor { SVG_START, SVG_MIDDLE, SVG_END };
struct svg_type {
    double size;
    enum svg_anchor anchor;
    bool bold;
    const char *colour;
};
void svg_text(FILE *stream, double x, double y, struct svg_type type, const char *text);
/* look: attributes such as stroke="#000" fill="none". */
void svg_line(FILE *stream, double x1, double y1, double x2, double y2, const char *look);
void svg_rectangle(FILE *stream, double x, double y, double width, double height, const char *look);
void svg_circle(FILE *stream, double x, double y, double radius, const char *look);
/* An ellipse turned by angle_deg counter-clockwise. */
void svg_ellipse(FILE *stream, double x, double y, double radius_x, double radius_y,
                 double angle_deg, const char *look);
/* A line through points; a point that is not finite breaks it. */
void svg_path_begin(FILE *stream, const char *look);
void svg_path_point(FILE *stream, double x, double y, bool *pen_down);
void svg_path_end(FILE *stream);

/* Colour and dashes of the n-th setup (from 0): distinct for colour-blind eyes (Okabe and Ito 2008)
 * and, by the dashes, in print without colour. */
const char *svg_setup_colour(int setup);
const char *svg_setup_dashes(int setup);

/* Values on one side, places on the page on the other. */
struct svg_scale {
    double low, high; /* values */
    double from, to;  /* places */
    double step;      /* between ticks, 1, 2 or 5 times a power of ten */
};
/* Takes in low to high with a little room, and chooses ticks about gap apart on the page. */
struct svg_scale svg_scale_make(double low, double high, double from, double to, double gap);
double svg_scale_at(const struct svg_scale *scale, double value);
/* How many ticks there are, and where each stands. */
int svg_scale_ticks(const struct svg_scale *scale);
double svg_scale_tick(const struct svg_scale *scale, int tick);

#endif
