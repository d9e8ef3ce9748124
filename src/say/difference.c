/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Verdicts, differences and advice: a row each, with all its lengths beside each other. */
#include "say/difference.h"

#include "base/language.h"
#include "base/numbers.h"
#include "base/phrase.h"
#include "base/text.h"
#include "measure/rules.h"

#include <math.h>
#include <stdio.h>

/* {of} 'head ', {on} 'head: '; {word} 'lower' or, of shares, 'less'; {by} without a sign, {change}
 * with one; {range} ' (6 to 18)'; {value} likeliest and range; {why} reason or advice. Those of
 * screens begin with the shape. What riders read is in the tables below: these are the fitter's. */
static const struct {
    const char *key, *shape, *word, *share_word;
    const char *report, *page;
} verdicts[] = {
    [VERDICT_NONE] = {"", "", "", "", "", ""},
    [VERDICT_NOT_COMPARABLE] = {N_("not comparable"), "\u00D7", "", "",
                                "{on}{key}{reason}{stands}{advice}", "{key}{why}"},
    [VERDICT_LESS_THAN_MATTERS] = {N_("differs, but by less than matters"), "\u2248", "", "",
                                   "{on}{key}: {value}",
                                   "differs by {change} mm, less than matters{range}{why}"},
    [VERDICT_NO_DIFFERENCE] = {N_("no difference that matters"), "\u2248", "", "",
                               "{on}{key}: {known}", "{key}: {change} mm{range}{why}"},
    [VERDICT_LOWER] = {"lower", "\u25BC", "lower", "less", "{of}{word} by {value}",
                       "{word} by {by} mm{range}{why}"},
    [VERDICT_HIGHER] = {"higher", "\u25B2", "higher", "more", "{of}{word} by {value}",
                        "{word} by {by} mm{range}{why}"},
    [VERDICT_CANNOT_TELL] = {N_("cannot tell yet"), "?", "", "", "{on}{key}: {value}{advice}",
                             "{key}: {change} mm{range}{why}"},
};

/* So that it fits into so many cells, the longest first: with an interval and, of what can't be
 * told or compared, with what is said beside it ({what}: reason or advice); without those. */
#define WITHIN 4
static const char *const within[][2][2][WITHIN] = {
    [VERDICT_NONE] = {{{"", "", "", ""}, {"", "", "", ""}}, {{"", "", "", ""}, {"", "", "", ""}}},
    [VERDICT_NOT_COMPARABLE] =
        {{{N_("not comparable"), N_("not comparable"), N_("can't say"), N_("can't say")},
          {N_("not comparable: {what}"), N_("not comparable"), N_("can't say"), N_("can't say")}},
         {{N_("not comparable"), N_("not comparable"), N_("can't say"), N_("can't say")},
          {N_("not comparable: {what}"), N_("not comparable"), N_("can't say"), N_("can't say")}}},
    [VERDICT_LESS_THAN_MATTERS] = {{{N_("differs by {change}, less than matters"),
                                     N_("{change}, less than matters"), N_("{change} too small"),
                                     N_("too small")}},
                                   {{N_("differs by {change}, less than matters"),
                                     N_("{change}, less than matters"), N_("{change} too small"),
                                     N_("too small")}}},
    [VERDICT_NO_DIFFERENCE] = {{{N_("no difference that matters"), N_("no difference"),
                                 N_("no change"), N_("no change")}},
                               {{N_("no difference that matters"), N_("no difference"),
                                 N_("no change"), N_("no change")}}},
    [VERDICT_LOWER] =
        {{{N_("lower by {by} mm"), N_("lower by {by}"), N_("lower {by}"), N_("lower {by}")}},
         {{N_("lower by {by} mm ({low} to {high})"), N_("lower by {by} ({low} to {high})"),
           N_("lower {by} ({low}\u2013{high})"), N_("lower {by}")}}},
    [VERDICT_HIGHER] =
        {{{N_("higher by {by} mm"), N_("higher by {by}"), N_("higher {by}"), N_("higher {by}")}},
         {{N_("higher by {by} mm ({low} to {high})"), N_("higher by {by} ({low} to {high})"),
           N_("higher {by} ({low}\u2013{high})"), N_("higher {by}")}}},
    [VERDICT_CANNOT_TELL] = {{{N_("{change}, cannot tell yet"), N_("cannot tell yet"),
                               N_("cannot tell"), N_("cannot tell")},
                              {N_("{change}, cannot tell yet: {what}"),
                               N_("cannot tell yet: {what}"), N_("cannot tell: {what}"),
                               "{briefly}"}},
                             {{N_("{change} ({low} to {high}), cannot tell yet"),
                               N_("cannot tell yet"), N_("cannot tell"), N_("cannot tell")},
                              {N_("{change} ({low} to {high}), cannot tell yet: {what}"),
                               N_("cannot tell yet: {what}"), N_("cannot tell: {what}"),
                               "{briefly}"}}},
};

