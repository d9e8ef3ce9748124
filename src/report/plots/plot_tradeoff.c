/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What a lower posture costs: height against how it was kept and how it felt, setup by setup. There
 * is no single score; what no other setup beats on everything is filled. */
#include "base/text.h"
#include "measure/tradeoff.h"
#include "report/digest.h"
#include "report/plot_axes.h"
#include "report/plots.h"
#include "say/insight_words.h"
#include "say/setup.h"

#include <math.h>
#include <stdlib.h>

#define LEFT 58.0
#define RIGHT (SVG_WIDTH - 14.0)
#define TOP 56.0
#define PANEL 112.0
#define BETWEEN 24.0
#define ROW 18.0
#define SHARE_OF_SCALE 100.0

enum panel { PANEL_KEEPING, PANEL_FEELING, PANELS };

struct trade {
    int channel; /* whose height is across */
    bool share;  /* keeping is the in-band share; else steadiness of free holds */
    int panels[PANELS], panel_count;
    struct tradeoff_setup setup[SETUPS_MAX];
    struct tradeoff_mark mark[SETUPS_MAX];
    double value[PANELS][SETUPS_MAX]; /* NAN = not there */
    double height[SETUPS_MAX], half_width[SETUPS_MAX];
    double steadiness_mm[SETUPS_MAX], in_band[SETUPS_MAX];
};

/* What is said of one setup, or of several the same, under the panels. */
struct spoken {
    char words[SAY_SIZE];
    int setup[SETUPS_MAX], count;
};
struct spoken_lines {
    struct spoken line[SETUPS_MAX];
    int count;
};

/* ---- what is shown --------------------------------------------------------------------------- */

/* What the analysis found is marked; how the channel across was kept is drawn. */
static void take_setup(const struct report_input *input, int index, struct trade *trade)
{
    const struct insight *insight = &input->analysis->insight;
    const struct setup_estimate *estimate =
        &input->analysis->free_heights[trade->channel].setup[index];
    struct setup_digest digest;
    bool tied = estimate->holds > 0 && estimate->tied;
    bool rated = insight->value[index].has[TRADEOFF_DISCOMFORT];
    digest_setup(input, index, &digest);
    trade->setup[index] = insight->value[index];
    trade->mark[index] = insight->mark[index];
    trade->height[index] = tied ? estimate->mean : (double)NAN;
    trade->half_width[index] = tied && estimate->has_interval ? estimate->half_width : 0;
    trade->steadiness_mm[index] = digest.channel[trade->channel].steadiness_free_mm;
    trade->in_band[index] = digest.channel[trade->channel].in_band_share;
    trade->value[PANEL_FEELING][index] =
        rated ? insight->value[index].value[TRADEOFF_DISCOMFORT] : (double)NAN;
}

static int both(const struct trade *trade, int setups, const double *values)
{
    int count = 0;
    for (int setup = 0; setup < setups; setup++) {
        count += isfinite(trade->height[setup]) && isfinite(values[setup]) ? 1 : 0;
    }
    return count;
}

/* Two setups at least have both, and not all of them the same: else there is nothing to see. */
static bool says_something(const struct trade *trade, int setups, const double *values)
{
    double low = INFINITY, high = -INFINITY;
    for (int setup = 0; setup < setups; setup++) {
        if (isfinite(trade->height[setup]) && isfinite(values[setup])) {
            low = fmin(low, values[setup]);
            high = fmax(high, values[setup]);
        }
    }
    return both(trade, setups, values) > 1 && high > low;
}

static bool collect(const struct report_input *input, struct trade *trade)
{
    int setups = input->record->setup_count;
    trade->channel = -1;
    for (int channel = input->analysis->channel_count - 1; channel >= 0; channel--) {
        trade->channel = input->analysis->body[channel] ? channel : trade->channel;
    }
    if (trade->channel < 0) {
        return false;
    }
    for (int setup = 0; setup < setups; setup++) {
        take_setup(input, setup, trade);
        trade->value[PANEL_KEEPING][setup] = trade->in_band[setup] * SHARE_OF_SCALE;
    }
    trade->share = says_something(trade, setups, trade->value[PANEL_KEEPING]);
    for (int setup = 0; !trade->share && setup < setups; setup++) {
        trade->value[PANEL_KEEPING][setup] = trade->steadiness_mm[setup];
    }
    for (int panel = 0; panel < PANELS; panel++) {
        if (says_something(trade, setups, trade->value[panel])) {
            trade->panels[trade->panel_count++] = panel;
        }
    }
    return trade->panel_count > 0;
}

