/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "sensors_parts.h"

#include "base/numbers.h"
#include "base/text.h"
#include "screen/wording.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The checks on the sensors' page: the one that is going on, those that were made, the next. */

#define NAME_END 23 /* where verdicts stand below each other */

/* 'beam of head', 'still test' */
static void check_name(char *text, size_t size, enum check_kind kind, const char *channel)
{
    snprintf(text, size, "%s%s%s", sensors_kind_words(kind), channel[0] != '\0' ? " of " : "",
             channel);
}

/* ---- going on ---- */

void sensors_put_running(struct scroll *scroll, const struct view *view)
{
    const struct view_check *check = &view->check;
    struct canvas *canvas = scroll->canvas;
    char text[TEXT_SIZE], clock[24];
    if (view->phase == VIEW_PLATE) {
        snprintf(text, sizeof text, "reading the plate: keep it still, %.0f s left",
                 ceil(fmax(0.0, view->planned_s - view->elapsed_s)));
        scroll_wrapped(scroll, 1, STYLE_RECORDING, text);
        scroll->line++;
        return;
    }
    if (view->phase != VIEW_CHECK || !check->running) {
        return;
    }
    check_name(text, sizeof text, check->kind,
               check->channel >= 0 ? snapshot_channel(view->snapshot, check->channel)->name : "");
    int at = 1, row = scroll_row(scroll), end = canvas->columns - 1;
    char field[TEXT_SIZE + 32];
    snprintf(field, sizeof field, " %s, %d of %d ", text, check->phase + 1, check->phase_count);
    at += canvas_text(canvas, row, at, end - at, check->recording ? STYLE_RECORDING : STYLE_WARNING,
                      field) +
          1;
    say_minutes(clock, sizeof clock, ceil(fmax(0.0, check->left_s)));
    if (check->waits_for_go) {
        canvas_text(canvas, row, at, end - at, STYLE_STRONG, "Space when it is done");
    } else if (!check->recording) {
        snprintf(text, sizeof text, "begins in %.0f s", ceil(fmax(0.0, check->left_s)));
        canvas_text(canvas, row, at, end - at, STYLE_STRONG, text);
    } else {
        snprintf(text, sizeof text, " reading, %s left", clock);
        int width = canvas_width(canvas, text), bar = end - at - width;
        if (bar >= 6) {
            page_progress_bar(canvas, row, at, bar,
                              check->length_s > 0.0 ? 1.0 - check->left_s / check->length_s : 0.0);
            at += bar;
        }
        canvas_text(canvas, row, at, end - at, STYLE_STRONG, text);
    }
    scroll->line++;
    scroll_wrapped(scroll, 2, STYLE_STRONG, check->ask);
    scroll->line++;
}

/* ---- made ---- */

static void put_plate(struct scroll *scroll, const struct view *view)
{
    char text[TEXT_SIZE] = "";
    size_t used = 0;
    for (int c = 0; c < view->channel_count; c++) {
        double plate_mm = snapshot_plate_mm(view->snapshot, c);
        if (isfinite(plate_mm)) {
            text_append(text, sizeof text, &used, "%s%s %.1f mm",
                        used > 0 ? ", " : "plate of this build: ",
                        snapshot_channel(view->snapshot, c)->name, plate_mm);
        }
    }
    scroll_wrapped(scroll, 2, STYLE_PLAIN,
                   used > 0 ? text : "plate of this build: not read (p reads it)");
}

/* What to do after it, where it did not go well; NULL where its own words say it. */
static const char *advice(const struct check_record *result)
{
    if (result->verdict == CHECK_PASSED) {
        return NULL;
    }
    if (result->verdict == CHECK_UNCERTAIN) {
        return "next: the same again, for longer";
    }
    switch (result->kind) {
    case CHECK_STEP:
        return check_wants_calibration(result) ? "next: calibrate it, then the step again"
                                               : "next: put that right, then the step again";
    case CHECK_CALIBRATION:
        return "next: measure again, the plate square to the beam, its distances by tape";
    case CHECK_RIDER:
    case CHECK_BEAM:
    case CHECK_STILL:
    case CHECK_KINDS:
        break;
    }
    return "next: put that right, then the same again";
}

/* 'rider test   passed   0:00:33', and its words. */
static void put_result(struct scroll *scroll, const struct view *view, int index, bool words)
{
    const struct session_record *record = &view->snapshot->record;
    const struct check_record *result = &record->check[index];
    struct canvas *canvas = scroll->canvas;
    char name[WORDING_SIZE], clock[24], text[CHECK_WORDS_SIZE];
    int row = scroll_row(scroll), at = 2;
    bool passed = result->verdict == CHECK_PASSED;
    check_name(name, sizeof name, result->kind,
               result->channel >= 0 ? snapshot_channel(view->snapshot, result->channel)->name : "");
    say_hours(clock, sizeof clock, check_time_s(record, result));
    at += canvas_text(canvas, row, at, canvas->columns - at, STYLE_STRONG, name);
    at = at < NAME_END ? NAME_END : at + 2;
    at +=
        canvas_text(canvas, row, at, canvas->columns - at - 1, passed ? STYLE_PLAIN : STYLE_WARNING,
                    word_of(&check_verdict_words, result->verdict)) +
        2;
    canvas_text(canvas, row, at, canvas->columns - at - 1, STYLE_FAINT, clock);
    scroll->line++;
    if (!words) {
        return;
    }
    say_typeset(text, sizeof text, result->words);
    scroll_wrapped(scroll, 4, STYLE_PLAIN, text);
    if (advice(result) != NULL) {
        scroll_wrapped(scroll, 4, STYLE_STRONG, advice(result));
    }
}

