/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/decision.h"

#include "phrase.h"

#include "base/numbers.h"
#include "base/text.h"

#include <math.h>
#include <stdio.h>

/* With the setup's name, and without one. */
static const char *const decisions[DECISIONS][2] = {
    [DECISION_NOTHING] = {"Nothing was measured that could be told from.",
                          "Nothing was measured that could be told from."},
    [DECISION_NONE] = {"No setup has been chosen yet.", "No setup has been chosen yet."},
    [DECISION_STAY] = {"Stay as you came.", "Stay as you came."},
    [DECISION_RIDE] = {"Ride setup {n}: {intent}.", "Ride setup {n}."},
    [DECISION_STRAINED] = {"Setup {n}, {intent}: not on the road before seeing ahead is easier.",
                           "Setup {n}: not on the road before seeing ahead is easier."},
    [DECISION_LIMIT] = {"Setup {n}, {intent}: not as it is.", "Setup {n}: not as it is."},
    [DECISION_NUMB] = {"Setup {n}, {intent}: not before the numbness is gone.",
                       "Setup {n}: not before the numbness is gone."},
    [DECISION_FAILED] = {"Do not ride setup {n}: it FAILED, since you cannot see ahead on it.",
                         "Do not ride setup {n}: it FAILED, since you cannot see ahead on it."},
};

/* Against the bike as it came, and against another setup. */
static const char *const effects[DECISION_DOINGS][2] = {
    [DID_CHANGE] = {"Against the bike as it came: {list}.", "Against setup {n}: {list}."},
    [DID_TOO_LITTLE] = {"Against the bike as it came your height did not change by what "
                        "matters.",
                        "Against setup {n} your height did not change by what matters."},
    [DID_CANNOT_TELL] = {"Whether you are lower than on the bike as it came can't be told yet.",
                         "Whether you are lower than on setup {n} can't be told yet."},
    [DID_NOT_COMPARE] = {"Your height was not compared with the bike as it came.",
                         "Your height was not compared with setup {n}."},
};

static const char *const costs[DECISION_COSTS] = {
    [COST_SOME] = "It costs: {list}.",
    [COST_NONE] = "It cost nothing of what you were asked about.",
    [COST_RATED] = "You said of it: {list}.",
    [COST_NOT_ASKED] = "What it costs you was not asked.",
};

static void fill(char *text, size_t size, const char *phrase, int number, const char *name,
                 const char *value)
{
    char count[16];
    snprintf(count, sizeof count, "%d", number);
    const struct phrase_value values[] = {{"n", count}, {name, value}, {NULL, NULL}};
    phrase_fill(text, size, phrase, values);
}

void say_decision(char *text, size_t size, enum decision decision, int setup, const char *intent)
{
    fill(text, size, decisions[decision][intent[0] != '\0' ? 0 : 1], setup, "intent", intent);
}

void say_did(char *text, size_t size, enum decision_did did, int baseline, const char *list)
{
    fill(text, size, effects[did][baseline == 1 ? 0 : 1], baseline, "list", list);
}

void say_moved_by(char *text, size_t size, const char *channel, double by_mm)
{
    char by[64];
    say_whole(by, sizeof by, fabs(by_mm));
    snprintf(text, size, "%s %s mm %s", channel, by, by_mm < 0 ? "lower" : "higher");
}

void say_cost(char *text, size_t size, enum decision_cost cost, const char *list)
{
    fill(text, size, costs[cost], 0, "list", list);
}

void say_instead(char *text, size_t size, const char *what, double now, double before,
                 const char *unit)
{
    char now_text[32], before_text[32];
    text_from_double_shortest(now_text, sizeof now_text, now);
    text_from_double_shortest(before_text, sizeof before_text, before);
    const char *gap = unit[0] != '\0' ? " " : "";
    snprintf(text, size, "%s %s%s%s instead of %s", what, now_text, gap, unit, before_text);
}
