/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "countdown.h"

#include <math.h>

#define COUNT_FROM_S 3.0

static bool is_capture(enum view_phase phase)
{
    return phase == VIEW_HOLD || phase == VIEW_TARGET || phase == VIEW_PLATE;
}

bool countdown_tone(struct countdown *countdown, const struct view *view, enum screen_tone *tone)
{
    const struct countdown before = *countdown;
    bool settling = view->phase == VIEW_SETTLING, runs = is_capture(view->phase);
    double left = settling ? ceil(view->countdown_s)
                  : runs && (view->phase != VIEW_TARGET || view->length_proposed)
                      ? ceil(view->planned_s - view->elapsed_s)
                      : 0.0;
    bool goes_on = view->phase == before.phase && view->elapsed_s >= before.elapsed_s;
    double counted = goes_on && before.counted_s > 0.0 ? before.counted_s : COUNT_FROM_S + 1.0;
    bool counts = (settling || runs) && left >= 1.0 && left < counted;
    *countdown =
        (struct countdown){view->phase, view->elapsed_s, counts ? left : counted, view->ride.rest};
    if (view->phase != before.phase && (runs || is_capture(before.phase))) {
        *tone = runs ? SCREEN_TONE_START : SCREEN_TONE_END;
        return true;
    }
    bool rests = view->ride.rest && !before.rest;
    *tone = rests ? SCREEN_TONE_REST : SCREEN_TONE_COUNT;
    return counts || rests;
}