/* The latest stands at the top, with its words. */
static bool is_latest(const struct view *view, int index)
{
    int latest[CHECK_LATEST_MAX];
    int count = check_latest(&view->snapshot->record, view->snapshot->placing, latest);
    return view->phase != VIEW_CHECK && count > 0 && index == latest[count - 1];
}

void sensors_put_latest(struct scroll *scroll, const struct view *view)
{
    int latest[CHECK_LATEST_MAX];
    int count = check_latest(&view->snapshot->record, view->snapshot->placing, latest);
    if (count > 0 && view->phase != VIEW_CHECK) {
        put_result(scroll, view, latest[count - 1], true);
        scroll->line++;
    }
}

/* All of a kind; the latest stands at the top already, with its words. */
static int put_kind(struct scroll *scroll, const struct view *view, enum check_kind kind)
{
    int latest[CHECK_LATEST_MAX], count = 0;
    int all = check_latest(&view->snapshot->record, view->snapshot->placing, latest);
    for (int i = 0; i < all; i++) {
        if (view->snapshot->record.check[latest[i]].kind == kind) {
            put_result(scroll, view, latest[i], !is_latest(view, latest[i]));
            count++;
        }
    }
    return count;
}

static void append_name(char *text, size_t size, size_t *used, enum check_kind kind,
                        const char *channel)
{
    char name[WORDING_SIZE];
    check_name(name, sizeof name, kind, channel);
    text_append(text, size, used, "%s%s", *used > 0 ? ", " : "not made yet: ", name);
}

void sensors_put_checks(struct scroll *scroll, const struct view *view)
{
    static const enum check_kind kinds[] = {CHECK_RIDER, CHECK_BEAM, CHECK_STEP, CHECK_STILL,
                                            CHECK_CALIBRATION};
    char missing[TEXT_SIZE * 2] = ""; /* in the order in which it is made best */
    size_t used = 0;
    if (view->channel_count == 0) {
        return;
    }
    scroll_heading(scroll, "CHECKS since the sensors were fixed");
    for (int k = 0; k < 5; k++) {
        bool of_one = kinds[k] == CHECK_BEAM || kinds[k] == CHECK_STEP;
        int made = put_kind(scroll, view, kinds[k]);
        if (!of_one && made == 0 && kinds[k] != CHECK_CALIBRATION) {
            append_name(missing, sizeof missing, &used, kinds[k], "");
        }
        for (int c = 0; of_one && c < view->channel_count; c++) {
            if (sensors_is_range(snapshot_channel(view->snapshot, c)) &&
                sensors_result(view, kinds[k], c) < 0) {
                append_name(missing, sizeof missing, &used, kinds[k],
                            snapshot_channel(view->snapshot, c)->name);
            }
        }
    }
    scroll_wrapped(scroll, 2, STYLE_PLAIN, missing);
    put_plate(scroll, view);
}

/* ---- next ---- */

void sensors_draw_next(struct canvas *canvas, const struct page_state *state,
                       const struct view *view, bool more)
{
    char name[WORDING_SIZE], field[TEXT_SIZE];
    struct sensors_due due;
    int row = canvas->rows - 2, at = 1, end = canvas->columns - 1;
    enum key_place place = key_place_of(view);
    if (state->asks_to_end) {
        return;
    }
    if (view->phase == VIEW_CHECK && view->check.waits_for_go) {
        snprintf(field, sizeof field, " SPACE \u25B6 it is done, go on ");
    } else if (place == AT_ENDED) {
        field[0] = '\0';
    } else if (place != AT_LIVE) {
        at += canvas_text(canvas, row, at, end - at, STYLE_PLAIN, "it ends by itself") + 2;
        field[0] = '\0';
    } else if (sensors_check_due(view, &due)) {
        check_name(name, sizeof name, due.kind,
                   due.channel >= 0 ? snapshot_channel(view->snapshot, due.channel)->name : "");
        snprintf(field, sizeof field, " SPACE \u25B6 %s ", name);
    } else {
        snprintf(field, sizeof field, " SPACE \u25B6 back ");
    }
    if (field[0] != '\0') {
        at += canvas_text(canvas, row, at, end - at, STYLE_NEXT, field) + 2;
    }
    const struct {
        const char *key, *words;
        bool shown;
    } keys[] = {{"Esc", "back", true},
                {"x", "stop", (place & AT_CAPTURE) != 0},
                {"7", "another check", place == AT_LIVE},
                {"arrows", "more", more},
                {"?", "keys", true}};
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
        int width = canvas_width(canvas, keys[i].key) + 1 + canvas_width(canvas, keys[i].words);
        if (keys[i].shown && at + width <= end) {
            at += canvas_text(canvas, row, at, end - at, STYLE_STRONG, keys[i].key) + 1;
            at += canvas_text(canvas, row, at, end - at, STYLE_PLAIN, keys[i].words) + 2;
        }
    }
}
