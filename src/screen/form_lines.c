/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "form_parts.h"

#include "base/text.h"
#include "base/words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The command lines that forms make (docs/scripts.md). Numbers stand in them as short as they read
 * back. */

struct writer {
    struct form *form;
    char *line;
    size_t used;
    int words;
};

static struct writer begin(struct form *form, const char *command)
{
    struct writer writer = {.form = form, .line = form->line[form->line_count]};
    text_append(writer.line, COMMAND_TEXT_SIZE, &writer.used, "%s", command);
    return writer;
}

static void end(struct writer *writer)
{
    writer->form->line_count++;
}

static void put_text(struct writer *writer, const char *key, const char *typed)
{
    char cleaned[FORM_VALUE_SIZE], quoted[FORM_VALUE_SIZE * 2 + 3];
    text_clean(cleaned, sizeof cleaned, typed);
    words_quote(quoted, sizeof quoted, cleaned);
    if (key != NULL) {
        text_append(writer->line, COMMAND_TEXT_SIZE, &writer->used, " %s=%s", key, quoted);
    } else {
        text_append(writer->line, COMMAND_TEXT_SIZE, &writer->used, " %s", quoted);
    }
    writer->words++;
}

static void put_number(struct writer *writer, const char *key, double value)
{
    char text[32];
    text_from_double_shortest(text, sizeof text, value);
    if (key != NULL) {
        text_append(writer->line, COMMAND_TEXT_SIZE, &writer->used, " %s=%s", key, text);
    } else {
        text_append(writer->line, COMMAND_TEXT_SIZE, &writer->used, " %s", text);
    }
    writer->words++;
}

bool form_given(const struct form_field *field)
{
    char cleaned[FORM_VALUE_SIZE];
    text_clean(cleaned, sizeof cleaned, field->value);
    return cleaned[0] != '\0';
}

bool form_refuse(struct form *form, const char *sentence)
{
    text_copy(form->problem, sizeof form->problem, sentence);
    return false;
}

/* Fields whose values are numbers of the bike; changed_only leaves out what stands there already.
 */
static void put_bike_values(struct writer *writer, struct form *form, bool changed_only)
{
    for (int i = 0; i < form->count; i++) {
        const struct form_field *field = &form->field[i];
        if (bike_key_find(field->key) >= 0 && form_given(field) &&
            (!changed_only || form_field_changed(field))) {
            put_number(writer, field->key, form_number(field));
        }
    }
}

/* A value that was there can't be made 'not given' again. */
static bool emptied(struct form *form)
{
    for (int i = 0; i < form->count; i++) {
        const struct form_field *field = &form->field[i];
        if (bike_key_find(field->key) >= 0 && field->initial[0] != '\0' && !form_given(field)) {
            char sentence[160];
            snprintf(sentence, sizeof sentence, "%s was %s: type what it is now", field->label,
                     field->initial);
            form_refuse(form, sentence);
            form->focus = i;
            return true;
        }
    }
    return false;
}

static bool setup_exists(const struct view *view, int number)
{
    return session_record_setup(&view->snapshot->record, number) >= 0;
}

static bool setup_lines(struct form *form, const struct view *view)
{
    int number = (int)form_number(form_find(form, "number"));
    struct form_field *from = form_find(form, "from");
    if (emptied(form)) {
        return false;
    }
    struct writer writer = begin(form, "setup");
    put_number(&writer, NULL, number);
    if (setup_exists(view, number)) {
        for (int i = 0; i < form->count; i++) {
            if (strcmp(form->field[i].key, "number") != 0 && form_field_changed(&form->field[i])) {
                char sentence[160];
                snprintf(sentence, sizeof sentence,
                         "setup %d is there already: a changed setup takes a new number", number);
                form->focus = 0;
                return form_refuse(form, sentence);
            }
        }
        end(&writer);
        return true;
    }
    if (from != NULL && form_given(from) && !setup_exists(view, (int)form_number(from))) {
        form->focus = 1;
        return form_refuse(form, "there is no setup of that number to start from");
    }
    if (form_given(form_find(form, "intent"))) {
        put_text(&writer, NULL, form_find(form, "intent")->value);
    }
    /* a first setup begins empty where no bike was entered: all that is given is said */
    put_bike_values(&writer, form, true);
    if (from != NULL && form_given(from) &&
        (int)form_number(from) != snapshot_setup_number(view->snapshot)) {
        put_number(&writer, "from", form_number(from));
    }
    end(&writer);
    return true;
}

static bool correct_lines(struct form *form, const struct view *view)
{
    int number = (int)form_number(form_find(form, "number"));
    if (!setup_exists(view, number)) {
        form->focus = 0;
        return form_refuse(form, "there is no setup of that number");
    }
    if (emptied(form)) {
        return false;
    }
    struct writer writer = begin(form, "correct");
    put_number(&writer, NULL, number);
    if (form_field_changed(form_find(form, "intent")) && form_given(form_find(form, "intent"))) {
        put_text(&writer, NULL, form_find(form, "intent")->value);
    }
    put_bike_values(&writer, form, true);
    if (writer.words < 2) {
        return form_refuse(form, "nothing was changed: type the value that is right");
    }
    end(&writer);
    return true;
}

