/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "fitter_parts.h"

#include "base/numbers.h"
#include "base/text.h"
#include "bike/geometry.h"
#include "measure/rules.h"
#include "rig/auxiliary.h"
#include "say/say.h"
#include "say/target.h"
#include "say/wire.h"
#include "screen/sensors.h"
#include "screen/wording.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The lines of the fitter's screen: who and how long, the setup, what is being recorded, the
 * sensors. */

/* ---- head lines ---- */

/* The session's clock and what still fits, in as many words as there is room for. */
static void clock_text(struct canvas *canvas, char *text, size_t size, const struct view *view,
                       int others)
{
    int least = canvas->columns >= 60 ? 32 : 16; /* that the rider and the bike keep in any case */
    char left[WORDING_SIZE] = "", clock[24];
    say_hours(clock, sizeof clock, view->session_s);
    if (isfinite(view->minutes_left)) {
        snprintf(left, sizeof left, view->minutes_left >= 1.0 ? "%.0f min left" : "time is up",
                 floor(fmax(0.0, fmin(view->minutes_left, 9999.0))));
    }
    const char *dot = left[0] != '\0' ? " \u00B7 " : "";
    char wording[3][WORDING_SIZE * 2];
    snprintf(wording[0], sizeof wording[0], "%s \u00B7 %s", clock, view->clock_words);
    snprintf(wording[1], sizeof wording[1], "%s%s%s", clock, dot, left);
    snprintf(wording[2], sizeof wording[2], "%s", left[0] != '\0' ? left : clock);
    for (int i = view->clock_words[0] != '\0' ? 0 : 1; i < 3; i++) {
        int kept = i == 0 ? others : least;
        text_copy(text, size, wording[i]);
        if (canvas_width(canvas, text) + kept + 4 <= canvas->columns) {
            return;
        }
    }
}

void fitter_head(struct canvas *canvas, const struct view *view)
{
    char text[TEXT_SIZE * 2], right[WORDING_SIZE * 2];
    int columns = canvas->columns;
    const char *name = columns >= 60 ? "HOLDLINE  " : "";
    size_t used = 0;
    text[0] = '\0';
    text_append(text, sizeof text, &used, "%s%s%s", view->snapshot->record.rider.code,
                view->snapshot->record.rider.code[0] != '\0' &&
                        view->snapshot->record.rider.name[0] != '\0'
                    ? " "
                    : "",
                view->snapshot->record.rider.name);
    if (view->snapshot->record.bike.name[0] != '\0') {
        text_append(text, sizeof text, &used, "%s%s", used > 0 ? " \u00B7 " : "",
                    view->snapshot->record.bike.name);
    }
    if (used == 0) {
        text_append(text, sizeof text, &used, "no rider entered yet (key 1%s)",
                    view->offers->count > 0 ? "; as before: 0" : "");
    }
    clock_text(canvas, right, sizeof right, view, (int)strlen(name) + canvas_width(canvas, text));
    int end = canvas_right(canvas, 0, columns - 1, columns, STYLE_PLAIN, right);
    int at = canvas_text(canvas, 0, 1, end - 2, STYLE_STRONG, name);
    canvas_text(canvas, 0, 1 + at, end - 3 - at, STYLE_PLAIN, text);
}

/* How far the bar clamp is higher than on the first setup; NAN where that is not known. */
static double bars_moved_mm(const struct snapshot *snapshot)
{
    const struct setup_record *setup = snapshot_setup(snapshot);
    struct bike_points first, now;
    bool known = setup != NULL && bike_forward(&snapshot->record.setup[0].bike, &first, NULL) &&
                 bike_forward(&setup->bike, &now, NULL);
    return known ? now.clamp.y_mm - first.clamp.y_mm : (double)NAN;
}

/* How far bars and sensors went since the first setup: one word for all sensors where they agree,
 * none where they are still where they were. */