/* What would settle it: long; after '; ' on a page. */
static const struct {
    const char *report, *page;
} advices[] = {
    [ADVICE_NONE] = {"", ""},
    [ADVICE_MORE_HOLDS] = {"{holds} more hold{s}{or more}",
                           "{holds} more hold{s}{or more} of each would settle it"},
    [ADVICE_PLATE] = {N_("read the plate again"), "reading the plate would settle it"},
    [ADVICE_BUILD_AGAIN] = {N_("take it apart and build it again"),
                            "building it again would settle it"},
    [ADVICE_TIE] = {N_("tie the sensor: plate, tape or parts"),
                    "read the plate or tape, or enter the parts"},
    [ADVICE_RETURN_TO_FIRST] = {N_("ride {first} again"), "going back to {first} would settle it"},
};

/* The same in a cell; in the narrowest. Of one hold, of several, of so many or more; of the first
 * setup by its number. */
enum { OF_ONE, OF_SEVERAL, OF_MANY, NUMBERS };
static const char *const brief_advices[][2][NUMBERS] = {
    [ADVICE_NONE] = {{"", "", ""}, {N_("cannot tell"), N_("cannot tell"), N_("cannot tell")}},
    [ADVICE_MORE_HOLDS] = {{N_("1 more hold"), N_("{holds} more holds"),
                            N_("{holds} more holds or more")},
                           {N_("1 more hold"), N_("{holds} more holds"),
                            N_("{holds}+ more holds")}},
    [ADVICE_PLATE] = {{N_("read the plate"), N_("read the plate"), N_("read the plate")},
                      {N_("read plate"), N_("read plate"), N_("read plate")}},
    [ADVICE_BUILD_AGAIN] = {{N_("build it again"), N_("build it again"), N_("build it again")},
                            {N_("build again"), N_("build again"), N_("build again")}},
    [ADVICE_TIE] = {{N_("tie the sensor"), N_("tie the sensor"), N_("tie the sensor")},
                    {N_("tie sensor"), N_("tie sensor"), N_("tie sensor")}},
    [ADVICE_RETURN_TO_FIRST] = {{N_("back to {first}"), N_("back to {first}"),
                                 N_("back to {first}")},
                                {N_("{first} again"), N_("{first} again"), N_("{first} again")}},
};

