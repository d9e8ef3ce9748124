/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What was tested: how far each setup is from the first one, with the interval that its verdict was
 * read off, and every hold. */
#include "difference_title.h"

#include "analysis/hold_use.h"
#include "base/language.h"
#include "base/text.h"
#include "report/digest.h"
#include "report/plot_axes.h"
#include "report/plots.h"
#include "say/setup.h"

#include <math.h>
#include <string.h>

#define SIDE 12.0
#define TOP 56.0 /* title and key */
#define TOP_NARROW 70.0
#define HEAD 24.0 /* a panel's own title */
#define AXIS 34.0
#define GAP 16.0      /* between panels */
#define CHARACTER 6.6 /* of a label, at most */
#define LINE 13.0     /* of a label in two lines */
/* over a bar of the narrow picture, in letters of 12: the name gets what the words leave */
#define NARROW_WORDS 19
#define WORDS_MOST                                                                                 \
    27 /* '\u25bc lower 103 (\u22125\u2013111)' has room with any numbers that happen */
#define CHARACTER_12 6.5
#define CHARACTER_BOLD 6.9

/* How the rows are set on a picture of this breadth. */
struct layout {
    double width, label, words; /* the two of a row's words; label 0: over its bar */
    double row, bar;            /* a row's height; where its bar stands in it */
    double top;                 /* where the first panel begins */
    bool beside;                /* panels side by side */
    int letters;                /* of a row's words */
    bool ranges;                /* what is lower or higher has its range, on every row */
};

/* The setups that are drawn, by their index; the one compared against comes first. */
struct rows {
    int count, left_out;
    int setup[SETUPS_MAX];
};

/* A channel with a panel of its own. */
struct panel {
    const struct comparison *comparison;
    int channel;
    bool for_rider; /* who is told what is known, not how to know more */
    struct svg_scale scale;
    double x, y, from, to; /* its corner; where its bars may be */
};

static struct layout layout_of(enum picture_breadth breadth, int panels, int rows)
{
    if (breadth == PICTURE_NARROW) {
        return (struct layout){SVG_NARROW, 0, 0, 58, 40, TOP_NARROW, false, NARROW_WORDS, true};
    }
    double row = rows <= 6 ? 30 : rows <= 12 ? 25 : 21;
    double label = panels > 1 ? 148 : 200, words = panels > 1 ? 128 : 170;
    return (struct layout){
        SVG_WIDTH, label, words, row, row / 2, TOP, true, (int)(words / CHARACTER), true};
}

/* It can be set against the first one. */
static bool has_difference(const struct comparison *comparison, int setup)
{
    return difference_tested(comparison, setup) && comparison->setup[setup].tied &&
           isfinite(comparison->difference[setup].difference);
}

/* All that were tested; of more than most the chosen one, the one that beats it, and the latest. */
static struct rows rows_of(const struct report_input *input, const int *channels, int panels,
                           int most, int part)
{
    const struct analysis *analysis = input->analysis;
    const int chosen = digest_chosen(input);
    const int beats = chosen >= 0 ? analysis->insight.mark[chosen].beaten_by : -1;
    const int baseline = analysis->free_heights[channels[0]].baseline;
    bool drawn[SETUPS_MAX] = {false}, there[SETUPS_MAX] = {false};
    struct rows rows = {0, 0, {0}};
    int all = 0, passed = 0;
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        for (int i = 0; i < panels; i++) {
            there[setup] |= difference_tested(&analysis->free_heights[channels[i]], setup);
        }
        all += there[setup] ? 1 : 0;
        drawn[setup] = there[setup] &&
                       (setup == baseline || (part < 0 && (setup == chosen || setup == beats)));
        rows.count += drawn[setup] ? 1 : 0;
    }
    int skip = part > 0 ? part * (most - 1) : 0, room = most - rows.count;
    for (int i = 0; i < input->record->setup_count && room > 0; i++) {
        /* of a part from the first on; else the latest come first */
        int setup = part < 0 ? input->record->setup_count - 1 - i : i;
        if (there[setup] && !drawn[setup] && passed++ >= skip) {
            drawn[setup] = true;
            room--;
        }
    }
    rows.count = 0;
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        if (drawn[setup] && setup == baseline) {
            rows.setup[rows.count++] = setup;
        }
    }
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        if (drawn[setup] && setup != baseline) {
            rows.setup[rows.count++] = setup;
        }
    }
    rows.left_out = all - rows.count;
    return rows;
}

