/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* How often the cue would have come on, by the band's width: what the band was proposed from. */
#include "base/text.h"
#include "measure/rules.h"
#include "report/plot_axes.h"
#include "report/plots.h"
#include "say/say.h"

#include <math.h>
#include <string.h>

#define LEFT 58.0
#define RIGHT (SVG_WIDTH - 14.0)
#define TOP 56.0
#define BOTTOM 216.0
#define ROW 17.0
#define WORDS_CELLS 70 /* of a line */

static const struct svg_type words_type = {11.5, SVG_START, false, NULL};

struct bands {
    int target, band; /* indexes in the record */
    int count;
    struct band_proposal proposal[BAND_PROPOSALS_MAX];
    double set_above_mm, set_below_mm;
};

/* The first target that says something, with the first band that was set on this channel. */
static bool collect(const struct report_input *input, sample_source *source, void *context,
                    int channel, struct bands *bands)
{
    const struct session_record *record = input->record;
    bands->band = -1;
    for (int band = record->band_count - 1; band >= 0; band--) {
        bands->band = record->band[band].limited[channel] ? band : bands->band;
    }
    if (bands->band < 0) {
        return false;
    }
    const struct cue_settings *cue = &record->band[bands->band].cue[channel];
    bands->set_above_mm = cue->band_above_mm;
    bands->set_below_mm = cue->band_below_mm;
    bands->count = 0;
    for (bands->target = 0; bands->target < record->target_count; bands->target++) {
        bands->count = analysis_propose_band(record, input->analysis, bands->target, channel, cue,
                                             source, context, bands->proposal);
        if (bands->count > 0) {
            return true;
        }
    }
    return false;
}

static void limits_words(char *text, size_t size, double above_mm, double below_mm)
{
    char above[32], below[32];
    text_from_double_shortest(above, sizeof above, above_mm);
    if (isfinite(below_mm)) {
        text_from_double_shortest(below, sizeof below, below_mm);
        snprintf(text, size, "+%s/-%s", above, below);
    } else {
        snprintf(text, size, "+%s/none", above);
    }
}

static void draw_axes(FILE *stream, const struct svg_scale *across, const struct svg_scale *up)
{
    plot_ticks_across(stream, across, TOP, BOTTOM, BOTTOM + 15);
    plot_ticks_up(stream, up, LEFT, RIGHT, 0);
    svg_line(stream, LEFT, BOTTOM, RIGHT, BOTTOM, PLOT_LINE_GREY);
    svg_line(stream, LEFT, TOP, LEFT, BOTTOM, PLOT_LINE_GREY);
    svg_text(stream, (LEFT + RIGHT) / 2, BOTTOM + 31, plot_tick, "limit above the target, mm");
}

/* The band that was set, and where it begins to nag. */
static void draw_marks(FILE *stream, const struct bands *bands, const struct svg_scale *across,
                       const struct svg_scale *up)
{
    double nag = svg_scale_at(up, CUES_WANTED_PER_MIN),
           set = svg_scale_at(across, bands->set_above_mm);
    if (nag > TOP && nag < BOTTOM) {
        svg_line(stream, LEFT, nag, RIGHT, nag, PLOT_LINE_GREY " stroke-dasharray=\"2 3\"");
        svg_text(stream, LEFT + 6, nag - 4, plot_small, "more than a rider takes in");
    }
    svg_line(stream, set, TOP, set, BOTTOM,
             "stroke=\"#d55e00\" stroke-width=\"1.5\" stroke-dasharray=\"8 3\"");
    struct svg_type type = {11.5, set > (LEFT + RIGHT) / 2 ? SVG_END : SVG_START, false, "#a84a00"};
    svg_text(stream, set + (set > (LEFT + RIGHT) / 2 ? -5 : 5), TOP + 11, type, "as it was set");
}

static void draw_curve(FILE *stream, const struct bands *bands, const struct svg_scale *across,
                       const struct svg_scale *up)
{
    bool pen_down = false;
    svg_path_begin(stream, "fill=\"none\" stroke=\"#0072b2\" stroke-width=\"1.5\"");
    for (int i = 0; i < bands->count; i++) {
        const struct band_proposal *proposal = &bands->proposal[i];
        if (isfinite(proposal->below_mm)) {
            svg_path_point(stream, svg_scale_at(across, proposal->above_mm),
                           svg_scale_at(up, proposal->cues_per_min), &pen_down);
        }
    }
    svg_path_end(stream);
    for (int i = 0; i < bands->count; i++) {
        const struct band_proposal *proposal = &bands->proposal[i];
        double x = svg_scale_at(across, proposal->above_mm),
               y = svg_scale_at(up, proposal->cues_per_min);
        const char *look = proposal->suggested
                               ? "fill=\"#0072b2\" stroke=\"#0072b2\" stroke-width=\"2\""
                               : "fill=\"#ffffff\" stroke=\"#0072b2\" stroke-width=\"2\"";
        if (isfinite(proposal->below_mm)) {
            svg_circle(stream, x, y, proposal->suggested ? 6 : 4.5, look);
        } else {
            svg_rectangle(stream, x - 4, y - 4, 8, 8, look);
        }
    }
}

