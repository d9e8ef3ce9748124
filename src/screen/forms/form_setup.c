/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "say/say.h"
#include "say/setup.h"
#include "screen/form_bike.h"
#include "screen/form_kind.h"
#include "screen/form_lines.h"
#include "screen/form_value.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The next setup, a slip put right in one, and the bike itself. */

#define INTENT_KEPT sizeof((struct setup_record *)0)->intent

static void prefill_bike(struct form *form, const struct bike_values *values)
{
    for (int i = 0; i < form->count; i++) {
        int key = form_bike_key(&form->field[i]);
        if (key >= 0) {
            form_prefill_number(&form->field[i], values->value[key]);
        }
    }
}

/* A value that was there can't be made 'not given' again. */
static bool emptied(struct form *form)
{
    for (int i = 0; i < form->count; i++) {
        const struct form_field *field = &form->field[i];
        if (form_bike_key(field) >= 0 && field->initial[0] != '\0' && !form_given(field)) {
            char sentence[160];
            snprintf(sentence, sizeof sentence, "%s was %s: type what it is now", field->label,
                     field->initial);
            return !form_refuse(form, field->key, sentence);
        }
    }
    return false;
}

/* ---- the next setup ---- */

static const struct form_row setup_rows[] = {
    {FIELD_WHOLE, "number", "setup number", FORM_TYPED(TYPED_SETUP), .required = true,
     .bare = true},
    {FIELD_WHOLE, "from", "from setup", FORM_TYPED(TYPED_SETUP)},
    {FIELD_TEXT, "intent", "what for", .kept = INTENT_KEPT},
    {.each = FORM_BIKE_PARTS},
};

static void fill_setup(struct form *form, const struct view *view)
{
    const struct session_record *record = &view->snapshot->record;
    const struct setup_record *current = snapshot_setup(view->snapshot);
    int next = 1;
    for (int s = 0; s < record->setup_count; s++) {
        next = record->setup[s].number >= next ? record->setup[s].number + 1 : next;
    }
    if (next == 1) {
        form->title = "THE FIRST SETUP: THE BIKE AS IT CAME";
        form->explanation = "what is on the bike now; leave out what you don't know";
        form_prefill(form_find(form, "intent"), "as it came");
    }
    form_prefill_number(form_find(form, "number"), next);
    if (record->setup_count > 0) {
        form_prefill_number(form_find(form, "from"),
                            current != NULL ? current->number : record->setup[0].number);
    } else {
        form_drop(form, "from");
    }
    prefill_bike(form, current != NULL ? &current->bike : &record->bike.frame);
    form->focus = next == 1 ? 0 : 2;
}

/* What was typed besides the number stays; else the values are those of the setup gone back to, or
 * of the one that a new number starts from. */
static void follow_number(struct form *form, const struct view *view)
{
    const struct form_field *from = form_find(form, "from");
    const struct setup_record *back = form_setup_numbered(view, form_number(&form->field[0]));
    const struct setup_record *start =
        back == NULL && from != NULL ? form_setup_numbered(view, form_number(from)) : back;
    for (int i = 1; i < form->count; i++) {
        if (form_field_changed(&form->field[i])) {
            return;
        }
    }
    if (start != NULL) {
        prefill_bike(form, &start->bike);
        form_prefill(form_find(form, "intent"), back != NULL ? back->intent : "");
    }
}

static void follow_setup(struct form *form, const struct view *view, int field)
{
    const struct setup_record *from = form_setup_numbered(view, form_number(&form->field[field]));
    if (strcmp(form->field[field].key, "number") == 0) {
        follow_number(form, view);
    } else if (strcmp(form->field[field].key, "from") == 0 && from != NULL) {
        prefill_bike(form, &from->bike);
    }
}

/* Back to one that is there: by its number alone. */
static bool return_lines(struct form *form, const struct view *view)
{
    for (int i = 0; i < form->count; i++) {
        if (!form->field[i].bare && form_field_changed(&form->field[i])) {
            char sentence[160];
            snprintf(sentence, sizeof sentence,
                     "setup %.10s is there already: a changed setup takes a new number",
                     form_find(form, "number")->value);
            return form_refuse(form, "number", sentence);
        }
    }
    struct form_line line = form_line_begin(form, "setup");
    form_line_field(&line, form_find(form, "number"), view);
    return form_line_end(&line, NULL);
}

