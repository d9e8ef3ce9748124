/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/table.h"
#include "base/text.h"
#include "say/difference.h"
#include "say/holds.h"
#include "say/setup.h"

#include "base/numbers.h"
#include "screen/page.h"
#include "screen/wording.h"

#include <math.h>
#include <stdio.h>

/* The comparison that grows in the session: a row a setup; for each channel of the body the mean of
 * the free holds with its 95 % half-width, and the difference against the baseline in words. */

#define HOLDS_COLUMNS 6
#define MEAN_COLUMNS 9
#define HOLD_COLUMNS 32
#define EVENT_COLUMNS 22 /* when and what */
#define CHANNEL_COLUMNS_MOST 58

struct table_place {
    int channels, index[CHANNELS_MAX];
    int name_columns, channel_columns;
    bool holds, words; /* words: the verdicts stand in it too */
};

static bool lay_out(const struct view *view, int columns, struct table_place *place)
{
    place->channels = page_body_channels(view, place->index);
    if (place->channels > 4) {
        place->channels = 4;
    }
    place->holds = columns >= 60;
    int holds = place->holds ? HOLDS_COLUMNS : 0;
    int name = columns >= 100 ? columns * 9 / 40 : columns / 4;
    name = name < 10 ? 10 : name > 40 ? 40 : name;
    int left = columns - holds - name;
    place->channel_columns = place->channels > 0 ? left / place->channels : left;
    if (!place->words && place->channel_columns > MEAN_COLUMNS + 3) {
        place->channel_columns = MEAN_COLUMNS + 3;
    }
    if (place->channel_columns > CHANNEL_COLUMNS_MOST) {
        place->channel_columns = CHANNEL_COLUMNS_MOST;
    }
    place->name_columns = place->channels > 0
                              ? columns - holds - place->channels * place->channel_columns
                              : columns - holds;
    return place->channel_columns >= 8;
}

/* Which setups are shown where there is no room for all: the current one, the baseline, the latest
 * that have free holds, then those without any. */
static int choose(const struct view *view, int rows, int chosen[SETUPS_MAX])
{
    const struct session_record *record = &view->snapshot->record;
    bool take[SETUPS_MAX] = {false};
    int count = 0;
    const int first[] = {snapshot_setup_index(view->snapshot),
                         session_record_setup(record, record->settings.baseline_setup)};
    for (int i = 0; i < 2 && count < rows; i++) {
        if (first[i] >= 0 && !take[first[i]]) {
            take[first[i]] = true;
            count++;
        }
    }
    for (int empty = 0; empty < 2; empty++) {
        for (int s = record->setup_count - 1; s >= 0 && count < rows; s--) {
            if (!take[s] && (empty == 1 || view->snapshot->analysis.free_holds[s] > 0)) {
                take[s] = true;
                count++;
            }
        }
    }
    count = 0;
    for (int s = 0; s < record->setup_count; s++) {
        if (take[s]) {
            chosen[count++] = s;
        }
    }
    return count;
}

static void draw_channel(struct canvas *canvas, const struct view *view, int setup, int channel,
                         const struct table_place *place, int row, int column)
{
    const struct session_record *record = &view->snapshot->record;
    const struct analysis *analysis = &view->snapshot->analysis;
    const struct setup_estimate *estimate = analysis_estimate(analysis, channel, setup);
    int width = place->channel_columns - 1;
    if (estimate->holds == 0) {
        canvas_text(canvas, row, column, width, STYLE_FAINT,
                    width >= 16 ? "no free hold yet" : "\u2013");
        return;
    }
    char mean[WORDING_SIZE], half[24], verdict[WORDING_SIZE * 2];
    wording_whole(mean, sizeof mean, estimate->mean);
    if (!estimate->tied) {
        text_copy(mean, sizeof mean, "not tied");
    }
    if (estimate->has_interval) {
        wording_whole(half, sizeof half, ceil(estimate->half_width));
        char both[WORDING_SIZE];
        snprintf(both, sizeof both, "%.24s \u00B1%s%s", mean, half,
                 wording_interval_mark(estimate));
        canvas_text(canvas, row, column, MEAN_COLUMNS - 1 < width ? MEAN_COLUMNS - 1 : width,
                    STYLE_STRONG, both);
    } else {
        canvas_text(canvas, row, column, MEAN_COLUMNS - 1 < width ? MEAN_COLUMNS - 1 : width,
                    STYLE_STRONG, mean);
    }
    int left = width - MEAN_COLUMNS;
    int at = column + MEAN_COLUMNS;
    if (left < 6 || !place->words) {
        return;
    }
    if (record->setup[setup].number == record->settings.baseline_setup) {
        canvas_text(canvas, row, at, left, STYLE_FAINT,
                    left >= 17 ? "compared against" : "baseline");
        return;
    }
    int against = session_record_setup(record, record->settings.baseline_setup);
    if (against >= 0 && analysis_estimate(analysis, channel, against)->holds == 0) {
        canvas_print(canvas, row, at, left, STYLE_PLAIN, "%d: no hold yet",
                     record->settings.baseline_setup);
        return;
    }
    const struct setup_difference *difference = analysis_difference(analysis, channel, setup);
    say_difference_within(verdict, sizeof verdict, difference, left);
    enum verdict said = difference->verdict;
    canvas_text(canvas, row, at, left,
                said == VERDICT_LOWER || said == VERDICT_HIGHER ? STYLE_STRONG : STYLE_PLAIN,
                verdict);
}

