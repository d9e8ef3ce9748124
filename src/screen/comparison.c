/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/comparison.h"
#include "say/difference.h"
#include "say/drag.h"
#include "say/holds.h"
#include "say/repeatability.h"

#include "base/numbers.h"
#include "base/text.h"
#include "say/setup.h"
#include "screen/scroll.h"
#include "screen/table.h"
#include "screen/wording.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The comparison on a page of its own: all setups; for each channel of the body the differences
 * drawn on one axis, the verdict in full words with its reason and what would settle it; where two
 * channels went together; which setups no other beats; what followed from the parts; the latest
 * holds. It scrolls by lines; what lies outside is not drawn. */

#define NAME_COLUMNS_MOST 30
#define MEAN_COLUMNS 10
#define HOLDS_COLUMNS 7
#define CLOUD_ROWS (COMPARISON_PICTURE_ROWS - 3)

struct sheet {
    struct scroll lines;
    const struct view *view;
};

/* ---- the setups, channel by channel ---- */

static void put_setup(struct sheet *sheet, int setup, int channel, int name, int axis, double reach)
{
    struct canvas *canvas = sheet->lines.canvas;
    const struct snapshot *snapshot = sheet->view->snapshot;
    const struct session_record *record = &snapshot->record;
    const struct analysis *analysis = &snapshot->analysis;
    const struct setup_estimate *estimate = analysis_estimate(analysis, channel, setup);
    const struct setup_difference *difference = analysis_difference(analysis, channel, setup);
    char text[512], mean[24], half[24];
    int row = scroll_row(&sheet->lines), at = 1, number = record->setup[setup].number;
    bool current = setup == snapshot_setup_index(snapshot);
    enum style style = current ? STYLE_STRONG : STYLE_PLAIN;
    page_setup_words(text, sizeof text, record, setup);
    canvas_print(canvas, row, at, name - 1, style, "%s%2d %s", current ? ">" : " ", number, text);
    at += name;
    if (analysis->guided_holds[setup] > 0) {
        canvas_print(canvas, row, at, HOLDS_COLUMNS - 1, style, "%d+%dg",
                     analysis->free_holds[setup], analysis->guided_holds[setup]);
    } else {
        canvas_print(canvas, row, at, HOLDS_COLUMNS - 1, style, "%d", analysis->free_holds[setup]);
    }
    at += HOLDS_COLUMNS;
    if (estimate->holds == 0) {
        canvas_text(canvas, row, at, canvas->columns - at - 1, STYLE_FAINT, "no free hold yet");
        sheet->lines.line++;
        return;
    }
    wording_whole(mean, sizeof mean, estimate->mean);
    if (!estimate->tied) {
        text_copy(mean, sizeof mean, "not tied");
    }
    wording_whole(half, sizeof half, ceil(estimate->half_width));
    snprintf(text, sizeof text, "%.20s%s%.20s%s", mean, estimate->has_interval ? " \u00B1" : "",
             estimate->has_interval ? half : "",
             estimate->has_interval ? wording_interval_mark(estimate) : "");
    canvas_text(canvas, row, at, MEAN_COLUMNS - 1, STYLE_STRONG, text);
    at += MEAN_COLUMNS;
    bool baseline = number == record->settings.baseline_setup;
    if (baseline) {
        canvas_text(canvas, row, at, canvas->columns - at - 1, STYLE_FAINT, "compared against");
    } else if (axis > 0) {
        table_draw_whisker(canvas, difference, record->settings.matters_mm[channel], reach, row, at,
                           axis);
    }
    sheet->lines.line++;
    if (!baseline) {
        enum verdict said = difference->verdict;
        say_difference(text, sizeof text, difference, SAY_PAGE, NULL);
        scroll_wrapped(&sheet->lines, 5,
                       said == VERDICT_LOWER || said == VERDICT_HIGHER ? STYLE_STRONG : STYLE_PLAIN,
                       text);
    }
    if (number == record->settings.chosen_setup) {
        scroll_wrapped(&sheet->lines, 5, STYLE_STRONG, "chosen: the rider goes home with it");
    }
    scroll_wrapped(&sheet->lines, 5, STYLE_WARNING, say_complaint(setup_complaint(record, setup)));
}

