/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Setups side by side: mean and 95 % limits on one scale. */
#include "base/text.h"
#include "report/digest.h"
#include "report/plot_axes.h"
#include "report/plots.h"
#include "say/setup.h"

#include <math.h>

#define LEFT 14.0
#define RIGHT (SVG_WIDTH - 14.0)
#define TOP 58.0
#define ROW 46.0
#define BAR 28.0 /* of a row: where its bar stands */
#define AXIS 40.0

static const struct svg_type label_type = {12.5, SVG_START, true, NULL};
static const struct svg_type words_type = {12, SVG_END, false, NULL};

/* The setups that are drawn, by their index. */
struct rows {
    int count;
    int setup[SETUPS_MAX];
};

/* All; or the one compared against, the chosen one, and the latest of the others. */
static struct rows rows_of(const struct report_input *input, int channel, int most)
{
    const int all = input->record->setup_count, chosen = digest_chosen(input);
    const int baseline = input->analysis->free_heights[channel].baseline;
    bool drawn[SETUPS_MAX] = {false};
    int left = most;
    for (int setup = 0; setup < all; setup++) {
        drawn[setup] = setup == baseline || setup == chosen;
        left -= drawn[setup] ? 1 : 0;
    }
    for (int setup = all - 1; setup >= 0 && left > 0; setup--) {
        left -= drawn[setup] ? 0 : 1;
        drawn[setup] = true;
    }
    struct rows rows = {0, {0}};
    for (int setup = 0; setup < all; setup++) {
        if (drawn[setup]) {
            rows.setup[rows.count++] = setup;
        }
    }
    return rows;
}

static double picture_height(const struct rows *rows)
{
    return TOP + ROW * rows->count + AXIS;
}

/* 'Head: lower on setups 2 and 4', 'Head: no setup is told from setup 1 yet'. */
static void title_words(const struct report_input *input, int channel, char *text, size_t size)
{
    const struct comparison *comparison = &input->analysis->free_heights[channel];
    const char *name = input->analysis->channel_name[channel];
    int lower[SETUPS_MAX], higher[SETUPS_MAX], lower_count = 0, higher_count = 0;
    char list[SAY_SIZE];
    size_t used = 0;
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        enum verdict verdict = comparison->difference[setup].verdict;
        if (setup_sight_failed(input->record, setup)) {
            continue; /* whatever its numbers */
        }
        if (verdict == VERDICT_LOWER) {
            lower[lower_count++] = input->record->setup[setup].number;
        } else if (verdict == VERDICT_HIGHER) {
            higher[higher_count++] = input->record->setup[setup].number;
        }
    }
    text_copy(text, size, "");
    text_append(text, size, &used, "%s: ", name);
    if (lower_count + higher_count == 0) {
        text_append(text, size, &used, "none is lower or higher than setup %d for certain",
                    input->record->settings.baseline_setup);
        return;
    }
    if (lower_count > 0) {
        say_list(list, sizeof list, "lower on setup", "lower on setups", lower, lower_count);
        text_append(text, size, &used, "%s", list);
    }
    if (higher_count > 0) {
        say_list(list, sizeof list, "higher on setup", "higher on setups", higher, higher_count);
        text_append(text, size, &used, "%s%s", lower_count > 0 ? ", " : "", list);
    }
}

static bool shown(const struct setup_estimate *estimate)
{
    return estimate->holds > 0 && estimate->tied && isfinite(estimate->mean);
}

static struct svg_scale scale_of(const struct comparison *comparison, const struct rows *rows)
{
    double low = INFINITY, high = -INFINITY;
    for (int row = 0; row < rows->count; row++) {
        const struct setup_estimate *estimate = &comparison->setup[rows->setup[row]];
        double half = estimate->has_interval ? estimate->half_width : 0;
        double matters = rows->setup[row] == comparison->baseline ? comparison->matters : 0;
        if (shown(estimate)) {
            low = fmin(low, estimate->mean - fmax(half, matters));
            high = fmax(high, estimate->mean + fmax(half, matters));
        }
    }
    if (!(low <= high)) {
        low = 0;
        high = 100;
    }
    return plot_scale_across(low, high, LEFT + 6, RIGHT - 6, 60);
}