static void draw_heading(struct canvas *canvas, const struct view *view,
                         const struct table_place *place, int shown, int row, int column)
{
    int setups = view->snapshot->record.setup_count;
    char heading[WORDING_SIZE] = "setup";
    if (setups == 0) {
        snprintf(heading, sizeof heading, "setups: none yet");
    } else if (setups > shown && place->name_columns >= 18) {
        snprintf(heading, sizeof heading, "setups (%d more: c)", setups - shown);
    }
    canvas_text(canvas, row, column, place->name_columns - 1, STYLE_FAINT, heading);
    int at = column + place->name_columns;
    if (place->holds) {
        canvas_text(canvas, row, at, HOLDS_COLUMNS - 1, STYLE_FAINT, "holds");
        at += HOLDS_COLUMNS;
    }
    for (int i = 0; i < place->channels; i++) {
        const struct channel_record *channel = snapshot_channel(view->snapshot, place->index[i]);
        snprintf(heading, sizeof heading, "%s, mm%s", channel->name,
                 snapshot_tied(view->snapshot, place->index[i]) ? "" : " (not tied)");
        canvas_text(canvas, row, at + i * place->channel_columns, place->channel_columns - 1,
                    STYLE_FAINT, heading);
    }
}

/* Number and what was changed, a mark at the one in force, what speaks against it. */
static void draw_name(struct canvas *canvas, const struct view *view, int setup, int row,
                      int column, int width)
{
    const struct session_record *record = &view->snapshot->record;
    bool current = setup == snapshot_setup_index(view->snapshot);
    char name[TEXT_SIZE + 16], what[TEXT_SIZE];
    page_setup_words(what, sizeof what, record, setup);
    snprintf(name, sizeof name, "%d %s", record->setup[setup].number, what);
    canvas_put(canvas, row, column, current ? STYLE_STRONG : STYLE_PLAIN,
               !current                           ? ' '
               : canvas->letters == LETTERS_FULL  ? 0x25B8
               : canvas->letters == LETTERS_BLOCK ? 0x25B6
                                                  : '>');
    if (setup_sight_failed(record, setup)) {
        const char *word = say_failed_badge(width <= 24);
        int used = canvas_width(canvas, word);
        if (width > used + 4) {
            canvas_text(canvas, row, column + 1 + width - used, used, STYLE_WARNING, word);
            width -= used + 1;
        }
    }
    canvas_text(canvas, row, column + 1, width, current ? STYLE_STRONG : STYLE_PLAIN, name);
}

static void draw_setup(struct canvas *canvas, const struct view *view, int setup,
                       const struct table_place *place, int row, int column)
{
    const struct analysis *analysis = &view->snapshot->analysis;
    int at = column + place->name_columns;
    draw_name(canvas, view, setup, row, column, place->name_columns - 3);
    if (place->holds) {
        if (analysis->guided_holds[setup] > 0) {
            canvas_print(canvas, row, at, HOLDS_COLUMNS - 1, STYLE_PLAIN, "%d+%dg",
                         analysis->free_holds[setup], analysis->guided_holds[setup]);
        } else {
            canvas_print(canvas, row, at, HOLDS_COLUMNS - 1, STYLE_PLAIN, "%d",
                         analysis->free_holds[setup]);
        }
        at += HOLDS_COLUMNS;
    }
    for (int c = 0; c < place->channels; c++) {
        draw_channel(canvas, view, setup, place->index[c], place, row,
                     at + c * place->channel_columns);
    }
}

