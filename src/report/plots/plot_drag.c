/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Drag of each setup: every run, the mean with its interval, and what does not matter. */
#include "base/language.h"
#include "base/text.h"
#include "report/digest.h"
#include "report/plot_axes.h"
#include "report/plots.h"
#include "say/drag.h"

#include <math.h>

#define NAMES 12.0
#define LEFT 190.0
#define RIGHT (SVG_WIDTH - 20.0)
#define TOP 64.0
#define ROW 46.0
#define LABEL_CELLS 22

struct rows {
    const struct report_input *input;
    const struct drag_analysis *drag;
    int count, setup[SETUPS_MAX];
    struct svg_scale across;
    double bottom;
};

static void widen(double value, double *low, double *high)
{
    if (isfinite(value)) {
        *low = fmin(*low, value);
        *high = fmax(*high, value);
    }
}

static bool find_rows(struct rows *rows)
{
    double low = INFINITY, high = -INFINITY;
    for (int s = 0; s < rows->input->record->setup_count; s++) {
        if (rows->drag->setup[s].runs > 0) {
            const struct setup_estimate *estimate = &rows->drag->compare.setup[s];
            rows->setup[rows->count++] = s;
            if (estimate->has_interval) {
                widen(estimate->mean - estimate->half_width, &low, &high);
                widen(estimate->mean + estimate->half_width, &low, &high);
            }
        }
    }
    for (int r = 0; r < rows->input->record->run_count; r++) {
        if (rows->drag->run[r].state == DRAG_RUN_COUNTS) {
            widen(rows->drag->run[r].mean.drag_m2, &low, &high);
        }
    }
    rows->bottom = TOP + ROW * rows->count;
    if (rows->count == 0 || !isfinite(low)) {
        return false;
    }
    rows->across = plot_scale_across(low, high, LEFT, RIGHT, 70);
    return true;
}

/* About the baseline: differences that don't matter. */
static void draw_range(FILE *stream, const struct rows *rows)
{
    const struct setup_estimate *first = &rows->drag->compare.setup[rows->drag->compare.baseline];
    if (!first->has_interval) {
        return;
    }
    double from = svg_scale_at(&rows->across, first->mean - rows->drag->matters_m2);
    double to = svg_scale_at(&rows->across, first->mean + rows->drag->matters_m2);
    from = fmax(from, LEFT);
    to = fmin(to, RIGHT);
    svg_rectangle(stream, from, TOP, to - from, rows->bottom - TOP, "fill=\"#e6e6e6\"");
}

static void draw_row(FILE *stream, const struct rows *rows, int row)
{
    int s = rows->setup[row];
    double y = TOP + ROW * row + 18.0;
    const struct session_record *record = rows->input->record;
    const struct setup_estimate *estimate = &rows->drag->compare.setup[s];
    char label[SAY_SIZE], cut[SAY_SIZE], words[SAY_SIZE], look[96];
    digest_setup_label(record, s, label, sizeof label);
    text_fit(cut, sizeof cut, label, LABEL_CELLS, false);
    svg_text(stream, NAMES, y + 4.0, (struct svg_type){12, SVG_START, true, NULL}, cut);
    for (int r = 0; r < record->run_count; r++) {
        if (record->run[r].setup == s && rows->drag->run[r].state == DRAG_RUN_COUNTS) {
            double x = svg_scale_at(&rows->across, rows->drag->run[r].mean.drag_m2);
            snprintf(look, sizeof look, "fill=\"#ffffff\" stroke=\"%s\" stroke-width=\"1.2\"",
                     svg_setup_colour(s));
            svg_circle(stream, x, y - 9.0, 3.5, look);
        }
    }
    if (estimate->has_interval) {
        double from = svg_scale_at(&rows->across, estimate->mean - estimate->half_width);
        double to = svg_scale_at(&rows->across, estimate->mean + estimate->half_width);
        snprintf(look, sizeof look, "stroke=\"%s\" stroke-width=\"3\"", svg_setup_colour(s));
        svg_line(stream, from, y + 3.0, to, y + 3.0, look);
        snprintf(look, sizeof look, "fill=\"%s\"", svg_setup_colour(s));
        svg_circle(stream, svg_scale_at(&rows->across, estimate->mean), y + 3.0, 5.0, look);
    }
    say_drag_difference(words, sizeof words, rows->drag, rows->drag->compare.baseline, s);
    if (words[0] != '\0') {
        plot_caption(stream, LEFT, y + 21.0, words);
    }
}

bool plot_drag(FILE *stream, const struct report_input *input, bool alone)
{
    struct rows rows = {.input = input, .drag = &input->analysis->drag};
    if (input->record->run_count == 0 || !find_rows(&rows)) {
        return false;
    }
    const char *title = T_("Drag area on the course, m\u00B2");
    svg_begin(stream, SVG_WIDTH, rows.bottom + 40.0, alone, title);
    svg_text(stream, 12, 20, plot_title, title);
    plot_caption(stream, 12, 37,
                 T_("Rings: runs. Dots: means of setups. Grey: too little to matter."));
    plot_caption(
        stream, 12, 51,
        T_("Lines: against one another, 95 times in 100; what all runs share is left out."));
    draw_range(stream, &rows);
    plot_ticks_across(stream, &rows.across, TOP, rows.bottom, rows.bottom + 16.0);
    for (int row = 0; row < rows.count; row++) {
        draw_row(stream, &rows, row);
    }
    svg_end(stream);
    return true;
}

bool report_drag_svg(FILE *stream, const struct report_input *input, struct problem *problem)
{
    return plot_drag(stream, input, true)
               ? plot_written(stream, problem)
               : problem_set(problem, "there is no run that could be drawn");
}
