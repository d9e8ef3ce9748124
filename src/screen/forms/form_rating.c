/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/form_kind.h"

#include "analysis/setup_ratings.h"
#include "record/enum_words.h"

#include <math.h>

/* The rider's ratings of a setup, and how practice was. */

static const struct form_row rating_rows[] = {{.each = FORM_RATINGS}};

/* It is of the setup on the bike: said where another was chosen that nobody asked about sight. */
static void fill_rating(struct form *form, const struct view *view)
{
    const struct session_record *record = &view->snapshot->record;
    int chosen = session_record_setup(record, record->settings.chosen_setup);
    if (chosen >= 0 && chosen != snapshot_setup_index(view->snapshot) &&
        isnan(setup_rating(record, chosen, RATING_SEES_AHEAD))) {
        form->explanation =
            "0 to 10, of the setup on the bike; the one chosen lacks its rating yet";
    }
}

const struct form_kind_row form_rating = {
    .title = "RATING OF THIS SETUP",
    .explanation = "0 nothing at all to 10 unbearable; empty = not asked",
    FORM_ROWS(rating_rows),
    .fill = fill_rating,
    .about = snapshot_setup_number,
    .command = "rating",
    .refusal = "nothing was asked yet: type at least one, or Esc",
};

/* What ends a session is asked for first. */
static const struct form_row felt_rows[] = {
    {FIELD_CHOICE, "sign", "a sign to stop?", .list = &answer_words, .none = "(not asked)"},
    {.each = FORM_RATINGS},
};

const struct form_kind_row form_felt = {
    .title = "HOW IT FELT",
    .explanation = "0 nothing, 10 unbearable; signs: tingling, shooting pain, blurred sight",
    FORM_ROWS(felt_rows),
    .command = "rating",
    .refusal = "nothing was asked yet: type at least one, or Esc",
};

const struct form_kind_row form_morning = {
    .title = "THE MORNING AFTER THE LAST PRACTICE",
    .explanation = "0 nothing, 10 unbearable; signs: tingling, shooting pain, blurred sight",
    FORM_ROWS(felt_rows),
    .command = "rating morning=yes",
    .refusal = "nothing was asked yet: type at least one, or Esc",
};