/* A proposal in a line, or in two where it is long: numbers, then what it is. */
static bool proposal_words(const struct band_proposal *proposal, char *text, size_t size)
{
    char limits[96], cues[64], share[64];
    limits_words(limits, sizeof limits, proposal->above_mm, proposal->below_mm);
    say_number(cues, sizeof cues, proposal->cues_per_min, 1);
    say_percent(share, sizeof share, proposal->in_band_share);
    int numbers = snprintf(text, size, "%s%s mm: %s a minute, in band %s;",
                           proposal->suggested ? "proposed: " : "", limits, cues, share);
    bool fits = numbers + (int)strlen(proposal->words) < WORDS_CELLS;
    if (fits) {
        snprintf(text + numbers, size - (size_t)numbers, " %s", proposal->words);
    }
    return fits;
}

static int word_rows(const struct bands *bands)
{
    char text[2 * SAY_SIZE];
    int rows = 0;
    for (int i = 0; i < bands->count; i++) {
        rows += proposal_words(&bands->proposal[i], text, sizeof text) ? 1 : 2;
    }
    return rows;
}

static void draw_words(FILE *stream, const struct bands *bands)
{
    double y = BOTTOM + 54;
    for (int i = 0; i < bands->count; i++) {
        char text[2 * SAY_SIZE];
        bool fits = proposal_words(&bands->proposal[i], text, sizeof text);
        svg_text(stream, LEFT - 30, y, words_type, text);
        if (!fits) {
            y += ROW;
            svg_text(stream, LEFT - 14, y, words_type, bands->proposal[i].words);
        }
        y += ROW;
    }
}

static void title_words(const struct report_input *input, const struct bands *bands, int channel,
                        char *text, size_t size)
{
    const char *name = input->analysis->channel_name[channel];
    for (int i = 0; i < bands->count; i++) {
        const struct band_proposal *proposal = &bands->proposal[i];
        char limits[96], cues[64];
        if (proposal->suggested) {
            limits_words(limits, sizeof limits, proposal->above_mm, proposal->below_mm);
            say_number(cues, sizeof cues, proposal->cues_per_min, 1);
            snprintf(text, size, "%s: a band of %s mm would cue %s times a minute", name, limits,
                     cues);
            return;
        }
    }
    snprintf(text, size, "%s: every band cues too often", name);
}

/* Its height grows with the proposals. */
static double picture_height(const struct bands *bands)
{
    return BOTTOM + 50 + ROW * word_rows(bands);
}

static void draw(FILE *stream, const struct report_input *input, const struct bands *bands,
                 int channel)
{
    double low = bands->set_above_mm, high = low, most = CUES_WANTED_PER_MIN + 1;
    char title[SAY_SIZE], fitted[SAY_SIZE], text[SAY_SIZE];
    for (int i = 0; i < bands->count; i++) {
        low = fmin(low, bands->proposal[i].above_mm);
        high = fmax(high, bands->proposal[i].above_mm);
        most = fmax(most, bands->proposal[i].cues_per_min);
    }
    struct svg_scale across = plot_scale_across(low, high, LEFT + 10, RIGHT - 10, 50);
    struct svg_scale up = plot_scale_up(0, most, BOTTOM - 2, TOP, 26);
    title_words(input, bands, channel, title, sizeof title);
    text_fit(fitted, sizeof fitted, title, 58, false);
    svg_text(stream, 14, 22, plot_title, fitted);
    snprintf(text, sizeof text,
             "Cues a minute if the cue had run over target %d itself. Filled: proposed; square: "
             "no limit below.",
             bands->target + 1);
    svg_text(stream, 14, 39, plot_small, text);
    draw_axes(stream, &across, &up);
    draw_marks(stream, bands, &across, &up);
    draw_curve(stream, bands, &across, &up);
    draw_words(stream, bands);
}

#define CUES_TOLD 0.5 /* a minute */

/* Where no band would have cued, they are all alike. */
static bool says_something(const struct bands *bands)
{
    for (int i = 0; i < bands->count; i++) {
        if (bands->proposal[i].cues_per_min >= CUES_TOLD) {
            return true;
        }
    }
    return false;
}

bool plot_bands(FILE *stream, const struct report_input *input, sample_source *source,
                void *context, int channel, bool alone)
{
    struct bands bands;
    char title[SAY_SIZE];
    if (!collect(input, source, context, channel, &bands) || (!alone && !says_something(&bands))) {
        return false;
    }
    title_words(input, &bands, channel, title, sizeof title);
    svg_begin(stream, SVG_WIDTH, picture_height(&bands), alone, title);
    draw(stream, input, &bands, channel);
    svg_end(stream);
    return true;
}

bool report_bands_svg(FILE *stream, const struct report_input *input, sample_source *source,
                      void *context, struct problem *problem)
{
    struct bands bands;
    double height = 0, top = 0;
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        if (input->analysis->body[channel] && collect(input, source, context, channel, &bands)) {
            height += picture_height(&bands);
        }
    }
    if (height <= 0) {
        return problem_set(problem, "no picture of the bands: it takes a captured target and a "
                                    "band that was set");
    }
    svg_begin(stream, SVG_WIDTH, height, true, "How the bands were proposed");
    for (int channel = 0; channel < input->analysis->channel_count; channel++) {
        if (input->analysis->body[channel] && collect(input, source, context, channel, &bands)) {
            svg_group_begin(stream, 0, top);
            draw(stream, input, &bands, channel);
            svg_group_end(stream);
            top += picture_height(&bands);
        }
    }
    svg_end(stream);
    return plot_written(stream, problem);
}
