/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_PLOT_AXES_H
#define HOLDLINE_REPORT_PLOT_AXES_H

#include "base/problem.h"
#include "report/svg.h"
#include "say/say.h"

/* What the pictures have alike: types, scales with their lines and values. */
#define PLOT_GREY "#595959"
#define PLOT_LINE_GREY "stroke=\"" PLOT_GREY "\" stroke-width=\"1\""
extern const struct svg_type plot_title, plot_small, plot_tick, plot_side_tick, plot_words;
/* What a picture's marks are, under its title: in letters of 11, of 10.5 where they are too long.
 */
void plot_caption(FILE *stream, double x, double y, const char *words);
#define PLOT_WORDS_BREADTH 7.2 /* of a letter of plot_words, at most */

/* A setup's name in so many lines at most (1 or 2) of so many letters, so that it is cut only where
 * it is very long. How many there are. */
int plot_name_lines(const char *name, int letters, int most, char line[2][SAY_SIZE]);

/* A scale across whose values never run into each other, however long they are: ticks about gap
 * apart, or further. Two values at least, where there is room for them. */
struct svg_scale plot_scale_across(double low, double high, double from, double to, double gap);
/* The same upwards, where what counts is the letters' height. */
struct svg_scale plot_scale_up(double low, double high, double from, double to, double gap);
/* What a scale should take in of count > 0 values, which are sorted: all but those that lie further
 * from the middle nine tenths than three quarters of their breadth. A stray reading stretches no
 * scale; whoever draws it marks what lies outside. */
void plot_span(double *values, size_t count, double *low, double *high);
/* A tick's value, with as many decimals as the step between ticks: '-20', '0.05'. */
void plot_tick_text(char *text, size_t size, const struct svg_scale *scale, int tick);

/* At the ticks of a scale across: lines from top to bottom, values with their feet at y; without
 * the one that is NAN. */
void plot_ticks_across(FILE *stream, const struct svg_scale *across, double top, double bottom,
                       double y);
/* Of a scale upwards: lines from left to right with their values before them, not of ticks below
 * least. */
void plot_ticks_up(FILE *stream, const struct svg_scale *up, double left, double right,
                   double least);
/* The words beside a scale upwards, turned; y: their middle. */
void plot_words_upwards(FILE *stream, double y, const char *text);

/* Of a picture that is a file of its own: whether it went to the disk. */
bool plot_written(FILE *stream, struct problem *problem);

#endif
