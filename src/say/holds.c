/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "say/holds.h"

#include "base/numbers.h"
#include "base/text.h"

#include <math.h>
#include <stdio.h>

/* What is found of a hold, in the order in which it is told: journal, page of the screen, cell,
 * beside its picture. A cell and a picture have room for the last only. */
static const struct {
    const char *journal, *page, *cell, *picture;
} findings[HOLD_FINDINGS] = {
    [HOLD_FOUND_STOPPED] = {"; stopped early", "  cut short", ", short", ""},
    [HOLD_FOUND_CUT_SHORT] = {"; cut short", "  cut short", ", short", ""},
    [HOLD_FOUND_NOT_SETTLED] = {"; not settled", "  NOT SETTLED: do it again", ", unsettled", ""},
    [HOLD_FOUND_STEPPED] = {"; stepped", "  STEPPED: sensor or rider?", ", stepped", ""},
    [HOLD_FOUND_KEPT_AFTERWARDS] = {"; kept afterwards", "  kept afterwards", "",
                                    ", kept afterwards"},
    [HOLD_FOUND_LEFT_OUT] = {"; LEFT OUT: ", "  left out", ", left out", ", rejected"},
    [HOLD_FOUND_NOT_TIED] = {"", "", "", ", not tied"},
};

static const char *words_of(enum hold_finding finding, enum say_hold_length length)
{
    switch (length) {
    case SAY_HOLD_JOURNAL:
        return findings[finding].journal;
    case SAY_HOLD_PAGE:
        return findings[finding].page;
    case SAY_HOLD_CELL:
        return findings[finding].cell;
    case SAY_HOLD_PICTURE:
        break;
    }
    return findings[finding].picture;
}

unsigned hold_findings_of(const struct hold_record *hold, const struct hold_result *result)
{
    return (hold->status == HOLD_STOPPED ? HOLD_FOUND(HOLD_FOUND_STOPPED) : 0) |
           (hold->status == HOLD_CUT_SHORT ? HOLD_FOUND(HOLD_FOUND_CUT_SHORT) : 0) |
           (result->not_settled ? HOLD_FOUND(HOLD_FOUND_NOT_SETTLED) : 0) |
           (result->stepped ? HOLD_FOUND(HOLD_FOUND_STEPPED) : 0) |
           (hold->kept_afterwards ? HOLD_FOUND(HOLD_FOUND_KEPT_AFTERWARDS) : 0) |
           (hold->rejected ? HOLD_FOUND(HOLD_FOUND_LEFT_OUT) : 0);
}

void say_hold_findings(char *text, size_t size, unsigned found, enum say_hold_length length)
{
    bool last_only = length == SAY_HOLD_CELL || length == SAY_HOLD_PICTURE;
    size_t used = 0;
    text_copy(text, size, "");
    for (int i = 0; i < HOLD_FINDINGS; i++) {
        const char *words = words_of((enum hold_finding)i, length);
        if ((found & HOLD_FOUND(i)) == 0 || words[0] == '\0') {
            continue;
        }
        used = last_only ? 0 : used;
        text_append(text, size, &used, "%s", words);
    }
}

/* Which of the three that an interval needs is lacking (measure/settle.c). */
static void say_why_not_long(char *text, size_t size, const struct hold_result *result)
{
    double kept_s = 0.0;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        kept_s = result->has[c] ? fmax(kept_s, result->summary[c].kept_s) : kept_s;
    }
    if (result->duration_s < INTERVAL_KEPT_MIN_S) {
        snprintf(text, size, ": too short to count (%g s at least)", INTERVAL_KEPT_MIN_S);
    } else if (kept_s > 0.0 && kept_s < INTERVAL_KEPT_MIN_S) {
        snprintf(text, size, ": too little of it was settled to count (%g s at least)",
                 INTERVAL_KEPT_MIN_S);
    } else {
        snprintf(text, size, ": too broken to count (of the readings %g %% at least)",
                 100.0 * INTERVAL_SHARE_MIN);
    }
}

void say_hold_ended(char *text, size_t size, const struct hold_record *hold, bool is_long,
                    bool same_sit, const struct hold_result *result)
{
    const char *how = hold->status == HOLD_COMPLETE  ? "kept"
                      : hold->status == HOLD_STOPPED ? "stopped early"
                                                     : "was cut short";
    if (hold->purpose == PURPOSE_RIDE && hold->status == HOLD_STOPPED && is_long) {
        char lasted[SAY_SIZE], up[SAY_SIZE];
        say_duration(lasted, sizeof lasted, round(result->duration_s));
        say_duration(up, sizeof up, round(result->sat_up_s));
        snprintf(text, size, "ride of %s kept%s%s%s", lasted,
                 result->sat_up_times > 0 ? "; sat up for " : "",
                 result->sat_up_times > 0 ? up : "",
                 result->stepped ? "; a level stepped: sensor or rider? read the board" : "");
        return;
    }
    char why[SAY_SIZE] = "";
    if (!is_long) {
        say_why_not_long(why, sizeof why, result);
    }
    snprintf(text, size, "hold %d %s%s", hold->number, how,
             !is_long              ? why
             : result->not_settled ? ", but had not settled: better done again"
             : same_sit
                 ? ", but no re-sit was seen: one with the hold before (u if the rider sat up)"
             : result->stepped ? ", but its level stepped: sensor or rider? read the plate"
             : hold->status == HOLD_COMPLETE ? ""
                                             : "; what there is of it counts (u leaves it out)");
}

const char *say_hold_kind(bool guided, bool kept_afterwards, bool in_cell)
{
    return kept_afterwards ? in_cell ? "kept after" : "kept afterwards"
           : guided        ? "guided"
                           : "free";
}

const char *say_hold_use(enum hold_use use)
{
    static const char *const words[HOLD_USES] = {
        [HOLD_USED] = "",
        [HOLD_UNUSED_RUNNING] = "it is still running",
        [HOLD_UNUSED_LEFT_OUT] = "left out",
        [HOLD_UNUSED_KEPT_AFTERWARDS] = "kept afterwards",
        [HOLD_UNUSED_NOT_OF_THE_BODY] = "not a channel of the body",
        [HOLD_UNUSED_NO_NUMBERS] = "no numbers on this channel",
        [HOLD_UNUSED_TOO_LITTLE] = "too short, or too few readings",
        [HOLD_UNUSED_NO_BAND] = "guided without a band on this channel",
        [HOLD_UNUSED_NOT_TIED] = "height not tied",
        [HOLD_UNUSED_STEP] = "its level stepped",
        [HOLD_UNUSED_AFTER_STEP] = "the sensor moved in a hold before it",
        [HOLD_UNUSED_SLIP] = "did the sensor slip? not answered",
        [HOLD_UNUSED_SAME_SIT] = "no re-sit seen since the hold before: one with it",
    };
    return words[use];
}