/* What is behind the means, where it is not the plain mean of the holds. */
static void put_notes(struct sheet *sheet, int channel)
{
    const struct view *view = sheet->view;
    bool borrowed = false, assumed = false;
    char text[4 * SAY_SIZE], order[SAY_SIZE];
    for (int s = 0; s < view->snapshot->record.setup_count; s++) {
        const struct setup_estimate *estimate =
            analysis_estimate(&view->snapshot->analysis, channel, s);
        borrowed |= estimate->holds > 0 && estimate->borrowed_repeatability;
        assumed |= estimate->holds > 0 && estimate->assumed;
    }
    if (borrowed) {
        scroll_wrapped(
            &sheet->lines, 5, STYLE_FAINT,
            "* one hold only: its interval is borrowed from the other setups' holds, and "
            "its verdict may change with the next");
    }
    const struct comparison *heights = &view->snapshot->analysis.free_heights[channel];
    if (assumed) {
        say_assumed(order, sizeof order);
        snprintf(text, sizeof text, "\u2248 %s", order);
        scroll_wrapped(&sheet->lines, 5, STYLE_FAINT, text);
    }
    say_learnt(text, sizeof text, &view->snapshot->record, channel, heights);
    scroll_wrapped(&sheet->lines, 5, STYLE_FAINT, text);
    say_own_spread(text, sizeof text, &view->snapshot->record, heights);
    scroll_wrapped(&sheet->lines, 5, STYLE_FAINT, text);
    say_reaches_on(text, sizeof text, &view->snapshot->record, heights);
    scroll_wrapped(&sheet->lines, 5, STYLE_FAINT, text);
    if (heights->status == MEASURE_OK && heights->order_fitted) {
        wording_tenth(order, sizeof order, heights->order_per_hold);
        snprintf(text, sizeof text,
                 "means as in the middle of the session: it moved by %s mm a hold as time went on",
                 order);
        scroll_wrapped(&sheet->lines, 5, STYLE_FAINT, text);
    }
}

static void put_channel(struct sheet *sheet, int channel)
{
    struct canvas *canvas = sheet->lines.canvas;
    const struct view *view = sheet->view;
    const struct channel_record *of = snapshot_channel(view->snapshot, channel);
    char text[256];
    int name = (canvas->columns - 2 - HOLDS_COLUMNS - MEAN_COLUMNS) / 2;
    name = name > NAME_COLUMNS_MOST ? NAME_COLUMNS_MOST : name < 12 ? 12 : name;
    int at = 1 + name + HOLDS_COLUMNS + MEAN_COLUMNS, axis = canvas->columns - at - 1;
    axis -= axis % 2 == 0 ? 1 : 0;
    axis = axis < 11 ? 0 : axis;
    double reach = table_reach(view, channel);
    int row = scroll_row(&sheet->lines);
    snprintf(text, sizeof text, "%s%s%s", of->name, of->mark[0] != '\0' ? ", " : "", of->mark);
    canvas_text(canvas, row, 1, name - 1, STYLE_STRONG, text);
    canvas_text(canvas, row, 1 + name, HOLDS_COLUMNS, STYLE_FAINT, "holds");
    canvas_text(canvas, row, 1 + name + HOLDS_COLUMNS, MEAN_COLUMNS, STYLE_FAINT, "mean, mm");
    if (axis > 0) {
        snprintf(text, sizeof text, "\u2212%.0f", reach);
        canvas_text(canvas, row, at, 5, STYLE_FAINT, text);
        canvas_text(canvas, row, at + axis / 2, 2, STYLE_FAINT, "0");
        snprintf(text, sizeof text, "+%.0f mm", reach);
        canvas_right(canvas, row, at + axis, axis / 2 - 1, STYLE_FAINT, text);
    }
    sheet->lines.line++;
    for (int s = 0; s < view->snapshot->record.setup_count; s++) {
        put_setup(sheet, s, channel, name, axis, reach);
    }
    put_notes(sheet, channel);
    sheet->lines.line++;
}

/* ---- two channels together: the setups' means as points, their intervals as strokes ---- */

struct cloud_axis {
    double low, high;
};

