/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/form_lines.h"

#include "base/text.h"
#include "base/words.h"
#include "screen/form_value.h"

struct form_line form_line_begin(struct form *form, const char *command)
{
    struct form_line line = {.form = form, .line = form->line[form->line_count]};
    text_append(line.line, COMMAND_TEXT_SIZE, &line.used, "%s", command);
    return line;
}

static void put(struct form_line *line, const char *key, const char *value)
{
    text_append(line->line, COMMAND_TEXT_SIZE, &line->used, " %s%s%s", key != NULL ? key : "",
                key != NULL ? "=" : "", value);
    line->words++;
}

void form_line_text(struct form_line *line, const char *key, const char *typed)
{
    char cleaned[FORM_VALUE_SIZE], quoted[FORM_VALUE_SIZE * 2 + 3];
    text_clean(cleaned, sizeof cleaned, typed);
    words_quote(quoted, sizeof quoted, cleaned);
    put(line, key, quoted);
}

void form_line_number(struct form_line *line, const char *key, double value)
{
    char text[32];
    text_from_double_shortest(text, sizeof text, value);
    put(line, key, text);
}

void form_line_field(struct form_line *line, const struct form_field *field,
                     const struct view *view)
{
    const char *key = field->bare           ? NULL
                      : field->channel >= 0 ? snapshot_channel(view->snapshot, field->channel)->name
                                            : field->key;
    if (field->kind == FIELD_TEXT || field->kind == FIELD_CHOICE) {
        form_line_text(line, key, field->value);
    } else {
        form_line_number(line, key, form_number(field));
    }
}

int form_line_given(struct form_line *line, const struct view *view, bool channels_only)
{
    for (int i = 0; i < line->form->count; i++) {
        const struct form_field *field = &line->form->field[i];
        if (form_given(field) && (!channels_only || field->channel >= 0)) {
            form_line_field(line, field, view);
        }
    }
    return line->words;
}

int form_line_bike(struct form_line *line, const struct view *view)
{
    int count = 0;
    for (int i = 0; i < line->form->count; i++) {
        const struct form_field *field = &line->form->field[i];
        if (form_bike_key(field) >= 0 && form_given(field) && form_field_changed(field)) {
            form_line_field(line, field, view);
            count++;
        }
    }
    return count;
}

bool form_line_end(struct form_line *line, const char *refusal)
{
    if (line->words == 0 && refusal != NULL) {
        return form_refuse(line->form, NULL, refusal);
    }
    line->form->line_count++;
    return true;
}
