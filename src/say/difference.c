/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Verdicts, differences and advice: a row each, with all its lengths beside each other. */
#include "say/difference.h"

#include "phrase.h"

#include "base/numbers.h"
#include "base/text.h"
#include "measure/rules.h"

#include <math.h>
#include <stdio.h>

#define WITHIN 4

/* {of} 'head ', {on} 'head: '; {word} 'lower' or, of shares, 'less'; {by} without a sign, {change}
 * with one; {range} ' (6 to 18)', {span} ' (6–18)'; {value} likeliest and range; {why} reason or
 * advice. Those of screens begin with the shape. */
static const struct {
    const char *key, *shape, *word, *share_word;
    const char *report, *page, *within[WITHIN], *plain;
} verdicts[] = {
    [VERDICT_NONE] = {"", "", "", "", "", "", {""}, ""},
    [VERDICT_NOT_COMPARABLE] = {"not comparable",
                                "\u00D7",
                                "",
                                "",
                                "{on}{key}{reason}{stands}{advice}",
                                "{key}{why}",
                                {"{key}{reason}", "{key}", "can't say", "can't say"},
                                "{key}{reason}{stands}{advice}"},
    [VERDICT_LESS_THAN_MATTERS] = {"differs, but by less than matters",
                                   "\u2248",
                                   "",
                                   "",
                                   "{on}{key}: {value}",
                                   "differs by {change} mm, less than matters{range}{why}",
                                   {"differs by {change}, less than matters",
                                    "{change}, less than matters", "{change} too small",
                                    "too small"},
                                   "no difference that matters"},
    [VERDICT_NO_DIFFERENCE] = {"no difference that matters",
                               "\u2248",
                               "",
                               "",
                               "{on}{key}: {known}",
                               "{key}: {change} mm{range}{why}",
                               {"{key}", "no difference", "no change", "no change"},
                               "{key}"},
    [VERDICT_LOWER] = {"lower",
                       "\u25BC",
                       "lower",
                       "less",
                       "{of}{word} by {value}",
                       "{word} by {by} mm{range}{why}",
                       {"{word} by {by} mm{range}", "{word} by {by}{range}", "{word} {by}{span}",
                        "{word} {by}"},
                       "{word} by {by} mm{range}"},
    [VERDICT_HIGHER] = {"higher",
                        "\u25B2",
                        "higher",
                        "more",
                        "{of}{word} by {value}",
                        "{word} by {by} mm{range}{why}",
                        {"{word} by {by} mm{range}", "{word} by {by}{range}", "{word} {by}{span}",
                         "{word} {by}"},
                        "{word} by {by} mm{range}"},
    [VERDICT_CANNOT_TELL] = {"cannot tell yet",
                             "?",
                             "",
                             "",
                             "{on}{key}: {value}{advice}",
                             "{key}: {change} mm{range}{why}",
                             {"{change}{range}, {key}{do}", "{key}{do}", "cannot tell{do}",
                              "{do it}"},
                             "likely {by} mm {way}, but that may be chance: too few holds to tell"},
};

/* Long; after '; ' on a page; in a cell; in the narrowest. */
static const struct {
    const char *report, *page, *cell, *narrow;
} advices[] = {
    [ADVICE_NONE] = {"", "", "", "cannot tell"},
    [ADVICE_MORE_HOLDS] = {"{holds} more hold{s}{or more}",
                           "{holds} more hold{s}{or more} of each would settle it",
                           "{holds} more hold{s}{or more}", "{holds}{+} more hold{s}"},
    [ADVICE_PLATE] = {"read the plate again", "reading the plate would settle it", "read the plate",
                      "read plate"},
    [ADVICE_BUILD_AGAIN] = {"take it apart and build it again", "building it again would settle it",
                            "build it again", "build again"},
    [ADVICE_TIE] = {"tie the sensor: plate, tape or parts",
                    "read the plate or tape, or enter the parts", "tie the sensor", "tie sensor"},
    [ADVICE_RETURN_TO_FIRST] = {"ride {first} again", "going back to {first} would settle it",
                                "back to {first}", "back to {first}"},
};