/* {tie} the ties' error in mm */
static const char *const reasons[COMPARE_REASONS] = {
    [REASON_NONE] = "",
    [REASON_HOLDS] = N_("{holds} more holds of each of the two would likely settle it"),
    [REASON_MANY_HOLDS] =
        N_("more than {holds} holds of each would be needed: the two are close to "
           "what matters"),
    [REASON_SENSOR_HEIGHT] =
        N_("the sensors' own height is known to {tie} mm only, and holds don't "
           "change that: read the plate again"),
    [REASON_TIE_LEAVES] = N_("the tie leaves {tie} mm, and holds don't change that: build it again "
                             "and read the plate"),
    [REASON_ORDER_TOGETHER] = N_("setup and trial order go together: ride {first} again, twice"),
    [REASON_ORDER_MATTERED] =
        N_("height changed with trial order, and order and setup go together: "
           "ride {first} again, twice"),
    [REASON_NOT_TIED] = N_("height not tied: read the plate, the tape, or enter the parts of its "
                           "builds or that no sensor moved"),
    [REASON_BASELINE_NOT_TIED] =
        N_("the setup that is compared against is not tied: read its plate "
           "or tape"),
    [REASON_BASELINE_NO_HOLDS] = N_("the setup that is compared against has no holds yet"),
    [REASON_BASELINE_NO_GUIDED_HOLDS] = N_("the setup that is compared against has no guided holds "
                                           "yet"),
    [REASON_ALWAYS_IN_BAND] = N_("both always in the band"),
    [REASON_NEVER_IN_BAND] = N_("both never in the band"),
    [REASON_NO_SPREAD] = N_("the holds of each setup are all the same: nothing says how well they "
                            "repeat"),
    [REASON_STEPPED] =
        N_("the sensor moved within a hold: leave that hold out (u), or build again with "
           "a plate"),
    [REASON_SENSOR_OR_RIDER] =
        N_("builds of one setup disagree on this channel alone: did its sensor "
           "slip? Say so (,), or read the plate"),
    [REASON_NOT_REPEATED] =
        N_("no setup has been held twice, so nothing says how well holds repeat"),
};
static const char one_hold[] = N_("1 more hold of each of the two would likely settle it");

const char *say_verdict(enum verdict verdict)
{
    return verdicts[verdict].key;
}

/* first: number of the first setup, 0 = not known. */
static void advise(char *text, size_t size, const char *phrase, int first, int holds,
                   double tie_error_mm)
{
    char count[16], tie[64], back[48];
    text_copy(back, sizeof back, T_("the first setup"));
    if (first > 0) {
        snprintf(back, sizeof back, T_("setup %d"), first);
    }
    say_number(tie, sizeof tie, tie_error_mm, 1);
    bool many = holds >= MORE_HOLDS_MOST;
    snprintf(count, sizeof count, "%d", many ? MORE_HOLDS_MOST : holds < 1 ? 1 : holds);
    const struct phrase_value values[] = {{"holds", count},
                                          {"s", holds > 1 ? "s" : ""},
                                          {"or more", many ? " or more" : ""},
                                          {"tie", tie},
                                          {"first", back},
                                          {NULL, NULL}};
    phrase_fill(text, size, T_(phrase), values);
}

void say_advice(char *text, size_t size, enum compare_advice advice, int holds)
{
    advise(text, size, advices[advice].report, 0, holds, 0);
}

void say_reason(char *text, size_t size, const struct setup_difference *difference)
{
    bool one = difference->reason == REASON_HOLDS && difference->advice_holds <= 1;
    advise(text, size, one ? one_hold : reasons[difference->reason], difference->first_setup,
           difference->advice_holds, difference->tie_error);
}

/* In a cell, or in the narrowest one. */
static void say_advice_briefly(char *text, size_t size, const struct setup_difference *difference,
                               bool narrow)
{
    int holds = difference->advice_holds;
    int number = holds >= MORE_HOLDS_MOST ? OF_MANY : holds > 1 ? OF_SEVERAL : OF_ONE;
    advise(text, size, brief_advices[difference->advice][narrow ? 1 : 0][number],
           difference->first_setup, holds, 0);
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
    if (difference->verdict == VERDICT_LOWER) {
        amounts = (struct amounts){-amounts.value, -amounts.high, -amounts.low, told};
    }
    if (screen) { /* halves go away from nought there; paper keeps the digits it always had */
        amounts.value = round(amounts.value);
        amounts.low = round(amounts.low);
        amounts.high = round(amounts.high);
    }
    return amounts;
}

