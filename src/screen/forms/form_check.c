/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/form_kind.h"

#include "base/text.h"
#include "measure/rules.h"
#include "screen/form_lines.h"
#include "screen/form_value.h"
#include "screen/sensors.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* A check of the sensors: which, of which sensor, with what before it, and how long. */

#define SEVERAL                                                                                    \
    "200 400 600" /* distances that a bench has room for, and a body's ranges lie in               \
                   */

static const struct check_form {
    const char *word, *words; /* as the command has it; as the form shows it */
    bool of_one, wants_block, takes_block, wants_distances;
    bool by_key;           /* hands are busy with something: the next step waits for a key */
    const double *seconds; /* where nothing is said */
    const char *explanation;
} checks[] = {
    {"rider", "rider test", false, false, false, false, false, &RIDER_S,
     "with the rider on: pedal, nod, wave the hands, come up"},
    {"beam", "beam", true, false, true, false, false, &BEAM_S,
     "a hand, or a block, in one beam: that sensor responds and no other"},
    {"step", "step", true, true, true, false, true, &STEP_S,
     "a block of known thickness on a flat plate: is a millimetre one?"},
    {"still", "still test", false, false, false, false, false, &STILL_S,
     "a fixed plate: noise, drift, and how long averaging pays"},
    {"calibrate", "calibration", true, false, false, true, true, &CALIBRATION_S,
     "a plate at known distances; a line that fits is taken"},
    {"plate", "plate", false, false, false, false, false, &PLATE_S,
     "a plate at an unchanging height: ties this build's heights"},
};
#define CHECK_FORMS (sizeof checks / sizeof checks[0])

static const struct check_form *chosen(struct form *form)
{
    for (size_t i = 0; i < CHECK_FORMS; i++) {
        if (strcmp(checks[i].word, form_find(form, "kind")->value) == 0) {
            return &checks[i];
        }
    }
    return &checks[0];
}

/* CHECK_KINDS for what is no check. */
static enum check_kind kind_of(const struct check_form *check)
{
    return (enum check_kind)word_find(&check_verb_words, check->word, CHECK_KINDS);
}

/* The block, or the distances, that were there last: most have one block. */
static const struct check_record *latest_with(const struct view *view, bool distances)
{
    const struct session_record *record = &view->snapshot->record;
    for (int i = record->check_count - 1; i >= 0; i--) {
        const struct check_record *check = &record->check[i];
        bool is_line = check->kind == CHECK_CALIBRATION;
        if (check->placing == view->snapshot->placing && is_line == distances &&
            isfinite(check->asked_mm[0])) {
            return check;
        }
    }
    return NULL;
}

static void prefill_distances(struct form *form, const struct view *view, bool wanted)
{
    char text[FORM_VALUE_SIZE] = "", number[32];
    size_t used = 0;
    const struct check_record *latest = latest_with(view, true);
    for (int i = 0; latest != NULL && i < CHECK_PHASES_MAX && isfinite(latest->asked_mm[i]); i++) {
        text_from_double_shortest(number, sizeof number, latest->asked_mm[i]);
        text_append(text, sizeof text, &used, "%s%s", used > 0 ? " " : "", number);
    }
    form_prefill(form_find(form, "distances"), !wanted ? "" : used > 0 ? text : SEVERAL);
}

/* What follows from the kind of check. */
static void prefill(struct form *form, const struct view *view)
{
    const struct check_form *check = chosen(form);
    const struct check_record *block = latest_with(view, false);
    struct form_field *channel = form_find(form, "channel");
    form->explanation = check->explanation;
    form_prefill_number(form_find(form, "block"),
                        check->wants_block && block != NULL ? block->asked_mm[0] : (double)NAN);
    prefill_distances(form, view, check->wants_distances);
    form_prefill_number(form_find(form, "seconds"), *check->seconds);
    form_prefill(form_find(form, "pause"), check->by_key ? "key" : "");
    if (!check->of_one) {
        form_prefill(channel, "");
        return;
    }
    for (int c = view->channel_count - 1; c >= 0; c--) { /* the first that was not checked so yet */
        bool made = kind_of(check) != CHECK_KINDS && sensors_result(view, kind_of(check), c) >= 0;
        if (sensors_is_range(snapshot_channel(view->snapshot, c)) &&
            (!made || channel->initial[0] == '\0')) {
            form_prefill(channel, snapshot_channel(view->snapshot, c)->name);
        }
    }
}