/* ---- drawing --------------------------------------------------------------------------------- */

static const char *panel_words(const struct trade *trade, int panel)
{
    if (panel == PANEL_FEELING) {
        return "Worst discomfort, 0 to 10 (lower down is better)";
    }
    return trade->share ? "In the band, % of the time, gauge seen (higher up is better)"
                        : "Spread about the mean, mm, gauge hidden (lower down is better)";
}

static struct svg_scale scale_across(const struct trade *trade, int setups)
{
    double low = INFINITY, high = -INFINITY;
    for (int setup = 0; setup < setups; setup++) {
        if (isfinite(trade->height[setup])) {
            low = fmin(low, trade->height[setup] - trade->half_width[setup]);
            high = fmax(high, trade->height[setup] + trade->half_width[setup]);
        }
    }
    return plot_scale_across(low, high, LEFT + 8, RIGHT - 8, 60);
}

static struct svg_scale scale_up(const struct trade *trade, int panel, int setups, double top)
{
    double low = INFINITY, high = -INFINITY;
    for (int setup = 0; setup < setups; setup++) {
        double value = trade->value[panel][setup];
        if (isfinite(value) && isfinite(trade->height[setup])) {
            low = fmin(low, value);
            high = fmax(high, value);
        }
    }
    /* a scale of a few hundredths would make much of nothing */
    double least = panel == PANEL_FEELING ? 3 : trade->share ? 20 : 2;
    double more = fmax(0, least - (high - low)) / 2;
    low = fmax(0, low - more);
    high += more;
    if (panel == PANEL_KEEPING && trade->share) {
        high = fmin(SHARE_OF_SCALE, high);
    }
    return plot_scale_up(low, high, top + PANEL - 10, top + 12, 26);
}

static void draw_grid(FILE *stream, const struct svg_scale *across, const struct svg_scale *up,
                      double top)
{
    double bottom = top + PANEL;
    plot_ticks_across(stream, across, top, bottom, NAN);
    plot_ticks_up(stream, up, LEFT, RIGHT, 0);
    svg_line(stream, LEFT, top, LEFT, bottom, PLOT_LINE_GREY);
    svg_line(stream, LEFT, bottom, RIGHT, bottom, PLOT_LINE_GREY);
}

/* Filled: stands; white: another is shown to beat it; crossed out:
 * failed. */
static void draw_mark(FILE *stream, const struct report_input *input, const struct trade *trade,
                      int setup, double x, double y)
{
    const char *colour = svg_setup_colour(setup);
    bool filled = trade->mark[setup].stands;
    struct svg_type number = {11.5, SVG_MIDDLE, true, filled ? "#ffffff" : colour};
    char look[160], text[32];
    snprintf(look, sizeof look, "fill=\"%s\" stroke=\"%s\" stroke-width=\"2\"",
             filled ? colour : "#ffffff", colour);
    svg_circle(stream, x, y, 9, look);
    snprintf(text, sizeof text, "%d", input->record->setup[setup].number);
    svg_text(stream, x, y + 4, number, text);
    if (trade->setup[setup].sight_failed) {
        snprintf(look, sizeof look, "stroke=\"%s\" stroke-width=\"2\"", colour);
        svg_line(stream, x - 11, y + 11, x + 11, y - 11, look);
    }
}

#define MARK 18.0 /* across */

/* Marks that would cover one another stand side by side; each one's line goes through where it
 * belongs. How many of the earlier setups' marks are where this one would be. */