static bool rider_lines(struct form *form)
{
    struct writer writer = begin(form, "rider");
    put_text(&writer, NULL, form_find(form, "code")->value);
    if (form_given(form_find(form, "name"))) {
        put_text(&writer, NULL, form_find(form, "name")->value);
    }
    if (form_given(form_find(form, "watch_for"))) {
        put_text(&writer, "watch_for", form_find(form, "watch_for")->value);
    }
    end(&writer);
    return true;
}

static bool bike_lines(struct form *form)
{
    if (emptied(form)) {
        return false;
    }
    struct writer writer = begin(form, "bike");
    if (form_given(form_find(form, "name"))) {
        put_text(&writer, NULL, form_find(form, "name")->value);
    }
    put_bike_values(&writer, form, false);
    if (writer.words == 0) {
        return form_refuse(form, "nothing was typed");
    }
    end(&writer);
    return true;
}

static bool sensor_lines(struct form *form)
{
    static const char *const numbers[] = {"x", "y", "tilt"};
    struct writer writer = begin(form, "sensor");
    put_text(&writer, NULL, form_find(form, "channel")->value);
    bool placed = false;
    for (int i = 0; i < 3; i++) {
        placed = placed || form_given(form_find(form, numbers[i]));
    }
    if (!form_given(form_find(form, "carrier")) && placed) {
        form->focus = 1;
        return form_refuse(form,
                           "fixed to: say what the sensor is fixed to (left and right choose)");
    }
    if (form_given(form_find(form, "carrier"))) {
        put_text(&writer, "carrier", form_find(form, "carrier")->value);
    }
    for (int i = 0; i < 3; i++) {
        if (form_given(form_find(form, numbers[i]))) {
            put_number(&writer, numbers[i], form_number(form_find(form, numbers[i])));
        }
    }
    static const char *const texts[] = {"look", "mark", "role"};
    for (int i = 0; i < 3; i++) {
        if (form_given(form_find(form, texts[i]))) {
            put_text(&writer, texts[i], form_find(form, texts[i])->value);
        }
    }
    end(&writer);
    return true;
}

static void put_limit(char *text, size_t size, const struct form_field *field, char sign)
{
    char number[32];
    if (strcmp(field->value, "none") == 0 || !form_given(field)) {
        text_copy(text, size, "none");
        return;
    }
    text_from_double_shortest(number, sizeof number, fabs(form_number(field)));
    snprintf(text, size, "%c%s", sign, number);
}

static bool band_lines(struct form *form, const struct view *view)
{
    struct writer writer = begin(form, "band");
    for (int i = 0; i + 1 < form->count; i += 2) {
        const struct form_field *above = &form->field[i], *below = &form->field[i + 1];
        if (!form_given(above) && !form_given(below)) {
            continue;
        }
        char up[40], down[40], both[96];
        put_limit(up, sizeof up, above, '+');
        put_limit(down, sizeof down, below, '-');
        snprintf(both, sizeof both, "%s/%s", up, down);
        put_text(&writer, snapshot_channel(view->snapshot, above->channel)->name, both);
    }
    if (writer.words == 0) {
        return form_refuse(form, "type the limits above and below, in mm, or 'none'");
    }
    end(&writer);
    return true;
}

static bool rating_lines(struct form *form)
{
    struct writer writer = begin(form, "rating");
    for (int i = 0; i < form->count; i++) {
        const struct form_field *field = &form->field[i];
        if (!form_given(field)) {
            continue;
        }
        if (field->kind == FIELD_CHOICE) {
            put_text(&writer, field->key, field->value);
        } else {
            put_number(&writer, field->key, form_number(field));
        }
    }
    if (writer.words == 0) {
        return form_refuse(form, "nothing was asked yet: type at least one, or Esc");
    }
    end(&writer);
    return true;
}

static void put_build(struct writer *writer, struct form *form, const struct view *view)
{
    const struct form_field *setup = form_find(form, "setup"), *build = form_find(form, "build");
    if (!form_given(setup)) {
        return;
    }
    bool other =
        (int)form_number(setup) != snapshot_setup_number(view->snapshot) ||
        (form_given(build) && (int)form_number(build) != snapshot_build_ordinal(view->snapshot));
    if (other) {
        put_number(writer, "setup", form_number(setup));
        if (form_given(build)) {
            put_number(writer, "build", form_number(build));
        }
    }
}

static int put_channel_numbers(struct writer *writer, struct form *form, const struct view *view)
{
    int count = 0;
    for (int i = 0; i < form->count; i++) {
        const struct form_field *field = &form->field[i];
        if (field->channel >= 0 && form_given(field)) {
            put_number(writer, snapshot_channel(view->snapshot, field->channel)->name,
                       form_number(field));
            count++;
        }
    }
    return count;
}