static struct cloud_axis cloud_range(const struct view *view, int channel)
{
    struct cloud_axis range = {INFINITY, -INFINITY};
    for (int s = 0; s < view->snapshot->record.setup_count; s++) {
        const struct setup_estimate *estimate =
            analysis_estimate(&view->snapshot->analysis, channel, s);
        if (estimate->holds > 0 && estimate->tied && isfinite(estimate->mean)) {
            double half = estimate->has_interval ? fmin(estimate->half_width, 50.0) : 0.0;
            range.low = fmin(range.low, estimate->mean - half);
            range.high = fmax(range.high, estimate->mean + half);
        }
    }
    range.low = floor(range.low / 5.0) * 5.0;
    range.high = ceil(range.high / 5.0) * 5.0;
    if (range.high < range.low + 10.0) {
        range.high = range.low + 10.0;
    }
    return range;
}

static int cloud_at(double value, struct cloud_axis axis, int points)
{
    double share = (value - axis.low) / (axis.high - axis.low);
    return (int)round(fmax(0.0, fmin(1.0, share)) * (points - 1));
}

static void cloud_strokes(struct plot *plot, const struct setup_estimate *x,
                          const struct setup_estimate *y, struct cloud_axis across,
                          struct cloud_axis up)
{
    double half_x = x->has_interval ? fmin(x->half_width, 50.0) : 0.0;
    double half_y = y->has_interval ? fmin(y->half_width, 50.0) : 0.0;
    int across_points = plot->columns * plot_across(plot);
    int down_points = plot->rows * plot_down(plot);
    int column = cloud_at(x->mean, across, across_points);
    int level = cloud_at(y->mean, up, down_points);
    int left = cloud_at(x->mean - half_x, across, across_points);
    int right = cloud_at(x->mean + half_x, across, across_points);
    int low = cloud_at(y->mean - half_y, up, down_points);
    int high = cloud_at(y->mean + half_y, up, down_points);
    for (int i = left; i <= right; i++) {
        plot_point(plot, i, level, STYLE_PANEL_CURVE, true);
    }
    for (int i = low; i <= high; i++) {
        plot_point(plot, column, i, STYLE_PANEL_CURVE, true);
    }
}

/* Held on both channels, at heights that are known beside the others'. */
static bool is_drawn(const struct analysis *analysis, int upright, int lying, int setup)
{
    const struct setup_estimate *y = analysis_estimate(analysis, upright, setup),
                                *x = analysis_estimate(analysis, lying, setup);
    return y->holds > 0 && x->holds > 0 && y->tied && x->tied;
}

static void put_cloud(struct sheet *sheet, struct plot *plot, int upright, int lying)
{
    struct canvas *canvas = sheet->lines.canvas;
    const struct view *view = sheet->view;
    int columns = canvas->columns - 8 < 60 ? canvas->columns - 8 : 60, count = 0;
    char text[256], end[32];
    const struct analysis *analysis = &view->snapshot->analysis;
    int setups = view->snapshot->record.setup_count;
    for (int s = 0; s < setups; s++) {
        count += is_drawn(analysis, upright, lying, s) ? 1 : 0;
    }
    if (count < 2) {
        return;
    }
    struct cloud_axis up = cloud_range(view, upright), across = cloud_range(view, lying);
    snprintf(text, sizeof text, "%s (upright) against %s (across): the setups' means, 95 %%",
             snapshot_channel(view->snapshot, upright)->name,
             snapshot_channel(view->snapshot, lying)->name);
    scroll_heading(&sheet->lines, text);
    int row = scroll_row(&sheet->lines);
    if (row >= 0 && row + CLOUD_ROWS + 1 <= sheet->lines.bottom) {
        plot_begin(plot, CLOUD_ROWS, columns);
        for (int s = 0; s < setups; s++) {
            const struct setup_estimate *y = analysis_estimate(analysis, upright, s),
                                        *x = analysis_estimate(analysis, lying, s);
            if (is_drawn(analysis, upright, lying, s)) {
                cloud_strokes(plot, x, y, across, up);
            }
        }
        canvas_fill(canvas, row, 6, CLOUD_ROWS, columns, STYLE_PANEL, ' ');
        plot_draw(plot, canvas, row, 6, NULL);
        for (int s = 0; s < setups; s++) {
            const struct setup_estimate *y = analysis_estimate(analysis, upright, s),
                                        *x = analysis_estimate(analysis, lying, s);
            if (is_drawn(analysis, upright, lying, s)) {
                canvas_print(canvas, row + CLOUD_ROWS - 1 - cloud_at(y->mean, up, CLOUD_ROWS),
                             6 + cloud_at(x->mean, across, columns), 2, STYLE_PANEL, "%d",
                             view->snapshot->record.setup[s].number);
            }
        }
        say_whole(text, sizeof text, up.high);
        canvas_text(canvas, row, 1, 5, STYLE_FAINT, text);
        say_whole(text, sizeof text, up.low);
        canvas_text(canvas, row + CLOUD_ROWS - 1, 1, 5, STYLE_FAINT, text);
        say_whole(text, sizeof text, across.low);
        canvas_text(canvas, row + CLOUD_ROWS, 6, 8, STYLE_FAINT, text);
        say_whole(end, sizeof end, across.high);
        snprintf(text, sizeof text, "%s mm", end);
        canvas_right(canvas, row + CLOUD_ROWS, 6 + columns, 10, STYLE_FAINT, text);
    } else {
        canvas_text(canvas, scroll_row(&sheet->lines), 6, canvas->columns - 7, STYLE_FAINT,
                    "(scroll until the picture has room)");
    }
    sheet->lines.line += CLOUD_ROWS + 2;
}