int table_draw(struct canvas *canvas, const struct view *view, int row, int column, int rows,
               int columns, bool words)
{
    struct table_place place = {.words = words};
    if (rows < 2 || !lay_out(view, columns, &place)) {
        return 0;
    }
    int chosen[SETUPS_MAX];
    int count = choose(view, rows - 1, chosen);
    draw_heading(canvas, view, &place, count, row, column);
    for (int i = 0; i < count; i++) {
        draw_setup(canvas, view, chosen[i], &place, row + 1 + i, column);
    }
    return 1 + count;
}

/* Interval of a difference on a small axis with the middle at 0 and ticks at plus and minus D. */
static int whisker_at(double mm, double per_mm, int middle, int columns)
{
    double at = middle + round(mm * per_mm);
    return !(at >= -1.0) ? -1 : at > columns ? columns : (int)at;
}

void table_draw_whisker(struct canvas *canvas, const struct setup_difference *difference,
                        double matters, double reach, int row, int column, int columns)
{
    int middle = columns / 2;
    double per_mm = middle / reach;
    canvas_put(canvas, row, column + middle, STYLE_FAINT,
               canvas->letters == LETTERS_ASCII ? '|' : 0x2502);
    for (int side = -1; side <= 1; side += 2) {
        int at = whisker_at(side * matters, per_mm, middle, columns);
        if (at >= 0 && at < columns) {
            canvas_put(canvas, row, column + at, STYLE_FAINT,
                       canvas->letters == LETTERS_FULL ? 0x254E : ':');
        }
    }
    if (difference->verdict == VERDICT_NONE || difference->verdict == VERDICT_NOT_COMPARABLE ||
        !isfinite(difference->difference)) {
        return;
    }
    if (difference->has_interval && difference->low <= difference->high) {
        int low = whisker_at(difference->low, per_mm, middle, columns);
        int high = whisker_at(difference->high, per_mm, middle, columns);
        for (int at = low < 0 ? 0 : low; at <= high && at < columns; at++) {
            canvas_put(canvas, row, column + at, STYLE_PLAIN,
                       canvas->letters == LETTERS_ASCII ? '-' : 0x2500);
        }
    }
    int centre = whisker_at(difference->difference, per_mm, middle, columns);
    if (centre >= 0 && centre < columns) {
        canvas_put(canvas, row, column + centre, STYLE_STRONG,
                   canvas->letters == LETTERS_FULL ? 0x25CF : 'o');
    } else {
        canvas_put(canvas, row, centre < 0 ? column : column + columns - 1, STYLE_STRONG,
                   centre < 0 ? '<' : '>');
    }
}

double table_reach(const struct view *view, int channel)
{
    double reach = 12.0;
    for (int s = 0; s < view->snapshot->record.setup_count; s++) {
        const struct setup_difference *difference =
            analysis_difference(&view->snapshot->analysis, channel, s);
        if (difference->has_interval) {
            reach = fmax(reach, fmin(60.0, fmax(fabs(difference->low), fabs(difference->high))));
        }
    }
    return 5.0 * ceil(reach / 5.0);
}

int table_draw_differences(struct canvas *canvas, const struct view *view, int channel, int row,
                           int column, int rows, int columns)
{
    const struct session_record *record = &view->snapshot->record;
    const struct analysis *analysis = &view->snapshot->analysis;
    int count = 0, words = columns / 2 - 4, setups = record->setup_count;
    for (int s = 0; s < setups; s++) {
        count += record->setup[s].number != record->settings.baseline_setup &&
                 analysis_estimate(analysis, channel, s)->holds > 0;
    }
    if (count == 0 || rows < 2 || columns < 50) {
        return 0;
    }
    words = words > 42 ? 42 : words;
    int axis = columns - words - 5;
    axis -= axis % 2 == 0 ? 1 : 0;
    double reach = table_reach(view, channel);
    char text[WORDING_SIZE];
    canvas_print(canvas, row, column, columns, STYLE_STRONG, "%s",
                 snapshot_channel(view->snapshot, channel)->name);
    snprintf(text, sizeof text, "against setup %d", record->settings.baseline_setup);
    canvas_text(canvas, row, column + 4 + axis + 1, words, STYLE_FAINT, text);
    snprintf(text, sizeof text, "\u2212%.0f", reach);
    int at = column + canvas_width(canvas, snapshot_channel(view->snapshot, channel)->name) + 1;
    canvas_text(canvas, row, at > column + 4 ? at : column + 4, 6, STYLE_FAINT, text);
    canvas_text(canvas, row, column + 4 + axis / 2, 2, STYLE_FAINT, "0");
    snprintf(text, sizeof text, "+%.0f mm", reach);
    canvas_right(canvas, row, column + 4 + axis, 8, STYLE_FAINT, text);
    int used = 1;
    int first = setups > rows - 1 && count > rows - 1 ? setups - (rows - 1) : 0;
    for (int s = first; s < setups && used < rows; s++) {
        const struct setup_difference *difference = analysis_difference(analysis, channel, s);
        if (record->setup[s].number == record->settings.baseline_setup ||
            analysis_estimate(analysis, channel, s)->holds == 0) {
            continue;
        }
        canvas_print(canvas, row + used, column, 3,
                     s == snapshot_setup_index(view->snapshot) ? STYLE_STRONG : STYLE_PLAIN, "%2d",
                     record->setup[s].number);
        table_draw_whisker(canvas, difference, record->settings.matters_mm[channel], reach,
                           row + used, column + 4, axis);
        say_difference_within(text, sizeof text, difference, words);
        enum verdict said = difference->verdict;
        canvas_text(canvas, row + used, column + 4 + axis + 1, words,
                    said == VERDICT_LOWER || said == VERDICT_HIGHER ? STYLE_STRONG : STYLE_PLAIN,
                    text);
        used++;
    }
    return used;
}

