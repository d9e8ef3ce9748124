/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "plot_axes.h"

#include "base/text.h"

#include <math.h>

#define GRID "stroke=\"#dddddd\" stroke-width=\"1\""

const struct svg_type plot_title = {16, SVG_START, true, NULL};
const struct svg_type plot_small = {11.5, SVG_START, false, PLOT_GREY};
const struct svg_type plot_tick = {11.5, SVG_MIDDLE, false, PLOT_GREY};
const struct svg_type plot_side_tick = {11.5, SVG_END, false, PLOT_GREY};
const struct svg_type plot_words = {12, SVG_START, false, NULL};

static void value_text(char *text, size_t size, double tick)
{
    text_from_double_shortest(text, size, round(tick * 1e6) / 1e6 + 0.0);
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
            value_text(text, sizeof text, tick);
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
        value_text(text, sizeof text, tick);
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
