/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/form_kind.h"

#include "analysis/setup_ratings.h"
#include "base/text.h"
#include "say/holds.h"
#include "screen/form_lines.h"
#include "screen/form_path.h"
#include "screen/form_value.h"
#include "screen/page.h"
#include "screen/table.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* What is said of the session: who rides, notes, holds left out, settings, the choice, exports. */

#define KEPT(record, member) .kept = sizeof((struct record *)0)->member

/* ---- who rides ---- */

static const struct form_row rider_rows[] = {
    {FIELD_TEXT, "code", "code", KEPT(rider_record, code), .required = true, .bare = true},
    {FIELD_TEXT, "name", "name or group", KEPT(rider_record, name), .bare = true},
    {FIELD_TEXT, "watch_for", "old trouble to watch for", KEPT(rider_record, watch_for)},
};

static void fill_rider(struct form *form, const struct view *view)
{
    const struct rider_record *rider = &view->snapshot->record.rider;
    form_prefill(form_find(form, "code"), rider->code);
    form_prefill(form_find(form, "name"), rider->name);
    form_prefill(form_find(form, "watch_for"), rider->watch_for);
}

const struct form_kind_row form_rider = {
    .title = "WHO RIDES",
    .explanation = "files carry the code; leave the name empty to keep it out of exports",
    FORM_ROWS(rider_rows),
    .fill = fill_rider,
    .command = "rider",
};

/* ---- a note ---- */

static const struct form_row note_rows[] = {
    {FIELD_TEXT, "text", "note", KEPT(note_record, text), .required = true, .bare = true},
};

const struct form_kind_row form_note = {
    .title = "A NOTE",
    .explanation = "it keeps the time at which it is taken",
    FORM_ROWS(note_rows),
    .command = "note",
};

/* ---- a hold left out ---- */

static const struct typed_number hold_number = {"", "", 1, HOLDS_MAX};
static const struct form_row reject_rows[] = {
    {FIELD_WHOLE, "number", "hold number", .number = &hold_number, .required = true, .bare = true},
    {FIELD_TEXT, "reason", "reason", KEPT(hold_record, reject_reason), .bare = true},
};

static void fill_reject(struct form *form, const struct view *view)
{
    const struct session_record *record = &view->snapshot->record;
    int latest[PAGE_HOLDS];
    bool any = page_latest_holds(record, latest) > 0;
    form_prefill_number(form_find(form, "number"),
                        any ? (double)record->hold[latest[0]].number : (double)NAN);
}

/* No re-sit was seen before it, nor said since. */
static bool is_same_sit(const struct view *view, int number)
{
    const struct session_record *record = &view->snapshot->record;
    for (int h = 0; h < record->hold_count; h++) {
        if (record->hold[h].number == number && !record->hold[h].rejected) {
            return record->hold[h].resit == RESIT_NOT_SEEN;
        }
    }
    return false;
}

static bool reject_lines(struct form *form, const struct view *view)
{
    int number = (int)form_number(form_find(form, "number"));
    bool is_out = false;
    for (int i = 0; i < view->snapshot->event_count; i++) {
        const struct event *event = &view->snapshot->event[i];
        is_out = is_out || (event->kind == EVENT_HOLD && event->hold == number && event->left_out);
    }
    is_out = is_out || (!form_given(form_find(form, "reason")) && is_same_sit(view, number));
    if (!is_out && !form_given(form_find(form, "reason"))) {
        return form_refuse(form, "reason", "reason: say why, it stands in the record");
    }
    struct form_line line = form_line_begin(form, is_out ? "restore" : "reject");
    form_line_field(&line, form_find(form, "number"), view);
    if (!is_out) {
        form_line_field(&line, form_find(form, "reason"), view);
    }
    return form_line_end(&line, NULL);
}

