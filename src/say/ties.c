/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Ties in words. */
#include "base/numbers.h"
#include "base/text.h"
#include "measure/rules.h"
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

const char *say_tie_kind(enum tie_kind kind)
{
    static const char *const words[] = {
        [TIE_NONE] = "not tied",     [TIE_FIRST] = "first build", [TIE_FIXED] = "not moved",
        [TIE_REFERENCE] = "ref",     [TIE_PLATE] = "plate",       [TIE_TAPE] = "tape",
        [TIE_COMPUTED] = "computed",
    };
    return words[kind];
}

/* What the readings' own errors may do is said first. */
static void off_parts_words(char *text, size_t size, const struct tie *tie)
{
    const struct tie_finding *found = &tie->found;
    char measured[64], computed[64], apart[64];
    say_number(measured, sizeof measured, tie->measured_shift_mm, 1);
    say_number(computed, sizeof computed, tie->computed_shift_mm, 1);
    say_number(apart, sizeof apart, found->apart_mm, 1);
    snprintf(text, size,
             "%s says %s mm, the parts say %s: %s apart. Typing slip, rolled bar, slipped clamp%s?",
             say_tie_kind(found->by), measured, computed, apart,
             found->other_stem ? ", wrong stem label" : "");
}

void say_tie_finding(char *text, size_t size, const struct tie *tie, const char *name)
{
    const struct tie_finding *found = &tie->found;
    char apart[64];
    switch (found->kind) {
    case TIE_FOUND_NOTHING:
        text_copy(text, size, "");
        return;
    case TIE_FOUND_SPREAD:
        say_number(apart, sizeof apart, found->apart_mm, 1);
        snprintf(text, size,
                 "%s readings %s mm apart though nothing that moves the sensor was changed: %s",
                 say_tie_kind(found->by), apart,
                 found->carrier_moves ? "typing slip, rolled bar or slipped clamp?"
                                      : "typing slip, or was the sensor or the plate knocked?");
        return;
    case TIE_FOUND_OFF_PARTS:
        off_parts_words(text, size, tie);
        return;
    case TIE_FOUND_NOT_READ:
        text_copy(text, size, "not read on this build: as on another build of the same parts");
        return;
    case TIE_FOUND_MISSING:
        snprintf(text, size, "%s, or %s", found->missing,
                 found->read ? "the same reading on the first build"
                             : "a plate or tape reading on this build and the first");
        return;
    case TIE_FOUND_NO_MOUNT:
        snprintf(text, size, "nobody said where the %s sensor is fixed, nor that none moved", name);
        return;
    case TIE_FOUND_ALIKE:
        snprintf(text, size,
                 "its measures are those of setup %d: enter what was changed, or that no sensor "
                 "moved",
                 found->alike);
        return;
    case TIE_FOUND_MOVED:
        text_copy(text, size, "a sensor moved: a plate read before and after would tie it");
        return;
    case TIE_FOUND_AS_BEFORE:
        text_copy(text, size, "no sensor moved, and the build before is not tied");
        return;
    case TIE_FOUND_ENDS:
        say_number(apart, sizeof apart, found->apart_mm, 1);
        snprintf(text, size,
                 "plate %s mm apart at the build's two ends: the %s sensor slipped (or the plate) "
                 "in between; when is not known",
                 apart, name);
        return;
    case TIE_FOUND_FIXED_ANEW:
        text_copy(text, size,
                  "the sensors were fixed anew; a plate read before and after, or their heights, "
                  "would tie them");
        return;
    }
}

/* The measures that a sensor's height follows from where it rides on the bars, pads or extensions,
 * and that have a usual value. */
static const enum bike_key usual_keys[] = {BIKE_HEADSET_CAP, BIKE_STEM_CLAMP_HEIGHT, BIKE_BAR_ROLL};

bool say_tie_together(char *text, size_t size, const struct tie *tie)
{
    if (!tie_is_over_bottom_bracket(tie) || !isfinite(tie->u_absolute_mm)) {
        text_copy(text, size, "");
        return false;
    }
    say_whole(text, size, ceil(NORMAL_95 * tie->u_absolute_mm - 1e-6));
    return true;
}

void say_tie_level(char *text, size_t size, const struct tie *tie, const struct bike_values *first)
{
    char half[64], value[64], usual[80];
    size_t used = 0;
    int missing = 0;
    text_copy(text, size, "");
    if (!say_tie_together(half, sizeof half, tie)) {
        return;
    }
    text_append(text, size, &used,
                "as heights above the bottom bracket all of them may be off together by ±%s mm",
                half);
    /* by the parts: what another placing on the same bike shares is more than its own part */
    bool by_parts = tie->u_own_mm < tie->u_absolute_mm;
    for (size_t i = 0; by_parts && i < sizeof usual_keys / sizeof usual_keys[0]; i++) {
        const struct bike_field *field = &bike_fields[usual_keys[i]];
        if (isnan(first->value[usual_keys[i]])) {
            say_whole(value, sizeof value, field->assumed);
            say_with_unit(usual, sizeof usual, value, field->unit);
            text_append(text, size, &used, "%s%s %s",
                        missing++ == 0 ? " (not entered, the usual taken: " : ", ", field->words,
                        usual);
        }
    }
    text_append(text, size, &used, "%s; differences are free of that", missing > 0 ? ")" : "");
}

void say_tie(char *text, size_t size, const struct tie *tie, const char *name)
{
    char shift[SAY_SIZE];
    if (tie->kind == TIE_NONE) {
        say_tie_finding(shift, sizeof shift, tie, name);
        snprintf(text, size, "NOT TIED%s%s", shift[0] != '\0' ? ": " : "", shift);
    } else if (tie->kind == TIE_FIRST) {
        text_copy(text, size, "first build: the others are tied to it");
    } else {
        shift_words(shift, sizeof shift, tie);
        snprintf(text, size, "%s: %s", say_tie_kind(tie->kind), shift);
    }
}

static void briefly(char *text, size_t size, const struct tie *tie, const char *unmoved,
                    const char *moved)
{
    if (tie == NULL) {
        text_copy(text, size, "range only");
    } else if (tie->kind == TIE_NONE) {
        text_copy(text, size, "height not tied");
    } else if (tie->kind == TIE_FIRST ||
               (tie->kind == TIE_FIXED && fabs(tie->shift_mm) < SHOWN_AS_UNMOVED_MM)) {
        text_copy(text, size, unmoved);
    } else {
        char shift[32];
        say_signed(shift, sizeof shift, tie->shift_mm, 0);
        snprintf(text, size, "%s%s ±%.0f (%s)", moved, shift,
                 fmax(1.0, round(2.0 * tie_uncertainty_mm(tie))), say_tie_kind(tie->kind));
    }
}

void say_tie_briefly(char *text, size_t size, const struct tie *tie)
{
    briefly(text, size, tie, "as first", "");
}

void say_tie_of_sensor(char *text, size_t size, const struct tie *tie)
{
    briefly(text, size, tie, "unmoved", "moved ");
}

const char *say_board_came_along(void)
{
    return "read, but the board lies on pads that moved since it was read before, or may have: it "
           "ties nothing here. Say its height over the bottom bracket, or read a plate";
}
