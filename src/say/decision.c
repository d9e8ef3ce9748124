/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/decision.h"

#include "base/language.h"
#include "base/numbers.h"
#include "base/phrase.h"
#include "base/text.h"

#include <math.h>
#include <stdio.h>

/* With the setup's name, and without one. */
static const char *const decisions[DECISIONS][2] = {
    [DECISION_NOTHING] = {N_("No measurement counts yet: no setup can be named."),
                          N_("No measurement counts yet: no setup can be named.")},
    [DECISION_NONE] = {N_("No setup has been chosen yet."), N_("No setup has been chosen yet.")},
    [DECISION_STAY] = {N_("Keep the bike as it came."), N_("Keep the bike as it came.")},
    [DECISION_RIDE] = {N_("Ride setup {n}: {intent}."), N_("Ride setup {n}.")},
    [DECISION_UNMEASURED] = {N_("Setup {n}, {intent}: chosen, but not measured."),
                             N_("Setup {n}: chosen, but not measured.")},
    [DECISION_STRAINED] =
        {N_("Setup {n}, {intent}: not on the road before seeing ahead is easier."),
         N_("Setup {n}: not on the road before seeing ahead is easier.")},
    [DECISION_LIMIT] = {N_("Setup {n}, {intent}: not as it is."), N_("Setup {n}: not as it is.")},
    [DECISION_NUMB] = {N_("Setup {n}, {intent}: not before the numbness is gone."),
                       N_("Setup {n}: not before the numbness is gone.")},
    [DECISION_FAILED] = {N_("Do not ride setup {n}: it FAILED, since you cannot see ahead on it."),
                         N_("Do not ride setup {n}: it FAILED, since you cannot see ahead on it.")},
};

/* Against the bike as it came, and against another setup. */
static const char *const effects[DECISION_DOINGS][2] = {
    [DID_CHANGE] = {N_("Against the bike as it came: {list}."), N_("Against setup {n}: {list}.")},
    [DID_TOO_LITTLE] = {N_("Against the bike as it came your height did not change by what "
                           "matters."),
                        N_("Against setup {n} your height did not change by what matters.")},
    [DID_CANNOT_TELL] = {N_("Whether you are lower than on the bike as it came can't be told yet."),
                         N_("Whether you are lower than on setup {n} can't be told yet.")},
    [DID_NOT_COMPARE] = {N_("Your height was not compared with the bike as it came."),
                         N_("Your height was not compared with setup {n}.")},
};

static const char *const costs[DECISION_COSTS] = {
    [COST_SOME] = N_("It costs: {list}."),
    [COST_NONE] = N_("It cost nothing of what you were asked about."),
    [COST_RATED] = N_("You said of it: {list}."),
    [COST_NOT_ASKED] = N_("What it costs you was not asked."),
};

static void fill(char *text, size_t size, const char *phrase, int number, const char *name,
                 const char *value)
{
    char count[16];
    snprintf(count, sizeof count, "%d", number);
    const struct phrase_value values[] = {{"n", count}, {name, value}, {NULL, NULL}};
    phrase_fill(text, size, T_(phrase), values);
}

void say_decision(char *text, size_t size, enum decision decision, int setup, const char *intent)
{
    fill(text, size, decisions[decision][intent[0] != '\0' ? 0 : 1], setup, "intent", intent);
}

void say_meanwhile(char *text, size_t size, int setup, bool road)
{
    const char *phrase = setup < 0 ? N_("What to ride meanwhile: ask your fitter.")
                         : road    ? (setup == 0 ? N_("On the road meanwhile: the bike as it came.")
                                                 : N_("On the road meanwhile: setup {n}."))
                         : setup == 0 ? N_("Meanwhile ride the bike as it came.")
                                      : N_("Meanwhile ride setup {n}.");
    fill(text, size, phrase, setup, "intent", "");
}

void say_did(char *text, size_t size, enum decision_did did, int baseline, const char *list)
{
    fill(text, size, effects[did][baseline > 0 ? 1 : 0], baseline, "list", list);
}

void say_moved_by(char *text, size_t size, const char *channel, double by_mm)
{
    char by[64];
    say_whole(by, sizeof by, fabs(by_mm));
    snprintf(text, size, by_mm < 0 ? T_("%s %s mm lower") : T_("%s %s mm higher"), channel, by);
}

void say_cost(char *text, size_t size, enum decision_cost cost, const char *list)
{
    fill(text, size, costs[cost], 0, "list", list);
}

void say_instead(char *text, size_t size, const char *what, double now, double before,
                 const char *unit)
{
    char now_text[32], before_text[32];
    say_exact(now_text, sizeof now_text, now);
    say_exact(before_text, sizeof before_text, before);
    if (unit[0] != '\0') {
        snprintf(text, size, T_("%s %s %s instead of %s"), what, now_text, unit, before_text);
    } else {
        snprintf(text, size, T_("%s %s instead of %s"), what, now_text, before_text);
    }
}
