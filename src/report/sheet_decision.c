/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet's first glance: what to ride, what it did, what it costs. */
#include "analysis/far_level.h"
#include "analysis/hold_use.h"
#include "base/language.h"
#include "base/text.h"
#include "report/digest.h"
#include "report/sheet.h"
#include "say/decision.h"
#include "say/setup.h"

#include <math.h>

#define LIST_SIZE (4 * SAY_SIZE)
#define CHANNELS_TOLD 3 /* in the largest letters */

/* A hold or a run of this setup counts; -1: of any. */
static bool is_measured(const struct report_input *input, int setup)
{
    const struct session_record *record = input->record;
    for (int hold = 0; hold < record->hold_count; hold++) {
        int of = record->build[record->hold[hold].build].setup;
        if (input->analysis->hold[hold].counts && (setup < 0 || of == setup)) {
            return true;
        }
    }
    for (int run = 0; run < record->run_count; run++) {
        if (setup < 0 || record->run[run].setup == setup) {
            return true;
        }
    }
    return false;
}

static bool passes_limit(const struct report_input *input, int setup)
{
    char passed[LIST_SIZE];
    digest_limits_passed(input, setup, passed, sizeof passed);
    return passed[0] != '\0';
}

static enum decision decision_of(const struct report_input *input, int chosen)
{
    struct setup_digest digest;
    char where[SAY_SIZE];
    if (chosen < 0) {
        return is_measured(input, -1) ? DECISION_NONE : DECISION_NOTHING;
    }
    digest_setup(input, chosen, &digest);
    if (setup_sight_failed(input->record, chosen)) {
        return DECISION_FAILED;
    }
    if (passes_limit(input, chosen)) {
        return DECISION_LIMIT;
    }
    if (digest_numb_text(&digest, false, where, sizeof where)) {
        return DECISION_NUMB;
    }
    if (digest.value[RATING_SEES_AHEAD] >= (double)SEES_STRAINED) {
        return DECISION_STRAINED;
    }
    return !is_measured(input, chosen)     ? DECISION_UNMEASURED
           : chosen == digest_found(input) ? DECISION_STAY
                                           : DECISION_RIDE;
}

bool sheet_may_be_ridden(const struct report_input *input)
{
    int chosen = digest_chosen(input);
    enum decision decision = decision_of(input, chosen);
    return chosen >= 0 && decision != DECISION_FAILED && decision != DECISION_LIMIT &&
           decision != DECISION_NUMB && decision != DECISION_UNMEASURED;
}

/* Its number as the rider is told it: 0 for the bike as it came. One that came with an earlier
 * session's setups is not the first that the rider was on, and has its number. */
static int told_number(const struct report_input *input, int setup)
{
    return setup == 0 && digest_found(input) == 0 ? 0 : input->record->setup[setup].number;
}

/* What to ride as long as the chosen one is not to be. The bike as it came needs no measurement for
 * that. */
static void meanwhile_words(const struct report_input *input, int chosen, enum decision decision,
                            char *text, size_t size)
{
    int found = digest_found(input);
    enum decision of_found = decision_of(input, found);
    bool fit = of_found == DECISION_UNMEASURED || (of_found == DECISION_STAY && found != chosen);
    say_meanwhile(text, size, fit ? told_number(input, found) : -1, decision == DECISION_STRAINED);
}

static bool is_moved(const struct analysis *analysis, int channel, int chosen)
{
    enum verdict verdict = analysis_difference(analysis, channel, chosen)->verdict;
    return analysis->body[channel] && (verdict == VERDICT_LOWER || verdict == VERDICT_HIGHER);
}

/* Where many were moved, those that were moved most. */
static bool is_told(const struct analysis *analysis, int channel, int chosen)
{
    double by = fabs(analysis_difference(analysis, channel, chosen)->difference);
    int before = 0;
    for (int other = 0; other < analysis->channel_count; other++) {
        double more = fabs(analysis_difference(analysis, other, chosen)->difference);
        before +=
            is_moved(analysis, other, chosen) && (more > by || (other < channel && more >= by));
    }
    return is_moved(analysis, channel, chosen) && before < CHANNELS_TOLD;
}