/* ' (6 to 18)'; "" without an interval */
static void range_words(char *text, size_t size, const struct setup_difference *difference,
                        const struct amounts *amounts, bool plus)
{
    char low[64] = "", high[64] = "";
    if (!difference->has_interval) {
        text_copy(text, size, "");
        return;
    }
    (plus ? say_signed : say_number)(low, sizeof low, amounts->low, 0);
    (plus ? say_signed : say_number)(high, sizeof high, amounts->high, 0);
    snprintf(text, size, " (%s to %s)", low, high);
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
    char of[64], on[64], by[64], change[64], middle[64], range[160], value[SAY_SIZE];
    char because[SAY_SIZE], advice[SAY_SIZE], page[SAY_SIZE], stands[SAY_SIZE];
    char long_advice[SAY_SIZE], why[SAY_SIZE];

    say_reason(reason, sizeof reason, difference);
    join(of, sizeof of, name, *name != '\0' ? " " : "", "");
    join(on, sizeof on, name, *name != '\0' ? ": " : "", "");
    say_whole(by, sizeof by, fabs(amounts.value));
    say_signed(change, sizeof change, amounts.value, 0);
    say_whole(middle, sizeof middle, amounts.value);
    range_words(range, sizeof range, difference, &amounts, screen && !amounts.told);
    join(value, sizeof value, middle, range, share ? " points" : "");
    join(stands, sizeof stands, "; ", value, " as it stands");
    after(because, sizeof because, ": ", reason);
    advise(advice, sizeof advice, advices[advised].report, first, difference->advice_holds, 0);
    advise(page, sizeof page, advices[advised].page, first, difference->advice_holds, 0);
    /* A reason for which nothing can be compared says what to do as well. */
    bool said = verdict == VERDICT_NOT_COMPARABLE && reason[0] != '\0';
    after(long_advice, sizeof long_advice, "; ",
          said                                                  ? ""
          : advice[0] == '\0' && verdict == VERDICT_CANNOT_TELL ? reason
                                                                : advice);
    after(why, sizeof why, reason[0] != '\0' ? ": " : "; ", reason[0] != '\0' ? reason : page);
    const struct phrase_value values[] = {
        {"key", verdicts[verdict].key},
        {"word", share ? verdicts[verdict].share_word : verdicts[verdict].word},
        {"of", of},
        {"on", on},
        {"by", by},
        {"change", change},
        {"range", verdict == VERDICT_NOT_COMPARABLE ? "" : range},
        {"value", value},
        {"known", difference->has_interval || reason[0] == '\0' ? value : reason},
        {"stands", say_has_value(difference) ? stands : ""},
        {"reason", because},
        {"advice", long_advice},
        {"why", why},
        {NULL, NULL},
    };
    phrase_fill(text, size, phrase, values);
}

void say_share_difference(char *text, size_t size, const struct setup_difference *difference)
{
    fill(text, size, difference, verdicts[difference->verdict].report, NULL, false, true);
}

/* With its shape and proper minus signs. */
static void shaped(char *text, size_t size, const struct setup_difference *difference,
                   const char *words)
{
    char whole[2 * SAY_SIZE];
    const char *shape = verdicts[difference->verdict].shape;
    join(whole, sizeof whole, shape, *shape != '\0' ? " " : "", words);
    say_typeset(text, size, whole);
}

/* ---- what riders read, too: whole phrases, in the language that is written in ---- */

/* The numbers of a phrase that stands in the tables above; {what} and {briefly} are the caller's.
 */