static bool plate_lines(struct form *form, const struct view *view)
{
    struct writer writer = begin(form, "plate");
    bool typed = put_channel_numbers(&writer, form, view) > 0;
    if (!typed) {
        char length[32];
        const struct form_field *seconds = form_find(form, "seconds");
        snprintf(length, sizeof length, "%.0fs", form_given(seconds) ? form_number(seconds) : 5.0);
        put_text(&writer, NULL, length);
    }
    if (form_given(form_find(form, "height"))) {
        put_number(&writer, "height", form_number(form_find(form, "height")));
    }
    if (typed) {
        put_build(&writer, form, view);
    }
    end(&writer);
    return true;
}

static bool tape_lines(struct form *form, const struct view *view)
{
    struct writer writer = begin(form, "tape");
    if (put_channel_numbers(&writer, form, view) == 0) {
        return form_refuse(form, "type the height of at least one sensor");
    }
    put_build(&writer, form, view);
    end(&writer);
    return true;
}

static bool target_lines(struct form *form, const struct view *view)
{
    struct writer writer = begin(form, "target");
    if (put_channel_numbers(&writer, form, view) == 0) {
        return form_refuse(form, "type the height of at least one channel");
    }
    end(&writer);
    return true;
}

static bool note_lines(struct form *form)
{
    struct writer writer = begin(form, "note");
    char quoted[FORM_VALUE_SIZE * 2 + 3], cleaned[FORM_VALUE_SIZE];
    text_clean(cleaned, sizeof cleaned, form_find(form, "text")->value);
    words_quote(quoted, sizeof quoted, cleaned);
    text_append(writer.line, COMMAND_TEXT_SIZE, &writer.used, " %s", quoted);
    end(&writer);
    return true;
}

static bool reject_lines(struct form *form, const struct view *view)
{
    int number = (int)form_number(form_find(form, "number"));
    bool is_out = false;
    for (int i = 0; i < view->snapshot->event_count; i++) {
        const struct event *event = &view->snapshot->event[i];
        is_out = is_out || (event->kind == EVENT_HOLD && event->hold == number && event->left_out);
    }
    if (!is_out && !form_given(form_find(form, "reason"))) {
        form->focus = 1;
        return form_refuse(form, "reason: say why, it stands in the record");
    }
    struct writer writer = begin(form, is_out ? "restore" : "reject");
    put_number(&writer, NULL, number);
    if (!is_out) {
        put_text(&writer, NULL, form_find(form, "reason")->value);
    }
    end(&writer);
    return true;
}

static bool settings_lines(struct form *form, const struct view *view)
{
    static const char *const single[] = {"baseline", "slope", "minutes"};
    struct writer writer = begin(form, "matters");
    for (int i = 0; i < form->count; i++) {
        const struct form_field *field = &form->field[i];
        if (field->channel >= 0 && form_given(field) && form_field_changed(field)) {
            put_number(&writer, snapshot_channel(view->snapshot, field->channel)->name,
                       form_number(field));
        }
    }
    if (writer.words > 0) {
        end(&writer);
    }
    for (size_t i = 0; i < sizeof single / sizeof single[0]; i++) {
        const struct form_field *field = form_find(form, single[i]);
        if (form_given(field) && form_field_changed(field)) {
            writer = begin(form, single[i]);
            put_number(&writer, NULL, form_number(field));
            end(&writer);
        }
    }
    return form->line_count > 0 || form_refuse(form, "nothing was changed");
}

static bool choose_lines(struct form *form)
{
    struct writer writer = begin(form, "choose");
    put_number(&writer, NULL, form_number(form_find(form, "number")));
    end(&writer);
    return true;
}

static bool export_lines(struct form *form)
{
    char cleaned[FORM_VALUE_SIZE];
    text_clean(cleaned, sizeof cleaned, form_find(form, "file")->value);
    text_copy(form->line[0], sizeof form->line[0], cleaned);
    form->line_count = 1;
    return true;
}

bool form_make_lines(struct form *form, const struct view *view)
{
    switch (form->kind) {
    case FORM_SETUP:
        return setup_lines(form, view);
    case FORM_CORRECT:
        return correct_lines(form, view);
    case FORM_RIDER:
        return rider_lines(form);
    case FORM_BIKE:
        return bike_lines(form);
    case FORM_SENSORS:
        return sensor_lines(form);
    case FORM_BAND:
        return band_lines(form, view);
    case FORM_RATING:
        return rating_lines(form);
    case FORM_PLATE:
        return plate_lines(form, view);
    case FORM_TAPE:
        return tape_lines(form, view);
    case FORM_NOTE:
        return note_lines(form);
    case FORM_REJECT:
        return reject_lines(form, view);
    case FORM_TARGET:
        return target_lines(form, view);
    case FORM_CARRY:
        return form_carry_lines(form, view);
    case FORM_LIMITS:
        return form_limits_lines(form);
    case FORM_SETTINGS:
        return settings_lines(form, view);
    case FORM_EXPORT:
        return export_lines(form);
    case FORM_CHECK:
        return form_check_lines(form);
    case FORM_CHOOSE:
        return choose_lines(form);
    case FORMS:
        break;
    }
    return form_refuse(form, "there is no such form");
}
