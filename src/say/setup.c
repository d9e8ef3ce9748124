/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/setup.h"

#include "phrase.h"

static const char *const failed[SAY_FAILED_LENGTHS] = {
    [SAY_FAILED_MARK] = "FAILED: cannot see ahead",
    [SAY_FAILED_NAMED] = "FAILED, cannot see ahead",
    [SAY_FAILED_RATING] = "; can't see ahead: it FAILED, whatever the numbers",
    [SAY_FAILED_ATTENTION] = "FAILED: the rider cannot see ahead. Its other numbers don't matter.",
    [SAY_FAILED_STANDING] = "FAILED: the rider cannot see ahead, whatever the numbers.",
    [SAY_FAILED_RIDER] = "This setup FAILED: you cannot see ahead on it. Do not ride it.",
    [SAY_FAILED_PRACTICE] = "Not on this setup: it FAILED, since you cannot see ahead on it.",
};

static const char *const numb[SAY_NUMB_LENGTHS] = {
    [SAY_NUMB_RATING] = "; numbness: change that before anything else",
    [SAY_NUMB_ATTENTION] = "numbness ({where}). Change that before anything else; if it stays, a "
                           "licensed clinician should see it.",
    [SAY_NUMB_RIDER] =
        "It made you numb ({where}). Let that be changed before anything else; if it "
        "stays, a licensed clinician should see it.",
    [SAY_NUMB_PRACTICE] =
        "Not on this setup yet: it made you numb ({where}). Let that be changed first.",
};

const char *const say_strained =
    "Seeing ahead was a strain on this setup. Do not ride it on the road before that is mended.";

static const char *const complaints[COMPLAINTS] = {
    [COMPLAINT_NONE] = "",
    [COMPLAINT_FAILED] = "it FAILED: the rider could not see ahead on it",
    [COMPLAINT_NUMB] = "it made the rider numb: change that before anything else",
    [COMPLAINT_STRAINED] = "seeing ahead was a strain on it",
};

const char *say_failed(enum say_failed_length length)
{
    return failed[length];
}

const char *say_failed_badge(bool brief)
{
    return brief ? " BLIND " : " CAN'T SEE ";
}

void say_numb(char *text, size_t size, enum say_numb_length length, const char *where)
{
    const struct phrase_value values[] = {{"where", where}, {NULL, NULL}};
    phrase_fill(text, size, numb[length], values);
}

const char *say_complaint(enum complaint complaint)
{
    return complaints[complaint];
}

const char *say_no_suggestion(const struct insight_suggestion *suggestion)
{
    switch (suggestion->reason) {
    case SUGGESTION_MADE:
        break;
    case SUGGESTION_TOO_LITTLE:
        return "too little is known yet: it takes two setups with free holds, one of them held "
               "twice";
    case SUGGESTION_COMPLAINT:
        return say_complaint(suggestion->complaint);
    case SUGGESTION_NO_STEP:
        return "no single step inside the limits is known to lower, or has still to be learnt";
    }
    return "";
}