/* The holds that can be left out, below the form. */
static void draw_holds(struct canvas *canvas, struct form *form, const struct view *view, int row,
                       int rows)
{
    (void)form;
    const struct session_record *record = &view->snapshot->record;
    int latest[PAGE_HOLDS], count = page_latest_holds(record, latest);
    for (int i = 0; i < count && rows > 0; i++, row++, rows--) {
        const struct hold_record *hold = &record->hold[latest[i]];
        canvas_print(canvas, row, 3, canvas->columns - 4,
                     hold->rejected ? STYLE_FAINT : STYLE_PLAIN, "hold %d, setup %d, %s%s",
                     hold->number, page_setup_of_hold(record, hold),
                     say_hold_kind(hold->guided, hold->kept_afterwards, false),
                     hold->rejected ? ": left out, Enter takes it in again"
                     : hold->resit == RESIT_NOT_SEEN
                         ? ": no re-sit seen; Enter without a reason: the rider sat up"
                         : "");
    }
}

const struct form_kind_row form_reject = {
    .title = "LEAVE A HOLD OUT",
    .explanation = "nothing is deleted; a hold that is left out is taken in again",
    FORM_ROWS(reject_rows),
    .fill = fill_reject,
    .lines = reject_lines,
    .draw_below = draw_holds,
};

/* ---- what the comparison is made with ---- */

/* What stands beside this session's own holds (record/enum_words.h: learnt_from_words). */
static const char *const learnt_shown[] = {"rider, others", "rider alone", "others alone",
                                           "nothing else"};

static const struct form_row settings_rows[] = {
    {FIELD_NUMBER, "matters:", ": what matters", FORM_TYPED(TYPED_MATTERS),
     .each = FORM_BODY_CHANNELS},
    {FIELD_WHOLE, "baseline", "compared against setup", FORM_TYPED(TYPED_SETUP), .bare = true},
    {FIELD_NUMBER, "slope", "slope of the trunk", FORM_TYPED(TYPED_SLOPE), .bare = true},
    {FIELD_WHOLE, "minutes", "the session may take", FORM_TYPED(TYPED_MINUTES), .bare = true},
    {FIELD_CHOICE, "learnt", "repeatability also from", .list = &learnt_from_words,
     .shown = learnt_shown, .bare = true},
};

static void fill_settings(struct form *form, const struct view *view)
{
    const struct comparison_settings *settings = &view->snapshot->record.settings;
    for (int i = 0; i < form->count; i++) {
        if (form->field[i].channel >= 0) {
            form_prefill_number(&form->field[i], settings->matters_mm[form->field[i].channel]);
        }
    }
    form_prefill_number(form_find(form, "baseline"), settings->baseline_setup);
    form_prefill(form_find(form, "learnt"), word_of(&learnt_from_words, settings->learnt_from));
}

/* The channels' in one line, each of the others in one of its own. */
static bool settings_lines(struct form *form, const struct view *view)
{
    struct form_line matters = form_line_begin(form, "matters");
    for (int i = 0; i < form->count; i++) {
        const struct form_field *field = &form->field[i];
        if (!form_given(field) || !form_field_changed(field)) {
            continue;
        }
        if (field->channel >= 0) {
            form_line_field(&matters, field, view);
            form->line_count = 1;
        } else {
            struct form_line line = form_line_begin(form, field->key);
            form_line_field(&line, field, view);
            form_line_end(&line, NULL);
        }
    }
    return form->line_count > 0 || form_refuse(form, NULL, "nothing was changed");
}

const struct form_kind_row form_settings = {
    .title = "WHAT THE COMPARISON IS MADE WITH",
    .explanation = "set before the first hold, so that nobody chooses them by the outcome",
    FORM_ROWS(settings_rows),
    .fill = fill_settings,
    .lines = settings_lines,
};

/* ---- the time booked ---- */

#define MINUTES_USUAL 60.0

static const struct form_row minutes_rows[] = {
    {FIELD_WHOLE, "minutes", "minutes", FORM_TYPED(TYPED_MINUTES), .required = true, .bare = true},
};

static void fill_minutes(struct form *form, const struct view *view)
{
    bool known = isfinite(view->minutes_left);
    form_prefill_number(form_find(form, "minutes"),
                        known ? round(view->minutes_left + view->session_s / 60.0) : MINUTES_USUAL);
}