static void moved_words(char *text, size_t size, const struct view *view, bool room)
{
    char ties[CHANNELS_MAX][SAY_SIZE], shift[24];
    int index[CHANNELS_MAX], channels = page_body_channels(view, index);
    size_t used = 0;
    text[0] = '\0';
    double bars_mm = bars_moved_mm(view->snapshot);
    if (fabs(bars_mm) >= 0.5) {
        wording_signed(shift, sizeof shift, bars_mm);
        text_append(text, size, &used, "bars %s mm", shift);
    }
    bool same = channels > 0, moved = false;
    for (int i = 0; i < channels; i++) {
        const struct tie *tie = snapshot_tie(view->snapshot, index[i]);
        say_tie_briefly(ties[i], sizeof ties[i], tie);
        same = same && strcmp(ties[i], ties[0]) == 0;
        moved = moved || !snapshot_tied(view->snapshot, index[i]) || fabs(tie->shift_mm) >= 0.05;
    }
    for (int i = 0; i < (same ? 1 : channels) && moved && room; i++) {
        text_append(text, size, &used, "%s%s %s", used > 0 ? "  " : "",
                    same ? (channels > 1 ? "sensors" : "sensor")
                         : snapshot_channel(view->snapshot, index[i])->name,
                    ties[i]);
    }
    if (used == 0 && channels > 0 && snapshot_setup(view->snapshot) != NULL) {
        text_append(text, size, &used, "bars, sensors as at first");
    }
}

/* Its number, what it was made for, and what differs from the first, as far as there is room. */
static void draw_setup(struct canvas *canvas, const struct view *view,
                       const struct setup_record *setup, int end)
{
    char name[WORDING_SIZE], changes[TEXT_SIZE] = "";
    const struct setup_record *first = &view->snapshot->record.setup[0];
    int ordinal = snapshot_build_ordinal(view->snapshot);
    if (ordinal > 1) {
        snprintf(name, sizeof name, "SETUP %d (build %d)  ", setup->number, ordinal);
    } else {
        snprintf(name, sizeof name, "SETUP %d  ", setup->number);
    }
    int at = 1 + canvas_text(canvas, 1, 1, end - 1, STYLE_STRONG, name);
    at += canvas_text(canvas, 1, at, end - at, STYLE_PLAIN, setup->intent);
    if (setup != first) {
        bike_changes_text(changes, sizeof changes, &first->bike, &setup->bike);
    }
    if (changes[0] != '\0' && end - at > 16) {
        canvas_print(canvas, 1, at, end - at, STYLE_FAINT, "%s%s",
                     setup->intent[0] != '\0' ? "  " : "", changes);
    }
}

void fitter_setup(struct canvas *canvas, const struct view *view)
{
    const struct setup_record *setup = snapshot_setup(view->snapshot);
    char right[TEXT_SIZE], shown[TEXT_SIZE * 2];
    int end = canvas->columns - 1;
    if (page_was_here(view, right, sizeof right)) { /* said before anything is typed twice */
        canvas_text(canvas, 1, 1, canvas->columns - 2, STYLE_STRONG, right);
        return;
    }
    moved_words(right, sizeof right, view, canvas->columns >= 60);
    say_typeset(shown, sizeof shown, right);
    if (right[0] != '\0') {
        end = canvas_right(canvas, 1, end, canvas->columns * 3 / 5, STYLE_PLAIN, shown) - 2;
    }
    if (setup == NULL) {
        canvas_text(canvas, 1, 1, end - 1, STYLE_STRONG, "no setup entered yet (key n)");
    } else {
        draw_setup(canvas, view, setup, end);
    }
}

/* ---- what is being recorded ---- */

/* The target's capture: what it waits for. */
static void target_words(char *text, size_t size, const struct view *view)
{
    struct target_wait wait = {.elapsed_s = view->elapsed_s,
                               .planned_s = view->planned_s,
                               .proposed = view->length_proposed,
                               .settled = view->settled,
                               .until_mm = view->target_until_mm};
    int index[CHANNELS_MAX], count = page_body_channels(view, index);
    for (int i = 0; i < count; i++) {
        double half_mm = view->channel[index[i]].mean_half_width_mm;
        if (i == 0 || !(half_mm <= wait.half_width_mm)) {
            wait.half_width_mm = isnan(wait.half_width_mm) ? wait.half_width_mm : half_mm;
        }
    }
    say_target_waits(text, size, &wait);
}

/* 'steady' only where each sensor's creep is known and small, as it stands beside it; what a report
 * flags is called by its name; between the two nothing is said. */
static const char *steady_words(const struct view *view)
{
    int index[CHANNELS_MAX], count = page_body_channels(view, index);
    bool small = count > 0;
    for (int i = 0; i < count; i++) {
        double creep = view->channel[index[i]].creep_mm_per_min;
        small = small && isfinite(creep) && fabs(creep) < STEADY_CREEP_MM_PER_MIN;
    }
    return !view->steady ? "not steady" : small ? "steady" : "";
}

