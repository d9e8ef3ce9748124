/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Each hold's course, plot_small and side by side on one scale, with its target and band. */
#include "base/text.h"
#include "report/digest.h"
#include "report/plot_axes.h"
#include "report/plots.h"
#include "say/holds.h"

#include <math.h>

#define COLUMNS 3
#define MOST_PANELS 27 /* of one picture on a page */
#define PANEL_WIDTH 234.0
#define PANEL_HEIGHT 74.0
#define TOP 48.0
#define FOOT 12.0

static const struct svg_type tick_type = {10.5, SVG_END, false, PLOT_GREY};
static const struct svg_type time_type = {10.5, SVG_MIDDLE, false, PLOT_GREY};
static const struct svg_type name_type = {10.5, SVG_START, false, NULL};

static bool shown(const struct traces *traces, int hold, int channel)
{
    return traces->hold[hold].seconds > 0 && traces->hold[hold].mm[channel] != NULL;
}

/* The holds of one picture: from one to before another. */
struct stretch {
    int from, to;
    int panels;
};

static struct stretch stretch_of(const struct traces *traces, int channel, int from, int most)
{
    struct stretch stretch = {from, from, 0};
    while (stretch.to < traces->hold_count && stretch.panels < most) {
        stretch.panels += shown(traces, stretch.to++, channel) ? 1 : 0;
    }
    while (stretch.to < traces->hold_count && !shown(traces, stretch.to, channel)) {
        stretch.to++;
    }
    return stretch;
}

static double picture_height(const struct stretch *stretch)
{
    return TOP + PANEL_HEIGHT * ceil(stretch->panels / (double)COLUMNS) + FOOT;
}

/* One hold's target and band, as heights. */
struct limits {
    bool has_target, has_band;
    double target, above, below; /* +-INFINITY where there is no limit */
};

static struct limits limits_of(const struct report_input *input, int index, int channel)
{
    const struct hold_record *hold = &input->record->hold[index];
    struct limits limits = {false, false, NAN, INFINITY, -INFINITY};
    if (hold->target >= 0 && input->analysis->target[hold->target][channel].has) {
        limits.has_target = true;
        limits.target = input->analysis->target[hold->target][channel].height_mm;
        if (hold->band >= 0 && input->record->band[hold->band].limited[channel]) {
            const struct cue_settings *cue = &input->record->band[hold->band].cue[channel];
            limits.has_band = true;
            limits.above = limits.target + cue->band_above_mm;
            limits.below = limits.target - cue->band_below_mm;
        }
    }
    return limits;
}

/* One scale for all panels, so that heights can be compared across them. */
static struct svg_scale scale_of(const struct report_input *input, const struct traces *traces,
                                 int channel)
{
    double low = INFINITY, high = -INFINITY;
    for (int hold = 0; hold < traces->hold_count; hold++) {
        struct limits limits = limits_of(input, hold, channel);
        bool tied = input->analysis->tie[input->record->hold[hold].build][channel].kind != TIE_NONE;
        for (int second = 0;
             tied && shown(traces, hold, channel) && second < traces->hold[hold].seconds;
             second++) {
            double value = traces->hold[hold].mm[channel][second];
            low = isfinite(value) ? fmin(low, value) : low;
            high = isfinite(value) ? fmax(high, value) : high;
        }
        if (limits.has_band) {
            low = fmin(low, isfinite(limits.below) ? limits.below : limits.target);
            high = fmax(high, isfinite(limits.above) ? limits.above : limits.target);
        }
    }
    if (!(low <= high)) {
        low = 0;
        high = 100;
    }
    return svg_scale_make(low, high, PANEL_HEIGHT - 26, 18, 14);
}

static double clamped(const struct svg_scale *scale, double value)
{
    double at = svg_scale_at(scale, value);
    return fmax(scale->to, fmin(scale->from, at));
}

static void draw_frame(FILE *stream, const struct svg_scale *up, const struct svg_scale *across)
{
    for (int i = 0; i < svg_scale_ticks(up); i++) {
        double tick = svg_scale_tick(up, i);
        char text[64];
        double y = svg_scale_at(up, tick);
        svg_line(stream, across->from, y, across->to, y, "stroke=\"#dddddd\" stroke-width=\"0.7\"");
        say_whole(text, sizeof text, tick);
        svg_text(stream, across->from - 3, y + 3.5, tick_type, text);
    }
    for (int i = 0; i < svg_scale_ticks(across); i++) {
        double tick = svg_scale_tick(across, i);
        char text[64];
        say_whole(text, sizeof text, tick);
        svg_text(stream, svg_scale_at(across, tick), up->from + 12, time_type, text);
    }
}

static void draw_limits(FILE *stream, const struct limits *limits, const struct svg_scale *up,
                        const struct svg_scale *across)
{
    if (limits->has_band) {
        double top = clamped(up, limits->above), bottom = clamped(up, limits->below);
        svg_rectangle(stream, across->from, top, across->to - across->from, bottom - top,
                      "fill=\"#009e73\" fill-opacity=\"0.16\"");
    }
    if (limits->has_target) {
        double y = clamped(up, limits->target);
        svg_line(stream, across->from, y, across->to, y,
                 "stroke=\"#009e73\" stroke-width=\"1\" stroke-dasharray=\"4 3\"");
    }
}

