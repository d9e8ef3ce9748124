/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Two channels against each other: where the body was on each setup. */
#include "base/text.h"
#include "report/digest.h"
#include "report/plot_axes.h"
#include "report/plots.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LEFT 62.0
#define RIGHT 462.0
#define TOP 52.0
#define BOTTOM 340.0
#define HEIGHT (BOTTOM + 40.0)
#define NAMES 480.0 /* beside it */
#define NAMES_END (SVG_WIDTH - 10.0)
#define ROW 18.0
#define STROKE 31.0

/* One setup's seconds of free holds that count, settled part only. */
struct cloud {
    double *x, *y;
    size_t count;
    bool has_ellipse;
    struct ellipse ellipse;
};
struct clouds {
    int x_channel, y_channel; /* chest across, head up */
    double low_x, high_x, low_y, high_y;
    int shown, outside; /* setups; seconds that lie beyond the scales */
    struct cloud setup[SETUPS_MAX];
};

static bool pick_channels(const struct analysis *analysis, struct clouds *clouds)
{
    int found = 0;
    for (int channel = 0; channel < analysis->channel_count && found < 2; channel++) {
        if (analysis->body[channel]) {
            *(found == 0 ? &clouds->y_channel : &clouds->x_channel) = channel;
            found++;
        }
    }
    return found == 2;
}

static bool takes_part(const struct report_input *input, const struct clouds *clouds, int hold,
                       int setup)
{
    const struct hold_record *recorded = &input->record->hold[hold];
    const struct hold_result *result = &input->analysis->hold[hold];
    const struct tie *ties = input->analysis->tie[recorded->build];
    return input->record->build[recorded->build].setup == setup && !recorded->guided &&
           result->counts && result->summary[clouds->x_channel].has_interval &&
           result->summary[clouds->y_channel].has_interval &&
           ties[clouds->x_channel].kind != TIE_NONE && ties[clouds->y_channel].kind != TIE_NONE;
}

static void collect_hold(const struct report_input *input, const struct traces *traces, int hold,
                         const struct clouds *clouds, struct cloud *cloud)
{
    const struct trace *trace = &traces->hold[hold];
    const double *across = trace->mm[clouds->x_channel], *up = trace->mm[clouds->y_channel];
    const struct hold_summary *summary = input->analysis->hold[hold].summary;
    double from =
        fmax(summary[clouds->x_channel].cut_start_s, summary[clouds->y_channel].cut_start_s);
    for (int second = (int)ceil(from); across != NULL && up != NULL && second < trace->seconds;
         second++) {
        if (isfinite(across[second]) && isfinite(up[second])) {
            cloud->x[cloud->count] = across[second];
            cloud->y[cloud->count] = up[second];
            cloud->count++;
        }
    }
}

static bool collect(const struct report_input *input, const struct traces *traces, int setup,
                    struct clouds *clouds)
{
    struct cloud *cloud = &clouds->setup[setup];
    size_t room = 0;
    for (int hold = 0; hold < traces->hold_count; hold++) {
        room += takes_part(input, clouds, hold, setup) ? (size_t)traces->hold[hold].seconds : 0;
    }
    if (room == 0) {
        return true;
    }
    cloud->x = malloc(room * sizeof *cloud->x);
    cloud->y = malloc(room * sizeof *cloud->y);
    if (cloud->x == NULL || cloud->y == NULL) {
        return false;
    }
    for (int hold = 0; hold < traces->hold_count; hold++) {
        if (takes_part(input, clouds, hold, setup)) {
            collect_hold(input, traces, hold, clouds, cloud);
        }
    }
    cloud->has_ellipse = input->analysis->insight.together[setup];
    cloud->ellipse = input->analysis->insight.ellipse[setup];
    clouds->shown += cloud->count > 0 ? 1 : 0;
    return true;
}

/* What the points of all setups take in along one axis, strays apart. False without memory. */
static bool span_of(const struct clouds *clouds, int setups, bool across, double *low, double *high)
{
    size_t room = 0, count = 0;
    for (int setup = 0; setup < setups; setup++) {
        room += clouds->setup[setup].count;
    }
    double *values = malloc((room + 1) * sizeof *values);
    for (int setup = 0; values != NULL && setup < setups; setup++) {
        const struct cloud *cloud = &clouds->setup[setup];
        for (size_t i = 0; i < cloud->count; i++) {
            values[count++] = across ? cloud->x[i] : cloud->y[i];
        }
    }
    if (count > 0) {
        plot_span(values, count, low, high);
    }
    free(values);
    return count > 0;
}

