/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/form_kind.h"

#include "base/text.h"
#include "bike/geometry.h"
#include "screen/form_lines.h"
#include "screen/form_value.h"

#include <stdio.h>
#include <string.h>

const struct form_kind_row *const form_kinds[FORMS] = {
    [FORM_SETUP] = &form_setup,
    [FORM_RIDER] = &form_rider,
    [FORM_BIKE] = &form_frame,
    [FORM_SENSORS] = &form_sensors,
    [FORM_BAND] = &form_band,
    [FORM_RATING] = &form_rating,
    [FORM_MOVED] = &form_moved,
    [FORM_SLIPPED] = &form_slipped,
    [FORM_PLATE] = &form_plate,
    [FORM_TAPE] = &form_tape,
    [FORM_NOTE] = &form_note,
    [FORM_REJECT] = &form_reject,
    [FORM_TARGET] = &form_target,
    [FORM_CORRECT] = &form_correct,
    [FORM_SETTINGS] = &form_settings,
    [FORM_EXPORT] = &form_export,
    [FORM_CHECK] = &form_check,
    [FORM_CHOOSE] = &form_choose,
    [FORM_LIMITS] = &form_limits,
    [FORM_CARRY] = &form_carry,
    [FORM_HOLD_FREE] = &form_hold_free,
    [FORM_HOLD_GUIDED] = &form_hold_guided,
    [FORM_MINUTES] = &form_minutes,
    [FORM_COURSE] = &form_course,
    [FORM_AIR] = &form_air,
    [FORM_RIDE] = &form_ride,
    [FORM_RIDE_OUT] = &form_ride_out,
    [FORM_FELT] = &form_felt,
    [FORM_MORNING] = &form_morning,
};

/* ---- fields from the rows ---- */

static struct form_field *add_row(struct form *form, const struct form_row *row, const char *key,
                                  const char *label)
{
    static const struct typed_number none = {"", "", 0, 0};
    const struct typed_number *number = row->number != NULL ? row->number : &none;
    struct form_field *field =
        form_add(form, row->kind, key, label, number->unit, number->least, number->most);
    field->kept = row->kept;
    field->required = row->required;
    field->bare = row->bare;
    if (row->none != NULL) {
        form_add_choice(field, "", row->none);
    }
    for (int i = 0; row->list != NULL && i < row->list->count; i++) {
        const char *word = row->list->word[i];
        if (word != NULL) {
            form_add_choice(field, word, row->shown != NULL ? row->shown[i] : word);
        }
    }
    if (row->kind == FIELD_CHOICE && field->choice_count > 0) {
        form_prefill(field, field->choice[0]);
    }
    return field;
}

/* Rows that follow each other, of one channel after the other. */
static int add_channels(struct form *form, const struct form_row *row, int rows,
                        const struct view *view)
{
    int count = 1;
    while (count < rows && row[count].each == row->each) {
        count++;
    }
    for (int c = 0; c < view->channel_count; c++) {
        for (int i = 0; i < count; i++) {
            char key[48], label[48];
            snprintf(key, sizeof key, "%s%.30s", row[i].key,
                     snapshot_channel(view->snapshot, c)->name);
            snprintf(label, sizeof label, "%.24s%s", snapshot_channel(view->snapshot, c)->name,
                     row[i].label);
            if (row->each == FORM_CHANNELS ||
                snapshot_channel(view->snapshot, c)->role == ROLE_BODY) {
                add_row(form, &row[i], key, label)->channel = c;
            }
        }
    }
    return count;
}

static void add_bike(struct form *form, enum bike_scope scope)
{
    for (int k = 0; k < BIKE_KEYS; k++) {
        const struct bike_field *of = &bike_fields[k];
        if (of->scope == scope) {
            form_add(form, FIELD_NUMBER, of->key, of->words, of->unit, of->minimum, of->maximum)
                ->begins_column = k == BIKE_EXTENSION_LENGTH;
        }
    }
}

static void add_bike_by_need(struct form *form, bool needed, const char *heading)
{
    for (int k = 0; k < BIKE_KEYS; k++) {
        const struct bike_field *of = &bike_fields[k];
        if (bike_is_needed((enum bike_key)k) == needed) {
            form_add(form, FIELD_NUMBER, of->key, of->words, of->unit, of->minimum, of->maximum)
                ->heading = heading;
            heading = NULL;
        }
    }
}