/* A hold against the mean of the setup that is compared against; NAN where it is in no comparison.
 */
static double hold_difference(const struct report_input *input, const struct panel *panel, int hold)
{
    const struct comparison *comparison = panel->comparison;
    const struct hold_summary *summary = &input->analysis->hold[hold].summary[panel->channel];
    bool used = !input->record->hold[hold].guided &&
                hold_use_of(input->record, input->analysis, hold, panel->channel) == HOLD_USED;
    return used ? summary->mean_mm - comparison->setup[comparison->baseline].mean : (double)NAN;
}

static int setup_of_hold(const struct report_input *input, int hold)
{
    return input->record->build[input->record->hold[hold].build].setup;
}

static bool in_rows(const struct rows *rows, int setup)
{
    for (int i = 0; i < rows->count; i++) {
        if (rows->setup[i] == setup) {
            return true;
        }
    }
    return false;
}

/* As far as a panel's intervals and holds go, mm, widening low and high. */
static void widen(const struct panel *panel, const struct report_input *input,
                  const struct rows *rows, double *low, double *high)
{
    const struct comparison *comparison = panel->comparison;
    *low = fmin(*low, -comparison->matters);
    *high = fmax(*high, comparison->matters);
    for (int i = 0; i < rows->count; i++) {
        const struct setup_difference *one = &comparison->difference[rows->setup[i]];
        if (rows->setup[i] == comparison->baseline || !has_difference(comparison, rows->setup[i])) {
            continue;
        }
        *low = fmin(*low, one->has_interval ? one->low : one->difference);
        *high = fmax(*high, one->has_interval ? one->high : one->difference);
    }
    for (int hold = 0; hold < input->record->hold_count; hold++) {
        double difference = hold_difference(input, panel, hold);
        if (isfinite(difference) && in_rows(rows, setup_of_hold(input, hold))) {
            *low = fmin(*low, difference);
            *high = fmax(*high, difference);
        }
    }
}

static void draw_ground(FILE *stream, const struct panel *panel, const struct layout *layout,
                        int rows)
{
    const struct svg_scale *scale = &panel->scale;
    double top = panel->y + HEAD, bottom = top + layout->row * rows;
    double from = svg_scale_at(scale, -panel->comparison->matters);
    double to = svg_scale_at(scale, panel->comparison->matters);
    svg_rectangle(stream, from, top, to - from, bottom - top, "fill=\"#e9e9e9\"");
    for (int i = 0; i < svg_scale_ticks(scale); i++) {
        double x = svg_scale_at(scale, svg_scale_tick(scale, i));
        char text[64];
        plot_tick_text(text, sizeof text, scale, i);
        svg_line(stream, x, bottom, x, bottom + 4, PLOT_LINE_GREY);
        svg_text(stream, x, bottom + 15, plot_tick, text);
    }
    svg_line(stream, panel->from, bottom, panel->to, bottom, PLOT_LINE_GREY);
    double zero = svg_scale_at(scale, 0);
    svg_line(stream, zero, top, zero, bottom, "stroke=\"#000000\" stroke-width=\"1.2\"");
    svg_text(stream, panel->from, bottom + 29, plot_small, T_("lower"));
    svg_text(stream, panel->to, bottom + 29, plot_side_tick, T_("higher, mm"));
}

static void draw_holds(FILE *stream, const struct report_input *input, const struct panel *panel,
                       int setup, double y)
{
    for (int hold = 0; hold < input->record->hold_count; hold++) {
        double difference = hold_difference(input, panel, hold);
        if (isfinite(difference) && setup_of_hold(input, hold) == setup) {
            svg_circle(stream, svg_scale_at(&panel->scale, difference), y + 5.5, 2.2,
                       "fill=\"#ffffff\" stroke=\"#444444\" stroke-width=\"0.9\"");
        }
    }
}

