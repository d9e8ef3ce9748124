/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Differences, advice and ties in words. */
#include "base/text.h"
#include "measure/rules.h"
#include "say/say.h"

#include <math.h>
#include <stdio.h>

/* The comparison counts no further than this. */

void say_advice(char *text, size_t size, enum compare_advice advice, int holds)
{
    switch (advice) {
    case ADVICE_MORE_HOLDS:
        if (holds >= MORE_HOLDS_MOST) {
            snprintf(text, size, "%d more holds or more", MORE_HOLDS_MOST);
        } else if (holds > 1) {
            snprintf(text, size, "%d more holds", holds);
        } else {
            text_copy(text, size, "1 more hold");
        }
        return;
    case ADVICE_PLATE:
        text_copy(text, size, "read the plate again");
        return;
    case ADVICE_BUILD_AGAIN:
        text_copy(text, size, "take it apart and build it again");
        return;
    case ADVICE_TIE:
        text_copy(text, size, "tie the sensor: plate, tape or parts");
        return;
    case ADVICE_RETURN_TO_FIRST:
        text_copy(text, size, "ride the first setup again");
        return;
    case ADVICE_NONE:
        break;
    }
    text_copy(text, size, "");
}

/* '-3 (-9 to 3)', in whole units of scale. */
static void likeliest(char *text, size_t size, const struct setup_difference *difference,
                      double scale, const char *unit)
{
    char middle[64], low[64], high[64];
    say_whole(middle, sizeof middle, difference->difference * scale);
    if (!difference->has_interval) {
        snprintf(text, size, "%s%s", middle, unit);
        return;
    }
    say_whole(low, sizeof low, difference->low * scale);
    say_whole(high, sizeof high, difference->high * scale);
    snprintf(text, size, "%s (%s to %s)%s", middle, low, high, unit);
}

/* '12 (6 to 18)': how much less or more, without signs. */
static void amount(char *text, size_t size, const struct setup_difference *difference, double scale,
                   const char *unit)
{
    struct setup_difference positive = *difference;
    if (difference->difference < 0) {
        positive.difference = -difference->difference;
        positive.low = -difference->high;
        positive.high = -difference->low;
    }
    likeliest(text, size, &positive, scale, unit);
}

bool say_has_value(const struct setup_difference *difference)
{
    return difference->verdict != VERDICT_NONE && isfinite(difference->difference) &&
           (difference->verdict != VERDICT_NOT_COMPARABLE || difference->has_interval);
}

static void finding(char *text, size_t size, const struct setup_difference *difference,
                    const char *channel, const char *lower, const char *higher, double scale,
                    const char *unit)
{
    char value[SAY_SIZE], advice[SAY_SIZE];
    const char *name = channel != NULL ? channel : "";
    const char *blank = *name != '\0' ? " " : "";
    const char *colon = *name != '\0' ? ": " : "";
    size_t used = 0;

    text_copy(text, size, "");
    likeliest(value, sizeof value, difference, scale, unit);
    say_advice(advice, sizeof advice, difference->advice, difference->advice_holds);
    switch (difference->verdict) {
    case VERDICT_NONE:
        return;
    case VERDICT_LOWER:
    case VERDICT_HIGHER:
        amount(value, sizeof value, difference, scale, unit);
        text_append(text, size, &used, "%s%s%s by %s", name, blank,
                    difference->verdict == VERDICT_LOWER ? lower : higher, value);
        return;
    case VERDICT_LESS_THAN_MATTERS:
        text_append(text, size, &used, "%s%sdiffers, but by less than matters: %s", name, colon,
                    value);
        return;
    case VERDICT_NO_DIFFERENCE:
        text_append(text, size, &used, "%s%sno difference that matters: %s", name, colon,
                    difference->has_interval || difference->reason[0] == '\0' ? value
                                                                              : difference->reason);
        return;
    case VERDICT_NOT_COMPARABLE:
        text_append(text, size, &used, "%s%snot comparable", name, colon);
        if (difference->reason[0] != '\0') {
            text_append(text, size, &used, ": %s", difference->reason);
        }
        if (say_has_value(difference)) {
            text_append(text, size, &used, "; %s as it stands", value);
        }
        if (difference->reason[0] != '\0') {
            return; /* it says what to do as well */
        }
        break;
    case VERDICT_CANNOT_TELL:
        text_append(text, size, &used, "%s%scannot tell yet: %s", name, colon, value);
        break;
    }
    if (advice[0] != '\0') {
        text_append(text, size, &used, "; %s", advice);
    } else if (difference->verdict == VERDICT_CANNOT_TELL && difference->reason[0] != '\0') {
        text_append(text, size, &used, "; %s", difference->reason);
    }
}

void say_difference(char *text, size_t size, const struct setup_difference *difference,
                    const char *channel)
{
    finding(text, size, difference, channel, "lower", "higher", 1, "");
}

void say_plainly(char *text, size_t size, const struct setup_difference *difference)
{
    char value[64], near[64], far[64];
    const char *way = difference->difference < 0 ? "lower" : "higher";
    switch (difference->verdict) {
    case VERDICT_NO_DIFFERENCE:
    case VERDICT_LESS_THAN_MATTERS:
        text_copy(text, size, "no difference that matters");
        return;
    case VERDICT_CANNOT_TELL:
        say_whole(value, sizeof value, fabs(difference->difference));
        snprintf(text, size, "likely %s mm %s, but that may be chance: too few holds to tell",
                 value, way);
        return;
    case VERDICT_LOWER:
    case VERDICT_HIGHER:
        say_whole(value, sizeof value, fabs(difference->difference));
        say_whole(near, sizeof near, fmin(fabs(difference->low), fabs(difference->high)));
        say_whole(far, sizeof far, fmax(fabs(difference->low), fabs(difference->high)));
        snprintf(text, size, "%s by %s mm (%s to %s)", way, value, near, far);
        return;
    case VERDICT_NONE:
    case VERDICT_NOT_COMPARABLE:
        break;
    }
    say_difference(text, size, difference, NULL);
}

void say_share_difference(char *text, size_t size, const struct setup_difference *difference)
{
    finding(text, size, difference, NULL, "less", "more", 100, " points");
}

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
    } else if (tie->kind == TIE_FIRST || (tie->kind == TIE_FIXED && fabs(tie->shift_mm) < 0.05)) {
        text_copy(text, size, "as first");
    } else {
        snprintf(text, size, "%+.0f ±%.0f (%s)", tie->shift_mm,
                 fmax(1.0, round(2.0 * tie_uncertainty_mm(tie))), tie_kind_words(tie->kind));
    }
}
