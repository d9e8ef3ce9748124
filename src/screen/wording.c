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

const char *wording_mute(const struct rig_health *health)
{
    return health->link_down ? " LINK DOWN: is the cable in? "
                             : " NOTHING HEARD: is the board running? ";
}

const char *wording_cue(enum cue_state cue)
{
    static const char *const words[] = {[CUE_NO_READING] = "\u25CB NO READING",
                                        [CUE_IN] = "\u25C6 IN",
                                        [CUE_HIGH] = "\u25B2 HIGH",
                                        [CUE_LOW] = "\u25BC LOW"};
    return words[cue];
}

/* Of five letters at most, so that a terminal of 40 columns has them in letters of blocks. */
const char *wording_asked(enum cue_state cue)
{
    static const char *const words[] = {
        [CUE_NO_READING] = "ON", [CUE_IN] = "STAY", [CUE_HIGH] = "LOWER", [CUE_LOW] = "RAISE"};
    return words[cue];
}

const char *wording_over_asked(enum cue_state cue)
{
    return cue == CUE_NO_READING ? "RIDE" : "";
}

const char *wording_rider(enum rider_word word)
{
    static const char *const words[] = {
        [RIDER_STAY] = "STAY",           [RIDER_WAIT] = "WAIT",
        [RIDER_EASY] = "SIT UP, EASY",   [RIDER_SIT_UP] = "HANDS OFF, SIT UP",
        [RIDER_DOWN] = "INTO POSITION",  [RIDER_END] = "THE END",
        [RIDER_REST] = "SIT UP A WHILE", [RIDER_UP] = "UP"};
    return words[word];
}

const char *wording_interval_mark(const struct setup_estimate *estimate)
{
    if (estimate->borrowed_repeatability) {
        return estimate->assumed ? "*\u2248" : "*";
    }
    return estimate->assumed ? "\u2248" : "";
}