/* Corners of points and ellipses. */
static bool corners(struct clouds *clouds, int setups)
{
    if (!span_of(clouds, setups, true, &clouds->low_x, &clouds->high_x) ||
        !span_of(clouds, setups, false, &clouds->low_y, &clouds->high_y)) {
        return false;
    }
    for (int setup = 0; setup < setups; setup++) {
        const struct cloud *cloud = &clouds->setup[setup];
        if (cloud->has_ellipse) {
            const struct ellipse *ellipse = &cloud->ellipse;
            double across = sqrt(ellipse->scale * ellipse->var_x);
            double up = sqrt(ellipse->scale * ellipse->var_y);
            clouds->low_x = fmin(clouds->low_x, ellipse->mean_x - across);
            clouds->high_x = fmax(clouds->high_x, ellipse->mean_x + across);
            clouds->low_y = fmin(clouds->low_y, ellipse->mean_y - up);
            clouds->high_y = fmax(clouds->high_y, ellipse->mean_y + up);
        }
    }
    return true;
}

static bool is_outside(double value, const struct svg_scale *scale)
{
    return value < scale->low || value > scale->high;
}

static void count_outside(struct clouds *clouds, int setups, const struct svg_scale *across,
                          const struct svg_scale *up)
{
    for (int setup = 0; setup < setups; setup++) {
        const struct cloud *cloud = &clouds->setup[setup];
        for (size_t i = 0; i < cloud->count; i++) {
            clouds->outside +=
                is_outside(cloud->x[i], across) || is_outside(cloud->y[i], up) ? 1 : 0;
        }
    }
}

/* A millimetre is as long across as up, or an ellipse would mislead: the smaller of both scales is
 * taken. */
static void equal_scales(const struct clouds *clouds, struct svg_scale *across,
                         struct svg_scale *up)
{
    double per_x = (clouds->high_x - clouds->low_x) / (RIGHT - LEFT);
    double per_y = (clouds->high_y - clouds->low_y) / (BOTTOM - TOP);
    double per = fmax(fmax(per_x, per_y), 0.02);
    double middle_x = (clouds->low_x + clouds->high_x) / 2,
           middle_y = (clouds->low_y + clouds->high_y) / 2;
    double half_x = per * (RIGHT - LEFT) / 2, half_y = per * (BOTTOM - TOP) / 2;
    *across = plot_scale_across(middle_x - half_x, middle_x + half_x, LEFT, RIGHT, 60);
    *up = plot_scale_up(middle_y - half_y, middle_y + half_y, BOTTOM, TOP, 45);
}

static void draw_axes(FILE *stream, const struct report_input *input, const struct clouds *clouds,
                      const struct svg_scale *across, const struct svg_scale *up)
{
    char text[SAY_SIZE];
    plot_ticks_across(stream, across, TOP, BOTTOM, BOTTOM + 15);
    plot_ticks_up(stream, up, LEFT, RIGHT, -INFINITY);
    svg_line(stream, LEFT, BOTTOM, RIGHT, BOTTOM, PLOT_LINE_GREY);
    svg_line(stream, LEFT, TOP, LEFT, BOTTOM, PLOT_LINE_GREY);
    snprintf(text, sizeof text, "%s %s, mm", input->analysis->channel_name[clouds->x_channel],
             digest_measured(input, clouds->x_channel));
    svg_text(stream, (LEFT + RIGHT) / 2, BOTTOM + 32, plot_tick, text);
    snprintf(text, sizeof text, "%s %s, mm", input->analysis->channel_name[clouds->y_channel],
             digest_measured(input, clouds->y_channel));
    plot_words_upwards(stream, (TOP + BOTTOM) / 2, text);
}

static void draw_points(FILE *stream, const struct cloud *cloud, int setup,
                        const struct svg_scale *across, const struct svg_scale *up)
{
    char look[96];
    snprintf(look, sizeof look, "fill=\"%s\" fill-opacity=\"0.45\"", svg_setup_colour(setup));
    for (size_t i = 0; i < cloud->count; i++) {
        if (!is_outside(cloud->x[i], across) && !is_outside(cloud->y[i], up)) {
            svg_circle(stream, svg_scale_at(across, cloud->x[i]), svg_scale_at(up, cloud->y[i]),
                       1.6, look);
        }
    }
}

static void draw_ellipse(FILE *stream, const struct report_input *input, const struct cloud *cloud,
                         int setup, const struct svg_scale *across, const struct svg_scale *up)
{
    const struct svg_type number = {13, SVG_MIDDLE, true, svg_setup_colour(setup)};
    char look[160], text[32];
    double per_mm = fabs(across->to - across->from) / (across->high - across->low);
    double x = svg_scale_at(across, cloud->ellipse.mean_x),
           y = svg_scale_at(up, cloud->ellipse.mean_y);
    snprintf(look, sizeof look,
             "fill=\"none\" stroke=\"%s\" stroke-width=\"2\" stroke-dasharray=\"%s\"",
             svg_setup_colour(setup), svg_setup_dashes(setup));
    svg_ellipse(stream, x, y, cloud->ellipse.semi_major * per_mm,
                cloud->ellipse.semi_minor * per_mm, cloud->ellipse.angle_deg, look);
    svg_circle(stream, x, y, 9.5, "fill=\"#ffffff\" fill-opacity=\"0.85\"");
    snprintf(text, sizeof text, "%d", input->record->setup[setup].number);
    svg_text(stream, x, y + 4.5, number, text);
}

