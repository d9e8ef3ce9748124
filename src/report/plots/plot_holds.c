/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Each hold's course, small and side by side on one scale, with its target and band. */
#include "base/text.h"
#include "report/digest.h"
#include "report/plot_axes.h"
#include "report/plots.h"
#include "say/holds.h"

#include <math.h>
#include <stdlib.h>

#define COLUMNS 3
#define MOST_PANELS                                                                                \
    12 /* of one picture on a page: more of them fill pages better than larger ones */
#define PANEL_WIDTH 234.0
#define PANEL_HEIGHT 60.0
#define PANEL_TOP 20.0
#define PANEL_BOTTOM 54.0
#define TOP 48.0
#define TOP_GOING_ON 26.0 /* where the picture goes on from the one before */
#define FOOT 4.0
#define LONG_S 150 /* from which on a line stands at each minute */
#define MARK 3.0   /* half of an arrow's breadth */

static const struct svg_type tick_type = {11, SVG_END, false, PLOT_GREY};
static const struct svg_type name_type = {11, SVG_START, false, NULL};
static const struct svg_type going_on_type = {12, SVG_START, true, NULL};

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

static double picture_top(const struct stretch *stretch)
{
    return stretch->from > 0 ? TOP_GOING_ON : TOP;
}

static double picture_height(const struct stretch *stretch)
{
    return picture_top(stretch) + PANEL_HEIGHT * ceil(stretch->panels / (double)COLUMNS) + FOOT;
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

/* All seconds of the holds that are tied; the caller frees it. */
static double *all_values(const struct report_input *input, const struct traces *traces,
                          int channel, size_t *count)
{
    size_t room = 1;
    for (int hold = 0; hold < traces->hold_count; hold++) {
        room += (size_t)traces->hold[hold].seconds;
    }
    double *values = malloc(room * sizeof *values);
    *count = 0;
    for (int hold = 0; values != NULL && hold < traces->hold_count; hold++) {
        bool tied = input->analysis->tie[input->record->hold[hold].build][channel].kind != TIE_NONE;
        for (int second = 0;
             tied && shown(traces, hold, channel) && second < traces->hold[hold].seconds;
             second++) {
            double value = traces->hold[hold].mm[channel][second];
            if (isfinite(value)) {
                values[(*count)++] = value;
            }
        }
    }
    return values;
}

/* One scale for all panels, so that heights can be compared across them. outside: something of a
 * course lies beyond it. */
static struct svg_scale scale_of(const struct report_input *input, const struct traces *traces,
                                 int channel, bool *outside)
{
    double low = 0, high = 100;
    size_t count = 0;
    double *values = all_values(input, traces, channel, &count);
    if (count > 0) {
        plot_span(values, count, &low, &high);
    }
    for (int hold = 0; count > 0 && hold < traces->hold_count; hold++) {
        struct limits limits = limits_of(input, hold, channel);
        if (limits.has_band) {
            low = fmin(low, isfinite(limits.below) ? limits.below : limits.target);
            high = fmax(high, isfinite(limits.above) ? limits.above : limits.target);
        }
    }
    struct svg_scale up = plot_scale_up(low, high, PANEL_BOTTOM, PANEL_TOP, 14);
    *outside = count > 0 && (values[0] < up.low || values[count - 1] > up.high);
    free(values);
    return up;
}

static double clamped(const struct svg_scale *scale, double value)
{
    double at = svg_scale_at(scale, value);
    return fmax(scale->to, fmin(scale->from, at));
}

static void draw_frame(FILE *stream, const struct svg_scale *up, const struct svg_scale *across)
{
    for (int i = 0; i < svg_scale_ticks(across); i++) {
        double x = svg_scale_at(across, svg_scale_tick(across, i));
        svg_line(stream, x, up->to, x, up->from, "stroke=\"#dddddd\" stroke-width=\"0.7\"");
    }
    for (int i = 0; i < svg_scale_ticks(up); i++) {
        char text[64];
        double y = svg_scale_at(up, svg_scale_tick(up, i));
        svg_line(stream, across->from, y, across->to, y, "stroke=\"#dddddd\" stroke-width=\"0.7\"");
        plot_tick_text(text, sizeof text, up, i);
        svg_text(stream, across->from - 3, y + 3.5, tick_type, text);
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

/* An arrow at the border, where a course lies beyond the scale from one second to before another.
 */
static void draw_outside(FILE *stream, const struct svg_scale *up, const struct svg_scale *across,
                         int from, int to, bool above)
{
    double x = svg_scale_at(across, (from + to) / 2.0), way = above ? -1 : 1;
    double tip = above ? up->to : up->from;
    bool pen_down = false;
    svg_path_begin(stream, "fill=\"#000000\"");
    svg_path_point(stream, x - MARK, tip - way * 2 * MARK, &pen_down);
    svg_path_point(stream, x + MARK, tip - way * 2 * MARK, &pen_down);
    svg_path_point(stream, x, tip, &pen_down);
    svg_path_end(stream);
}

static int side_of(const struct svg_scale *up, double value)
{
    return value > up->high ? 1 : value < up->low ? -1 : 0; /* not of NAN */
}

static void draw_course(FILE *stream, const struct trace *trace, int channel, bool counts,
                        const struct svg_scale *up, const struct svg_scale *across)
{
    const double *mm = trace->mm[channel];
    bool pen_down = false;
    svg_path_begin(stream, counts ? "fill=\"none\" stroke=\"#000000\" stroke-width=\"1.3\""
                                  : "fill=\"none\" stroke=\"#999999\" stroke-width=\"1.3\"");
    for (int second = 0; second < trace->seconds; second++) {
        double y = isfinite(mm[second]) ? clamped(up, mm[second]) : (double)NAN;
        svg_path_point(stream, svg_scale_at(across, second + 0.5), y, &pen_down);
    }
    svg_path_end(stream);
    for (int from = 0, to; from < trace->seconds; from = to) {
        to = from + 1;
        while (to < trace->seconds && side_of(up, mm[to]) == side_of(up, mm[from])) {
            to++;
        }
        if (side_of(up, mm[from]) != 0) {
            draw_outside(stream, up, across, from, to, mm[from] > up->high);
        }
    }
}

static void draw_panel(FILE *stream, const struct report_input *input, const struct traces *traces,
                       int index, int channel, const struct svg_scale *up)
{
    const struct hold_record *hold = &input->record->hold[index];
    const struct trace *trace = &traces->hold[index];
    struct limits limits = limits_of(input, index, channel);
    struct svg_scale across = {0, trace->seconds, 34, PANEL_WIDTH - 8,
                               trace->seconds > LONG_S ? 60 : 10};
    bool tied = input->analysis->tie[hold->build][channel].kind != TIE_NONE;
    char name[SAY_SIZE], found[64], seconds[64];
    say_hold_findings(found, sizeof found,
                      hold_findings_of(hold, &input->analysis->hold[index]) |
                          (tied ? 0 : HOLD_FOUND(HOLD_FOUND_NOT_TIED)),
                      SAY_HOLD_PICTURE);
    snprintf(name, sizeof name, "hold %d: setup %d, %s%s", hold->number,
             digest_setup_of_hold(input, index)->number, say_hold_kind(hold->guided, false, false),
             found);
    svg_text(stream, 2, 12, name_type, name);
    say_duration(seconds, sizeof seconds, input->analysis->hold[index].duration_s);
    svg_text(stream, PANEL_WIDTH - 8, 12, tick_type, seconds);
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

/* 'head, holds 13 to 24' */
static void going_on_words(const struct report_input *input, const struct traces *traces,
                           int channel, const struct stretch *stretch, char *text, size_t size)
{
    int numbers[HOLDS_MAX], count = 0;
    char list[SAY_SIZE];
    for (int hold = stretch->from; hold < stretch->to; hold++) {
        if (shown(traces, hold, channel)) {
            numbers[count++] = input->record->hold[hold].number;
        }
    }
    say_list(list, sizeof list, "hold", "holds", numbers, count);
    snprintf(text, size, "%.*s, %.*s", CHANNEL_NAME_SIZE, input->analysis->channel_name[channel],
             SAY_SIZE / 2, list);
}

static void draw_heading(FILE *stream, const struct report_input *input,
                         const struct traces *traces, int channel, const struct stretch *stretch,
                         bool outside)
{
    char title[SAY_SIZE];
    if (stretch->from > 0) {
        going_on_words(input, traces, channel, stretch, title, sizeof title);
        svg_text(stream, 14, 16, going_on_type, title);
        return;
    }
    title_words(input, channel, title, sizeof title);
    svg_text(stream, 14, 22, plot_title, title);
    snprintf(title, sizeof title,
             "Mean of each second, mm; lines every 10 s, in long holds every minute. Green: band; "
             "dashed: target.%s",
             outside ? " Arrow: beyond." : "");
    svg_text(stream, 14, 40, plot_small, title);
}

static void draw(FILE *stream, const struct report_input *input, const struct traces *traces,
                 int channel, const struct stretch *stretch)
{
    bool outside = false;
    struct svg_scale up = scale_of(input, traces, channel, &outside);
    int panel = 0;
    draw_heading(stream, input, traces, channel, stretch, outside);
    for (int hold = stretch->from; hold < stretch->to; hold++) {
        if (!shown(traces, hold, channel)) {
            continue;
        }
        int row = panel / COLUMNS;
        svg_group_begin(stream, 8 + PANEL_WIDTH * (panel % COLUMNS),
                        picture_top(stretch) + PANEL_HEIGHT * row);
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