int table_draw_holds(struct canvas *canvas, const struct view *view, int row, int column, int rows,
                     int columns)
{
    const struct session_record *record = &view->snapshot->record;
    int index[CHANNELS_MAX], channels = page_body_channels(view, index);
    int latest[PAGE_HOLDS], count = page_latest_holds(record, latest);
    if (rows < 2 || columns < 30 || count == 0) {
        return 0;
    }
    int fit = (columns - HOLD_COLUMNS - 1) / 16;
    channels = channels < fit ? channels : fit;
    canvas_text(canvas, row, column, HOLD_COLUMNS, STYLE_FAINT, "latest holds");
    for (int c = 0; c < channels; c++) {
        canvas_print(canvas, row, column + HOLD_COLUMNS + 1 + c * 16, 15, STYLE_FAINT,
                     "%s, in band", snapshot_channel(view->snapshot, index[c])->name);
    }
    int used = 1;
    for (int i = 0; i < count && used < rows; i++, used++) {
        const struct hold_record *hold = &record->hold[latest[i]];
        const struct hold_result *result = &view->snapshot->analysis.hold[latest[i]];
        enum style style = hold->rejected ? STYLE_FAINT : STYLE_PLAIN;
        char found[64];
        say_hold_findings(found, sizeof found, hold_findings_of(hold, result), SAY_HOLD_CELL);
        canvas_print(canvas, row + used, column, HOLD_COLUMNS, style, "%3d  setup %d  %s%s",
                     hold->number, page_setup_of_hold(record, hold),
                     say_hold_kind(hold->guided, hold->kept_afterwards, true), found);
        for (int c = 0; c < channels; c++) {
            char mean[24], half[24], text[WORDING_SIZE];
            struct page_hold_numbers numbers = page_hold_numbers(view, latest[i], index[c]);
            wording_whole(mean, sizeof mean, numbers.mean_mm);
            wording_whole(half, sizeof half, ceil(numbers.half_width_mm));
            int length = snprintf(text, sizeof text, "%s", mean);
            if (isfinite(numbers.half_width_mm)) {
                length += snprintf(text + length, sizeof text - (size_t)length, " \u00B1%s", half);
            }
            if (isfinite(numbers.in_band_share)) {
                snprintf(text + length, sizeof text - (size_t)length, "  %.0f%%",
                         100.0 * numbers.in_band_share);
            }
            canvas_text(canvas, row + used, column + HOLD_COLUMNS + 1 + c * 16, 15, style, text);
        }
    }
    return used;
}

int table_draw_events(struct canvas *canvas, const struct view *view, int row, int column, int rows,
                      int columns)
{
    int used = 1, count = view->snapshot->event_count;
    if (rows < 3 || columns < 40 || count == 0) {
        return 0;
    }
    canvas_text(canvas, row, column, columns, STYLE_FAINT,
                "what has happened, the latest first (j: all)");
    for (int i = count - 1; i >= 0 && used < rows; i--) {
        const struct event *event = &view->snapshot->event[i];
        char clock[24];
        int left = rows - used;
        say_hours(clock, sizeof clock, event->at_s);
        canvas_print(canvas, row + used, column, EVENT_COLUMNS, STYLE_PLAIN, "%9s  %s", clock,
                     event->what);
        used += canvas_wrapped(canvas, row + used, column + EVENT_COLUMNS, columns - EVENT_COLUMNS,
                               left < 3 ? left : 3, STYLE_PLAIN, event->text);
    }
    return used;
}