/* ---- what follows from all of it ---- */

static void put_sentences(struct sheet *sheet, const char *lines)
{
    char sentence[1024];
    for (const char *at = lines; *at != '\0'; at += *at == '\n' ? 1 : 0) {
        size_t length = strcspn(at, "\n");
        snprintf(sentence, sizeof sentence, "%.*s", (int)length, at);
        scroll_wrapped(&sheet->lines, 2, STYLE_PLAIN, sentence);
        at += length;
    }
}

static void put_standing(struct sheet *sheet)
{
    const struct insight_page *insight = &sheet->view->snapshot->insight;
    char text[512];
    if (insight->standing[0] == '\0') {
        return;
    }
    scroll_heading(&sheet->lines, "everything at once: there is no single score");
    snprintf(text, sizeof text, "Looked at together: %s, and seeing ahead.", insight->criteria);
    scroll_wrapped(&sheet->lines, 2, STYLE_FAINT, text);
    put_sentences(sheet, insight->standing);
    sheet->lines.line++;
}

static void put_steps(struct sheet *sheet, const int *index, int channels)
{
    const struct insight_page *insight = &sheet->view->snapshot->insight;
    if (insight->step_count == 0 && insight->notes[0] == '\0') {
        return;
    }
    scroll_heading(&sheet->lines, "what followed from the parts: mm for each, \u00B1 95 %");
    for (int i = 0; i < insight->step_count; i++) {
        const struct insight_step *step = &insight->step[i];
        char text[512], low[32], high[32];
        size_t used = 0;
        text_from_double_shortest(low, sizeof low, step->low);
        text_from_double_shortest(high, sizeof high, step->high);
        text[0] = '\0';
        text_append(text, sizeof text, &used, "%s (tried %s to %s):", step->part, low, high);
        for (int c = 0; c < channels; c++) {
            text_append(text, sizeof text, &used, "%s %s %s", c > 0 ? "," : "",
                        snapshot_channel(sheet->view->snapshot, index[c])->name,
                        step->each[index[c]]);
        }
        scroll_wrapped(&sheet->lines, 2, STYLE_PLAIN, text);
    }
    put_sentences(sheet, insight->notes);
    put_sentences(sheet, insight->next);
    sheet->lines.line++;
}

/* ---- the latest holds ---- */