static void draw_interval(FILE *stream, const struct panel *panel, int setup, bool chosen, double y)
{
    const struct setup_difference *one = &panel->comparison->difference[setup];
    const char *look = chosen ? "stroke=\"#0072b2\" stroke-width=\"4\""
                              : "stroke=\"#000000\" stroke-width=\"1.6\"";
    double x = svg_scale_at(&panel->scale, one->difference);
    if (one->has_interval) {
        double from = svg_scale_at(&panel->scale, one->low);
        double to = svg_scale_at(&panel->scale, one->high);
        svg_line(stream, from, y, to, y, look);
        svg_line(stream, from, y - 4, from, y + 4, look);
        svg_line(stream, to, y - 4, to, y + 4, look);
    }
    svg_circle(stream, x, y, chosen ? 5.5 : 4,
               chosen ? "fill=\"#0072b2\" stroke=\"#ffffff\" stroke-width=\"1\""
                      : "fill=\"#000000\" stroke=\"#ffffff\" stroke-width=\"1\"");
}

static bool is_lower_or_higher(const struct setup_difference *difference)
{
    return difference->verdict == VERDICT_LOWER || difference->verdict == VERDICT_HIGHER;
}

/* The words of every row with a range have it in so many letters. */
static bool ranges_fit(const struct report_input *input, const struct rows *rows,
                       const int *channels, int panels, int letters)
{
    char words[SAY_SIZE];
    for (int i = 0; i < panels * rows->count; i++) {
        const struct comparison *comparison =
            &input->analysis->free_heights[channels[i / rows->count]];
        const int setup = rows->setup[i % rows->count];
        const struct setup_difference *difference = &comparison->difference[setup];
        if (setup == comparison->baseline || !difference_tested(comparison, setup) ||
            setup_sight_failed(input->record, setup) || !difference->has_interval ||
            !is_lower_or_higher(difference)) {
            continue;
        }
        say_difference_within(words, sizeof words, difference, letters);
        if (strchr(words, '(') == NULL) {
            return false;
        }
    }
    return true;
}

/* Room for the ranges of all rows, or none of them is told: one row with its range beside another
 * without looks as if the other were sure. */
static void make_room(struct layout *layout, const struct report_input *input,
                      const struct rows *rows, const int *channels, int panels)
{
    int letters = layout->letters;
    while (letters <= WORDS_MOST && !ranges_fit(input, rows, channels, panels, letters)) {
        letters++;
    }
    layout->ranges = letters <= WORDS_MOST;
    if (layout->ranges && letters > layout->letters) {
        layout->letters = letters;
        layout->words = layout->beside ? fmax(layout->words, CHARACTER * letters + 8) : 0;
    }
}

/* What is said beside a bar. */
static void row_words(const struct report_input *input, const struct panel *panel, int setup,
                      const struct layout *layout, char *text, size_t size)
{
    const struct comparison *comparison = panel->comparison;
    char words[SAY_SIZE];
    if (setup_sight_failed(input->record, setup)) {
        text_copy(words, sizeof words, say_failed(SAY_FAILED_PICTURE)); /* whatever the numbers */
    } else if (setup == comparison->baseline) {
        text_copy(words, sizeof words, T_("compared with"));
    } else if (!difference_tested(comparison, setup)) {
        text_copy(words, sizeof words, T_("not measured"));
    } else if (panel->for_rider && comparison->difference[setup].verdict == VERDICT_CANNOT_TELL) {
        snprintf(words, sizeof words, "? %s", T_("cannot tell yet"));
    } else {
        const struct setup_difference *difference = &comparison->difference[setup];
        bool briefest = is_lower_or_higher(difference) && !layout->ranges;
        say_difference_within(words, sizeof words, difference, briefest ? 0 : layout->letters);
    }
    text_fit(text, size, words, layout->letters, false);
}

static void row_label(const struct report_input *input, int setup, int letters, char *text,
                      size_t size)
{
    char label[TEXT_SIZE + 64];
    digest_setup_label(input->record, setup, label, sizeof label);
    text_fit(text, size, label, letters, false);
}

