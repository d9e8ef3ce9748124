/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/form_kind.h"
#include "screen/form_lines.h"
#include "screen/form_value.h"

/* Limits and torques from the makers' papers. */

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

static void add_torque(struct form *form, const struct view *view, int bolt)
{
    struct form_field *field =
        form_add(form, FIELD_NUMBER, bike_bolt_key(bolt), bike_bolt_words(bolt), "N\u00b7m",
                 TORQUE_LEAST_NM, TORQUE_MOST_NM);
    if (bolt == 0) {
        field->heading = "torques, as they stand on the parts";
    }
    form_prefill_number(field, view->snapshot->record.torques.nm[bolt]);
}

static void fill_limits(struct form *form, const struct view *view)
{
    add_limit(form, view, BIKE_LIMIT_COLUMN);
    for (int key = 0; key < BIKE_KEYS; key++) {
        if (bike_fields[key].scope == BIKE_SCOPE_PART) {
            add_limit(form, view, key);
        }
    }
    for (int bolt = 0; bolt < BIKE_BOLTS; bolt++) {
        add_torque(form, view, bolt);
    }
}

/* What was changed among these fields; what was emptied is taken back. */
static struct form_line changed_line(struct form *form, const char *command, enum field_kind kind)
{
    struct form_line line = form_line_begin(form, command);
    for (int i = 0; i < form->count; i++) {
        const struct form_field *field = &form->field[i];
        char text[FORM_VALUE_SIZE];
        if (field->kind != kind || !form_field_changed(field)) {
            continue;
        }
        form_bounds_plain(text, sizeof text, field);
        if (text[0] == '\0') {
            form_line_text(&line, field->key, "none");
        } else if (kind == FIELD_NUMBER) {
            form_line_number(&line, field->key, form_number(field));
        } else {
            form_line_text(&line, field->key, text);
        }
    }
    return line;
}

static bool limits_lines(struct form *form, const struct view *view)
{
    (void)view;
    struct form_line limits = changed_line(form, "limits", FIELD_BOUNDS);
    if (limits.words > 0 && !form_line_end(&limits, NULL)) {
        return false;
    }
    struct form_line torque = changed_line(form, "torque", FIELD_NUMBER);
    return (limits.words > 0 && torque.words == 0) || form_line_end(&torque, "nothing was changed");
}

const struct form_kind_row form_limits = {
    .title = "LIMITS AND TORQUES FROM THE MAKERS' PAPERS",
    .explanation = "30 is at most, 5..30 between, 5.. at least; none is ever assumed",
    .fill = fill_limits,
    .lines = limits_lines,
};