static void add_ratings(struct form *form)
{
    static const enum field_kind kinds[] = {
        [RATING_SCORE] = FIELD_WHOLE, [RATING_WORD] = FIELD_CHOICE, [RATING_NUMBER] = FIELD_NUMBER};
    int items[RATING_ITEMS];
    rating_sort(RATING_ASKED, items);
    for (int i = 0; i < RATING_ITEMS; i++) {
        const struct rating_field *of = &rating_fields[items[i]];
        const struct typed_number number = {of->key, of->unit, of->least, of->most};
        const struct form_row row = {.kind = kinds[of->kind],
                                     .number = &number,
                                     .none = of->kind == RATING_WORD ? "(not asked)" : NULL,
                                     .list = of->list};
        add_row(form, &row, of->key, of->question != NULL ? of->question : of->words);
    }
}

static void add_rows(struct form *form, const struct form_kind_row *kind, const struct view *view)
{
    for (int i = 0; i < kind->rows;) {
        const struct form_row *row = &kind->row[i];
        int taken = 1;
        switch (row->each) {
        case FORM_ONE:
            add_row(form, row, row->key, row->label);
            break;
        case FORM_CHANNELS:
        case FORM_BODY_CHANNELS:
            taken = add_channels(form, row, kind->rows - i, view);
            break;
        case FORM_BIKE_FRAME:
        case FORM_BIKE_PARTS:
            add_bike(form, row->each == FORM_BIKE_FRAME ? BIKE_SCOPE_FRAME : BIKE_SCOPE_PART);
            break;
        case FORM_BIKE_NEEDED:
        case FORM_BIKE_OTHERS:
            add_bike_by_need(form, row->each == FORM_BIKE_NEEDED, row->label);
            break;
        case FORM_RATINGS:
            add_ratings(form);
            break;
        }
        i += taken;
    }
}

/* ---- what a form does ---- */

/* What was typed the last time and not taken. */
static void take_draft(struct form *form, const struct view *view, const struct form_draft *draft)
{
    if (!draft->has || draft->count != form->count || draft->about != form->about) {
        return;
    }
    for (int i = 0; i < form->count; i++) {
        if (draft->typed[i]) {
            form->explanation = "as it was typed before, and not taken yet: Ctrl-R begins it anew";
            memcpy(form->field[i].value, draft->value[i], sizeof form->field[i].value);
            form_follow(form, view, i);
        }
    }
    size_t length = strlen(form->field[draft->focus].value);
    form->focus = draft->focus;
    form->fresh = draft->fresh;
    form->cursor = draft->cursor < length ? draft->cursor : length;
}

int form_of_next(enum view_next next)
{
    static const struct {
        enum view_next next;
        enum form_kind form;
    } forms[] = {
        {VIEW_NEXT_SETUP, FORM_SETUP},   {VIEW_NEXT_RATING, FORM_RATING},
        {VIEW_NEXT_MOVED, FORM_MOVED},   {VIEW_NEXT_SLIPPED, FORM_SLIPPED},
        {VIEW_NEXT_RIDER, FORM_RIDER},   {VIEW_NEXT_MINUTES, FORM_MINUTES},
        {VIEW_NEXT_BIKE, FORM_BIKE},     {VIEW_NEXT_PLACES, FORM_SENSORS},
        {VIEW_NEXT_CHOOSE, FORM_CHOOSE}, {VIEW_NEXT_SHEET, FORM_EXPORT},
        {VIEW_NEXT_FELT, FORM_FELT},     {VIEW_NEXT_MORNING, FORM_MORNING},
    };
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
        if (forms[i].next == next) {
            return (int)forms[i].form;
        }
    }
    return -1;
}

static bool is_of(const struct form_draft *draft, const struct channel_record *channel)
{
    return draft->has && strcmp(draft->value[0], channel->name) == 0;
}

/* The form is about this channel: its values, and what was typed of it before. */
static void turn_to(struct form *form, const struct view *view, int channel)
{
    const struct channel_record *of = snapshot_channel(view->snapshot, channel);
    for (int i = 0; i < form->count; i++) {
        form->field[i].initial[0] = form->field[i].value[0] = '\0';
    }
    form->of = channel;
    form->explanation = form_kinds[form->kind]->explanation;
    form_prefill(&form->field[0], of->name);
    form_kinds[form->kind]->fill_channel(form, of);
    if (is_of(&form->draft[channel], of)) {
        take_draft(form, view, &form->draft[channel]);
    }
}