static void draw_was_here(struct canvas *canvas, struct form *form, const struct view *view,
                          int row, int rows)
{
    char text[TEXT_SIZE];
    (void)form;
    if (rows > 0 && page_was_here(view, text, sizeof text)) {
        canvas_wrapped(canvas, row, 1, canvas->columns - 2, rows, STYLE_STRONG, text);
    }
}

const struct form_kind_row form_minutes = {
    .title = "MINUTES BOOKED",
    .explanation = "from the session's beginning; the clock says what still fits",
    FORM_ROWS(minutes_rows),
    .fill = fill_minutes,
    .command = "minutes",
    .draw_below = draw_was_here,
};

/* ---- what the rider goes home with ---- */

static const struct form_row choose_rows[] = {
    {FIELD_WHOLE, "number", "setup", FORM_TYPED(TYPED_CHOSEN), .required = true, .bare = true},
    {FIELD_TEXT, "found_by", "what tells the rider of it", KEPT(comparison_settings, found_by)},
};

static const char of_choice[] = "the rider's sheet is about this setup; 0 takes the choice back";
static const char not_asked[] =
    "nobody asked yet how far it lets see ahead: its sheet will say so (r asks)";

/* Whichever field it is that changed: what the rider is told by takes nothing back of it. */
static void follow_choose(struct form *form, const struct view *view, int field)
{
    const struct session_record *record = &view->snapshot->record;
    double number = form_number(form_find(form, "number"));
    (void)field;
    int setup = number > 0 ? session_record_setup(record, (int)number) : -1;
    if (setup >= 0 && isnan(setup_rating(record, setup, RATING_SEES_AHEAD))) {
        form->explanation = not_asked;
    } else if (form->explanation == not_asked) {
        form->explanation = of_choice;
    }
}

static void fill_choose(struct form *form, const struct view *view)
{
    int chosen = view->snapshot->record.settings.chosen_setup;
    form_prefill_number(form_find(form, "number"), chosen > 0 ? (double)chosen : (double)NAN);
    form_prefill(form_find(form, "found_by"), view->snapshot->record.settings.found_by);
    follow_choose(form, view, 0);
}

static void draw_setups(struct canvas *canvas, struct form *form, const struct view *view, int row,
                        int rows)
{
    (void)form;
    table_draw(canvas, view, row, 0, rows, canvas->columns, true);
}

const struct form_kind_row form_choose = {
    .title = "WHAT THE RIDER GOES HOME WITH",
    .explanation = of_choice,
    FORM_ROWS(choose_rows),
    .fill = fill_choose,
    .follow = follow_choose,
    .command = "choose",
    .draw_below = draw_setups,
};

/* ---- an export ---- */

static const struct form_row export_rows[] = {
    {FIELD_TEXT, "file", "file", .required = true},
};

static void fill_export(struct form *form, const struct view *view)
{
    form_prefill(form_find(form, "file"), view->sheet_name);
    form->is_export = true;
}

/* No command: the name as it is. */
static bool export_lines(struct form *form, const struct view *view)
{
    char cleaned[FORM_VALUE_SIZE];
    (void)view;
    text_clean(cleaned, sizeof cleaned, form_find(form, "file")->value);
    text_copy(form->line[0], sizeof form->line[0], cleaned);
    form->replaces =
        strcmp(form->line[0], form->asked) == 0; /* the form has said that it is there */
    form->asked[0] = '\0';
    form->line_count = 1;
    return true;
}

static void draw_path(struct canvas *canvas, struct form *form, const struct view *view, int row,
                      int rows)
{
    const char *file = form_find(form, "file")->value;
    /* a disk is asked when it is written, and by nobody who draws */
    const char *words = strchr(file, '/') != NULL ? "goes, if that folder is there, to" : "goes to";
    form_path_draw(canvas, view, row, rows, words, file);
}

const struct form_kind_row form_export = {
    .title = "EXPORT",
    .explanation = "-sheet.pdf the rider's  .pdf .html report  .txt  .csv  .json all  .svg bike",
    FORM_ROWS(export_rows),
    .fill = fill_export,
    .lines = export_lines,
    .draw_below = draw_path,
};
