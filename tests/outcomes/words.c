/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What is said of made-up records, in each length. */
#include "made_records.h"

#include "base/numbers.h"
#include "say/difference.h"
#include "say/event.h"
#include "say/hold_quality.h"
#include "say/holds.h"
#include "say/insight_words.h"
#include "say/repeatability.h"
#include "say/say.h"
#include "say/setup.h"
#include "say/slip.h"
#include "support/outcome.h"

#include <string.h>

#define RECORDS 12

static struct made_records made;

static void keep(void *context, const char *sentence)
{
    outcome_text(context, sentence);
}

static void pin_differences(const struct session_record *record, const struct analysis *analysis)
{
    char text[2000];
    for (int s = 0; s < record->setup_count; s++) {
        for (int c = 0; c < 2; c++) {
            const struct setup_difference *difference = analysis_difference(analysis, c, s);
            const struct setup_difference *share = &analysis->guided_in_band[c].difference[s];
            for (int length = SAY_LONG; length <= SAY_PLAIN; length++) {
                say_difference(text, sizeof text, difference, (enum say_length)length,
                               length == SAY_LONG ? "head" : NULL);
                outcome_text("difference", text);
            }
            for (int width = 8; width < 44; width += 5) {
                say_difference_within(text, sizeof text, difference, width);
                outcome_text("within", text);
            }
            say_share_difference(text, sizeof text, share);
            outcome_text("share", text);
            say_reason(text, sizeof text, difference);
            outcome_text("reason", text);
            outcome_number("has_value", say_has_value(difference));
        }
        outcome_text("complaint", say_complaint(setup_complaint(record, s)));
    }
}

static void pin_ties(const struct session_record *record, const struct analysis *analysis)
{
    char text[1000];
    for (int b = 0; b < record->build_count; b++) {
        const struct tie *tie = &analysis->tie[b][b % 2];
        say_tie(text, sizeof text, tie, "head");
        outcome_text("tie", text);
        say_tie_finding(text, sizeof text, tie, "head");
        outcome_text("finding", text);
        say_tie_level(text, sizeof text, tie, &record->setup[0].bike);
        outcome_text("level", text);
        say_tie_of_sensor(text, sizeof text, tie);
        outcome_text("sensor", text);
    }
}

static void pin_holds(const struct session_record *record, struct analysis *analysis)
{
    char text[SAY_QUALITY_SIZE];
    for (int h = 0; h < record->hold_count; h++) {
        struct hold_result *result = &analysis->hold[h];
        struct hold_summary *summary = &result->summary[h % 2];
        result->lost = (uint64_t)(h % 3);
        result->link_gap = h % 5 == 4;
        summary->longest_gap_s = 0.5 * (h % 4);
        summary->cut_start_s = h % 3 == 0 ? 4.5 : 0.0;
        summary->outliers = (size_t)(h % 6 == 5 ? 90 : 3);
        summary->valid = h % 7 == 6 ? 1200 : 1490;
        summary->valid_share = h % 7 == 6 ? 0.8 : 0.99;
        summary->drifting = h % 8 == 3;
        summary->creep_flagged = h % 8 == 3;
        result->health.known = h % 2 == 0;
        result->health.channel[0].stuck = h % 10 == 2;
        result->health.channel[0].blocked = h % 10 == 4;
        result->health.channel[1].two_levels = h % 10 == 6;
        result->health.channel[1].missing = (uint64_t)(h % 4 == 2 ? 200 : 0);
        result->health.channel[1].readings = 1500;
        say_hold_quality(text, record, analysis, h);
        outcome_text("quality", text);
        say_hold_ended(text, sizeof text, &record->hold[h], h % 4 != 3, h % 5 == 2, result);
        outcome_text("ended", text);
        say_hold_findings(text, sizeof text, hold_findings_of(&record->hold[h], result),
                          SAY_HOLD_PAGE);
        outcome_text("found", text);
    }
    for (int c = 0; c < 2; c++) {
        say_channel_quality(text, sizeof text, record, analysis, c);
        outcome_text("channel", text);
    }
}

