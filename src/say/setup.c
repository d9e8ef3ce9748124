/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/setup.h"

#include "base/language.h"
#include "base/phrase.h"
#include "base/text.h"
#include "bike/fields.h"

#include <stdio.h>

static const char *const failed[SAY_FAILED_LENGTHS] = {
    [SAY_FAILED_MARK] = "FAILED: cannot see ahead",
    [SAY_FAILED_NAMED] = "FAILED, cannot see ahead",
    [SAY_FAILED_RATING] = "; can't see ahead: it FAILED, whatever the numbers",
    [SAY_FAILED_ATTENTION] = "FAILED: the rider cannot see ahead. Its other numbers don't matter.",
    [SAY_FAILED_STANDING] = "FAILED: the rider cannot see ahead, whatever the numbers.",
    [SAY_FAILED_PICTURE] = N_("FAILED: can't see"),
};

static const char *const numb[SAY_NUMB_LENGTHS] = {
    [SAY_NUMB_RATING] = "; numbness: change that before anything else",
    [SAY_NUMB_ATTENTION] = "numbness ({where}). Change that before anything else; if it stays, a "
                           "licensed clinician should see it.",
    [SAY_NUMB_RIDER] =
        N_("It made you numb ({where}). Let that be changed before anything else; if it "
           "stays, a licensed clinician should see it."),
};

const char *const say_strained = N_(
    "Seeing ahead was a strain on this setup. Do not ride it on the road before that is mended.");

static const char *const complaints[COMPLAINTS] = {
    [COMPLAINT_NONE] = "",
    [COMPLAINT_FAILED] = "it FAILED: the rider could not see ahead on it",
    [COMPLAINT_NUMB] = "it made the rider numb: change that before anything else",
    [COMPLAINT_STRAINED] = "seeing ahead was a strain on it",
};

const char say_first_intent[] = CN_("setup", "as it came");

const char *say_intent(const char *intent)
{
    return text_equal(intent, say_first_intent) ? C_("setup", say_first_intent) : intent;
}

const char *say_failed(enum say_failed_length length)
{
    return T_(failed[length]);
}

const char *say_failed_badge(bool brief)
{
    return brief ? " BLIND " : " CAN'T SEE ";
}

void say_numb(char *text, size_t size, enum say_numb_length length, const char *where)
{
    const struct phrase_value values[] = {{"where", where}, {NULL, NULL}};
    phrase_fill(text, size, T_(numb[length]), values);
}

const char *say_complaint(enum complaint complaint)
{
    return complaints[complaint];
}

void say_no_suggestion(char *text, size_t size, const struct insight_suggestion *suggestion)
{
    text_copy(text, size, "");
    switch (suggestion->reason) {
    case SUGGESTION_MADE:
        break;
    case SUGGESTION_TOO_LITTLE:
        text_copy(text, size,
                  "too little is known yet: it takes two setups with free holds, one of them held "
                  "twice");
        break;
    case SUGGESTION_COMPLAINT:
        text_copy(text, size, say_complaint(suggestion->complaint));
        break;
    case SUGGESTION_NO_STEP:
        text_copy(text, size, "no single step inside the limits is known to lower");
        break;
    case SUGGESTION_NO_LIMIT:
        snprintf(text, size,
                 "no limit was entered for %s: look into the papers of the parts and enter it",
                 bike_fields[suggestion->part].words);
        break;
    }
}

static bool is_checked(const struct session_record *record, int setup)
{
    for (int c = 0; c < record->check_count; c++) {
        int build = record->check[c].build;
        if (build >= 0 && record->build[build].setup == setup) {
            return true;
        }
    }
    return false;
}

bool say_setup_stays(char *text, size_t size, const struct session_record *record, int setup,
                     bool *has_captures)
{
    int number = record->setup[setup].number;
    bool chosen = record->settings.chosen_setup == number;
    *has_captures = session_record_has_captures(record, setup) || is_checked(record, setup);
    snprintf(text, size, "setup %d %s", number,
             *has_captures              ? "has holds, runs, a target or a check of the sensors"
             : record->setup_count == 1 ? "is the only one"
             : chosen                   ? "is what the rider goes home with: choose another first"
                      : "is what the others are compared against: name another baseline first");
    return *has_captures || record->setup_count == 1 || chosen ||
           record->settings.baseline_setup == number;
}

void say_other_parts(char *text, size_t size, const struct setup_record *setup,
                     const struct bike_values *bike, int number)
{
    char changes[160];
    bike_changes_text(changes, sizeof changes, &setup->bike, bike);
    snprintf(text, size, "setups %d and %d have other parts (%s)", setup->number, number, changes);
}