/* A stroke as in the picture and the setup's name, beside the picture, in two columns if need be.
 */
static void draw_legend(FILE *stream, const struct report_input *input, const struct clouds *clouds)
{
    int fit = (int)((BOTTOM - TOP) / ROW), columns = clouds->shown > fit ? 2 : 1, place = 0;
    int rows = (clouds->shown + columns - 1) / columns;
    int lines = 2 * clouds->shown <= fit ? 2 : 1; /* of a name */
    double wide = (NAMES_END - NAMES) / columns;
    double row_high = fmin(lines * ROW, (HEIGHT - TOP) / rows);
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        char label[TEXT_SIZE + 64], look[128], line[2][SAY_SIZE];
        if (clouds->setup[setup].count == 0) {
            continue;
        }
        int column = place / rows;
        double x = NAMES + wide * column, y = TOP + 12 + row_high * (place % rows);
        snprintf(look, sizeof look, "stroke=\"%s\" stroke-width=\"2\" stroke-dasharray=\"%s\"",
                 svg_setup_colour(setup), svg_setup_dashes(setup));
        svg_line(stream, x, y - 4, x + STROKE - 6, y - 4, look);
        digest_setup_label(input->record, setup, label, sizeof label);
        int letters = (int)((wide - STROKE) / PLOT_WORDS_BREADTH);
        int count = plot_name_lines(label, letters, lines, line);
        for (int i = 0; i < count; i++) {
            svg_text(stream, x + STROKE, y + ROW * i, plot_words, line[i]);
        }
        place++;
    }
}

static void draw(FILE *stream, const struct report_input *input, struct clouds *clouds, bool alone)
{
    struct svg_scale across, up;
    char title[SAY_SIZE], fitted[SAY_SIZE], words[SAY_SIZE];
    equal_scales(clouds, &across, &up);
    count_outside(clouds, input->record->setup_count, &across, &up);
    snprintf(title, sizeof title, "Where %s and %s were together",
             input->analysis->channel_name[clouds->y_channel],
             input->analysis->channel_name[clouds->x_channel]);
    svg_begin(stream, SVG_WIDTH, HEIGHT, alone, title);
    text_fit(fitted, sizeof fitted, title, 56, false);
    svg_text(stream, 14, 22, plot_title, fitted);
    snprintf(words, sizeof words,
             "A dot is a second of a free hold; each ellipse holds 95 %% of the time.");
    if (clouds->outside > 0) {
        size_t used = strlen(words);
        text_append(words, sizeof words, &used, " Beyond the picture: %d s.", clouds->outside);
    }
    svg_text(stream, 14, 40, plot_small, words);
    draw_axes(stream, input, clouds, &across, &up);
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        draw_points(stream, &clouds->setup[setup], setup, &across, &up);
    }
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        if (clouds->setup[setup].has_ellipse) {
            draw_ellipse(stream, input, &clouds->setup[setup], setup, &across, &up);
        }
    }
    draw_legend(stream, input, clouds);
    svg_end(stream);
}

bool plot_cloud(FILE *stream, const struct report_input *input, const struct traces *traces,
                bool alone)
{
    struct clouds *clouds = calloc(1, sizeof *clouds);
    bool there = clouds != NULL && pick_channels(input->analysis, clouds);
    for (int setup = 0; there && setup < input->record->setup_count; setup++) {
        there = collect(input, traces, setup, clouds);
    }
    there = there && clouds->shown > 0 && corners(clouds, input->record->setup_count);
    if (there) {
        draw(stream, input, clouds, alone);
    }
    for (int setup = 0; clouds != NULL && setup < SETUPS_MAX; setup++) {
        free(clouds->setup[setup].x);
        free(clouds->setup[setup].y);
    }
    free(clouds);
    return there;
}

bool report_cloud_svg(FILE *stream, const struct report_input *input, sample_source *source,
                      void *context, struct problem *problem)
{
    struct traces *traces = traces_make(input, source, context, problem);
    if (traces == NULL) {
        return false;
    }
    bool drawn = plot_cloud(stream, input, traces, true);
    traces_free(traces);
    if (!drawn) {
        return problem_set(
            problem,
            "no picture of two channels together: it takes free holds with two tied channels");
    }
    return plot_written(stream, problem);
}
