/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitter_parts.h"

#include "base/numbers.h"
#include "base/text.h"
#include "say/say.h"
#include "screen/digits.h"
#include "screen/wording.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* A channel's panel, and what stands of it where there is no room for one. */

#define SIDE_COLUMNS 17       /* cue, digits and the hold's numbers at the right of a panel */
#define SIDE_COLUMNS_LARGE 25 /* with digits twice as large */
#define SIDE_COLUMNS_HUGE 36  /* three times */

static bool capturing(const struct view *view)
{
    return view->phase == VIEW_HOLD || view->phase == VIEW_TARGET;
}

/* Where the channel stands as a field: against the band, else what is missing for one. The cue of
 * the rider comes after its delay, and would contradict the digits here until then. */
static void draw_cue_field(struct canvas *canvas, const struct view *view, int c, int row,
                           int column, int columns)
{
    const struct view_channel *channel = &view->channel[c];
    if (!isfinite(channel->slow_mm)) {
        canvas_fill(canvas, row, column, 1, columns, STYLE_NO_READING, ' ');
        canvas_text(canvas, row, column + 1, columns - 1, STYLE_NO_READING,
                    wording_cue(CUE_NO_READING));
    } else if (!gauge_has_target(channel)) {
        canvas_text(canvas, row, column + 1, columns - 1, STYLE_FAINT,
                    snapshot_has_target(view->snapshot, c) ? "not tied: no cue" : "no target yet");
    } else if (!gauge_has_band(channel)) {
        canvas_text(canvas, row, column + 1, columns - 1, STYLE_FAINT, "no band yet");
    } else {
        enum style style = gauge_field_style(channel->seen);
        canvas_fill(canvas, row, column, 1, columns, style, ' ');
        canvas_text(canvas, row, column + 1, columns - 1, style, wording_cue(channel->seen));
    }
}

static void digits_text(char *text, size_t size, double mm)
{
    if (!isfinite(mm)) {
        text_copy(text, size, "--");
        return;
    }
    say_signed(text, size, round(mm), 0);
}

/* The number of a channel at rest: not tied, a height is one as if the sensor had not moved. */
static const char *what_is_shown(const struct view *view, int c)
{
    const struct tie *tie = snapshot_tie(view->snapshot, c);
    if (snapshot_tied(view->snapshot, c)) {
        return "height";
    }
    return tie != NULL && tie->absolute ? "untied" : "range";
}

/* What is known of the hold in progress, or of the channel at rest: up to three lines. */
static int side_lines(char line[4][WORDING_SIZE], const struct view *view, int c)
{
    const struct view_channel *channel = &view->channel[c];
    char number[24], half[24];
    int count = 0;
    if (capturing(view)) {
        double mean = gauge_has_target(channel) && view->phase == VIEW_HOLD
                          ? channel->mean_mm - channel->target_mm
                          : channel->mean_mm;
        if (gauge_has_target(channel) && view->phase == VIEW_HOLD) {
            wording_signed(number, sizeof number, mean);
        } else {
            wording_whole(number, sizeof number, mean);
        }
        if (isfinite(channel->mean_half_width_mm)) {
            wording_whole(half, sizeof half, ceil(channel->mean_half_width_mm));
            snprintf(line[count++], WORDING_SIZE, "mean %s \u00B1%s", number, half);
        } else {
            snprintf(line[count++], WORDING_SIZE, "mean %s", number);
        }
        if (isfinite(channel->in_band_share)) {
            snprintf(line[count++], WORDING_SIZE, "in %.0f%%  \u25B2%d \u25BC%d",
                     100.0 * channel->in_band_share, channel->came_up, channel->went_low);
        }
        if (isfinite(channel->creep_mm_per_min)) {
            wording_tenth(number, sizeof number, channel->creep_mm_per_min);
            snprintf(line[count++], WORDING_SIZE, "creep %s/min", number);
        }
    } else {
        wording_whole(number, sizeof number, channel->shown_mm);
        if (gauge_has_target(channel) && isfinite(channel->shown_mm)) {
            snprintf(line[count++], WORDING_SIZE, "%s %s mm", what_is_shown(view, c), number);
        }
    }
    return count;
}

static void draw_side(struct canvas *canvas, const struct view *view, int c, int row, int column,
                      int rows, int columns)
{
    const struct view_channel *channel = &view->channel[c];
    char line[4][WORDING_SIZE], digits[24];
    int lines = side_lines(line, view, c);
    double shown =
        gauge_has_target(channel) ? channel->shown_mm - channel->target_mm : channel->shown_mm;
    draw_cue_field(canvas, view, c, row, column, columns);
    digits_text(digits, sizeof digits, shown);
    if (!gauge_has_target(channel) && digits[0] == '+') {
        memmove(digits, digits + 1, strlen(digits));
    }
    int high, wide, at = row + 1, room = rows - 1;
    int scale = columns >= SIDE_COLUMNS_HUGE && room >= 14   ? 3
                : columns >= SIDE_COLUMNS_LARGE && room >= 8 ? 2
                                                             : 1;
    digits_size(DIGITS_SMALL, digits, scale, &high, &wide);
    if (canvas->letters != LETTERS_ASCII && room >= high && wide <= columns - 3) {
        int spare = room - high - lines;
        at += spare >= 2 ? 1 : 0;
        digits_draw(canvas, DIGITS_SMALL, digits, scale, at, column + 1, STYLE_STRONG);
        if (columns - wide - 2 >= 2) {
            canvas_text(canvas, at + high - 1, column + 2 + wide, columns - wide - 2, STYLE_FAINT,
                        "mm");
        }
        at += high + (spare >= 1 ? 1 : 0);
    } else if (room >= 1) {
        char plain[WORDING_SIZE];
        if (gauge_has_target(channel)) {
            wording_signed(plain, sizeof plain, shown);
        } else {
            wording_whole(plain, sizeof plain, shown);
        }
        canvas_print(canvas, at++, column + 1, columns - 1, STYLE_STRONG, "%s mm", plain);
    }
    for (int i = 0; i < lines && at < row + rows; i++) {
        canvas_text(canvas, at++, column + 1, columns - 1, STYLE_PLAIN, line[i]);
    }
}

