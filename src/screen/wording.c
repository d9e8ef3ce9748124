/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/wording.h"

#include "base/text.h"

#include <math.h>
#include <stdio.h>

#define NOTHING "\u2013"
#define MINUS "\u2212"

void wording_whole(char *text, size_t size, double mm)
{
    if (isfinite(mm)) {
        double whole = round(mm);
        snprintf(text, size, "%s%.0f", whole < 0.0 ? MINUS : "", fabs(whole));
    } else {
        text_copy(text, size, NOTHING);
    }
}

void wording_signed(char *text, size_t size, double mm)
{
    if (isfinite(mm)) {
        double whole = round(mm);
        snprintf(text, size, "%s%.0f", whole < 0.0 ? MINUS : whole > 0.0 ? "+" : "", fabs(whole));
    } else {
        text_copy(text, size, NOTHING);
    }
}

void wording_tenth(char *text, size_t size, double value)
{
    if (isfinite(value)) {
        double tenth = round(value * 10.0);
        snprintf(text, size, "%s%.1f", tenth < 0.0 ? MINUS : "+", fabs(tenth) / 10.0);
    } else {
        text_copy(text, size, NOTHING);
    }
}

static long whole_seconds(double seconds)
{
    return seconds > 0.0 && seconds < 1e9 ? (long)seconds : 0;
}

void wording_minutes(char *text, size_t size, double seconds)
{
    long whole = whole_seconds(seconds);
    snprintf(text, size, "%ld:%02ld", whole / 60, whole % 60);
}

void wording_hours(char *text, size_t size, double seconds)
{
    long whole = whole_seconds(seconds);
    snprintf(text, size, "%ld:%02ld:%02ld", whole / 3600, whole / 60 % 60, whole % 60);
}

void wording_minus(char *text, size_t size, const char *source)
{
    size_t used = 0;
    text_copy(text, size, "");
    for (const char *next = source; *next != '\0'; next++) {
        bool begins = next == source || next[-1] == ' ' || next[-1] == '(';
        bool minus = *next == '-' && begins && next[1] >= '0' && next[1] <= '9';
        if (minus) {
            text_append(text, size, &used, "%s", MINUS);
        } else {
            text_append(text, size, &used, "%c", *next);
        }
    }
}

const char *wording_cue_word(enum cue_state cue)
{
    switch (cue) {
    case CUE_IN:
        return "IN";
    case CUE_HIGH:
        return "HIGH";
    case CUE_LOW:
        return "LOW";
    case CUE_NO_READING:
        break;
    }
    return "NO READING";
}

const char *wording_cue(enum cue_state cue)
{
    switch (cue) {
    case CUE_IN:
        return "\u25C6 IN";
    case CUE_HIGH:
        return "\u25B2 HIGH";
    case CUE_LOW:
        return "\u25BC LOW";
    case CUE_NO_READING:
        break;
    }
    return "\u25CB NO READING";
}

/* The longest of several wordings that fits. */
static void longest(char *text, size_t size, int width, char wording[][WORDING_SIZE * 2], int count)
{
    for (int i = 0; i < count; i++) {
        if (text_width(wording[i]) <= width || i == count - 1) {
            text_copy(text, size, wording[i]);
            return;
        }
    }
}

/* What would settle it, in a few words and in fewer. */
static void say_advice(const struct setup_difference *difference, char *advice, char *brief,
                       size_t size)
{
    switch (difference->advice) {
    case ADVICE_MORE_HOLDS:
        snprintf(advice, size, "%d more hold%s", difference->advice_holds,
                 difference->advice_holds == 1 ? "" : "s");
        text_copy(brief, size, advice);
        break;
    case ADVICE_PLATE:
        text_copy(advice, size, "read the plate");
        text_copy(brief, size, "read plate");
        break;
    case ADVICE_BUILD_AGAIN:
        text_copy(advice, size, "build it again");
        text_copy(brief, size, "build again");
        break;
    case ADVICE_TIE:
        text_copy(advice, size, "tie the sensor");
        text_copy(brief, size, "tie sensor");
        break;
    case ADVICE_RETURN_TO_FIRST:
        text_copy(advice, size, "back to the first");
        text_copy(brief, size, "back to first");
        break;
    case ADVICE_NONE:
    default:
        text_copy(advice, size, "");
        text_copy(brief, size, "cannot tell");
        break;
    }
}

