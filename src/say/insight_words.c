/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The insight in sentences (say/insight_words.h). */
#include "say/insight_words.h"

#include "analysis/analysis.h"
#include "base/numbers.h"
#include "base/text.h"
#include "measure/rules.h"
#include "say/say.h"
#include "say/setup.h"

#include <stdarg.h>
#include <stdio.h>

/* A fit this much worse than the heights' own uncertainty is told. */

struct teller {
    insight_say *say;
    void *context;
};

static void tell(const struct teller *teller, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
static void tell(const struct teller *teller, const char *format, ...)
{
    char sentence[INSIGHT_SENTENCE_SIZE];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(sentence, sizeof sentence, format, arguments);
    va_end(arguments);
    teller->say(teller->context, sentence);
}

/* ---- everything at once ---- */

static const char *const criterion_words[TRADEOFF_CRITERIA] = {
    [TRADEOFF_STEADINESS] = "steadiness", [TRADEOFF_CREEP] = "creep",
    [TRADEOFF_IN_BAND] = "time in band",  [TRADEOFF_DISCOMFORT] = "the worst discomfort",
    [TRADEOFF_EFFORT] = "effort",
};

void insight_criteria(const struct analysis *analysis, char *text, size_t size)
{
    const struct insight *insight = &analysis->insight;
    size_t used = 0;
    text_copy(text, size, "");
    for (int c = 0, bodies = 0; c < analysis->channel_count && bodies < 2; c++) {
        bool shown = analysis->body[c] &&
                     insight->criterion[bodies == 0 ? TRADEOFF_HEIGHT : TRADEOFF_SECOND_HEIGHT];
        if (shown) {
            text_append(text, size, &used, "%s%s", used == 0 ? "height of " : " and ",
                        analysis->channel_name[c]);
        }
        bodies += analysis->body[c] ? 1 : 0;
    }
    for (int k = TRADEOFF_STEADINESS; k < TRADEOFF_CRITERIA; k++) {
        if (insight->criterion[k]) {
            text_append(text, size, &used, "%s%s", used == 0 ? "" : ", ", criterion_words[k]);
        }
    }
}

static bool has_any(const struct tradeoff_setup *setup)
{
    for (int k = 0; k < TRADEOFF_CRITERIA; k++) {
        if (setup->has[k]) {
            return true;
        }
    }
    return false;
}

bool insight_uneven(const struct session_record *record, const struct analysis *analysis)
{
    const struct insight *insight = &analysis->insight;
    for (int s = 0; s < record->setup_count; s++) {
        for (int k = 0; has_any(&insight->value[s]) && k < TRADEOFF_CRITERIA; k++) {
            if (insight->criterion[k] && !insight->value[s].has[k]) {
                return true;
            }
        }
    }
    return false;
}

void insight_leads(const struct analysis *analysis, int setup, char *text, size_t size)
{
    const struct tradeoff_mark *mark = &analysis->insight.mark[setup];
    size_t used = 0;
    text_copy(text, size, "");
    for (int c = 0, bodies = 0; c < analysis->channel_count && bodies < 2; c++) {
        if (analysis->body[c] &&
            mark->leads[bodies == 0 ? TRADEOFF_HEIGHT : TRADEOFF_SECOND_HEIGHT]) {
            text_append(text, size, &used, "%s%s", used == 0 ? "lowest " : ", ",
                        analysis->channel_name[c]);
        }
        bodies += analysis->body[c] ? 1 : 0;
    }
    bool lowest = used > 0, first = true;
    for (int k = TRADEOFF_STEADINESS; k < TRADEOFF_CRITERIA; k++) {
        if (mark->leads[k]) {
            text_append(text, size, &used, "%s%s",
                        !first   ? ", "
                        : lowest ? "; best in "
                                 : "best in ",
                        k == TRADEOFF_DISCOMFORT ? "discomfort" : criterion_words[k]);
            first = false;
        }
    }
}

/* Is there a criterion on which it is known of two setups how well they are known? */
static bool comparable(const struct session_record *record, const struct insight *insight)
{
    for (int k = 0; k < TRADEOFF_DISCOMFORT; k++) {
        int known = 0;
        for (int s = 0; s < record->setup_count; s++) {
            known += insight->value[s].has[k] && isfinite(insight->value[s].se[k]) ? 1 : 0;
        }
        if (known > 1) {
            return true;
        }
    }
    return false;
}

static bool any_leads(const struct session_record *record, const struct insight *insight)
{
    for (int s = 0; s < record->setup_count; s++) {
        for (int k = 0; k < TRADEOFF_CRITERIA; k++) {
            if (insight->mark[s].leads[k]) {
                return true;
            }
        }
    }
    return false;
}

/* All that one setup is shown to beat, in one sentence. */
static void tell_beaten_by(const struct teller *teller, const struct session_record *record,
                           const struct insight *insight, int beater)
{
    int numbers[SETUPS_MAX], count = 0;
    char list[SAY_SIZE];
    for (int s = 0; s < record->setup_count; s++) {
        if (!insight->value[s].sight_failed && !insight->mark[s].stands &&
            insight->mark[s].beaten_by == beater) {
            numbers[count++] = record->setup[s].number;
        }
    }
    if (count > 0) {
        say_list(list, sizeof list, "Setup", "Setups", numbers, count);
        tell(teller, "%s: setup %d is shown to be as good in all of it, and better in some.", list,
             record->setup[beater].number);
    }
}

/* Those no other is shown to beat; one with a complaint never without it. How many there are. */
static int tell_unbeaten(const struct teller *teller, const struct session_record *record,
                         const struct insight *insight)
{
    int numbers[SETUPS_MAX], count = 0, complained = 0;
    char list[SAY_SIZE];
    for (int s = 0; s < record->setup_count; s++) {
        if (insight->mark[s].stands && setup_complaint(record, s) == COMPLAINT_NONE) {
            numbers[count++] = record->setup[s].number;
        }
    }
    if (count > 0) {
        say_list(list, sizeof list, "Setup", "Setups", numbers, count);
        tell(teller, "%s: no other setup is shown to beat %s.", list, count > 1 ? "them" : "it");
    }
    for (int s = 0; s < record->setup_count; s++) {
        enum complaint complaint = setup_complaint(record, s);
        if (insight->mark[s].stands && complaint != COMPLAINT_NONE) {
            complained++;
            tell(teller, "Setup %d: no other setup is shown to beat it, but %s.",
                 record->setup[s].number, say_complaint(complaint));
        }
    }
    return count + complained;
}

void insight_say_standing(const struct session_record *record, const struct analysis *analysis,
                          insight_say *say, void *context)
{
    const struct teller teller = {say, context};
    const struct insight *insight = &analysis->insight;
    char list[SAY_SIZE];
    if (insight->tradeoff_setups < 2) {
        return;
    }
    int standing = tell_unbeaten(&teller, record, insight);
    if (standing > 1 && comparable(record, insight) && !any_leads(record, insight)) {
        tell(&teller, "Which of them is best in what is too close to say.");
    }
    for (int s = 0; s < record->setup_count; s++) {
        const struct tradeoff_mark *mark = &insight->mark[s];
        int number = record->setup[s].number;
        if (insight->value[s].sight_failed) {
            tell(&teller, "Setup %d %s", number, say_failed(SAY_FAILED_STANDING));
        } else if (mark->stands) {
            insight_leads(analysis, s, list, sizeof list);
            if (list[0] != '\0') {
                tell(&teller, "Setup %d: %s.", number, list);
            }
        }
    }
    for (int s = 0; s < record->setup_count; s++) {
        tell_beaten_by(&teller, record, insight, s);
    }
}

/* ---- steps per change ---- */

bool insight_steps_known(const struct analysis *analysis)
{
    for (int c = 0; c < analysis->channel_count; c++) {
        if (analysis->body[c] && analysis->insight.steps[c].status == MEASURE_OK) {
            return true;
        }
    }
    return false;
}

bool insight_was_tried(const struct insight *insight, int factor)
{
    return insight->tried_high[factor] > insight->tried_low[factor];
}

const char *insight_per_unit(enum bike_key key)
{
    return text_equal(bike_fields[key].unit, "mm") ? "mm" : "degree";
}

void insight_step_words(char *text, size_t size, const struct steps *steps, int factor)
{
    const struct steps_factor *one = &steps->factor[factor];
    char value[64], half[64];
    if (steps->status != MEASURE_OK) {
        text_copy(text, size, "not known");
    } else if (one->state == STEPS_KNOWN) {
        say_signed(value, sizeof value, one->per_unit, 2);
        say_number(half, sizeof half, one->half_width, 2);
        snprintf(text, size, "%s ±%s", value, half);
    } else {
        text_copy(text, size, one->state == STEPS_NOT_TOLD_APART ? "not told apart" : "-");
    }
}

void insight_say_too_many(const struct insight *insight, insight_say *say, void *context)
{
    const struct teller teller = {say, context};
    if (insight->factors_too_many > 0) {
        tell(&teller,
             "%d parts were changed, more than can be told apart (%d): change fewer at once.",
             insight->factors_too_many, STEPS_FACTORS_MAX);
    }
}

void insight_say_steps(const struct analysis *analysis, insight_say *say, void *context)
{
    const struct teller teller = {say, context};
    const struct insight *insight = &analysis->insight;
    bool apart_said = false;
    char bent[SAY_SIZE] = "";
    size_t bent_used = 0;
    for (int c = 0; c < analysis->channel_count; c++) {
        const struct steps *steps = &insight->steps[c];
        char parts[SAY_SIZE] = "";
        size_t used = 0;
        if (!analysis->body[c] || steps->status != MEASURE_OK) {
            continue;
        }
        for (int k = 0; k < steps->factor_count; k++) {
            if (steps->factor[k].state == STEPS_NOT_TOLD_APART) {
                text_append(parts, sizeof parts, &used, "%s%s", used == 0 ? "" : ", ",
                            bike_fields[insight->factor[k]].words);
            }
        }
        if (steps->change_alone >= 0 && used > 0 && !apart_said) {
            tell(&teller,
                 "Changed together, so that it is not known which of them did it: %s. A setup that "
                 "changes only the %s would tell.",
                 parts, bike_fields[insight->factor[steps->change_alone]].words);
            apart_said = true;
        }
        if (steps->widened > WIDENED_MUCH) {
            text_append(bent, sizeof bent, &bent_used, "%s%s", bent_used > 0 ? ", " : "",
                        analysis->channel_name[c]);
        }
    }
    if (bent_used > 0) {
        tell(&teller, "%s: the heights do not follow a straight line; the limits are wider for it.",
             bent);
    }
}

/* ---- the next setup ---- */

/* 'head -6 mm (-10 to -2), chest not known yet' */
static void forecast_words(const struct analysis *analysis,
                           const struct insight_suggestion *suggestion, char *text, size_t size)
{
    size_t used = 0;
    text_copy(text, size, "");
    for (int c = 0; c < analysis->channel_count; c++) {
        const struct steps_forecast *forecast = &suggestion->forecast[c];
        const char *comma = used == 0 ? "" : ", ";
        char value[64], low[64], high[64];
        if (!analysis->body[c]) {
            continue;
        }
        if (!forecast->possible) {
            text_append(text, size, &used, "%s%s not known yet", comma, analysis->channel_name[c]);
            continue;
        }
        say_signed(value, sizeof value, forecast->height_change_mm, 0);
        say_signed(low, sizeof low, forecast->height_change_mm - forecast->half_width_mm, 0);
        say_signed(high, sizeof high, forecast->height_change_mm + forecast->half_width_mm, 0);
        text_append(text, size, &used, "%s%s %s mm (%s to %s)", comma, analysis->channel_name[c],
                    value, low, high);
    }
}

void insight_say_next(const struct session_record *record, const struct analysis *analysis,
                      int setup, const struct bike_limits *limits, insight_say *say, void *context)
{
    const struct teller teller = {say, context};
    struct insight_suggestion suggestion;
    char from[32], to[32], measure[64], forecast[2 * SAY_SIZE];
    if (setup < 0) {
        return;
    }
    int number = record->setup[setup].number;
    insight_suggest(record, analysis, setup, limits, &suggestion);
    if (suggestion.purpose == STEPS_NOTHING) {
        say_no_suggestion(forecast, sizeof forecast, &suggestion);
        tell(&teller, "No next step is suggested from setup %d: %s.", number, forecast);
        return;
    }
    text_from_double_shortest(from, sizeof from, suggestion.from);
    text_from_double_shortest(to, sizeof to, suggestion.to);
    say_with_unit(measure, sizeof measure, to, bike_fields[suggestion.part].unit);
    forecast_words(analysis, &suggestion, forecast, sizeof forecast);
    tell(&teller, "A suggestion, no more: from setup %d, %s %s to %s. Expected: %s.", number,
         bike_fields[suggestion.part].words, from, measure, forecast);
    tell(&teller,
         "It keeps to the limits entered and to a step beyond what was tried. Comfort, sight "
         "and race rules are not in it.");
}