/* Nothing is being captured: what is the matter; false where something is. */
static bool draw_rest(struct canvas *canvas, const struct view *view, int row, int column,
                      int columns)
{
    const char *words = view->phase == VIEW_WAITING ? "waiting for readings from the sensors"
                        : view->phase == VIEW_ENDED ? "the session has ended"
                        : view->phase != VIEW_LIVE  ? NULL
                        : view->store_trouble[0] != '\0'
                            ? "live: kept in memory until it can be stored, no hold is running"
                            : "live: everything is recorded, no hold is running";
    if (words != NULL) {
        canvas_text(canvas, row, column, columns, STYLE_FAINT, words);
    }
    return words != NULL;
}

/* ' HOLD 3, free ', ' PLATE ' */
static void capture_name(char *text, size_t size, const struct view *view)
{
    if (view->phase == VIEW_HOLD || (view->phase == VIEW_SETTLING && view->hold_number > 0)) {
        snprintf(text, size, " HOLD %d, %s ", view->hold_number, view->guided ? "guided" : "free");
        return;
    }
    snprintf(text, size, " %s ",
             view->phase == VIEW_SETTLING ? "GET READY"
             : view->phase == VIEW_TARGET ? "TARGET"
             : view->phase == VIEW_PLATE  ? "PLATE"
                                          : "CHECK");
}

static void draw_capture(struct canvas *canvas, const struct view *view, int row, int column,
                         int end)
{
    char clock[24], whole[24], tail[WORDING_SIZE];
    say_minutes(clock, sizeof clock, view->elapsed_s);
    say_minutes(whole, sizeof whole, view->planned_s);
    snprintf(tail, sizeof tail, " %s of %s  %s", clock, whole, steady_words(view));
    if (view->phase == VIEW_TARGET && isfinite(view->target_until_mm)) {
        char words[sizeof tail - 1];
        target_words(words, sizeof words, view);
        snprintf(tail, sizeof tail, " %s", words);
    }
    int bar = end - column - canvas_width(canvas, tail);
    if (bar < 6) {
        snprintf(tail, sizeof tail, " %s of %s", clock, whole);
        bar = end - column - canvas_width(canvas, tail);
    }
    if (bar >= 4) {
        page_progress_bar(canvas, row, column, bar,
                          view->planned_s > 0.0 ? view->elapsed_s / view->planned_s : 0.0);
        column += bar;
    }
    canvas_text(canvas, row, column, end - column, STYLE_STRONG, tail);
}

void fitter_recording(struct canvas *canvas, const struct view *view, int row, int column,
                      int columns)
{
    char name[WORDING_SIZE];
    int end = column + columns;
    bool settling = view->phase == VIEW_SETTLING;
    if (draw_rest(canvas, view, row, column, columns)) {
        return;
    }
    capture_name(name, sizeof name, view);
    column +=
        canvas_text(canvas, row, column, columns, settling ? STYLE_WARNING : STYLE_RECORDING, name);
    if (settling) {
        canvas_print(canvas, row, column + 2, end - column - 2, STYLE_STRONG, "starts in %.0f s",
                     ceil(fmax(0.0, view->countdown_s)));
    } else {
        draw_capture(canvas, view, row, column + 1, end);
    }
}

/* ---- sensors and store ---- */