/* Lines of the grid stand only where the bars are, so that words stay clear of them. */
static void draw_axis(FILE *stream, const struct svg_scale *scale, int rows)
{
    double bottom = TOP + ROW * rows;
    for (int i = 0; i < svg_scale_ticks(scale); i++) {
        double tick = svg_scale_tick(scale, i);
        char text[64];
        double x = svg_scale_at(scale, tick);
        for (int row = 0; row < rows; row++) {
            svg_line(stream, x, TOP + ROW * row + BAR - 10, x, TOP + ROW * row + BAR + 10,
                     "stroke=\"#cccccc\" stroke-width=\"1\"");
        }
        say_whole(text, sizeof text, tick);
        svg_text(stream, x, bottom + 15, plot_tick, text);
    }
    svg_line(stream, LEFT, bottom, RIGHT, bottom, PLOT_LINE_GREY);
}

/* What does not matter, about the setup compared against. */
static void draw_baseline(FILE *stream, const struct comparison *comparison,
                          const struct svg_scale *scale, int rows)
{
    const struct setup_estimate *estimate = &comparison->setup[comparison->baseline];
    if (!shown(estimate)) {
        return;
    }
    double from = svg_scale_at(scale, estimate->mean - comparison->matters);
    double to = svg_scale_at(scale, estimate->mean + comparison->matters);
    double middle = svg_scale_at(scale, estimate->mean);
    for (int row = 0; row < rows; row++) {
        double y = TOP + ROW * row + BAR;
        svg_rectangle(stream, from, y - 10, to - from, 20, "fill=\"#e6e6e6\"");
        svg_line(stream, middle, y - 10, middle, y + 10,
                 PLOT_LINE_GREY " stroke-dasharray=\"4 3\"");
    }
}

static void draw_interval(FILE *stream, const struct setup_estimate *estimate,
                          const struct svg_scale *scale, double y, int setup, bool baseline)
{
    char look[128];
    double x = svg_scale_at(scale, estimate->mean);
    snprintf(look, sizeof look, "stroke=\"%s\" stroke-width=\"2.5\"", svg_setup_colour(setup));
    if (estimate->has_interval) {
        double from = svg_scale_at(scale, estimate->mean - estimate->half_width);
        double to = svg_scale_at(scale, estimate->mean + estimate->half_width);
        svg_line(stream, from, y, to, y, look);
        svg_line(stream, from, y - 5, from, y + 5, look);
        svg_line(stream, to, y - 5, to, y + 5, look);
    }
    snprintf(look, sizeof look, "fill=\"%s\"", svg_setup_colour(setup));
    if (baseline) {
        svg_rectangle(stream, x - 5, y - 5, 10, 10, look);
    } else {
        svg_circle(stream, x, y, 5.5, look);
    }
}

static void draw_row(FILE *stream, const struct report_input *input, int channel, int setup,
                     const struct svg_scale *scale, double y)
{
    const struct comparison *comparison = &input->analysis->free_heights[channel];
    const struct setup_estimate *estimate = &comparison->setup[setup];
    char label[TEXT_SIZE + 64], words[SAY_SIZE], fitted[SAY_SIZE];
    bool baseline = setup == comparison->baseline;

    digest_setup_label(input->record, setup, label, sizeof label);
    text_fit(fitted, sizeof fitted, label, 27, false);
    svg_text(stream, LEFT, y + 12, label_type, fitted);
    say_difference(words, sizeof words, &comparison->difference[setup], SAY_LONG, NULL);
    if (setup_sight_failed(input->record, setup)) {
        text_copy(words, sizeof words, say_failed(SAY_FAILED_MARK)); /* whatever the numbers */
    } else if (baseline) {
        text_copy(words, sizeof words, "the others are set against this");
    } else if (words[0] == '\0') {
        text_copy(words, sizeof words, "no free hold yet");
    }
    text_fit(fitted, sizeof fitted, words, 47, false);
    svg_text(stream, RIGHT, y + 12, words_type, fitted);
    if (shown(estimate)) {
        draw_interval(stream, estimate, scale, y + BAR, setup, baseline);
    }
}