static int covered(const struct trade *trade, int panel, int setup, const struct svg_scale *across,
                   const struct svg_scale *up)
{
    int count = 0;
    for (int other = 0; other < setup; other++) {
        double x =
            svg_scale_at(across, trade->height[setup]) - svg_scale_at(across, trade->height[other]);
        double y = svg_scale_at(up, trade->value[panel][setup]) -
                   svg_scale_at(up, trade->value[panel][other]);
        count += hypot(x, y) < MARK ? 1 : 0; /* not so where one is missing */
    }
    return count;
}

static void draw_panel(FILE *stream, const struct report_input *input, const struct trade *trade,
                       int panel, double top, const struct svg_scale *across)
{
    int setups = input->record->setup_count;
    struct svg_scale up = scale_up(trade, panel, setups, top);
    svg_text(stream, LEFT, top - 5, plot_small, panel_words(trade, panel));
    draw_grid(stream, across, &up, top);
    for (int setup = 0; setup < setups; setup++) {
        double value = trade->value[panel][setup];
        char look[96];
        if (!isfinite(value) || !isfinite(trade->height[setup])) {
            continue;
        }
        double x = svg_scale_at(across, trade->height[setup]), y = svg_scale_at(&up, value);
        double half = svg_scale_at(across, trade->half_width[setup]) - svg_scale_at(across, 0);
        snprintf(look, sizeof look, "stroke=\"%s\" stroke-width=\"1.2\" stroke-dasharray=\"%s\"",
                 svg_setup_colour(setup), svg_setup_dashes(setup));
        if (half > 0) {
            svg_line(stream, x - half, y, x + half, y, look);
        }
    }
    for (int setup = 0; setup < setups; setup++) {
        double value = trade->value[panel][setup];
        if (isfinite(value) && isfinite(trade->height[setup])) {
            double x = svg_scale_at(across, trade->height[setup]);
            double beside = MARK * covered(trade, panel, setup, across, &up);
            draw_mark(stream, input, trade, setup,
                      x + (x + beside < RIGHT - MARK ? beside : -beside), svg_scale_at(&up, value));
        }
    }
}

/* Something is missing that another setup has. */
static bool lacks(const struct report_input *input, const struct trade *trade, int setup)
{
    for (int other = 0; other < input->record->setup_count; other++) {
        for (int criterion = 0; criterion < TRADEOFF_CRITERIA; criterion++) {
            if (trade->setup[other].has[criterion] && !trade->setup[setup].has[criterion]) {
                return true;
            }
        }
    }
    return false;
}

static void setup_words(const struct report_input *input, const struct trade *trade, int setup,
                        char *text, size_t size)
{
    const struct tradeoff_mark *mark = &trade->mark[setup];
    if (trade->setup[setup].sight_failed) {
        text_copy(text, size, say_failed(SAY_FAILED_NAMED));
    } else if (mark->beaten_by >= 0) {
        snprintf(text, size, "shown to be beaten by setup %d",
                 input->record->setup[mark->beaten_by].number);
    } else if (!mark->stands) {
        text_copy(text, size, "nothing measured");
    } else if (setup_complaint(input->record, setup) != COMPLAINT_NONE) {
        text_copy(text, size, say_complaint(setup_complaint(input->record, setup)));
    } else {
        insight_leads(input->analysis, setup, text, size);
        if (text[0] == '\0') {
            text_copy(text, size,
                      lacks(input, trade, setup)
                          ? "not shown to be beaten by any other on what was measured"
                          : "not shown to be beaten by any other");
        }
    }
}

/* Each thing once, of all setups that it is true of. */
static void speak(const struct report_input *input, const struct trade *trade,
                  struct spoken_lines *lines)
{
    lines->count = 0;
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        char words[SAY_SIZE];
        int at = 0;
        setup_words(input, trade, setup, words, sizeof words);
        while (at < lines->count && !text_equal(lines->line[at].words, words)) {
            at++;
        }
        struct spoken *line = &lines->line[at];
        if (at == lines->count) {
            text_copy(line->words, sizeof line->words, words);
            line->count = 0;
            lines->count++;
        }
        line->setup[line->count++] = setup;
    }
}