/* 'head ok', ' chest blocked '; of power and cadence the number itself. Gives the columns. */
static int draw_channel_health(struct canvas *canvas, const struct view *view, int channel, int row,
                               int at, int end)
{
    const struct channel_record *sensor = snapshot_channel(view->snapshot, channel);
    const struct channel_health *health = &view->health.channel[channel];
    char text[WORDING_SIZE * 2], number[24];
    int begin = at, auxiliary = auxiliary_of(sensor->name);
    if (!sensors_is_range(sensor)) {
        wording_whole(number, sizeof number,
                      health->recent_valid_share > 0.0 ? health->last_mm : (double)NAN);
        snprintf(text, sizeof text, "%s %s %s  ",
                 auxiliary >= 0 ? auxiliary_kinds[auxiliary].words : sensor->name, number,
                 auxiliary >= 0 ? auxiliary_kinds[auxiliary].unit : "");
        return canvas_text(canvas, row, at, end - at, STYLE_PLAIN, text);
    }
    enum health_trouble trouble = health_trouble(health);
    if (trouble != HEALTH_WELL) {
        snprintf(text, sizeof text, " %s %s ", sensor->name, health_trouble_word(trouble));
        at += canvas_text(canvas, row, at, end - at, STYLE_WARNING, text);
    } else {
        snprintf(text, sizeof text, "%s ok", sensor->name);
        at += canvas_text(canvas, row, at, end - at, STYLE_PLAIN, text);
    }
    if (canvas->columns >= 110 && trouble == HEALTH_WELL && isfinite(health->noise_mm)) {
        snprintf(text, sizeof text, " (noise %.1f mm)", health->noise_mm);
        at += canvas_text(canvas, row, at, end - at, STYLE_FAINT, text);
    }
    at += canvas_text(canvas, row, at, end - at, STYLE_PLAIN, trouble != HEALTH_WELL ? " " : "  ");
    return at - begin;
}

/* What limits how far the readings can be trusted; the sensors' page has all of it. Gives the
 * columns. */
static int draw_stream(struct canvas *canvas, const struct view *view, int row, int at, int end)
{
    char brief[WORDING_SIZE], field[WORDING_SIZE + 8];
    bool finding = say_wire_brief(brief, sizeof brief, &view->stream);
    if (brief[0] == '\0') {
        return 0;
    }
    snprintf(field, sizeof field, finding ? " %s (i) " : "%s (i)", brief);
    return canvas_text(canvas, row, at, end - at, finding ? STYLE_WARNING : STYLE_PLAIN, field) +
           (finding ? 1 : 2);
}

/* Lost, rate, rejected, how often the link was down. */
static void draw_wire_health(struct canvas *canvas, const struct rig_health *health, int row,
                             int at, int end)
{
    char text[WORDING_SIZE * 2];
    snprintf(text, sizeof text, "%llu lost", (unsigned long long)health->lost);
    at += canvas_text(canvas, row, at, end - at, STYLE_PLAIN, text);
    if (health->rate_differs) {
        snprintf(text, sizeof text, " %.1f/s, not %.1f ", health->sent_rate_hz,
                 health->announced_rate_hz);
    } else {
        snprintf(text, sizeof text, "%.1f/s", health->rate_hz);
    }
    at += 2 + canvas_text(canvas, row, at + 2, end - at - 2,
                          health->rate_differs ? STYLE_WARNING : STYLE_PLAIN, text);
    if (health->rejected > 0) {
        snprintf(text, sizeof text, "  %llu rejected", (unsigned long long)health->rejected);
        at += canvas_text(canvas, row, at, end - at, STYLE_PLAIN, text);
    }
    if (health->times_down > 0) {
        snprintf(text, sizeof text, "  link was down %llux",
                 (unsigned long long)health->times_down);
        at += canvas_text(canvas, row, at, end - at, STYLE_PLAIN, text);
    }
    if (canvas->columns >= 110 && health->clock_known) {
        snprintf(text, sizeof text, "  clock to %.1f ms", health->clock_error_ms);
        canvas_text(canvas, row, at, end - at, STYLE_FAINT, text);
    }
}

void fitter_health(struct canvas *canvas, const struct view *view, int row, int column, int columns)
{
    const struct rig_health *health = &view->health;
    int end = column + columns, at = column;
    if (view->store_text[0] != '\0') {
        bool well = view->store_open && strstr(view->store_text, "all stored") != NULL;
        int begin = canvas_right(canvas, row, end, columns / (well ? 3 : 2),
                                 well ? STYLE_PLAIN : STYLE_WARNING, view->store_text);
        end = begin - 2;
    }
    if (!view->has_rig && health->samples == 0) {
        canvas_text(canvas, row, at, end - at, STYLE_WARNING, " no sensors yet ");
        return;
    }
    at += canvas_text(canvas, row, at, end - at, STYLE_FAINT, "sensors ");
    if (health_is_mute(health)) {
        canvas_text(canvas, row, at, end - at, STYLE_WARNING, wording_mute(health));
        return;
    }
    for (int c = 0; c < view->channel_count && c < health->channel_count; c++) {
        at += draw_channel_health(canvas, view, c, row, at, end);
    }
    at += draw_stream(canvas, view, row, at, end);
    draw_wire_health(canvas, health, row, at, end);
}