static void draw_row(FILE *stream, const struct report_input *input, const struct panel *panel,
                     const struct layout *layout, int setup, double top)
{
    const struct comparison *comparison = panel->comparison;
    double y = top + layout->bar;
    bool chosen = setup == digest_chosen(input);
    char words[SAY_SIZE], label[SAY_SIZE];
    struct svg_type type = {11, SVG_START, chosen, NULL};
    if (comparison->setup[comparison->baseline].tied) {
        draw_holds(stream, input, panel, setup, y);
    }
    if (setup == comparison->baseline) {
        svg_rectangle(stream, svg_scale_at(&panel->scale, 0) - 4, y - 4, 8, 8, "fill=\"#000000\"");
    } else if (has_difference(comparison, setup)) {
        draw_interval(stream, panel, setup, chosen, y);
    }
    if (layout->label > 0) {
        row_words(input, panel, setup, layout, words, sizeof words);
        svg_text(stream, panel->to + 8, y + 4, type, words);
        return;
    }
    row_words(input, panel, setup, layout, words, sizeof words);
    double room = layout->width - 3 * SIDE - CHARACTER_12 * text_width(words);
    row_label(input, setup, (int)(room / CHARACTER_BOLD), label, sizeof label);
    svg_text(stream, SIDE, top + 14, (struct svg_type){12, SVG_START, true, NULL}, label);
    svg_text(stream, layout->width - SIDE, top + 14, (struct svg_type){12, SVG_END, false, NULL},
             words);
}

static void draw_panel(FILE *stream, const struct report_input *input, const struct panel *panel,
                       const struct layout *layout, const struct rows *rows)
{
    char title[SAY_SIZE], fitted[SAY_SIZE];
    double room = layout->beside ? panel->to - panel->from + layout->words : layout->width - SIDE;
    int letters = (int)(room / (CHARACTER + 0.9));
    difference_title(input, panel->channel, letters, title, sizeof title);
    text_fit(fitted, sizeof fitted, title, letters, false);
    svg_text(stream, layout->beside ? panel->from : SIDE, panel->y + 14,
             (struct svg_type){12, SVG_START, true, NULL}, fitted);
    draw_ground(stream, panel, layout, rows->count);
    for (int i = 0; i < rows->count; i++) {
        draw_row(stream, input, panel, layout, rows->setup[i], panel->y + HEAD + layout->row * i);
    }
}

/* In two lines where the row is high enough. */
static void draw_label(FILE *stream, const struct report_input *input, const struct layout *layout,
                       int setup, double top)
{
    const struct svg_type type = {11, SVG_START, setup == digest_chosen(input), NULL};
    const int letters = (int)((layout->label - 8) / CHARACTER);
    char label[TEXT_SIZE + 64], line[2][SAY_SIZE];
    digest_setup_label(input->record, setup, label, sizeof label);
    int count = plot_name_lines(label, letters, layout->row < 2 * LINE ? 1 : 2, line);
    for (int i = 0; i < count; i++) {
        svg_text(stream, SIDE, top + layout->bar + 4 + LINE * (i - (count - 1) / 2.0), type,
                 line[i]);
    }
}

static void draw_labels(FILE *stream, const struct report_input *input, const struct layout *layout,
                        const struct rows *rows)
{
    for (int i = 0; i < rows->count; i++) {
        bool chosen = rows->setup[i] == digest_chosen(input);
        double top = TOP + HEAD + layout->row * i;
        if (chosen) { /* across the whole picture, so that it is found without colour */
            svg_rectangle(stream, 4, top + 1, layout->width - 8, layout->row - 2,
                          "fill=\"none\" stroke=\"#0072b2\" stroke-width=\"1\"");
        }
        draw_label(stream, input, layout, rows->setup[i], top);
    }
}