static void draw_course(FILE *stream, const struct trace *trace, int channel, bool counts,
                        const struct svg_scale *up, const struct svg_scale *across)
{
    bool pen_down = false;
    svg_path_begin(stream, counts ? "fill=\"none\" stroke=\"#000000\" stroke-width=\"1.3\""
                                  : "fill=\"none\" stroke=\"#999999\" stroke-width=\"1.3\"");
    for (int second = 0; second < trace->seconds; second++) {
        double value = trace->mm[channel][second];
        double y = isfinite(value) ? clamped(up, value) : (double)NAN;
        svg_path_point(stream, svg_scale_at(across, second + 0.5), y, &pen_down);
    }
    svg_path_end(stream);
}

static void draw_panel(FILE *stream, const struct report_input *input, const struct traces *traces,
                       int index, int channel, const struct svg_scale *up)
{
    const struct hold_record *hold = &input->record->hold[index];
    const struct trace *trace = &traces->hold[index];
    struct limits limits = limits_of(input, index, channel);
    struct svg_scale across = {0, trace->seconds, 34, PANEL_WIDTH - 8,
                               trace->seconds > 150 ? 60 : 20};
    bool tied = input->analysis->tie[hold->build][channel].kind != TIE_NONE;
    char name[SAY_SIZE], found[64];
    say_hold_findings(found, sizeof found,
                      hold_findings_of(hold, &input->analysis->hold[index]) |
                          (tied ? 0 : HOLD_FOUND(HOLD_FOUND_NOT_TIED)),
                      SAY_HOLD_PICTURE);
    snprintf(name, sizeof name, "hold %d: setup %d, %s%s", hold->number,
             digest_setup_of_hold(input, index)->number, say_hold_kind(hold->guided, false, false),
             found);
    svg_text(stream, 2, 12, name_type, name);
    if (!tied) {
        return;
    }
    draw_limits(stream, &limits, up, &across);
    draw_frame(stream, up, &across);
    draw_course(stream, trace, channel, input->analysis->hold[index].counts, up, &across);
}

/* 'Head: 3 holds crept by more than chance', 'Head in each hold'. */
static void title_words(const struct report_input *input, int channel, char *text, size_t size)
{
    int crept = 0;
    for (int hold = 0; hold < input->record->hold_count; hold++) {
        const struct hold_result *result = &input->analysis->hold[hold];
        crept += result->has[channel] && result->counts && result->summary[channel].creep_flagged
                     ? 1
                     : 0;
    }
    if (crept > 0) {
        snprintf(text, size, "%s in each hold: %d crept by more than chance",
                 input->analysis->channel_name[channel], crept);
    } else {
        snprintf(text, size, "%s in each hold: none crept by more than chance",
                 input->analysis->channel_name[channel]);
    }
}

static void draw(FILE *stream, const struct report_input *input, const struct traces *traces,
                 int channel, const struct stretch *stretch)
{
    struct svg_scale up = scale_of(input, traces, channel);
    char title[SAY_SIZE];
    int panel = 0;
    title_words(input, channel, title, sizeof title);
    svg_text(stream, 14, 22, plot_title, title);
    svg_text(stream, 14, 40, plot_small,
             "Mean of each second, mm, over the seconds of the hold. Green: band; dashed: target.");
    for (int hold = stretch->from; hold < stretch->to; hold++) {
        if (!shown(traces, hold, channel)) {
            continue;
        }
        int row = panel / COLUMNS;
        svg_group_begin(stream, 8 + PANEL_WIDTH * (panel % COLUMNS), TOP + PANEL_HEIGHT * row);
        draw_panel(stream, input, traces, hold, channel, &up);
        svg_group_end(stream);
        panel++;
    }
}

int plot_holds(FILE *stream, const struct report_input *input, const struct traces *traces,
               int channel, int from)
{
    const struct stretch stretch = stretch_of(traces, channel, from, MOST_PANELS);
    char title[SAY_SIZE];
    if (stretch.panels > 0) {
        title_words(input, channel, title, sizeof title);
        svg_begin(stream, SVG_WIDTH, picture_height(&stretch), false, title);
        draw(stream, input, traces, channel, &stretch);
        svg_end(stream);
    }
    return stretch.to;
}

bool report_holds_svg(FILE *stream, const struct report_input *input, sample_source *source,
                      void *context, struct problem *problem)
{
    struct traces *traces = traces_make(input, source, context, problem);
    double height = 0, top = 0;
    if (traces == NULL) {
        return false;
    }
    struct stretch whole[CHANNELS_MAX];
    int panels = 0;
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        whole[channel] = stretch_of(traces, channel, 0, HOLDS_MAX);
        height += input->analysis->body[channel] ? picture_height(&whole[channel]) : 0;
        panels += input->analysis->body[channel] ? whole[channel].panels : 0;
    }
    if (panels == 0) {
        traces_free(traces);
        return problem_set(problem, "no picture of the holds: it takes a hold with readings");
    }
    svg_begin(stream, SVG_WIDTH, height, true, "Each hold's course");
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        if (input->analysis->body[channel]) {
            svg_group_begin(stream, 0, top);
            draw(stream, input, traces, channel, &whole[channel]);
            svg_group_end(stream);
            top += picture_height(&whole[channel]);
        }
    }
    svg_end(stream);
    traces_free(traces);
    return plot_written(stream, problem);
}