static const struct word_list pause_words = {0, 1, (const char *const[]){"key"}};
static const char *const pause_shown[] = {"with Space"};
static const struct form_row check_rows[] = {
    {FIELD_CHOICE, "kind", "check", .bare = true},
    {FIELD_CHOICE, "channel", "sensor", .none = "(all)", .bare = true},
    {FIELD_NUMBER, "block", "block's thickness", FORM_TYPED(TYPED_BLOCK)},
    {FIELD_TEXT, "distances", "known distances, mm", .kept = 0},
    {FIELD_WHOLE, "seconds", "readings for", FORM_TYPED(TYPED_CHECK_S)},
    {FIELD_CHOICE, "pause", "each step begins", .none = "by itself", .list = &pause_words,
     .shown = pause_shown},
};

static void fill_check(struct form *form, const struct view *view)
{
    struct sensors_due due = {CHECK_STILL, -1};
    struct form_field *kind = form_find(form, "kind"), *channel = form_find(form, "channel");
    for (size_t i = 0; i < CHECK_FORMS; i++) {
        form_add_choice(kind, checks[i].word, checks[i].words);
    }
    for (int c = 0; c < view->channel_count; c++) {
        if (sensors_is_range(snapshot_channel(view->snapshot, c))) {
            form_add_choice(channel, snapshot_channel(view->snapshot, c)->name,
                            snapshot_channel(view->snapshot, c)->name);
        }
    }
    bool is_due = sensors_check_due(view, &due);
    form_prefill(kind, word_of(&check_verb_words, due.kind));
    prefill(form, view);
    if (is_due && due.channel >= 0) {
        form_prefill(channel, snapshot_channel(view->snapshot, due.channel)->name);
    }
}

static void follow_check(struct form *form, const struct view *view, int field)
{
    if (field == 0) {
        prefill(form, view);
    }
}

/* Numbers with blanks between, in mm. */
static bool put_distances(struct form_line *line)
{
    char text[FORM_VALUE_SIZE];
    int count = 0;
    text_clean(text, sizeof text, form_find(line->form, "distances")->value);
    for (char *word = strtok(text, " ;"); word != NULL; word = strtok(NULL, " ;")) {
        double mm;
        if (!text_to_double(word, &mm)) {
            return form_refuse(line->form, "distances", "known distances: in mm, as 200 400 600");
        }
        form_line_text(line, NULL, word);
        count++;
    }
    return count >= 2 || form_refuse(line->form, "distances",
                                     "known distances: two or more from the sensor to the plate, "
                                     "in mm, as 200 400 600");
}

static bool check_lines(struct form *form, const struct view *view)
{
    const struct check_form *check = chosen(form);
    const struct form_field *channel = form_find(form, "channel"),
                            *block = form_find(form, "block"),
                            *seconds = form_find(form, "seconds"),
                            *pause = form_find(form, "pause");
    bool is_plate = kind_of(check) == CHECK_KINDS, is_line = check->wants_distances;
    if (check->of_one && !form_given(channel)) {
        return form_refuse(form, "channel", "sensor: say which (left and right choose)");
    }
    if (check->wants_block && !form_given(block)) {
        return form_refuse(form, "block", "block's thickness: measure it, say with callipers");
    }
    if (form_given(block) && !check->takes_block) {
        return form_refuse(form, "block",
                           "block's thickness: for a step or a beam; leave it empty");
    }
    struct form_line line = form_line_begin(form, is_plate || is_line ? check->word : "check");
    if (!is_plate && !is_line) {
        form_line_text(&line, NULL, check->word);
    }
    if (form_given(channel) && kind_of(check) != CHECK_RIDER && !is_plate) {
        form_line_field(&line, channel, view);
    }
    if (is_line && !put_distances(&line)) {
        return false;
    }
    if (form_given(block)) {
        form_line_field(&line, block, view);
    }
    if (form_given(seconds)) {
        char length[32];
        snprintf(length, sizeof length, "%.0fs", form_number(seconds));
        form_line_text(&line, NULL, length);
    }
    if (form_given(pause) && !is_plate) {
        form_line_field(&line, pause, view);
    }
    return form_line_end(&line, NULL);
}

const struct form_kind_row form_check = {
    .title = "A CHECK OF THE SENSORS",
    .explanation = "",
    FORM_ROWS(check_rows),
    .fill = fill_check,
    .follow = follow_check,
    .lines = check_lines,
};
