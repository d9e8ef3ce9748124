/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Drag on the course beside a height on the trainer: a cross for each setup, its differences from
 * the one compared against with both intervals. */
#include "analysis/drag_height.h"
#include "report/digest.h"
#include "report/plot_axes.h"
#include "report/plots.h"
#include "say/drag.h"

#include <math.h>

#define LEFT 76.0
#define RIGHT (SVG_WIDTH - 20.0)
#define TOP 62.0
#define BOTTOM 300.0
#define HEIGHT 346.0

static void draw_cross(FILE *stream, const struct drag_height_point *point, int number,
                       const struct svg_scale *across, const struct svg_scale *up)
{
    char look[80], words[24];
    double x = svg_scale_at(across, point->height_mm), y = svg_scale_at(up, point->drag_m2);
    snprintf(look, sizeof look, "stroke=\"%s\" stroke-width=\"2\"", svg_setup_colour(point->setup));
    svg_line(stream, svg_scale_at(across, point->height_low_mm), y,
             svg_scale_at(across, point->height_high_mm), y, look);
    svg_line(stream, x, svg_scale_at(up, point->drag_low_m2), x,
             svg_scale_at(up, point->drag_high_m2), look);
    snprintf(look, sizeof look, "fill=\"%s\"", svg_setup_colour(point->setup));
    svg_circle(stream, x, y, 4.0, look);
    snprintf(words, sizeof words, "setup %d", number);
    svg_text(stream, x + 7.0, y - 7.0, (struct svg_type){12, SVG_START, true, NULL}, words);
}

bool plot_drag_heights(FILE *stream, const struct report_input *input, int channel, bool alone)
{
    struct drag_height made;
    char title[SAY_SIZE], axis[SAY_SIZE];
    double left = 0.0, right = 0.0, low = 0.0, high = 0.0; /* the one compared against is at 0 */
    drag_height_make(input->record, input->analysis, channel, &made);
    if (made.count == 0) {
        return false;
    }
    for (int i = 0; i < made.count; i++) {
        left = fmin(left, made.point[i].height_low_mm);
        right = fmax(right, made.point[i].height_high_mm);
        low = fmin(low, made.point[i].drag_low_m2);
        high = fmax(high, made.point[i].drag_high_m2);
    }
    struct svg_scale across = plot_scale_across(left, right, LEFT, RIGHT, 60);
    struct svg_scale up = plot_scale_up(low, high, BOTTOM, TOP, 34);
    const char *name = input->analysis->channel_name[channel];
    snprintf(title, sizeof title, "Drag on the course beside the height of the %s on the trainer",
             name);
    svg_begin(stream, SVG_WIDTH, HEIGHT, alone, title);
    svg_text(stream, 12, 20, plot_title, title);
    plot_caption(
        stream, 12, 39,
        "Against the setup compared with, at 0; lines: 95 times in 100. These setups of this "
        "rider: no rule for others.");
    plot_ticks_across(stream, &across, TOP, BOTTOM, BOTTOM + 16.0);
    plot_ticks_up(stream, &up, LEFT, RIGHT, -INFINITY);
    plot_words_upwards(stream, 0.5 * (TOP + BOTTOM), "drag, m\u00B2");
    svg_line(stream, svg_scale_at(&across, 0), TOP, svg_scale_at(&across, 0), BOTTOM,
             PLOT_LINE_GREY);
    svg_line(stream, LEFT, svg_scale_at(&up, 0), RIGHT, svg_scale_at(&up, 0), PLOT_LINE_GREY);
    for (int i = 0; i < made.count; i++) {
        draw_cross(stream, &made.point[i], input->record->setup[made.point[i].setup].number,
                   &across, &up);
    }
    snprintf(axis, sizeof axis, "%s, mm", name);
    svg_text(stream, 0.5 * (LEFT + RIGHT), BOTTOM + 34.0,
             (struct svg_type){11, SVG_MIDDLE, false, PLOT_GREY}, axis);
    svg_end(stream);
    return true;
}
