/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/form_kind.h"

/* The rider's ratings of a setup. */

static const struct form_row rating_rows[] = {{.each = FORM_RATINGS}};

const struct form_kind_row form_rating = {
    .title = "RATING OF THIS SETUP",
    .explanation = "0 nothing at all to 10 unbearable; empty = not asked",
    FORM_ROWS(rating_rows),
    .command = "rating",
    .refusal = "nothing was asked yet: type at least one, or Esc",
};
