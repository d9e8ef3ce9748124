/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/visits.h"

#include "phrase.h"

#include "base/numbers.h"
#include "base/text.h"

#include <math.h>
#include <stdio.h>

#define LETTERS 26

const char *const say_not_set_against = "its height can't be set against the earlier one";

static const char *const advices[ADVICES_CAME] = {
    [ADVICE_CAME_NOT_CHOSEN] = "{day}: no setup was chosen.",
    [ADVICE_CAME_LATEST] = "{day}: setup {setup} was chosen. There was no visit since.",
    [ADVICE_CAME_NOT_RIDDEN] = "{day}: setup {setup} was chosen. It was not ridden on any visit "
                               "since.",
    [ADVICE_CAME_RIDDEN] = "{day}: setup {setup} was chosen. It was ridden again on {then}: "
                           "{list}.",
};

void say_setup_letter(char *text, size_t size, int setup)
{
    if (setup < LETTERS) {
        snprintf(text, size, "%c", 'A' + setup);
    } else {
        snprintf(text, size, "%c%c", 'A' + setup / LETTERS - 1, 'A' + setup % LETTERS);
    }
}

void say_visit_change(char *text, size_t size, const struct across *across, int setup, int channel,
                      int from, int to)
{
    struct visit_change change = visit_change(across, setup, channel, from, to);
    char by[64], low[64], high[64];
    size_t used = 0;
    text_copy(text, size, "");
    if (!change.known) {
        return;
    }
    say_whole(by, sizeof by, fabs(change.change_mm));
    say_signed(low, sizeof low, change.change_mm - change.half_width_mm, 0);
    say_signed(high, sizeof high, change.change_mm + change.half_width_mm, 0);
    if (text_equal(by, "0")) {
        text_append(text, size, &used, "%s unchanged (%s to %s)", across->channel[channel].name,
                    low, high);
        return;
    }
    text_append(text, size, &used, "%s %s mm %s (%s to %s)", across->channel[channel].name, by,
                change.change_mm < 0 ? "lower" : "higher", low, high);
}

void say_advice_came(char *text, size_t size, enum advice_came came, const char *day,
                     const char *setup, const char *then, const char *list)
{
    const struct phrase_value values[] = {
        {"day", day}, {"setup", setup}, {"then", then}, {"list", list}, {NULL, NULL}};
    phrase_fill(text, size, advices[came], values);
}