/* What it did to the heights, of all channels of the body together. */
static void did_words(const struct report_input *input, int chosen, char *text, size_t size)
{
    const struct analysis *analysis = input->analysis;
    char list[LIST_SIZE] = "";
    size_t used = 0;
    int told = 0, too_little = 0, cannot_tell = 0;
    for (int channel = 0; channel < analysis->channel_count; channel++) {
        const struct setup_difference *one = analysis_difference(analysis, channel, chosen);
        char words[SAY_SIZE];
        if (!analysis->body[channel]) {
            continue;
        }
        too_little +=
            one->verdict == VERDICT_NO_DIFFERENCE || one->verdict == VERDICT_LESS_THAN_MATTERS ? 1
                                                                                               : 0;
        cannot_tell += one->verdict == VERDICT_CANNOT_TELL ? 1 : 0;
        if (is_told(analysis, channel, chosen)) {
            told++;
            say_moved_by(words, sizeof words, say_sensor(analysis->channel_name[channel]),
                         one->difference);
            text_append(list, sizeof list, &used, "%s%s", used > 0 ? ", " : "", words);
        }
    }
    int baseline = input->record->settings.baseline_setup;
    int setup = session_record_setup(input->record, baseline);
    say_did(text, size,
            told > 0          ? DID_CHANGE
            : cannot_tell > 0 ? DID_CANNOT_TELL
            : too_little > 0  ? DID_TOO_LITTLE
                              : DID_NOT_COMPARE,
            setup >= 0 ? told_number(input, setup) : baseline, list);
}

static bool is_worse(int item, double now, double before)
{
    const struct rating_field *field = &rating_fields[item];
    if (item == RATING_COULD_STAY) {
        return now < before;
    }
    return field->kind == RATING_SCORE && now > before;
}

/* What was rated worse than on the setup that is compared with. */
static void cost_words(const struct report_input *input, int chosen, char *text, size_t size)
{
    struct setup_digest now, before;
    char list[LIST_SIZE] = "", said[LIST_SIZE] = "";
    size_t used = 0, told = 0;
    int compared = 0, rated = 0;
    digest_setup(input, chosen, &now);
    digest_setup(input, session_record_baseline(input->record), &before);
    for (int item = 0; item < RATING_ITEMS; item++) {
        const struct rating_field *field = &rating_fields[item];
        char words[SAY_SIZE];
        if (field->kind == RATING_WORD || isnan(now.value[item])) {
            continue;
        }
        rated++;
        if (now.value[item] > 0 && field->kind == RATING_SCORE) {
            digest_item_text(input, &now, item, words, sizeof words);
            text_append(said, sizeof said, &told, "%s%s %s", told > 0 ? ", " : "", T_(field->words),
                        words);
        }
        if (isnan(before.value[item])) {
            continue;
        }
        compared++;
        if (is_worse(item, now.value[item], before.value[item])) {
            say_instead(words, sizeof words, T_(field->words), now.value[item], before.value[item],
                        field->unit);
            text_append(list, sizeof list, &used, "%s%s", used > 0 ? ", " : "", words);
        }
    }
    say_cost(text, size,
             rated == 0                  ? COST_NOT_ASKED
             : used > 0                  ? COST_SOME
             : compared > 0 || told == 0 ? COST_NONE
                                         : COST_RATED,
             used > 0 ? list : said);
}

bool sheet_decision(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    const struct session_record *record = input->record;
    int chosen = digest_chosen(input);
    enum decision decision = decision_of(input, chosen);
    char text[LIST_SIZE];
    (void)problem;
    say_decision(text, sizeof text, decision, chosen >= 0 ? record->setup[chosen].number : 0,
                 chosen >= 0 ? say_intent(record->setup[chosen].intent) : "");
    paper_decision(paper, "%s", text);
    if (decision >= DECISION_UNMEASURED) {
        meanwhile_words(input, chosen, decision, text, sizeof text);
        paper_lead(paper, "%s", text);
    }
    bool told = decision == DECISION_RIDE || decision == DECISION_STRAINED;
    if (told && record->setup[chosen].number != record->settings.baseline_setup) {
        did_words(input, chosen, text, sizeof text);
        paper_lead(paper, "%s", text);
        cost_words(input, chosen, text, sizeof text);
        paper_lead(paper, "%s", text);
    }
    return true;
}

/* The level that is furthest from being the rider's: whoever goes by the heights goes by it, too.
 */