/* is_range: of some panel nobody said where the sensor is fixed. */
static void draw_key(FILE *stream, const struct panel *panel, const struct rows *rows,
                     bool is_range, bool narrow)
{
    char matters[32], text[2 * SAY_SIZE], lines[2 * SAY_SIZE] = "";
    size_t used = 0, first = 0;
    say_exact(matters, sizeof matters, panel->comparison->matters);
    if (narrow) {
        svg_text(stream, SIDE, 40, (struct svg_type){12, SVG_START, false, PLOT_GREY},
                 T_("Line: the truth is there. Grey: too little."));
        svg_text(stream, SIDE, 55, (struct svg_type){12, SVG_START, false, PLOT_GREY},
                 T_("A line into the grey: it may be too little."));
        return;
    }
    text_append(
        text, sizeof text, &used,
        T_("Circles: each hold. Grey: within %s mm, too little to matter; of a line that reaches "
           "into it, that is not ruled out."),
        matters);
    if (rows->left_out > 0) {
        text_append(text, sizeof text, &used, " ");
        text_append(text, sizeof text, &used,
                    P_("%d more not drawn.", "%d more not drawn.", rows->left_out), rows->left_out);
    }
    text_append(lines, sizeof lines, &first, "%s",
                T_("Lines: the true difference lies there, all of them, 95 times in 100."));
    if (is_range) {
        text_append(lines, sizeof lines, &first, " %s",
                    T_("Lower: nearer to the sensor, if it looks up."));
    }
    plot_caption(stream, SIDE, 35, lines);
    plot_caption(stream, SIDE, 48, text);
}

static bool any_range(const struct report_input *input, const int *channels, int panels)
{
    for (int i = 0; i < panels; i++) {
        if (digest_is_range(input, channels[i])) {
            return true;
        }
    }
    return false;
}

static void title_words(const struct report_input *input, char *text, size_t size)
{
    snprintf(text, size, T_("Against setup %d: what each setup changed"),
             input->record->settings.baseline_setup);
}

static double picture_height(const struct layout *layout, int panels, int rows)
{
    double panel = HEAD + layout->row * rows + AXIS;
    return layout->top + (layout->beside ? panel : panels * (panel + GAP));
}

bool plot_differences(FILE *stream, const struct report_input *input, const int *channels,
                      int panels, int most, int part, enum picture_breadth breadth, bool alone)
{
    const struct rows rows = rows_of(input, channels, panels, most, part);
    struct layout layout = layout_of(breadth, panels, rows.count);
    const struct comparison *first = &input->analysis->free_heights[channels[0]];
    char title[SAY_SIZE];
    if (rows.count < 2 || rows.setup[0] != first->baseline) {
        return false;
    }
    make_room(&layout, input, &rows, channels, panels);
    double height = picture_height(&layout, panels, rows.count);
    double each = (layout.width - 2 * SIDE - layout.label - GAP * (panels - 1)) / panels;
    title_words(input, title, sizeof title);
    svg_begin(stream, layout.width, height, alone, title);
    svg_text(stream, SIDE, 20,
             breadth == PICTURE_NARROW ? (struct svg_type){13, SVG_START, true, NULL} : plot_title,
             title);
    double low = 0, high = 0; /* of all: a millimetre is as long in each panel */
    for (int i = 0; i < panels; i++) {
        const struct panel panel = {.comparison = &input->analysis->free_heights[channels[i]],
                                    .channel = channels[i]};
        widen(&panel, input, &rows, &low, &high);
    }
    for (int i = 0; i < panels; i++) {
        struct panel panel = {.comparison = &input->analysis->free_heights[channels[i]],
                              .channel = channels[i],
                              .for_rider = part < 0};
        panel.x = layout.beside ? SIDE + layout.label + (each + GAP) * i : SIDE;
        panel.y =
            layout.beside ? TOP : layout.top + i * (HEAD + layout.row * rows.count + AXIS + GAP);
        panel.from = panel.x;
        panel.to = layout.beside ? panel.x + each - layout.words : layout.width - SIDE;
        panel.scale = plot_scale_across(low, high, panel.from, panel.to, 34);
        if (i == 0) {
            draw_key(stream, &panel, &rows, any_range(input, channels, panels),
                     breadth == PICTURE_NARROW);
        }
        draw_panel(stream, input, &panel, &layout, &rows);
    }
    if (layout.label > 0) {
        draw_labels(stream, input, &layout, &rows);
    }
    svg_end(stream);
    return true;
}
