/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "form_parts.h"

#include "base/text.h"
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
    bool by_key; /* hands are busy with something: the next step waits for a key */
    double seconds;
    const char *explanation;
} checks[] = {
    {"rider", "rider test", false, false, false, false, false, 20.0,
     "with the rider on: pedal, nod, wave the hands, come up"},
    {"beam", "beam", true, false, true, false, false, 5.0,
     "a hand, or a block, in one beam: that sensor responds and no other"},
    {"step", "step", true, true, true, false, true, 10.0,
     "a block of known thickness on a flat plate: is a millimetre one?"},
    {"still", "still test", false, false, false, false, false, 60.0,
     "a fixed plate: noise, drift, and how long averaging pays"},
    {"calibrate", "calibration", true, false, false, true, true, 5.0,
     "a plate at known distances; a line that fits is taken"},
    {"plate", "plate", false, false, false, false, false, 5.0,
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
    form_prefill_number(form_find(form, "seconds"), check->seconds);
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

void form_check_open(struct form *form, const struct view *view)
{
    struct sensors_due due = {CHECK_STILL, -1};
    form->title = "A CHECK OF THE SENSORS";
    struct form_field *field = form_add(form, FIELD_CHOICE, "kind", "check", "", 0.0, 0.0);
    for (size_t i = 0; i < CHECK_FORMS; i++) {
        form_add_choice(field, checks[i].word, checks[i].words);
    }
    bool is_due = sensors_check_due(view, &due);
    form_prefill(field, word_of(&check_verb_words, due.kind));
    field = form_add(form, FIELD_CHOICE, "channel", "sensor", "", 0.0, 0.0);
    form_add_choice(field, "", "(all)");
    for (int c = 0; c < view->channel_count; c++) {
        if (sensors_is_range(snapshot_channel(view->snapshot, c))) {
            form_add_choice(field, snapshot_channel(view->snapshot, c)->name,
                            snapshot_channel(view->snapshot, c)->name);
        }
    }
    form_add(form, FIELD_NUMBER, "block", "block's thickness", "mm", 1.0, 500.0);
    form_add_text(form, "distances", "known distances, mm", "", 0);
    form_add(form, FIELD_WHOLE, "seconds", "readings for", "s", 1.0, 36000.0);
    field = form_add(form, FIELD_CHOICE, "pause", "each step begins", "", 0.0, 0.0);
    form_add_choice(field, "", "by itself");
    form_add_choice(field, "key", "with Space");
    prefill(form, view);
    if (is_due && due.channel >= 0) {
        form_prefill(form_find(form, "channel"),
                     snapshot_channel(view->snapshot, due.channel)->name);
    }
}

void form_check_follow(struct form *form, const struct view *view, int field)
{
    if (field == 0) {
        prefill(form, view);
    }
}

static bool refuse_at(struct form *form, const char *key, const char *sentence)
{
    form->focus = (int)(form_find(form, key) - form->field);
    return form_refuse(form, sentence);
}

/* Numbers with blanks between, in mm. */
static bool append_distances(struct form *form, char *line, size_t *used)
{
    char text[FORM_VALUE_SIZE];
    int count = 0;
    text_clean(text, sizeof text, form_find(form, "distances")->value);
    for (char *word = strtok(text, " ;"); word != NULL; word = strtok(NULL, " ;")) {
        double mm;
        if (!text_to_double(word, &mm)) {
            return refuse_at(form, "distances", "known distances: in mm, as 200 400 600");
        }
        text_append(line, COMMAND_TEXT_SIZE, used, " %s", word);
        count++;
    }
    return count >= 2 || refuse_at(form, "distances",
                                   "known distances: two or more from the sensor to the plate, in "
                                   "mm, as 200 400 600");
}

bool form_check_lines(struct form *form)
{
    const struct check_form *check = chosen(form);
    const struct form_field *channel = form_find(form, "channel"),
                            *block = form_find(form, "block"),
                            *seconds = form_find(form, "seconds");
    bool is_plate = kind_of(check) == CHECK_KINDS, is_line = check->wants_distances;
    char *line = form->line[form->line_count], number[32];
    size_t used = 0;
    if (check->of_one && !form_given(channel)) {
        return refuse_at(form, "channel", "sensor: say which (left and right choose)");
    }
    if (check->wants_block && !form_given(block)) {
        return refuse_at(form, "block", "block's thickness: measure it, say with callipers");
    }
    if (form_given(block) && !check->takes_block) {
        return refuse_at(form, "block", "block's thickness: for a step or a beam; leave it empty");
    }
    text_append(line, COMMAND_TEXT_SIZE, &used, "%s%s", is_plate || is_line ? "" : "check ",
                check->word);
    if (form_given(channel) && kind_of(check) != CHECK_RIDER && !is_plate) {
        text_append(line, COMMAND_TEXT_SIZE, &used, " %s", channel->value);
    }
    if (is_line && !append_distances(form, line, &used)) {
        return false;
    }
    if (form_given(block)) {
        text_from_double_shortest(number, sizeof number, form_number(block));
        text_append(line, COMMAND_TEXT_SIZE, &used, " block=%s", number);
    }
    if (form_given(seconds)) {
        text_append(line, COMMAND_TEXT_SIZE, &used, " %.0fs", form_number(seconds));
    }
    if (strcmp(form_find(form, "pause")->value, "key") == 0 && !is_plate) {
        text_append(line, COMMAND_TEXT_SIZE, &used, " pause=key");
    }
    form->line_count++;
    return true;
}