/* '3  long and low: FAILED, cannot see ahead', 'Setups 1 and 2: ...' */
static void spoken_text(const struct report_input *input, const struct spoken *line, char *text,
                        size_t size)
{
    char label[TEXT_SIZE + 64], fitted[SAY_SIZE];
    int numbers[SETUPS_MAX];
    size_t used = 0;
    if (line->count == 1) {
        digest_setup_label(input->record, line->setup[0], label, sizeof label);
        text_fit(fitted, sizeof fitted, label, 40, false);
    } else {
        for (int i = 0; i < line->count; i++) {
            numbers[i] = input->record->setup[line->setup[i]].number;
        }
        say_list(fitted, sizeof fitted, "Setup", "Setups", numbers, line->count);
    }
    text_copy(text, size, "");
    text_append(text, size, &used, "%s: %s", fitted, line->words);
}

/* 'What a lower head costs: no setup is shown to be best' */
static void title_words(const struct report_input *input, const struct trade *trade, char *text,
                        size_t size)
{
    const char *name = input->analysis->channel_name[trade->channel];
    int count = 0, last = 0;
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        if (trade->mark[setup].stands) {
            last = setup;
            count++;
        }
    }
    if (count == 1 && setup_complaint(input->record, last) == COMPLAINT_NONE) {
        snprintf(text, size, "What a lower %s costs: nothing beats setup %d", name,
                 input->record->setup[last].number);
    } else {
        snprintf(text, size, "What a lower %s costs: no setup is shown to be best", name);
    }
}

/* What stands for or against each setup, below the panels. */
static void draw_words(FILE *stream, const struct report_input *input,
                       const struct spoken_lines *lines, double top)
{
    for (int i = 0; i < lines->count; i++) {
        char text[2 * SAY_SIZE];
        spoken_text(input, &lines->line[i], text, sizeof text);
        svg_text(stream, LEFT, top + ROW * i, plot_words, text);
    }
}

static void draw(FILE *stream, const struct report_input *input, const struct trade *trade,
                 const struct spoken_lines *lines, bool alone)
{
    int setups = input->record->setup_count;
    double bottom = TOP + trade->panel_count * (PANEL + BETWEEN) - BETWEEN + 16;
    struct svg_scale across = scale_across(trade, setups);
    char title[SAY_SIZE], fitted[SAY_SIZE], text[2 * SAY_SIZE];
    title_words(input, trade, title, sizeof title);
    svg_begin(stream, SVG_WIDTH, bottom + 42 + ROW * lines->count, alone, title);
    text_fit(fitted, sizeof fitted, title, 56, false);
    svg_text(stream, 14, 22, plot_title, fitted);
    svg_text(stream, 14, 39, plot_small,
             "Filled: no other is shown to beat it. Lines: 95 % limits. Further left is lower.");
    for (int i = 0; i < trade->panel_count; i++) {
        draw_panel(stream, input, trade, trade->panels[i], TOP + 12 + i * (PANEL + BETWEEN),
                   &across);
    }
    plot_ticks_across(stream, &across, NAN, NAN, bottom + 11);
    snprintf(text, sizeof text, "%s %s%s, mm", input->analysis->channel_name[trade->channel],
             digest_measured(input, trade->channel),
             digest_absolute(input, trade->channel) ? " above the bottom bracket" : "");
    svg_text(stream, (LEFT + RIGHT) / 2, bottom + 27, plot_tick, text);
    draw_words(stream, input, lines, bottom + 47);
    svg_end(stream);
}

bool plot_tradeoff(FILE *stream, const struct report_input *input, bool alone)
{
    struct trade *trade = calloc(1, sizeof *trade);
    struct spoken_lines *lines = calloc(1, sizeof *lines);
    bool there = trade != NULL && lines != NULL && collect(input, trade);
    if (there) {
        speak(input, trade, lines);
        draw(stream, input, trade, lines, alone);
    }
    free(lines);
    free(trade);
    return there;
}

bool report_tradeoff_svg(FILE *stream, const struct report_input *input, struct problem *problem)
{
    if (!plot_tradeoff(stream, input, true)) {
        return problem_set(problem, "no picture of the trade-off: it takes two setups with a tied "
                                    "height that differ in how they were kept or rated");
    }
    return plot_written(stream, problem);
}
