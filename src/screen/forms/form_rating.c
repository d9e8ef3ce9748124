/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/form_kind.h"

/* The rider's ratings of a setup. */

static const struct form_row rating_rows[] = {
    {.each = FORM_RATINGS},
    {FIELD_CHOICE, "sees_ahead", "can you see ahead?", .none = "(not asked)",
     .list = &sees_ahead_words},
    {FIELD_CHOICE, "numb_hands", "hands numb?", .none = "(not asked)", .list = &answer_words},
    {FIELD_CHOICE, "numb_saddle", "saddle numb?", .none = "(not asked)", .list = &answer_words},
    {FIELD_NUMBER, "could_stay", "could stay for", "min", FORM_FROM_TO(0, 600)},
    {FIELD_CHOICE, "would_race", "would you race it?", .none = "(not asked)",
     .list = &answer_words},
};

const struct form_kind_row form_rating = {
    .title = "RATING OF THIS SETUP",
    .explanation = "0 nothing at all to 10 unbearable; empty = not asked",
    FORM_ROWS(rating_rows),
    .command = "rating",
    .refusal = "nothing was asked yet: type at least one, or Esc",
};
