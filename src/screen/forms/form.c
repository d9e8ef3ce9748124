/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/form.h"

#include "base/text.h"

#include <math.h>
#include <string.h>

/* What a form holds. */

struct form_field *form_add(struct form *form, enum field_kind kind, const char *key,
                            const char *label, const char *unit, double minimum, double maximum)
{
    struct form_field *field =
        &form->field[form->count < FORM_FIELDS_MAX ? form->count++ : FORM_FIELDS_MAX - 1];
    memset(field, 0, sizeof *field);
    field->kind = kind;
    field->minimum = minimum;
    field->maximum = maximum;
    field->channel = -1;
    text_copy(field->key, sizeof field->key, key);
    text_copy(field->label, sizeof field->label, label);
    text_copy(field->unit, sizeof field->unit, unit);
    return field;
}

void form_add_choice(struct form_field *field, const char *value, const char *words)
{
    if (field->choice_count < FORM_CHOICES_MAX) {
        text_copy(field->choice[field->choice_count], sizeof field->choice[0], value);
        text_copy(field->choice_words[field->choice_count], sizeof field->choice_words[0], words);
        field->choice_count++;
    }
}

struct form_field *form_find(struct form *form, const char *key)
{
    for (int i = 0; i < form->count; i++) {
        if (strcmp(form->field[i].key, key) == 0) {
            return &form->field[i];
        }
    }
    return NULL;
}

void form_drop(struct form *form, const char *key)
{
    struct form_field *field = form_find(form, key);
    struct form_field *end = form->field + form->count;
    if (field != NULL) {
        memmove(field, field + 1, (size_t)(end - field - 1) * sizeof *field);
        form->count--;
    }
}

bool form_field_changed(const struct form_field *field)
{
    return strcmp(field->initial, field->value) != 0;
}

bool form_given(const struct form_field *field)
{
    char cleaned[FORM_VALUE_SIZE];
    text_clean(cleaned, sizeof cleaned, field->value);
    return cleaned[0] != '\0';
}

int form_bike_key(const struct form_field *field)
{
    return field->kind == FIELD_NUMBER ? bike_key_find(field->key) : -1;
}

void form_prefill(struct form_field *field, const char *value)
{
    bool typed = form_field_changed(field);
    text_copy(field->initial, sizeof field->initial, value);
    if (!typed) {
        text_copy(field->value, sizeof field->value, value);
    }
}

void form_prefill_number(struct form_field *field, double value)
{
    char text[32] = "";
    if (isfinite(value)) {
        text_from_double_shortest(text, sizeof text, value);
    }
    form_prefill(field, text);
}

bool form_refuse(struct form *form, const char *key, const char *sentence)
{
    const struct form_field *field = key != NULL ? form_find(form, key) : NULL;
    text_copy(form->problem, sizeof form->problem, sentence);
    form->focus = field != NULL ? (int)(field - form->field) : form->focus;
    form->refused = field != NULL ? form->focus + 1 : 0;
    return false;
}

static struct form_draft *own_draft(const struct form *form)
{
    return &form->draft[form->of >= 0 ? form->of : 0];
}

void form_drop_draft(struct form *form)
{
    own_draft(form)->has = false;
}

void form_keep_draft(const struct form *form)
{
    struct form_draft *draft = own_draft(form);
    bool has = false;
    for (int i = 0; i < form->count; i++) {
        has = has || form_field_changed(&form->field[i]);
    }
    if (!has && draft->has && draft->about != form->about) {
        return; /* it waits for what it is about */
    }
    draft->has = has;
    draft->about = form->about;
    draft->count = form->count;
    for (int i = 0; i < form->count; i++) {
        draft->typed[i] = form_field_changed(&form->field[i]);
        memcpy(draft->value[i], form->field[i].value, sizeof draft->value[i]);
    }
    draft->fresh = form->fresh;
    draft->focus = form->focus;
    draft->cursor = form->cursor;
}
