/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_COUNTDOWN_H
#define HOLDLINE_SCREEN_COUNTDOWN_H

#include "screen/screen.h"

/* Tones of a capture: three, two, one, start; three, two, one, end. */
struct countdown {
    enum view_phase phase; /* as marked last */
    double left_s;
};

/* The tone that is due at this view; false: none. */
bool countdown_tone(struct countdown *countdown, const struct view *view, enum screen_tone *tone);

#endif
