/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Ties in words. */
#include "base/text.h"
#include "say/say.h"

#include <math.h>
#include <stdio.h>

#define SHOWN_AS_UNMOVED_MM 0.05

/* '19 mm down ±2', 'where it was ±2' */
static void shift_words(char *text, size_t size, const struct tie *tie)
{
    char shift[64], twice[64];
    double uncertainty = tie_uncertainty_mm(tie);
    double whole = round(tie->shift_mm);
    size_t used = 0;

    text_copy(text, size, "");
    say_whole(shift, sizeof shift, fabs(tie->shift_mm));
    if (!isfinite(tie->shift_mm)) {
        text_append(text, size, &used, "shift not known");
        return;
    }
    if (whole > 0 || whole < 0) {
        text_append(text, size, &used, "%s mm %s", shift, whole < 0 ? "down" : "up");
    } else {
        text_append(text, size, &used, "no shift");
    }
    if (uncertainty > 0) {
        say_number(twice, sizeof twice, 2 * uncertainty, 1);
        text_append(text, size, &used, " ±%s", twice);
    }
}

void say_tie(char *text, size_t size, const struct tie *tie)
{
    char shift[SAY_SIZE];
    switch (tie->kind) {
    case TIE_NONE:
        snprintf(text, size, "NOT TIED%s%s", tie->reason[0] != '\0' ? ": " : "", tie->reason);
        return;
    case TIE_FIRST:
        text_copy(text, size, "first build: the others are tied to it");
        return;
    case TIE_FIXED:
    case TIE_REFERENCE:
    case TIE_PLATE:
    case TIE_TAPE:
    case TIE_COMPUTED:
        break;
    }
    shift_words(shift, sizeof shift, tie);
    snprintf(text, size, "%s: %s", tie_kind_words(tie->kind), shift);
}

void say_tie_briefly(char *text, size_t size, const struct tie *tie)
{
    if (tie == NULL) {
        text_copy(text, size, "range only");
    } else if (tie->kind == TIE_NONE) {
        text_copy(text, size, "height not tied");
    } else if (tie->kind == TIE_FIRST ||
               (tie->kind == TIE_FIXED && fabs(tie->shift_mm) < SHOWN_AS_UNMOVED_MM)) {
        text_copy(text, size, "as first");
    } else {
        snprintf(text, size, "%+.0f ±%.0f (%s)", tie->shift_mm,
                 fmax(1.0, round(2.0 * tie_uncertainty_mm(tie))), tie_kind_words(tie->kind));
    }
}