/* {tie} the ties' error in mm */
static const char *const reasons[COMPARE_REASONS] = {
    [REASON_NONE] = "",
    [REASON_HOLDS] = "{holds} more hold{s} of each of the two would likely settle it",
    [REASON_MANY_HOLDS] = "more than {holds} holds of each would be needed: the two are close to "
                          "what matters",
    [REASON_SENSOR_HEIGHT] = "the sensors' own height is known to {tie} mm only, and holds don't "
                             "change that: read the plate again",
    [REASON_TIE_LEAVES] = "the tie leaves {tie} mm, and holds don't change that: build it again "
                          "and read the plate",
    [REASON_ORDER_TOGETHER] = "setup and trial order go together: ride {first} again, twice",
    [REASON_ORDER_MATTERED] = "height changed with trial order, and order and setup go together: "
                              "ride {first} again, twice",
    [REASON_NOT_TIED] = "height not tied: read the plate, the tape, or enter the parts of its "
                        "builds or that no sensor moved",
    [REASON_BASELINE_NOT_TIED] = "the setup that is compared against is not tied: read its plate "
                                 "or tape",
    [REASON_BASELINE_NO_HOLDS] = "the setup that is compared against has no holds yet",
    [REASON_BASELINE_NO_GUIDED_HOLDS] = "the setup that is compared against has no guided holds "
                                        "yet",
    [REASON_ALWAYS_IN_BAND] = "both always in the band",
    [REASON_NEVER_IN_BAND] = "both never in the band",
    [REASON_NO_SPREAD] = "the holds of each setup are all the same: nothing says how well they "
                         "repeat",
    [REASON_STEPPED] =
        "the sensor moved within a hold: leave that hold out (u), or build again with "
        "a plate",
    [REASON_SENSOR_OR_RIDER] = "builds of one setup disagree on this channel alone: did its sensor "
                               "slip? Say so (,), or read the plate",
    [REASON_NOT_REPEATED] = "no setup has been held twice, so nothing says how well holds repeat",
};

const char *say_verdict(enum verdict verdict)
{
    return verdicts[verdict].key;
}

/* first: number of the first setup, 0 = not known. */
static void advise(char *text, size_t size, const char *phrase, int first, int holds,
                   double tie_error_mm)
{
    char count[16], tie[64], back[32] = "the first setup";
    if (first > 0) {
        snprintf(back, sizeof back, "setup %d", first);
    }
    say_number(tie, sizeof tie, tie_error_mm, 1);
    bool many = holds >= MORE_HOLDS_MOST;
    snprintf(count, sizeof count, "%d", many ? MORE_HOLDS_MOST : holds < 1 ? 1 : holds);
    const struct phrase_value values[] = {{"holds", count},
                                          {"s", holds > 1 ? "s" : ""},
                                          {"or more", many ? " or more" : ""},
                                          {"+", many ? "+" : ""},
                                          {"tie", tie},
                                          {"first", back},
                                          {NULL, NULL}};
    phrase_fill(text, size, phrase, values);
}

void say_advice(char *text, size_t size, enum compare_advice advice, int holds)
{
    advise(text, size, advices[advice].report, 0, holds, 0);
}

void say_reason(char *text, size_t size, const struct setup_difference *difference)
{
    advise(text, size, reasons[difference->reason], difference->first_setup,
           difference->advice_holds, difference->tie_error);
}

bool say_has_value(const struct setup_difference *difference)
{
    return difference->verdict != VERDICT_NONE && isfinite(difference->difference) &&
           (difference->verdict != VERDICT_NOT_COMPARABLE || difference->has_interval);
}

/* ---- one phrase filled ---- */

/* The numbers of a difference. Where it is told which way, both ends are told that way, without
 * signs. */
struct amounts {
    double value, low, high;
    bool told;
};

static struct amounts amounts_of(const struct setup_difference *difference, double scale,
                                 bool screen)
{
    bool told = difference->verdict == VERDICT_LOWER || difference->verdict == VERDICT_HIGHER;
    struct amounts amounts = {difference->difference * scale, difference->low * scale,
                              difference->high * scale, told};
    if (told && difference->difference < 0) {
        amounts = (struct amounts){-amounts.value, -amounts.high, -amounts.low, told};
    }
    if (screen) { /* halves go away from nought there; paper keeps the digits it always had */
        amounts.value = round(amounts.value);
        amounts.low = round(amounts.low);
        amounts.high = round(amounts.high);
    }
    return amounts;
}

/* before, low, between, high, behind: ' (6 to 18)'; "" without an interval */
static void range_words(char *text, size_t size, const struct setup_difference *difference,
                        const struct amounts *amounts, bool plus, const char *between)
{
    char low[64] = "", high[64] = "";
    if (!difference->has_interval) {
        text_copy(text, size, "");
        return;
    }
    (plus ? say_signed : say_number)(low, sizeof low, amounts->low, 0);
    (plus ? say_signed : say_number)(high, sizeof high, amounts->high, 0);
    snprintf(text, size, " (%s%s%s)", low, between, high);
}

static void join(char *text, size_t size, const char *first, const char *second, const char *third)
{
    size_t used = 0;
    text_copy(text, size, "");
    text_append(text, size, &used, "%s%s%s", first, second, third);
}

/* The sign only where there are words. */
static void after(char *text, size_t size, const char *sign, const char *words)
{
    join(text, size, words[0] != '\0' ? sign : "", words, "");
}

