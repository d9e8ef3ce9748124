/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/plot_axes.h"

#include "base/numbers.h"
#include "base/text.h"
#include "report/table.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define GRID "stroke=\"#dddddd\" stroke-width=\"1\""

const struct svg_type plot_title = {16, SVG_START, true, NULL};
const struct svg_type plot_small = {12, SVG_START, false, PLOT_GREY};
const struct svg_type plot_tick = {12, SVG_MIDDLE, false, PLOT_GREY};
const struct svg_type plot_side_tick = {12, SVG_END, false, PLOT_GREY};
const struct svg_type plot_words = {12, SVG_START, false, NULL};

#define CAPTION 11.0
#define CAPTION_LONG 10.5
#define CAPTION_BREADTH 0.5 /* of a letter, of its size, in a sentence */

void plot_caption(FILE *stream, double x, double y, const char *words)
{
    bool fits = text_width(words) * CAPTION_BREADTH * CAPTION <= SVG_WIDTH - 2.0 * x;
    svg_text(stream, x, y,
             (struct svg_type){fits ? CAPTION : CAPTION_LONG, SVG_START, false, PLOT_GREY}, words);
}

int plot_name_lines(const char *name, int letters, int most, char line[2][SAY_SIZE])
{
    const char *cursor = name, *start = NULL;
    size_t length = 0;
    int count = 0;
    if (most > 1 && text_width(name) > letters && wrap_next(&cursor, letters, &start, &length)) {
        snprintf(line[count++], SAY_SIZE, "%.*s", (int)length, start);
    }
    text_fit(line[count++], SAY_SIZE, cursor, letters, false);
    return count;
}

void plot_tick_text(char *text, size_t size, const struct svg_scale *scale, int tick)
{
    int decimals = (int)ceil(-log10(scale->step) - 1e-9);
    say_number(text, size, svg_scale_tick(scale, tick), decimals > 0 ? decimals : 0);
}

#define LETTER 0.66    /* a digit's width, of its size, at most; a sign counts as two */
#define BETWEEN 6.0    /* values */
#define TICK_HIGH 12.0 /* from one value to the next above it, at least */
#define SPAN_TAIL 0.05
#define SPAN_ROOM 0.75

/* The widest value with a sign before it, and what has to stay free beside it. */
static double widest_tick(const struct svg_scale *scale)
{
    double widest = 0;
    for (int i = 0; i < svg_scale_ticks(scale); i++) {
        char text[64];
        plot_tick_text(text, sizeof text, scale, i);
        widest = fmax(widest, (double)strlen(text) + 2);
    }
    return widest * LETTER * plot_tick.size + BETWEEN;
}

static double ticks_apart(const struct svg_scale *scale)
{
    return fabs(scale->to - scale->from) * scale->step / (scale->high - scale->low);
}

/* One value at an axis tells no scale: to whichever side is nearer the axis goes on to the next. */
static struct svg_scale with_two_ticks(struct svg_scale scale)
{
    const double beyond = 0.02 * (scale.high - scale.low);
    double below = (ceil(scale.low / scale.step) - 1) * scale.step;
    double above = (floor(scale.high / scale.step) + 1) * scale.step;
    while (svg_scale_ticks(&scale) < 2 && below < scale.low && above > scale.high) {
        if (scale.low - below < above - scale.high) {
            scale.low = below - beyond;
            below -= scale.step;
        } else {
            scale.high = above + beyond;
            above += scale.step;
        }
    }
    return scale;
}

struct svg_scale plot_scale_across(double low, double high, double from, double to, double gap)
{
    struct svg_scale scale = svg_scale_make(low, high, from, to, gap);
    while (svg_scale_ticks(&scale) > 1 && ticks_apart(&scale) < widest_tick(&scale)) {
        gap *= 1.5;
        scale = svg_scale_make(low, high, from, to, gap);
    }
    struct svg_scale two = with_two_ticks(scale);
    return ticks_apart(&two) >= widest_tick(&two) ? two : scale;
}

struct svg_scale plot_scale_up(double low, double high, double from, double to, double gap)
{
    struct svg_scale scale = svg_scale_make(low, high, from, to, gap);
    if (svg_scale_ticks(&scale) < 2) {
        scale = svg_scale_make(low, high, from, to, TICK_HIGH);
    }
    struct svg_scale two = with_two_ticks(scale);
    return ticks_apart(&two) >= TICK_HIGH ? two : scale;
}

static int ascending(const void *left, const void *right)
{
    double a = *(const double *)left, b = *(const double *)right;
    return (a > b) - (a < b);
}

void plot_span(double *values, size_t count, double *low, double *high)
{
    qsort(values, count, sizeof *values, ascending);
    const size_t out = (size_t)(SPAN_TAIL * (double)count);
    const double from = values[out], to = values[count - 1 - out];
    const double room = SPAN_ROOM * (to - from);
    *low = fmax(values[0], from - room);
    *high = fmin(values[count - 1], to + room);
}

void plot_ticks_across(FILE *stream, const struct svg_scale *across, double top, double bottom,
                       double y)
{
    for (int i = 0; i < svg_scale_ticks(across); i++) {
        double tick = svg_scale_tick(across, i), x = svg_scale_at(across, tick);
        char text[64];
        if (isfinite(top)) {
            svg_line(stream, x, top, x, bottom, GRID);
        }
        if (isfinite(y)) {
            plot_tick_text(text, sizeof text, across, i);
            svg_text(stream, x, y, plot_tick, text);
        }
    }
}

void plot_ticks_up(FILE *stream, const struct svg_scale *up, double left, double right,
                   double least)
{
    for (int i = 0; i < svg_scale_ticks(up); i++) {
        double tick = svg_scale_tick(up, i), y = svg_scale_at(up, tick);
        char text[64];
        if (tick < least - 1e-9) {
            continue;
        }
        svg_line(stream, left, y, right, y, GRID);
        plot_tick_text(text, sizeof text, up, i);
        svg_text(stream, left - 6, y + 4, plot_side_tick, text);
    }
}

void plot_words_upwards(FILE *stream, double y, const char *text)
{
    fprintf(stream, "<g transform=\"rotate(-90 18 %.0f)\">", y);
    svg_text(stream, 18, y, plot_tick, text);
    fputs("</g>\n", stream);
}

bool plot_written(FILE *stream, struct problem *problem)
{
    return !ferror(stream) || problem_set(problem, "the picture could not be written");
}
