/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/form_kind.h"

#include "base/text.h"
#include "measure/rules.h"
#include "screen/form_lines.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* How long a hold is to be: the last one's length is filled in, so that Enter alone takes it. */

#define LENGTH_SIZE 24

static const struct form_row hold_rows[] = {
    {FIELD_LENGTH, "length", "how long", .required = true},
};

/* Of the hold that the next step proposes, where it is of this kind ('hold 30s free'); else NAN. */
static double proposed_length_s(const struct view *view, bool guided)
{
    char length[LENGTH_SIZE] = "", kind[LENGTH_SIZE] = "free";
    double length_s = NAN;
    bool hold = sscanf(view->next_command, "hold %23s %23s", length, kind) >= 1;
    bool same = strcmp(kind, guided ? "guided" : "free") == 0;
    return hold && same && typed_length(length, &length_s, NULL) ? length_s : (double)NAN;
}

/* Of the last hold that was ridden guided, or free; else as the next step proposes; else of any
 * hold; else the usual one. */
static double last_length_s(const struct view *view, bool guided)
{
    const struct session_record *record = &view->snapshot->record;
    double any_s = HOLD_LENGTH_S, proposed_s = proposed_length_s(view, guided);
    bool has = false;
    for (int h = record->hold_count - 1; h >= 0; h--) {
        const struct hold_record *hold = &record->hold[h];
        if (hold->kept_afterwards || !(hold->planned_s > 0.0)) {
            continue;
        }
        if (hold->guided == guided) {
            return hold->planned_s;
        }
        any_s = has ? any_s : hold->planned_s;
        has = true;
    }
    return isfinite(proposed_s) ? proposed_s : any_s;
}

static void fill_hold(struct form *form, const struct view *view)
{
    char text[LENGTH_SIZE];
    typed_length_text(text, sizeof text, last_length_s(view, form->kind == FORM_HOLD_GUIDED));
    form_prefill(&form->field[0], text);
}

static bool hold_lines(struct form *form, const struct view *view)
{
    struct problem problem = {0};
    double length_s = 0.0;
    char text[LENGTH_SIZE], number[LENGTH_SIZE];
    (void)view;
    text_clean(text, sizeof text, form->field[0].value);
    if (!typed_length(text, &length_s, &problem)) {
        return form_refuse(form, "length", problem.sentence);
    }
    struct form_line line = form_line_begin(form, "hold");
    text_from_double_shortest(number, sizeof number, length_s);
    size_t used = strlen(number);
    text_append(number, sizeof number, &used, "s");
    form_line_text(&line, NULL, number);
    form_line_text(&line, NULL, form->kind == FORM_HOLD_GUIDED ? "guided" : "free");
    return form_line_end(&line, NULL);
}

const struct form_kind_row form_hold_free = {
    .title = "A FREE HOLD",
    .explanation = "Enter takes it; else 90 s, 20 min, 1:30 or 8 h. The rider sees the time only",
    FORM_ROWS(hold_rows),
    .fill = fill_hold,
    .lines = hold_lines,
};

const struct form_kind_row form_hold_guided = {
    .title = "A GUIDED HOLD",
    .explanation = "Enter takes it; else 90 s, 20 min, 1:30 or 8 h. The rider sees the gauge",
    FORM_ROWS(hold_rows),
    .fill = fill_hold,
    .lines = hold_lines,
};
