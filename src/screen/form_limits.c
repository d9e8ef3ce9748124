/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "form_parts.h"

#include "base/text.h"

#include <stdio.h>
#include <string.h>

/* Limits from the makers' papers: entering them, and telling at the field that passes one. */

void form_bounds_plain(char *text, size_t size, const struct form_field *field)
{
    char cleaned[FORM_VALUE_SIZE];
    size_t used = 0, unit = strlen(field->unit);
    text_clean(cleaned, sizeof cleaned, field->value);
    for (const char *next = cleaned; *next != '\0' && used + 1 < size; next++) {
        if (strncmp(next, "\u2212", 3) == 0) {
            text[used++] = '-';
            next += 2;
        } else if (*next != ' ') {
            text[used++] = *next == ',' ? '.' : *next;
        }
    }
    text[used] = '\0';
    if (used > unit && strcmp(text + used - unit, field->unit) == 0) {
        text[used - unit] = '\0';
    }
}

static void add_limit(struct form *form, const struct view *view, int limit)
{
    char typed[80];
    double minimum, maximum;
    bool is_column = limit == BIKE_LIMIT_COLUMN;
    bike_limit_range(limit, &minimum, &maximum);
    bike_limit_typed(&view->snapshot->record.limits, limit, typed, sizeof typed);
    struct form_field *field = form_add(form, FIELD_BOUNDS, bike_limit_key(limit),
                                        is_column ? "cap+spacers+clamp" : bike_limit_words(limit),
                                        bike_limit_unit(limit), minimum, maximum);
    form_prefill(field, typed);
}

void form_limits_open(struct form *form, const struct view *view)
{
    form->title = "LIMITS FROM THE MAKERS' PAPERS";
    form->explanation = "30 is at most, 5..30 between, 5.. at least; none is ever assumed";
    add_limit(form, view, BIKE_LIMIT_COLUMN);
    for (int key = 0; key < BIKE_KEYS; key++) {
        if (bike_fields[key].scope == BIKE_SCOPE_PART) {
            add_limit(form, view, key);
        }
    }
}

bool form_limits_lines(struct form *form)
{
    char *line = form->line[form->line_count];
    size_t used = 0;
    text_append(line, COMMAND_TEXT_SIZE, &used, "limits");
    size_t bare = used;
    for (int i = 0; i < form->count; i++) {
        const struct form_field *field = &form->field[i];
        if (form_field_changed(field)) {
            char text[FORM_VALUE_SIZE];
            form_bounds_plain(text, sizeof text, field);
            text_append(line, COMMAND_TEXT_SIZE, &used, " %s=%s", field->key,
                        text[0] != '\0' ? text : "none"); /* emptied: taken back */
        }
    }
    if (used == bare) {
        return form_refuse(form, "nothing was changed");
    }
    form->line_count++;
    return true;
}

static bool is_of_a_bike(const struct form *form)
{
    return form->kind == FORM_SETUP || form->kind == FORM_CORRECT || form->kind == FORM_BIKE;
}

bool form_limit_passed(const struct form_field *field, const struct view *view, char *text,
                       size_t size)
{
    int key = field->kind == FIELD_NUMBER ? bike_key_find(field->key) : -1;
    return key >= 0 &&
           bike_limit_passed(&view->snapshot->record.limits, key, form_number(field), text, size);
}

void form_limits_text(char *text, size_t size, struct form *form, const struct view *view)
{
    struct bike_values bike;
    text_copy(text, size, "");
    if (is_of_a_bike(form) && form_bike_typed(form, view, &bike)) {
        bike_limits_passed(&view->snapshot->record.limits, &bike, text, size);
    }
}