static void fill(char *text, size_t size, const struct setup_difference *difference,
                 const char *phrase, const char *channel, bool screen, bool share)
{
    const enum verdict verdict = difference->verdict;
    const enum compare_advice advised = difference->advice;
    const char *name = channel != NULL ? channel : "";
    const int first = difference->first_setup;
    const struct amounts amounts = amounts_of(difference, share ? 100 : 1, screen);
    char reason[SAY_SIZE];
    char of[64], on[64], by[64], change[64], middle[64], range[160], span[160], value[SAY_SIZE];
    char because[SAY_SIZE], advice[SAY_SIZE], page[SAY_SIZE], cell[64], narrow[64],
        stands[SAY_SIZE];
    char long_advice[SAY_SIZE], why[SAY_SIZE], what[64];

    say_reason(reason, sizeof reason, difference);
    join(of, sizeof of, name, *name != '\0' ? " " : "", "");
    join(on, sizeof on, name, *name != '\0' ? ": " : "", "");
    say_whole(by, sizeof by, fabs(amounts.value));
    say_signed(change, sizeof change, amounts.value, 0);
    say_whole(middle, sizeof middle, amounts.value);
    range_words(range, sizeof range, difference, &amounts, screen && !amounts.told, " to ");
    range_words(span, sizeof span, difference, &amounts, false, "\u2013");
    join(value, sizeof value, middle, range, share ? " points" : "");
    join(stands, sizeof stands, "; ", value, " as it stands");
    after(because, sizeof because, ": ", reason);
    advise(advice, sizeof advice, advices[advised].report, first, difference->advice_holds, 0);
    advise(page, sizeof page, advices[advised].page, first, difference->advice_holds, 0);
    advise(cell, sizeof cell, advices[advised].cell, first, difference->advice_holds, 0);
    advise(narrow, sizeof narrow, advices[advised].narrow, first, difference->advice_holds, 0);
    /* A reason for which nothing can be compared says what to do as well. */
    bool said = verdict == VERDICT_NOT_COMPARABLE && reason[0] != '\0';
    after(long_advice, sizeof long_advice, "; ",
          said                                                  ? ""
          : advice[0] == '\0' && verdict == VERDICT_CANNOT_TELL ? reason
                                                                : advice);
    after(why, sizeof why, reason[0] != '\0' ? ": " : "; ", reason[0] != '\0' ? reason : page);
    after(what, sizeof what, ": ", cell);
    const struct phrase_value values[] = {
        {"key", verdicts[verdict].key},
        {"word", share ? verdicts[verdict].share_word : verdicts[verdict].word},
        {"way",
         difference->difference < 0 ? verdicts[VERDICT_LOWER].word : verdicts[VERDICT_HIGHER].word},
        {"of", of},
        {"on", on},
        {"by", by},
        {"change", change},
        {"range", verdict == VERDICT_NOT_COMPARABLE ? "" : range},
        {"span", span},
        {"value", value},
        {"known", difference->has_interval || reason[0] == '\0' ? value : reason},
        {"stands", say_has_value(difference) ? stands : ""},
        {"reason", because},
        {"advice", long_advice},
        {"why", why},
        {"do", what},
        {"do it", narrow},
        {NULL, NULL},
    };
    phrase_fill(text, size, phrase, values);
}

void say_share_difference(char *text, size_t size, const struct setup_difference *difference)
{
    fill(text, size, difference, verdicts[difference->verdict].report, NULL, false, true);
}

/* With its shape and proper minus signs. */
static void on_screen(char *text, size_t size, const struct setup_difference *difference,
                      const char *phrase)
{
    char words[2 * SAY_SIZE], shaped[2 * SAY_SIZE];
    const char *shape = verdicts[difference->verdict].shape;
    fill(words, sizeof words, difference, phrase, NULL, true, false);
    join(shaped, sizeof shaped, shape, *shape != '\0' ? " " : "", words);
    say_typeset(text, size, shaped);
}

void say_difference(char *text, size_t size, const struct setup_difference *difference,
                    enum say_length length, const char *channel)
{
    switch (length) {
    case SAY_LONG:
        fill(text, size, difference, verdicts[difference->verdict].report, channel, false, false);
        return;
    case SAY_PAGE:
        on_screen(text, size, difference, verdicts[difference->verdict].page);
        return;
    case SAY_PLAIN:
        fill(text, size, difference, verdicts[difference->verdict].plain, NULL, false, false);
        return;
    }
}

void say_difference_within(char *text, size_t size, const struct setup_difference *difference,
                           int width)
{
    for (int i = 0; i < WITHIN; i++) {
        const char *phrase = verdicts[difference->verdict].within[i];
        on_screen(text, size, difference, phrase != NULL ? phrase : "");
        if (text_width(text) <= width) {
            return;
        }
    }
}
