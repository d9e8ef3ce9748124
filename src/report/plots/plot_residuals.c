/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Force along the course that the model leaves unexplained, run by run: a gust, a brake, somebody
 * passing shows as a lap that leaves the others. For the eye; nothing is estimated from it. */
#include "base/text.h"
#include "report/digest.h"
#include "report/plot_axes.h"
#include "report/plots.h"
#include "say/drag.h"

#include <math.h>

#define LEFT 62.0
#define RIGHT (SVG_WIDTH - 20.0)
#define TOP 58.0
#define PANEL 104.0
#define GAP 30.0
#define PANELS_MOST 6
#define LIMIT_SDS 2.0
#define LEAST_N 2.0 /* no axis reaches less far, */
#define MOST_N 60.0 /* nor further */

struct panels {
    const struct report_input *input;
    int run[PANELS_MOST], count, next;
    struct svg_scale across;
    double most_n;
};

static bool has_pieces(const struct report_input *input, int run)
{
    for (int l = 0; l < input->record->leg_count; l++) {
        if (input->record->leg[l].run == run && input->record->leg[l].piece_count > 1) {
            return input->analysis->drag.run[run].mean.count > 0;
        }
    }
    return false;
}

static struct svg_scale scale_up(double most_n, double bottom, double top)
{
    return svg_scale_make(-most_n, most_n, bottom, top, 26);
}

static void find_panels(struct panels *panels, int from)
{
    const struct session_record *record = panels->input->record;
    double length_m = 0.0;
    panels->most_n = LEAST_N;
    panels->next = record->run_count;
    for (int r = from; r < record->run_count; r++) {
        if (!has_pieces(panels->input, r)) {
            continue;
        }
        if (panels->count == PANELS_MOST) {
            panels->next = r;
            break;
        }
        panels->run[panels->count++] = r;
        for (int l = 0; l < record->leg_count; l++) {
            const struct leg_record *leg = &record->leg[l];
            for (int p = 0; leg->run == r && p < leg->piece_count; p++) {
                double n = drag_residual_of(record, &panels->input->analysis->drag, l, p);
                panels->most_n = isfinite(n) ? fmax(panels->most_n, fabs(n)) : panels->most_n;
                length_m = fmax(length_m, leg->sums.length_m);
            }
        }
    }
    panels->most_n = fmin(panels->most_n, MOST_N);
    /* so that more than 0 is written beside it */
    panels->most_n = fmax(panels->most_n, scale_up(panels->most_n, PANEL, 0.0).step);
    panels->across = plot_scale_across(0.0, fmax(length_m, 1.0), LEFT, RIGHT, 70);
}

static void draw_leg(FILE *stream, const struct panels *panels, int l, const struct svg_scale *up)
{
    const struct session_record *record = panels->input->record;
    const struct leg_record *leg = &record->leg[l];
    bool used = panels->input->analysis->drag.leg[l].state == DRAG_LEG_USED, pen_down = false;
    svg_path_begin(stream, !used       ? "fill=\"none\" stroke=\"#d55e00\" stroke-width=\"1.2\" "
                                         "stroke-dasharray=\"4 3\""
                           : leg->back ? "fill=\"none\" stroke=\"#333333\" stroke-width=\"1\""
                                       : "fill=\"none\" stroke=\"#0072b2\" stroke-width=\"1\"");
    for (int p = 0; p < leg->piece_count; p++) {
        double n = drag_residual_of(record, &panels->input->analysis->drag, l, p);
        n = fmax(fmin(n, panels->most_n), -panels->most_n);
        svg_path_point(stream,
                       svg_scale_at(&panels->across, drag_piece_place_m(record, l, p + 0.5)),
                       svg_scale_at(up, n), &pen_down);
    }
    svg_path_end(stream);
}

static void draw_panel(FILE *stream, const struct panels *panels, int panel)
{
    const struct session_record *record = panels->input->record;
    int r = panels->run[panel];
    double top = TOP + panel * (PANEL + GAP) + 14.0, bottom = top + PANEL;
    struct svg_scale up = scale_up(panels->most_n, bottom, top);
    double sd = panels->input->analysis->drag.run[r].residual_sd_n;
    char words[96];
    snprintf(words, sizeof words, "run %d, setup %d", record->run[r].number,
             record->setup[record->run[r].setup].number);
    svg_text(stream, LEFT, top - 5.0, (struct svg_type){11, SVG_START, true, NULL}, words);
    if (isfinite(sd)) {
        double reach = fmin(LIMIT_SDS * sd, panels->most_n);
        double high = svg_scale_at(&up, reach), low = svg_scale_at(&up, -reach);
        svg_rectangle(stream, LEFT, high, RIGHT - LEFT, low - high, "fill=\"#eeeeee\"");
    }
    plot_ticks_up(stream, &up, LEFT, RIGHT, -INFINITY);
    for (int l = 0; l < record->leg_count; l++) {
        if (record->leg[l].run == r && record->leg[l].piece_count > 1) {
            draw_leg(stream, panels, l, &up);
        }
    }
}

int plot_residuals(FILE *stream, const struct report_input *input, int from, bool alone)
{
    struct panels panels = {.input = input};
    if (input->analysis->drag.lack != DRAG_LACKS_NOTHING) {
        return input->record->run_count;
    }
    find_panels(&panels, from);
    if (panels.count == 0) {
        return input->record->run_count;
    }
    static const char title[] = "Force left unexplained along the course, N";
    double bottom = TOP + panels.count * (PANEL + GAP);
    svg_begin(stream, SVG_WIDTH, bottom + 34.0, alone, title);
    svg_text(stream, 12, 20, plot_title, title);
    plot_caption(stream, 12, 39,
                 "A lap a line (blue; ways back black; left out dashed). Grey: what readings alone "
                 "would scatter. Outside it a lap may have met something.");
    for (int panel = 0; panel < panels.count; panel++) {
        draw_panel(stream, &panels, panel);
    }
    plot_ticks_across(stream, &panels.across, bottom - GAP + 14.0, bottom - GAP + 18.0,
                      bottom + 2.0);
    svg_text(stream, 0.5 * (LEFT + RIGHT), bottom + 22.0,
             (struct svg_type){11, SVG_MIDDLE, false, PLOT_GREY}, "m along the course");
    svg_end(stream);
    return panels.next;
}
