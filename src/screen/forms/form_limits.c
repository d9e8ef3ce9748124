/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/form_kind.h"
#include "screen/form_lines.h"
#include "screen/form_value.h"

/* Limits from the makers' papers. */

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

static void fill_limits(struct form *form, const struct view *view)
{
    add_limit(form, view, BIKE_LIMIT_COLUMN);
    for (int key = 0; key < BIKE_KEYS; key++) {
        if (bike_fields[key].scope == BIKE_SCOPE_PART) {
            add_limit(form, view, key);
        }
    }
}

static bool limits_lines(struct form *form, const struct view *view)
{
    struct form_line line = form_line_begin(form, "limits");
    (void)view;
    for (int i = 0; i < form->count; i++) {
        const struct form_field *field = &form->field[i];
        if (form_field_changed(field)) {
            char text[FORM_VALUE_SIZE];
            form_bounds_plain(text, sizeof text, field);
            /* emptied: taken back */
            form_line_text(&line, field->key, text[0] != '\0' ? text : "none");
        }
    }
    return form_line_end(&line, "nothing was changed");
}

const struct form_kind_row form_limits = {
    .title = "LIMITS FROM THE MAKERS' PAPERS",
    .explanation = "30 is at most, 5..30 between, 5.. at least; none is ever assumed",
    .fill = fill_limits,
    .lines = limits_lines,
};
