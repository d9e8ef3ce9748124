/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/setup.h"

static const char *const failed[SAY_FAILED_LENGTHS] = {
    [SAY_FAILED_MARK] = "FAILED: cannot see ahead",
    [SAY_FAILED_NAMED] = "FAILED, cannot see ahead",
    [SAY_FAILED_RATING] = "; can't see ahead: it FAILED, whatever the numbers",
    [SAY_FAILED_ATTENTION] = "FAILED: the rider cannot see ahead. Its other numbers don't matter.",
    [SAY_FAILED_STANDING] = "FAILED: the rider cannot see ahead, whatever the numbers.",
    [SAY_FAILED_RIDER] = "This setup FAILED: you cannot see ahead on it. Do not ride it.",
    [SAY_FAILED_PRACTICE] = "Not on this setup: it FAILED, since you cannot see ahead on it.",
};

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