static void put_hold(struct sheet *sheet, int h, const int *index, int channels)
{
    const struct view *view = sheet->view;
    const struct hold_record *hold = &view->snapshot->record.hold[h];
    char text[512], found[128], mean[24], half[24];
    size_t used = 0;
    text[0] = '\0';
    text_append(text, sizeof text, &used, "hold %d  setup %d  %s", hold->number,
                page_setup_of_hold(&view->snapshot->record, hold),
                say_hold_kind(hold->guided, false, false));
    for (int c = 0; c < channels; c++) {
        struct page_hold_numbers numbers = page_hold_numbers(view, h, index[c]);
        wording_whole(mean, sizeof mean, numbers.mean_mm);
        wording_whole(half, sizeof half, ceil(numbers.half_width_mm));
        text_append(text, sizeof text, &used, "  %s %s",
                    snapshot_channel(view->snapshot, index[c])->name, mean);
        if (isfinite(numbers.half_width_mm)) {
            text_append(text, sizeof text, &used, " \u00B1%s", half);
        }
        if (isfinite(numbers.in_band_share)) {
            text_append(text, sizeof text, &used, ", %.0f%% in band",
                        100.0 * numbers.in_band_share);
        }
    }
    say_hold_findings(found, sizeof found,
                      hold_findings_of(hold, &view->snapshot->analysis.hold[h]), SAY_HOLD_PAGE);
    text_append(text, sizeof text, &used, "%s", found);
    scroll_wrapped(&sheet->lines, 2, hold->rejected ? STYLE_FAINT : STYLE_PLAIN, text);
}

/* What the rider goes home with, on the right of the heading where it has the room. */
static void put_chosen(struct canvas *canvas, const struct view *view)
{
    char text[64];
    if (view->snapshot->record.settings.chosen_setup > 0) {
        snprintf(text, sizeof text, "goes home with setup %d",
                 view->snapshot->record.settings.chosen_setup);
    } else {
        snprintf(text, sizeof text, "h: what the rider goes home with");
    }
    if (view->snapshot->record.setup_count > 0 && canvas->columns >= 45 + (int)strlen(text)) {
        canvas_right(canvas, 0, canvas->columns - 1, canvas->columns - 45,
                     view->snapshot->record.settings.chosen_setup > 0 ? STYLE_STRONG : STYLE_PLAIN,
                     text);
    }
}

/* What the course said, a line a setup; all of it is on the page of the runs. */
static void put_drag(struct sheet *sheet)
{
    const struct snapshot *snapshot = sheet->view->snapshot;
    char line[2 * SAY_SIZE];
    if (snapshot->record.run_count == 0) {
        return;
    }
    scroll_heading(&sheet->lines, "on the course (- shows all of it)");
    for (int s = 0; s < snapshot->record.setup_count; s++) {
        say_drag_line(line, sizeof line, &snapshot->record, &snapshot->analysis.drag, s);
        scroll_wrapped(&sheet->lines, 2, STYLE_PLAIN, line);
    }
    sheet->lines.line++;
}

int comparison_draw(struct page_frame *frame, struct page_state *state, const struct view *view)
{
    struct canvas *canvas = frame->canvas;
    struct sheet sheet = {
        .lines = {.canvas = canvas, .top = 1, .bottom = canvas->rows - 1, .first = frame->first},
        .view = view};
    const struct session_record *record = &view->snapshot->record;
    int index[CHANNELS_MAX], channels = page_body_channels(view, index);
    int latest[PAGE_HOLDS], holds = page_latest_holds(record, latest);
    canvas_print(canvas, 0, frame->title_end + 2, canvas->columns - frame->title_end - 3,
                 STYLE_STRONG, "all setups against setup %d", record->settings.baseline_setup);
    put_chosen(canvas, view);
    if (view->snapshot->record.setup_count == 0) {
        scroll_wrapped(&sheet.lines, 1, STYLE_PLAIN, "no setup was entered yet: n enters one");
    }
    for (int c = 0; c < channels && view->snapshot->record.setup_count > 0; c++) {
        put_channel(&sheet, index[c]);
    }
    if (channels >= 2) {
        put_cloud(&sheet, &state->plot, index[0], index[1]);
    }
    put_standing(&sheet);
    put_steps(&sheet, index, channels);
    put_drag(&sheet);
    scroll_heading(&sheet.lines, holds > 0 ? "latest holds" : "no hold was kept yet");
    for (int i = 0; i < holds; i++) {
        put_hold(&sheet, latest[i], index, channels);
    }
    if (view->store_trouble[0] != '\0') {
        page_message(canvas, state, view, canvas->rows - 1);
    } else {
        canvas_text(canvas, canvas->rows - 1, 1, canvas->columns - 2, STYLE_PLAIN,
                    scroll_has_more(&sheet.lines)
                        ? "Esc back   h choose   arrows, Space: more below"
                        : "Esc back   h choose");
    }
    return sheet.lines.line;
}