static void upper_name(char *text, size_t size, const char *name)
{
    size_t i = 0;
    for (; name[i] != '\0' && i + 1 < size; i++) {
        text[i] = name[i] >= 'a' && name[i] <= 'z' ? (char)(name[i] - 'a' + 'A') : name[i];
    }
    text[i] = '\0';
}

static void draw_title(struct canvas *canvas, const struct view *view, int c, int row, int column,
                       int columns)
{
    const struct view_channel *channel = &view->channel[c];
    const struct channel_record *sensor = snapshot_channel(view->snapshot, c);
    char name[CHANNEL_NAME_SIZE], text[TEXT_SIZE], number[24], half[24];
    size_t used = 0;
    upper_name(name, sizeof name, sensor->name);
    int at = column + canvas_text(canvas, row, column, columns, STYLE_STRONG, name);
    text[0] = '\0';
    if (sensor->mark[0] != '\0') {
        text_append(text, sizeof text, &used, "  %s", sensor->mark);
    }
    if (gauge_has_target(channel)) {
        wording_whole(number, sizeof number, channel->target_mm);
        text_append(text, sizeof text, &used, "%starget %s",
                    sensor->mark[0] != '\0' ? " \u00B7 " : "  ", number);
        if (isfinite(channel->target_half_width_mm)) {
            wording_whole(half, sizeof half, ceil(channel->target_half_width_mm));
            text_append(text, sizeof text, &used, " \u00B1%s", half);
        }
        text_append(text, sizeof text, &used, " mm");
    }
    if (gauge_has_band(channel)) {
        text_append(text, sizeof text, &used, ", band");
        if (isfinite(channel->band_above_mm)) {
            text_append(text, sizeof text, &used, " +%.0f", channel->band_above_mm);
        } else {
            text_append(text, sizeof text, &used, " none above");
        }
        if (isfinite(channel->band_below_mm)) {
            text_append(text, sizeof text, &used, " \u2212%.0f", channel->band_below_mm);
        } else {
            text_append(text, sizeof text, &used, ", none below");
        }
    }
    if (!snapshot_tied(view->snapshot, c)) {
        char tie[SAY_SIZE];
        say_tie_briefly(tie, sizeof tie, snapshot_tie(view->snapshot, c));
        text_append(text, sizeof text, &used, "%s%s", used > 0 ? " \u00B7 " : "  ", tie);
    }
    canvas_text(canvas, row, at, column + columns - at, STYLE_PLAIN, text);
}

void fitter_panel(struct canvas *canvas, struct page_state *state, const struct view *view, int c,
                  int row, int column, int rows, int columns)
{
    gauge_fit_axis(&state->axis[c], view, c);
    int side = canvas->columns >= 180 && rows >= 15  ? SIDE_COLUMNS_HUGE
               : canvas->columns >= 110 && rows >= 9 ? SIDE_COLUMNS_LARGE
                                                     : SIDE_COLUMNS;
    int main_columns = columns - side - 1;
    draw_title(canvas, view, c, row, column, main_columns);
    struct gauge_place place = {
        .row = row + 1, .column = column, .rows = rows - 1, .columns = main_columns, .marks = true};
    gauge_draw(canvas, &state->plot, &state->axis[c], view, c, &place);
    draw_side(canvas, view, c, row, column + columns - side, rows, side);
}

/* Two rows (one, if it must be) for a channel where there is no room for a panel. */
void fitter_small_panel(struct canvas *canvas, const struct view *view, int c, int row, int rows)
{
    const struct view_channel *channel = &view->channel[c];
    char name[CHANNEL_NAME_SIZE], number[24], line[4][WORDING_SIZE];
    int columns = canvas->columns;
    upper_name(name, sizeof name, snapshot_channel(view->snapshot, c)->name);
    canvas_text(canvas, row, 1, 8, STYLE_STRONG, name);
    draw_cue_field(canvas, view, c, row, 10, 18);
    double shown =
        gauge_has_target(channel) ? channel->shown_mm - channel->target_mm : channel->shown_mm;
    if (gauge_has_target(channel)) {
        wording_signed(number, sizeof number, shown);
    } else {
        wording_whole(number, sizeof number, shown);
    }
    int at = 25 + canvas_print(canvas, row, 25, columns - 26, STYLE_STRONG, "%s mm", number);
    int lines = side_lines(line, view, c);
    for (int i = 0; i < lines && capturing(view); i++) {
        if (at + 2 + canvas_width(canvas, line[i]) < columns) {
            at += 2 + canvas_text(canvas, row, at + 2, columns - at - 3, STYLE_PLAIN, line[i]);
        }
    }
    if (rows > 1) {
        gauge_draw_lying(canvas, view, c, row + 1, 1, rows - 1, columns - 2);
    }
}
