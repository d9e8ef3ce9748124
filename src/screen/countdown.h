/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_COUNTDOWN_H
#define HOLDLINE_SCREEN_COUNTDOWN_H

#include "screen/screen.h"

/* Tones of a capture, and of a ride's rests: three, two, one, start; three, two, one, end. Each
 * once, downwards: the end of a target's capture is an estimate, which comes and goes by seconds.
 */
struct countdown {
    enum view_phase phase; /* as marked last */
    double elapsed_s;
    double counted_s; /* the lowest count that was marked in it */
    bool rest;        /* of a ride was proposed */
};

/* The tone that is due at this view; false: none. */
bool countdown_tone(struct countdown *countdown, const struct view *view, enum screen_tone *tone);

#endif