static void fill_told(char *text, size_t size, const struct setup_difference *difference,
                      const char *phrase, bool screen, const char *what)
{
    const struct amounts amounts = amounts_of(difference, 1, screen);
    bool plus = screen && !amounts.told;
    char by[64], change[64], low[64], high[64], middle[64], briefly[SAY_SIZE];
    say_whole(by, sizeof by, fabs(amounts.value));
    say_whole(middle, sizeof middle, amounts.value);
    say_signed(change, sizeof change, amounts.value, 0);
    (plus ? say_signed : say_number)(low, sizeof low, amounts.low, 0);
    (plus ? say_signed : say_number)(high, sizeof high, amounts.high, 0);
    say_advice_briefly(briefly, sizeof briefly, difference, true);
    const struct phrase_value values[] = {
        {"by", by},     {"change", change}, {"value", middle},    {"low", low},
        {"high", high}, {"what", what},     {"briefly", briefly}, {NULL, NULL}};
    phrase_fill(text, size, T_(phrase), values);
}

/* Nothing can be compared: why, how much it is as it stands, and what to do where no reason says
 * so. */
static const char *plain_not_comparable(const struct setup_difference *difference, bool because,
                                        bool advised)
{
    bool stands = say_has_value(difference); /* with its interval, or not at all */
    return because && stands ? N_("not comparable: {what}; {value} ({low} to {high}) as it stands")
           : because         ? N_("not comparable: {what}")
           : advised && stands
               ? N_("not comparable; {value} ({low} to {high}) as it stands; {what}")
           : advised ? N_("not comparable; {what}")
           : stands  ? N_("not comparable; {value} ({low} to {high}) as it stands")
                     : N_("not comparable");
}

static void say_plain(char *text, size_t size, const struct setup_difference *difference)
{
    char what[SAY_SIZE];
    const char *phrase = "";
    say_reason(what, sizeof what, difference);
    bool because = what[0] != '\0';
    switch (difference->verdict) {
    case VERDICT_NONE:
        break;
    case VERDICT_NOT_COMPARABLE:
        if (!because && difference->advice == ADVICE_MORE_HOLDS) {
            say_advice_briefly(what, sizeof what, difference, false);
        } else if (!because) {
            say_advice(what, sizeof what, difference->advice, difference->advice_holds);
        }
        phrase = plain_not_comparable(difference, because, what[0] != '\0');
        break;
    case VERDICT_LESS_THAN_MATTERS:
    case VERDICT_NO_DIFFERENCE:
        phrase = N_("no difference that matters");
        break;
    case VERDICT_LOWER:
    case VERDICT_HIGHER:
        phrase = within[difference->verdict][difference->has_interval ? 1 : 0][0][0];
        break;
    case VERDICT_CANNOT_TELL:
        phrase = difference->difference < 0 ? N_("likely {by} mm lower, but that may be chance")
                                            : N_("likely {by} mm higher, but that may be chance");
        break;
    }
    fill_told(text, size, difference, phrase, false, what);
}

void say_difference_within(char *text, size_t size, const struct setup_difference *difference,
                           int width)
{
    char words[2 * SAY_SIZE], what[SAY_SIZE];
    bool compared = difference->verdict != VERDICT_NOT_COMPARABLE;
    if (compared) {
        say_advice_briefly(what, sizeof what, difference, false);
    } else {
        say_reason(what, sizeof what, difference);
    }
    bool beside = what[0] != '\0' && (!compared || difference->verdict == VERDICT_CANNOT_TELL);
    for (int i = 0; i < WITHIN; i++) {
        const char *phrase =
            within[difference->verdict][difference->has_interval ? 1 : 0][beside ? 1 : 0][i];
        fill_told(words, sizeof words, difference, phrase, true, what);
        shaped(text, size, difference, words);
        if (text_width(text) <= width) {
            return;
        }
    }
}

void say_difference(char *text, size_t size, const struct setup_difference *difference,
                    enum say_length length, const char *channel)
{
    char words[2 * SAY_SIZE];
    switch (length) {
    case SAY_LONG:
        fill(text, size, difference, verdicts[difference->verdict].report, channel, false, false);
        return;
    case SAY_PAGE:
        fill(words, sizeof words, difference, verdicts[difference->verdict].page, NULL, true,
             false);
        shaped(text, size, difference, words);
        return;
    case SAY_PLAIN:
        say_plain(text, size, difference);
        return;
    }
}