/* What is rarely meant: a number that leaves a gap, and a setup like the one before. */
static void ask_about(struct form *form, const struct view *view, int changed)
{
    const struct session_record *record = &view->snapshot->record;
    int number = (int)form_number(form_find(form, "number")), next = 1;
    for (int s = 0; s < record->setup_count; s++) {
        next = record->setup[s].number >= next ? record->setup[s].number + 1 : next;
    }
    if (number > next) {
        snprintf(form->question, sizeof form->question,
                 "The next number is %d. Is this setup to be number %d?", next, number);
    } else if (changed == 0 && snapshot_setup(view->snapshot) != NULL) {
        snprintf(form->question, sizeof form->question,
                 "No part is another than in setup %d (b: built again). A new setup all the same?",
                 snapshot_setup_number(view->snapshot));
    }
}

static bool setup_lines(struct form *form, const struct view *view)
{
    const struct form_field *number = form_find(form, "number"), *from = form_find(form, "from"),
                            *intent = form_find(form, "intent");
    bool starts = from != NULL && form_given(from);
    if (emptied(form)) {
        return false;
    }
    if (form_setup_numbered(view, form_number(number)) != NULL) {
        return return_lines(form, view);
    }
    if (starts && form_setup_numbered(view, form_number(from)) == NULL) {
        return form_refuse(form, "from", "there is no setup of that number to start from");
    }
    struct form_line line = form_line_begin(form, "setup");
    form_line_field(&line, number, view);
    if (form_given(intent)) {
        form_line_text(&line, NULL, intent->value);
    }
    /* a first setup begins empty where no bike was entered: all that is given is said */
    int changed = form_line_bike(&line, view);
    if (starts && (int)form_number(from) != snapshot_setup_number(view->snapshot)) {
        form_line_field(&line, from, view);
        changed++;
    }
    ask_about(form, view, changed);
    return form_line_end(&line, NULL);
}

const struct form_kind_row form_setup = {
    .title = "NEXT SETUP",
    .explanation = "type only what changed; an earlier number goes back to that setup",
    FORM_ROWS(setup_rows),
    .of_bike = true,
    .fill = fill_setup,
    .follow = follow_setup,
    .lines = setup_lines,
};

/* ---- a slip ---- */

static const struct form_row correct_rows[] = {
    {FIELD_WHOLE, "number", "setup number", FORM_TYPED(TYPED_SETUP), .required = true,
     .bare = true},
    {FIELD_WHOLE, "renumber", "its number is", FORM_TYPED(TYPED_CHOSEN), .bare = true},
    {FIELD_WHOLE, "belongs", "its last build: setup", FORM_TYPED(TYPED_SETUP), .bare = true},
    {FIELD_TEXT, "intent", "what for", .kept = INTENT_KEPT, .bare = true},
    {.each = FORM_BIKE_FRAME},
    {.each = FORM_BIKE_PARTS},
};

static void fill_correct(struct form *form, const struct view *view)
{
    const struct setup_record *current = snapshot_setup(view->snapshot);
    form_prefill_number(form_find(form, "number"), current != NULL ? current->number : 1.0);
    form_prefill_number(form_find(form, "renumber"), current != NULL ? current->number : 1.0);
    form_prefill_number(form_find(form, "belongs"), current != NULL ? current->number : 1.0);
    form_prefill(form_find(form, "intent"), current != NULL ? current->intent : "");
    prefill_bike(form, current != NULL ? &current->bike : &view->snapshot->record.bike.frame);
}

static void follow_correct(struct form *form, const struct view *view, int field)
{
    const struct setup_record *setup = form_setup_numbered(view, form_number(&form->field[field]));
    if (strcmp(form->field[field].key, "number") == 0 && setup != NULL) {
        prefill_bike(form, &setup->bike);
        form_prefill(form_find(form, "intent"), setup->intent);
        form_prefill_number(form_find(form, "renumber"), setup->number);
        form_prefill_number(form_find(form, "belongs"), setup->number);
    }
}