static void begin(struct form *form, enum form_kind kind, const struct view *view,
                  struct form_draft *draft)
{
    memset(form, 0, sizeof *form);
    form->kind = kind;
    form->draft = draft;
    form->of = -1;
    form->title = form_kinds[kind]->title;
    form->explanation = form_kinds[kind]->explanation;
    form->of_bike = form_kinds[kind]->of_bike;
    form->about = form_kinds[kind]->about != NULL ? form_kinds[kind]->about(view->snapshot) : 0;
    add_rows(form, form_kinds[kind], view);
    if (form_kinds[kind]->fill != NULL) {
        form_kinds[kind]->fill(form, view);
    }
    form->focus = form->focus < form->count ? form->focus : 0;
    form->fresh = true;
    form->cursor = strlen(form->field[form->focus].value);
}

void form_open(struct form *form, enum form_kind kind, const struct view *view,
               struct form_draft *draft)
{
    begin(form, kind, view, draft);
    if (form->of < 0) {
        take_draft(form, view, draft);
        return;
    }
    int first = form->of;
    for (int c = view->channel_count - 1; c >= 0; c--) {
        first = is_of(&draft[c], snapshot_channel(view->snapshot, c)) ? c : first;
    }
    turn_to(form, view, first);
}

void form_begin_anew(struct form *form, const struct view *view)
{
    int of = form->of;
    form_drop_draft(form);
    begin(form, form->kind, view, form->draft);
    if (of >= 0 && form->of >= 0) {
        turn_to(form, view, of);
    }
}

void form_put_by(struct form *form)
{
    char trouble[128];
    for (int i = 0; i < form->count; i++) { /* what can't be right is not offered again */
        if (form_field_trouble(&form->field[i], trouble, sizeof trouble) != NULL ||
            form->refused == i + 1 || form->refused == FORM_REFUSED_WHOLE) {
            text_copy(form->field[i].value, sizeof form->field[i].value, form->field[i].initial);
        }
    }
    size_t length = strlen(form->field[form->focus].value);
    form->cursor = form->cursor < length ? form->cursor : length;
    form_keep_draft(form);
}

static int channel_named(const struct view *view, const char *name)
{
    int c = view->channel_count - 1;
    while (c >= 0 && strcmp(snapshot_channel(view->snapshot, c)->name, name) != 0) {
        c--;
    }
    return c;
}

/* Another channel in the first field: what was typed stays with the one that it was typed for. */
static void follow_channel(struct form *form, const struct view *view)
{
    struct form_field *named = &form->field[0];
    int channel = channel_named(view, named->value);
    if (channel >= 0 && channel != form->of) {
        text_copy(named->value, sizeof named->value, named->initial);
        form_put_by(form);
        turn_to(form, view, channel);
        form->focus = form->refused = 0;
        form->fresh = true;
        form->cursor = strlen(named->value);
    }
}

void form_follow(struct form *form, const struct view *view, int field)
{
    if (form->of >= 0 && field == 0) {
        follow_channel(form, view);
    } else if (form_kinds[form->kind]->follow != NULL) {
        form_kinds[form->kind]->follow(form, view, field);
    }
}

bool form_make_lines(struct form *form, const struct view *view)
{
    const struct form_kind_row *kind = form_kinds[form->kind];
    if (kind->lines != NULL) {
        return kind->lines(form, view);
    }
    struct form_line line = form_line_begin(form, kind->command);
    form_line_given(&line, view, false);
    return form_line_end(&line, kind->refusal);
}

bool form_advance(struct form *form, const struct view *view)
{
    if (form->is_look) {
        return true;
    }
    for (int c = form->of + 1; form->of >= 0 && c < view->channel_count; c++) {
        if (snapshot_channel(view->snapshot, c)->role != ROLE_AUXILIARY) {
            char carrier[CHANNEL_NAME_SIZE], look[CHANNEL_NAME_SIZE];
            text_copy(carrier, sizeof carrier, form_find(form, "carrier")->value);
            text_copy(look, sizeof look, form_find(form, "look")->value);
            begin(form, form->kind, view, form->draft);
            turn_to(form, view, c);
            if (!snapshot_channel(view->snapshot, c)->mounted) { /* most likely as the one before */
                form_prefill(form_find(form, "carrier"), carrier);
                form_prefill(form_find(form, "look"), look);
                form->focus = form->draft[c].has ? form->focus : 1;
            }
            return true;
        }
    }
    return false;
}
