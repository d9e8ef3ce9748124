/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/wording.h"

#include "base/numbers.h"

#include <math.h>

void wording_whole(char *text, size_t size, double mm)
{
    char plain[64];
    say_whole(plain, sizeof plain, round(mm));
    say_typeset(text, size, plain);
}

void wording_signed(char *text, size_t size, double mm)
{
    char plain[64];
    say_signed(plain, sizeof plain, round(mm), 0);
    say_typeset(text, size, plain);
}

void wording_tenth(char *text, size_t size, double value)
{
    char plain[64];
    say_signed(plain, sizeof plain, value, 1);
    say_typeset(text, size, plain);
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

const char *wording_interval_mark(const struct setup_estimate *estimate)
{
    if (estimate->borrowed_repeatability) {
        return estimate->assumed ? "*\u2248" : "*";
    }
    return estimate->assumed ? "\u2248" : "";
}
