/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/visits.h"

#include "base/language.h"
#include "base/numbers.h"
#include "base/phrase.h"
#include "base/text.h"
#include "say/say.h"

#include <math.h>
#include <stdio.h>

#define LETTERS 26

const char *const say_not_set_against = N_("its height can't be set against the earlier one");

static const char *const advices[ADVICES_CAME] = {
    [ADVICE_CAME_NOT_CHOSEN] = N_("{day}: no setup was chosen."),
    [ADVICE_CAME_LATEST] = N_("{day}: setup {setup} was chosen. There was no visit since."),
    [ADVICE_CAME_NOT_RIDDEN] = N_("{day}: setup {setup} was chosen. It was not ridden on any visit "
                                  "since."),
    [ADVICE_CAME_RIDDEN] = N_("{day}: setup {setup} was chosen. It was ridden again on {then}: "
                              "{list}."),
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
    text_copy(text, size, "");
    if (!change.known) {
        return;
    }
    say_whole(by, sizeof by, fabs(change.change_mm));
    say_signed(low, sizeof low, change.change_mm - change.half_width_mm, 0);
    say_signed(high, sizeof high, change.change_mm + change.half_width_mm, 0);
    const char *name = say_sensor(across->channel[channel].name);
    if (text_equal(by, "0")) {
        snprintf(text, size, T_("%s unchanged (%s to %s)"), name, low, high);
        return;
    }
    bool lower = change.change_mm<0, sure = fabs(change.change_mm)> change.half_width_mm;
    snprintf(text, size,
             sure    ? lower ? T_("%s %s mm lower (%s to %s)") : T_("%s %s mm higher (%s to %s)")
                : lower ? T_("%s likely %s mm lower, but that may be chance (%s to %s)")
                     : T_("%s likely %s mm higher, but that may be chance (%s to %s)"),
             name, by, low, high);
}

void say_apart(char *text, size_t size, const struct across_channel *channel, int session)
{
    text_copy(text, size, "");
    switch (channel->apart[session]) {
    case APART_NOT:
        break;
    case APART_NOT_MEASURED:
        text_copy(text, size, T_("it was not measured there"));
        break;
    case APART_NOT_TIED:
        snprintf(text, size,
                 T_("not tied: nothing says how high its sensor was over the bottom bracket "
                    "('tape %s=...', or a plate with its height=)"),
                 channel->name);
        break;
    case APART_OTHER_MARK:
        snprintf(text, size, T_("another mark on the body: '%.60s', not '%.60s'"),
                 channel->mark[session], channel->mark[channel->reference]);
        break;
    }
}

void say_advice_came(char *text, size_t size, enum advice_came came, const char *day,
                     const char *setup, const char *then, const char *list)
{
    const struct phrase_value values[] = {
        {"day", day}, {"setup", setup}, {"then", then}, {"list", list}, {NULL, NULL}};
    phrase_fill(text, size, T_(advices[came]), values);
}
