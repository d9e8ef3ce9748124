/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/target.h"

#include "base/numbers.h"
#include "base/text.h"

#include <math.h>
#include <stdio.h>

void say_target_waits(char *text, size_t size, const struct target_wait *wait)
{
    char clock[24], whole[24];
    size_t used = 0;
    say_minutes(clock, sizeof clock, wait->elapsed_s);
    say_minutes(whole, sizeof whole, wait->planned_s);
    text[0] = '\0';
    if (!wait->proposed) {
        text_append(text, size, &used, "%s, at %s it is seen how long it takes", clock, whole);
        return;
    }
    text_append(text, size, &used, "%s of %s  ", clock, whole);
    if (!wait->settled) {
        text_append(text, size, &used, "not settled yet");
    } else if (isfinite(wait->half_width_mm)) {
        text_append(text, size, &used, "known to \u00B1%.0f, wanted \u00B1%g mm",
                    ceil(wait->half_width_mm), wait->until_mm);
    } else {
        text_append(text, size, &used, "not known yet, wanted \u00B1%g mm", wait->until_mm);
    }
    text_append(text, size, &used, ", %.0f s left",
                ceil(fmax(0.0, wait->planned_s - wait->elapsed_s)));
}

void say_target_kept(char *text, size_t size, double half_width_mm, double until_mm, bool settled)
{
    if (!settled) {
        snprintf(text, size,
                 "target kept, but the rider had not settled: how well it is known can't be said");
    } else if (!isfinite(half_width_mm)) {
        snprintf(text, size, "target kept, but too short to say how well it is known");
    } else if (half_width_mm > until_mm) {
        snprintf(text, size, "target kept, known to \u00B1%.0f mm (\u00B1%g wanted)",
                 ceil(half_width_mm), until_mm);
    } else {
        snprintf(text, size, "target kept, known to \u00B1%.0f mm", ceil(half_width_mm));
    }
}