/* What bars and grey are; where not all setups are drawn, that too. */
static void draw_key(FILE *stream, const struct report_input *input, double matters_mm, int rows)
{
    const int all = input->record->setup_count;
    char text[2 * SAY_SIZE], matters[32];
    size_t used = 0;
    text_from_double_shortest(matters, sizeof matters, matters_mm);
    text_append(text, sizeof text, &used,
                "Bars: 95 %% limits of the mean. Grey: within %s mm of setup %d", matters,
                input->record->settings.baseline_setup);
    if (rows < all) {
        text_append(text, sizeof text, &used, ". %d of %d setups are shown.", rows, all);
    } else {
        text_append(text, sizeof text, &used, ", too little to matter.");
    }
    svg_text(stream, LEFT, 40, plot_small, text);
}

static void draw(FILE *stream, const struct report_input *input, int channel,
                 const struct rows *rows)
{
    const struct comparison *comparison = &input->analysis->free_heights[channel];
    struct svg_scale scale = scale_of(comparison, rows);
    double bottom = TOP + ROW * rows->count;
    char title[SAY_SIZE], fitted[SAY_SIZE];

    title_words(input, channel, title, sizeof title);
    text_fit(fitted, sizeof fitted, title, 56, false);
    svg_text(stream, LEFT, 22, plot_title, fitted);
    draw_key(stream, input, comparison->matters, rows->count);
    draw_baseline(stream, comparison, &scale, rows->count);
    draw_axis(stream, &scale, rows->count);
    for (int row = 0; row < rows->count; row++) {
        draw_row(stream, input, channel, rows->setup[row], &scale, TOP + ROW * row);
    }
    svg_text(stream, (LEFT + RIGHT) / 2, bottom + 32, plot_tick,
             digest_absolute(input, channel)   ? "height above the bottom bracket, mm"
             : digest_is_range(input, channel) ? "range, mm"
                                               : "height, mm (sensor on the first build = 0)");
}

void plot_heights(FILE *stream, const struct report_input *input, int channel, int most)
{
    const struct rows rows = rows_of(input, channel, most);
    char title[SAY_SIZE];
    title_words(input, channel, title, sizeof title);
    svg_begin(stream, SVG_WIDTH, picture_height(&rows), false, title);
    draw(stream, input, channel, &rows);
    svg_end(stream);
}

/* Is there a mean that could be drawn? */
static bool has_height(const struct report_input *input)
{
    bool any = false;
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        for (int s = 0; input->analysis->body[channel] && s < input->record->setup_count; s++) {
            any = any || input->analysis->free_heights[channel].setup[s].holds > 0;
        }
    }
    return any;
}

bool report_heights_svg(FILE *stream, const struct report_input *input, struct problem *problem)
{
    const struct rows all = rows_of(input, 0, SETUPS_MAX);
    int panels = 0;
    if (!has_height(input)) {
        return problem_set(problem, "no picture of heights: it takes a free hold that counts");
    }
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        panels += input->analysis->body[channel] ? 1 : 0;
    }
    svg_begin(stream, SVG_WIDTH, picture_height(&all) * panels, true, "Heights of the setups");
    panels = 0;
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        if (input->analysis->body[channel]) {
            svg_group_begin(stream, 0, picture_height(&all) * panels++);
            draw(stream, input, channel, &all);
            svg_group_end(stream);
        }
    }
    svg_end(stream);
    return plot_written(stream, problem);
}
