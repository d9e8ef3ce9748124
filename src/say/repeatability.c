/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/repeatability.h"

#include "base/text.h"
#include "measure/rules.h"
#include "say/say.h"

#include <stdio.h>

const char *say_learnt_from(enum learnt_from from)
{
    static const char *const sentence[] = {
        [LEARNT_FROM_ALL] = ("repeatability: this session's holds, this rider's earlier sessions "
                             "and the store's other riders"),
        [LEARNT_FROM_RIDER] =
            "repeatability: this session's holds and this rider's earlier sessions",
        [LEARNT_FROM_STORE] = "repeatability: this session's holds and the store's other riders",
        [LEARNT_FROM_NONE] = "repeatability: this session's holds alone",
    };
    return sentence[from];
}

static const char *sessions_word(int count)
{
    return count == 1 ? "session" : "sessions";
}

void say_learnt(char *text, size_t size, const struct session_record *record, int channel,
                const struct comparison *comparison)
{
    const struct comparison_settings *settings = &record->settings;
    const struct learnt_repeatability *learnt = &settings->learnt[channel];
    enum learnt_from from = settings->learnt_from;
    char sd[24], worth[24];
    size_t used = 0;
    text[0] = '\0';
    if (!(comparison->repeatability_learnt_df > 0.0)) {
        return;
    }
    say_number(sd, sizeof sd, comparison->repeatability, 1);
    say_number(worth, sizeof worth, comparison->repeatability_here_df, 0);
    text_append(text, size, &used, "SD %s mm: this session's holds count %s", sd, worth);
    if (from != LEARNT_FROM_STORE && learnt->rider_df > 0.0) {
        bool coded = record->has_rider && record->rider.code[0] != '\0';
        say_number(worth, sizeof worth, learnt->rider_df, 1);
        text_append(text, size, &used, ", %s's %d earlier %s %s",
                    coded ? record->rider.code : "the rider", learnt->rider_sessions,
                    sessions_word(learnt->rider_sessions), worth);
    }
    if (from != LEARNT_FROM_RIDER && learnt->store_df > 0.0) {
        say_number(worth, sizeof worth, learnt->store_df, 1);
        text_append(text, size, &used, ", %d %s of the store's other riders %s",
                    learnt->store_sessions, sessions_word(learnt->store_sessions), worth);
    }
}

void say_assumed(char *text, size_t size)
{
    char usual[24];
    say_number(usual, sizeof usual, ASSUMED_REPEATABILITY_MM, 0);
    snprintf(text, size,
             "few holds yet: a usual SD of %s mm from hold to hold is assumed in part; no verdict "
             "rests on it",
             usual);
}

void say_own_spread(char *text, size_t size, const struct session_record *record,
                    const struct comparison *comparison)
{
    size_t used = 0;
    text[0] = '\0';
    for (int setup = 0; setup < comparison->setup_count; setup++) {
        const struct setup_estimate *estimate = &comparison->setup[setup];
        char own[24], all[24];
        if (!estimate->own_spread) {
            continue;
        }
        say_number(own, sizeof own, estimate->spread, 1);
        say_number(all, sizeof all, comparison->repeatability, 1);
        text_append(text, size, &used,
                    "%sholds of setup %d differ from each other more than the others' (SD %s mm, "
                    "all together %s): its limits are from its own holds",
                    used > 0 ? "; " : "", record->setup[setup].number, own, all);
    }
}

void say_reaches_on(char *text, size_t size, const struct session_record *record,
                    const struct comparison *comparison)
{
    int numbers[COMPARE_SETUPS_MAX], count = 0;
    char setups[SAY_SIZE];
    text[0] = '\0';
    for (int setup = 0; setup < comparison->setup_count; setup++) {
        if (compare_reaches_on(comparison, setup)) {
            numbers[count++] = record->setup[setup].number;
        }
    }
    if (count > 0) {
        say_list(setups, sizeof setups, "setup", "setups", numbers, count);
        snprintf(text, size,
                 "%s: a part of the difference may have come with time, not with the setup; the "
                 "interval reaches to what is then left, so the number is not in its middle",
                 setups);
    }
}

void say_spread_unseen(char *text, size_t size, const struct comparison *comparison)
{
    text[0] = '\0';
    if (comparison->compared > 0 && !comparison->spread_seen) {
        snprintf(text, size,
                 "With fewer than %d holds of a setup it can't be seen whether each setup repeats "
                 "as the others do; the limits take it that they do.",
                 (int)SPREAD_HOLDS_MIN);
    }
}