static void pin_insight(const struct session_record *record, const struct analysis *analysis)
{
    char text[1000];
    struct bike_limits limits;
    bike_limits_clear(&limits);
    limits.least[BIKE_SPACERS] = 0.0;
    limits.least[BIKE_PAD_RISE] = 35.0;
    insight_criteria(analysis, text, sizeof text);
    outcome_text("criteria", text);
    outcome_number("uneven", insight_uneven(record, analysis));
    insight_say_standing(record, analysis, keep, "standing");
    insight_say_steps(analysis, keep, "steps");
    insight_say_too_many(&analysis->insight, keep, "too_many");
    for (int s = -1; s < record->setup_count; s++) {
        insight_say_next(record, analysis, s, &limits, keep, "next");
        if (s >= 0) {
            insight_leads(analysis, s, text, sizeof text);
            outcome_text("leads", text);
        }
    }
    for (int c = 0; c < 2; c++) {
        for (int f = 0; f < analysis->insight.factor_count; f++) {
            insight_step_words(text, sizeof text, &analysis->insight.steps[c], f);
            outcome_text("step", text);
        }
        say_own_spread(text, sizeof text, record, &analysis->free_heights[c]);
        outcome_text("spread", text);
        say_spread_unseen(text, sizeof text, &analysis->free_heights[c]);
        outcome_text("unseen", text);
        say_learnt(text, sizeof text, record, c, &analysis->free_heights[c]);
        outcome_text("learnt", text);
        say_step_open(text, sizeof text, analysis, c);
        outcome_text("step_open", text);
    }
    say_slip(text, sizeof text, record, analysis);
    outcome_text("slip", text);
}

static void pin_events(const struct session_record *record, const struct analysis *analysis)
{
    static const struct {
        enum effect_kind kind;
        const char *name;
    } kinds[] = {{EFFECT_RIDER, "rider"},   {EFFECT_SETUP, "setup"},
                 {EFFECT_BUILD, "build"},   {EFFECT_HOLD, "hold"},
                 {EFFECT_RATING, "rating"}, {EFFECT_TIE_READING, "reading"}};
    for (size_t k = 0; k < sizeof kinds / sizeof kinds[0]; k++) {
        int count = kinds[k].kind == EFFECT_RIDER    ? 1
                    : kinds[k].kind == EFFECT_SETUP  ? record->setup_count
                    : kinds[k].kind == EFFECT_BUILD  ? record->build_count
                    : kinds[k].kind == EFFECT_HOLD   ? record->hold_count
                    : kinds[k].kind == EFFECT_RATING ? record->rating_count
                                                     : record->tie_reading_count;
        for (int i = 0; i < count; i++) {
            struct event event = {.at_s = 0.0};
            say_event(record, analysis, kinds[k].kind, i, &event);
            outcome_text(kinds[k].name, event.what);
            outcome_text(kinds[k].name, event.text);
            outcome_number(kinds[k].name, event.left_out);
            say_event_taken_back(&event);
            outcome_text(kinds[k].name, event.text);
        }
    }
}

START_TEST(said)
{
    outcome_begin("say-words");
    for (int n = 0; n < RECORDS; n++) {
        memset(&made, 0, sizeof made);
        made_records(&made, n);
        outcome_of("record%d", n);
        pin_differences(&made.record, made.analysis);
        pin_ties(&made.record, made.analysis);
        pin_holds(&made.record, made.analysis);
        pin_insight(&made.record, made.analysis);
        pin_events(&made.record, made.analysis);
        made_records_end(&made);
    }
    outcome_end();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("outcome_words");
    TCase *tests = tcase_create("outcome_words");
    tcase_set_timeout(tests, 60);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, said);
    return test_main(suite);
}