void wording_difference(char *text, size_t size, const struct setup_difference *difference,
                        int width)
{
    char wording[4][WORDING_SIZE * 2];
    char by[24], low[24], high[24], change[24];
    wording_signed(change, sizeof change, difference->difference);
    wording_whole(by, sizeof by, fabs(difference->difference));
    bool lower = difference->verdict == VERDICT_LOWER;
    /* lower by 12 (6 to 18): both ends in the direction that was said */
    wording_whole(low, sizeof low, lower ? -difference->high : difference->low);
    wording_whole(high, sizeof high, lower ? -difference->low : difference->high);
    switch (difference->verdict) {
    case VERDICT_LOWER:
    case VERDICT_HIGHER: {
        const char *shape = lower ? "\u25BC" : "\u25B2", *word = lower ? "lower" : "higher";
        snprintf(wording[0], sizeof wording[0], "%s %s by %s mm (%s to %s)", shape, word, by, low,
                 high);
        snprintf(wording[1], sizeof wording[1], "%s %s by %s (%s to %s)", shape, word, by, low,
                 high);
        snprintf(wording[2], sizeof wording[2], "%s %s %s (%s\u2013%s)", shape, word, by, low,
                 high);
        snprintf(wording[3], sizeof wording[3], "%s %s %s", shape, word, by);
        longest(text, size, width, wording, 4);
        return;
    }
    case VERDICT_LESS_THAN_MATTERS:
        snprintf(wording[0], sizeof wording[0], "\u2248 differs by %s, less than matters", change);
        snprintf(wording[1], sizeof wording[1], "\u2248 %s, less than matters", change);
        snprintf(wording[2], sizeof wording[2], "\u2248 %s too small", change);
        text_copy(wording[3], sizeof wording[3], "\u2248 too small");
        longest(text, size, width, wording, 4);
        return;
    case VERDICT_NO_DIFFERENCE:
        text_copy(wording[0], sizeof wording[0], "\u2248 no difference that matters");
        text_copy(wording[1], sizeof wording[1], "\u2248 no difference");
        text_copy(wording[2], sizeof wording[2], "\u2248 no change");
        longest(text, size, width, wording, 3);
        return;
    case VERDICT_CANNOT_TELL: {
        char advice[32] = "", brief[32] = "";
        say_advice(difference, advice, brief, sizeof advice);
        const char *colon = advice[0] != '\0' ? ": " : "";
        wording_signed(low, sizeof low, difference->low);
        wording_signed(high, sizeof high, difference->high);
        if (difference->has_interval) {
            snprintf(wording[0], sizeof wording[0], "? %s (%s to %s), cannot tell yet%s%s", change,
                     low, high, colon, advice);
        } else {
            snprintf(wording[0], sizeof wording[0], "? %s, cannot tell yet%s%s", change, colon,
                     advice);
        }
        snprintf(wording[1], sizeof wording[1], "? cannot tell yet%s%s", colon, advice);
        snprintf(wording[2], sizeof wording[2], "? cannot tell%s%s", colon, advice);
        snprintf(wording[3], sizeof wording[3], "? %s", brief);
        longest(text, size, width, wording, 4);
        return;
    }
    case VERDICT_NOT_COMPARABLE:
        snprintf(wording[0], sizeof wording[0], "\u00D7 not comparable%s%s",
                 difference->reason[0] != '\0' ? ": " : "", difference->reason);
        text_copy(wording[1], sizeof wording[1], "\u00D7 not comparable");
        text_copy(wording[2], sizeof wording[2], "\u00D7 can't say");
        longest(text, size, width, wording, 3);
        return;
    case VERDICT_NONE:
    default:
        text_copy(text, size, "");
        return;
    }
}
