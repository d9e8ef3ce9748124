/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/say.h"

#include "base/clock.h"
#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const char nothing[] = "-";

void say_date(char *text, size_t size, int64_t unix_ms)
{
    char iso[CLOCK_TEXT_SIZE];
    clock_wall_text(iso, unix_ms);
    /* 'YYYY-MM-DDTHH:MM...': the day and the minute */
    if (strlen(iso) < 16) {
        text_copy(text, size, iso);
        return;
    }
    snprintf(text, size, "%.10s %.5s UTC", iso, iso + 11);
}

const char *say_sees_ahead(enum sees_ahead answer)
{
    const char *word = word_of(&sees_ahead_words, answer);
    return answer == SEES_NO ? "no: FAILED" : word != NULL ? word : nothing;
}

const char *say_answer(enum answer answer)
{
    const char *word = word_of(&answer_words, answer);
    return word != NULL ? word : nothing;
}

void say_band(char *text, size_t size, const struct cue_settings *cue)
{
    char above[64] = "none", below[64] = "none";
    if (isfinite(cue->band_above_mm)) {
        say_signed(above, sizeof above, cue->band_above_mm, 0);
    }
    if (isfinite(cue->band_below_mm)) {
        say_signed(below, sizeof below, -cue->band_below_mm, 0);
    }
    snprintf(text, size, "%s/%s", above, below);
}