static void far_level_words(struct paper *paper, const struct report_input *input)
{
    const struct analysis *analysis = input->analysis;
    struct far_level far;
    double furthest_mm = 0.0;
    int of = -1;
    for (int channel = 0; channel < analysis->channel_count; channel++) {
        for (int hold = 0; hold < input->record->hold_count; hold++) {
            if (far_level_of(input->record, analysis, hold, channel, &far) &&
                fabs(far.by_mm) > furthest_mm) {
                furthest_mm = fabs(far.by_mm);
                of = channel;
            }
        }
    }
    if (of >= 0) {
        char by[24];
        say_number(by, sizeof by, furthest_mm, 0);
        paper_lead(paper,
                   T_("%s: from one hold to the next the reading jumped by %s mm, which may "
                      "not have been you. Have it looked at before you go by these heights."),
                   say_sensor(analysis->channel_name[of]), by);
    }
}

/* The furthest that what tells a sensor's place is apart on this setup, over the builds that were
 * held on; 0: nothing is. */
static double tie_apart_mm(const struct report_input *input, int setup, int channel)
{
    const struct session_record *record = input->record;
    double apart_mm = 0.0;
    for (int hold = 0; hold < record->hold_count; hold++) {
        const int build = record->hold[hold].build;
        const struct tie *tie = &input->analysis->tie[build][channel];
        if (record->build[build].setup == setup && tie->alarm &&
            hold_use_of(record, input->analysis, hold, channel) == HOLD_USED) {
            apart_mm = fmax(apart_mm, tie->found.apart_mm);
        }
    }
    return apart_mm;
}

/* Heights that may be off because what was read and what the parts say, or two readings, disagree.
 */
static void tie_words(struct paper *paper, const struct report_input *input)
{
    const struct analysis *analysis = input->analysis;
    int number[SETUPS_MAX], count = 0;
    bool of[CHANNELS_MAX] = {false};
    char setups[SAY_SIZE], sensors[SAY_SIZE] = "", apart[64];
    double furthest_mm = 0.0;
    size_t used = 0;
    for (int setup = 0; setup < input->record->setup_count; setup++) {
        double most_mm = 0.0;
        for (int channel = 0; channel < analysis->channel_count; channel++) {
            double apart_mm = analysis->body[channel] ? tie_apart_mm(input, setup, channel) : 0.0;
            of[channel] = of[channel] || apart_mm > 0.0;
            most_mm = fmax(most_mm, apart_mm);
        }
        if (most_mm > 0.0) {
            number[count++] = input->record->setup[setup].number;
            furthest_mm = fmax(furthest_mm, most_mm);
        }
    }
    if (count == 0) {
        return;
    }
    for (int channel = 0; channel < analysis->channel_count; channel++) {
        if (of[channel]) {
            text_append(sensors, sizeof sensors, &used, "%s%s", used > 0 ? ", " : "",
                        say_sensor(analysis->channel_name[channel]));
        }
    }
    say_numbers(setups, sizeof setups, number, count);
    say_number(apart, sizeof apart, furthest_mm, 0);
    paper_lead(paper,
               P_("Setup %s, %s: where the sensor sat is told in two ways, %s mm apart, so these "
                  "heights may be off by as much. Have it looked at before you go by them.",
                  "Setups %s, %s: where the sensor sat is told in two ways, up to %s mm apart, so "
                  "these heights may be off by as much. Have it looked at before you go by them.",
                  count),
               setups, sensors, apart);
}

/* Of the setup chosen. */
static void chosen_words(struct paper *paper, const struct report_input *input, int chosen)
{
    struct setup_digest digest;
    char text[SAY_SIZE], passed[LIST_SIZE];
    digest_setup(input, chosen, &digest);
    digest_limits_passed(input, chosen, passed, sizeof passed);
    if (passed[0] != '\0') {
        paper_lead(paper,
                   T_("NOT TO BE RIDDEN LIKE THIS: it passes a limit of the makers' papers. %s."),
                   passed);
    }
    if (digest_numb_text(&digest, true, text, sizeof text)) {
        char words[2 * SAY_SIZE];
        say_numb(words, sizeof words, SAY_NUMB_RIDER, text);
        paper_lead(paper, "%s", words);
    }
    enum decision decision = decision_of(input, chosen);
    if (decision != DECISION_FAILED && decision != DECISION_STRAINED &&
        digest.value[RATING_SEES_AHEAD] >= (double)SEES_STRAINED) {
        paper_lead(paper, "%s", T_(say_strained));
    }
}

bool sheet_attention(struct paper *paper, const struct report_input *input, struct problem *problem)
{
    int chosen = digest_chosen(input);
    (void)problem;
    if (chosen >= 0) {
        chosen_words(paper, input, chosen);
    }
    far_level_words(paper, input); /* all setups' heights are on the sheet */
    tie_words(paper, input);
    return true;
}