/* Another number: 0 removes the setup, one that is there makes the two one. */
static bool renumber_line(struct form *form, const struct view *view)
{
    const struct form_field *to = form_find(form, "renumber");
    int number = (int)form_number(form_find(form, "number"));
    if (!form_given(to) || (int)form_number(to) == number) {
        return false;
    }
    int other = (int)form_number(to);
    bool there = form_setup_numbered(view, other) != NULL;
    struct form_line line = form_line_begin(form, other == 0 ? "remove"
                                                  : there    ? "same"
                                                             : "renumber");
    form_line_field(&line, form_find(form, "number"), view);
    if (other > 0) {
        form_line_field(&line, to, view);
    }
    if (other == 0) {
        snprintf(form->question, sizeof form->question, "Setup %d goes away. Remove it?", number);
    } else if (there) {
        snprintf(form->question, sizeof form->question,
                 "Setup %d is there, with the same parts. Make the two one?", other);
    }
    return form_line_end(&line, NULL);
}

/* What the session would refuse is not asked about. */
static bool renumber_is_sound(struct form *form, const struct view *view)
{
    const struct session_record *record = &view->snapshot->record;
    const struct form_field *to = form_find(form, "renumber");
    int number = (int)form_number(form_find(form, "number"));
    int index = session_record_setup(record, number);
    char sentence[SAY_SIZE], why[SAY_SIZE];
    if (!form_given(to) || (int)form_number(to) == number) {
        return true;
    }
    bool has_captures;
    if ((int)form_number(to) == 0) {
        bool stays = say_setup_stays(why, sizeof why, record, index, &has_captures);
        snprintf(sentence, sizeof sentence, "%.200s%s", why,
                 has_captures ? "; its holds are left out with u" : "");
        return !stays || form_refuse(form, "renumber", sentence);
    }
    const struct setup_record *other = form_setup_numbered(view, form_number(to));
    struct bike_values typed;
    if (other == NULL || !form_bike_typed(form, view, &typed) ||
        bike_values_equal(&other->bike, &typed)) {
        return true;
    }
    say_other_parts(sentence, sizeof sentence, other, &typed, number);
    return form_refuse(form, "renumber", sentence);
}

/* What was held last as this setup was another one. False with the problem where that can't be. */
static bool belongs_line(struct form *form, const struct view *view, bool *given)
{
    const struct session_record *record = &view->snapshot->record;
    const struct form_field *to = form_find(form, "belongs");
    int number = (int)form_number(form_find(form, "number")), build = -1;
    *given = form_given(to) && (int)form_number(to) != number;
    if (!*given) {
        return true;
    }
    for (int b = 0; b < record->build_count; b++) {
        build = record->setup[record->build[b].setup].number == number ? b : build;
    }
    if (build < 0) {
        return form_refuse(form, "belongs", "this setup was not on the bike: it has no build");
    }
    if (form_setup_numbered(view, form_number(to)) == NULL) {
        return form_refuse(form, "belongs", "there is no setup of that number (n makes one)");
    }
    struct form_line line = form_line_begin(form, "belongs");
    form_line_field(&line, to, view);
    form_line_number(&line, "setup", number);
    form_line_number(&line, "build", record->build[build].ordinal);
    return form_line_end(&line, NULL);
}

static bool correct_lines(struct form *form, const struct view *view)
{
    const struct form_field *number = form_find(form, "number"),
                            *intent = form_find(form, "intent");
    if (form_setup_numbered(view, form_number(number)) == NULL) {
        return form_refuse(form, "number", "there is no setup of that number");
    }
    if (emptied(form)) {
        return false;
    }
    if (!renumber_is_sound(form, view)) {
        return false;
    }
    bool renamed = form_field_changed(intent) && form_given(intent);
    struct form_line line = form_line_begin(form, "correct");
    form_line_field(&line, number, view);
    if (renamed) {
        form_line_field(&line, intent, view);
    }
    bool corrected = form_line_bike(&line, view) > 0 || renamed;
    if (corrected) {
        form_line_end(&line, NULL);
    }
    bool given = false;
    if (!belongs_line(form, view, &given)) {
        return false;
    }
    if (!renumber_line(form, view) && !corrected && !given) {
        return form_refuse(form, NULL, "nothing was changed: type the value that is right");
    }
    return true;
}

const struct form_kind_row form_correct = {
    .title = "A SLIP IN A SETUP OR A BUILD",
    .explanation = "so it was all along; no new build. 'its number is' 0: the setup goes away",
    FORM_ROWS(correct_rows),
    .about = snapshot_setup_number,
    .of_bike = true,
    .fill = fill_correct,
    .follow = follow_correct,
    .lines = correct_lines,
};

/* ---- the bike ---- */

static const struct form_row frame_rows[] = {
    {FIELD_TEXT, "name", "name", .kept = sizeof((struct bike_record *)0)->name, .bare = true},
    {.each = FORM_BIKE_NEEDED, .label = "needed for heights"},
    {.each = FORM_BIKE_OTHERS, .label = "good to have"},
};

static void fill_frame(struct form *form, const struct view *view)
{
    form_prefill(form_find(form, "name"), view->snapshot->record.bike.name);
    prefill_bike(form, &view->snapshot->record.bike.frame);
}

/* What a part was before it was typed anew; NAN where that is not so, or not of a part. */
static double part_before(const struct form_field *field, const struct view *view)
{
    int key = form_bike_key(field);
    bool part = key >= 0 && bike_fields[key].scope == BIKE_SCOPE_PART;
    return part && form_given(field) && form_field_changed(field)
               ? view->snapshot->record.bike.frame.value[key]
               : (double)NAN;
}

/* 'correct 1 stem_angle=-6': a setup with the parts that it had as the bike had them. False where
 * it has none of them. */
static bool put_right(struct form *form, const struct view *view, const struct setup_record *setup)
{
    char number[16];
    struct form_line line = {.form = form};
    for (int i = 0; i < form->count; i++) {
        const struct form_field *field = &form->field[i];
        double before = part_before(field, view);
        if (isnan(before) || setup->bike.value[form_bike_key(field)] != before) {
            continue;
        }
        if (line.words == 0) {
            line = form_line_begin(form, "correct");
            snprintf(number, sizeof number, "%d", setup->number);
            form_line_text(&line, NULL, number);
        }
        form_line_field(&line, field, view);
    }
    return line.words > 0 && form_line_end(&line, NULL);
}

static int holds_on(const struct session_record *record, int setup)
{
    int count = 0;
    for (int h = 0; h < record->hold_count; h++) {
        count += record->build[record->hold[h].build].setup == setup ? 1 : 0;
    }
    return count;
}

/* The setups had their parts from the bike: one put right here is put right there as well. Asked
 * about where it is more than the first setup, as a later one may have been so, and where
 * something was held already. */
static void put_setups_right(struct form *form, const struct view *view)
{
    const struct session_record *record = &view->snapshot->record;
    char numbers[64];
    size_t used = 0;
    int setups = 0, holds = 0;
    for (int s = 0; s < record->setup_count; s++) {
        if (put_right(form, view, &record->setup[s])) {
            text_append(numbers, sizeof numbers, &used, "%s%d", setups++ > 0 ? ", " : "",
                        record->setup[s].number);
            holds += holds_on(record, s);
        }
    }
    if (setups > 1 || holds > 0) {
        used = 0;
        text_append(form->question, sizeof form->question, &used,
                    "Setup%s %s had it so too (%d hold%s). Put it right there as well?",
                    setups == 1 ? "" : "s", numbers, holds, holds == 1 ? "" : "s");
    }
}

static bool frame_lines(struct form *form, const struct view *view)
{
    if (emptied(form)) {
        return false;
    }
    struct form_line line = form_line_begin(form, "bike");
    form_line_given(&line, view, false);
    if (!form_line_end(&line, "nothing was typed")) {
        return false;
    }
    put_setups_right(form, view);
    return true;
}

const struct form_kind_row form_frame = {
    .title = "THE BIKE",
    .explanation = "what is typed is shown from where to where; leave out what you don't know",
    FORM_ROWS(frame_rows),
    .of_bike = true,
    .one_column = true,
    .sketch = true,
    .fill = fill_frame,
    .lines = frame_lines,
};
