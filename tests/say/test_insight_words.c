/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/analysis.h"
#include "base/numbers.h"
#include "say/insight_words.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static struct session_record *record;
static struct analysis *analysis;
static char said[2000];

/* Three setups, numbered 1 to 3, of two channels of the body and one that is none between them. */
static void begin(void)
{
    record = malloc(sizeof *record);
    analysis = calloc(1, sizeof *analysis);
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    record->setup_count = 3;
    analysis->channel_count = 3;
    for (int s = 0; s < 3; s++) {
        record->setup[s].number = s + 1;
        strcpy(analysis->channel_name[s], s == 0 ? "head" : s == 1 ? "power" : "chest");
        analysis->body[s] = s != 1;
        analysis->insight.mark[s].beaten_by = -1;
        analysis->insight.steps[s].status = MEASURE_TOO_FEW;
        analysis->insight.steps[s].change_alone = -1;
    }
}

static void end(void)
{
    free(record);
    free(analysis);
}

static void hear(void *context, const char *sentence)
{
    (void)context;
    strcat(said, sentence);
    strcat(said, "|");
}

START_TEST(all_that_setups_are_weighed_by_is_named)
{
    char text[256];
    insight_criteria(analysis, text, sizeof text);
    ck_assert_str_eq(text, "");
    analysis->insight.criterion[TRADEOFF_CREEP] = true;
    insight_criteria(analysis, text, sizeof text);
    ck_assert_str_eq(text, "creep");
    for (int k = 0; k < TRADEOFF_CRITERIA; k++) {
        analysis->insight.criterion[k] = true;
    }
    insight_criteria(analysis, text, sizeof text);
    ck_assert_str_eq(text, "height of head and chest, steadiness, creep, time in band, the worst "
                           "discomfort, effort");
    analysis->body[2] = false;
    analysis->body[3] = true; /* of no sensor that is there */
    strcpy(analysis->channel_name[3], "hips");
    insight_criteria(analysis, text, sizeof text);
    ck_assert_ptr_eq(strstr(text, "height of head, steadiness"), text);
}
END_TEST

START_TEST(what_a_setup_is_best_at)
{
    char text[256];
    bool *leads = analysis->insight.mark[1].leads;
    insight_leads(analysis, 1, text, sizeof text);
    ck_assert_str_eq(text, "");
    leads[TRADEOFF_EFFORT] = leads[TRADEOFF_DISCOMFORT] = true;
    insight_leads(analysis, 1, text, sizeof text);
    ck_assert_str_eq(text, "best in discomfort, effort");
    leads[TRADEOFF_HEIGHT] = leads[TRADEOFF_SECOND_HEIGHT] = true;
    insight_leads(analysis, 1, text, sizeof text);
    ck_assert_str_eq(text, "lowest head, chest; best in discomfort, effort");
    analysis->body[1] = true; /* of three the first two are weighed by */
    insight_leads(analysis, 1, text, sizeof text);
    ck_assert_str_eq(text, "lowest head, power; best in discomfort, effort");
}
END_TEST

/* A setup without any value is not behind one that has some; one that lacks what another has is. */
START_TEST(uneven_is_what_one_has_and_another_lacks)
{
    struct insight *insight = &analysis->insight;
    ck_assert(!insight_uneven(record, analysis));
    insight->criterion[TRADEOFF_HEIGHT] = insight->criterion[TRADEOFF_CREEP] = true;
    insight->value[0].has[TRADEOFF_HEIGHT] = insight->value[0].has[TRADEOFF_CREEP] = true;
    ck_assert(!insight_uneven(record, analysis));
    insight->value[2].has[TRADEOFF_HEIGHT] = true;
    ck_assert(insight_uneven(record, analysis));
}
END_TEST

static void standing_is(const char *sentences)
{
    said[0] = '\0';
    insight_say_standing(record, analysis, hear, NULL);
    ck_assert_str_eq(said, sentences);
}

START_TEST(which_setups_no_other_beats)
{
    struct insight *insight = &analysis->insight;
    insight->tradeoff_setups = 1;
    standing_is("");
    insight->tradeoff_setups = 3;
    insight->mark[0].stands = true;
    insight->mark[1].beaten_by = insight->mark[2].beaten_by = 0;
    standing_is(
        "Setup 1: no other setup is shown to beat it.|"
        "Setups 2 and 3: setup 1 is shown to be as good in all of it, and better in some.|");
    insight->mark[1].stands = true;
    standing_is("Setups 1 and 2: no other setup is shown to beat them.|"
                "Setup 3: setup 1 is shown to be as good in all of it, and better in some.|");
    for (int s = 0; s < 2; s++) { /* how well it is known of two of them: they can be compared */
        insight->value[s].has[TRADEOFF_HEIGHT] = true;
        insight->value[s].se[TRADEOFF_HEIGHT] = s == 0 ? 1.0 : (double)NAN;
    }
    standing_is("Setups 1 and 2: no other setup is shown to beat them.|"
                "Setup 3: setup 1 is shown to be as good in all of it, and better in some.|");
    insight->value[1].se[TRADEOFF_HEIGHT] = 1.0;
    standing_is("Setups 1 and 2: no other setup is shown to beat them.|"
                "Which of them is best in what is too close to say.|"
                "Setup 3: setup 1 is shown to be as good in all of it, and better in some.|");
    insight->mark[1].stands = false; /* one alone is best in all */
    standing_is(
        "Setup 1: no other setup is shown to beat it.|"
        "Setups 2 and 3: setup 1 is shown to be as good in all of it, and better in some.|");
    insight->mark[1].stands = true;
    insight->mark[1].leads[TRADEOFF_HEIGHT] = true;
    insight->value[2].sight_failed = true; /* is told as that, and beaten by none */
    said[0] = '\0';
    insight_say_standing(record, analysis, hear, NULL);
    ck_assert_ptr_nonnull(strstr(said, "|Setup 2: lowest head.|Setup 3 "));
    ck_assert_ptr_null(strstr(said, "too close"));
    ck_assert_ptr_null(strstr(said, "Setup 3: setup 1"));
}
END_TEST

START_TEST(one_with_a_complaint_stands_with_it)
{
    analysis->insight.tradeoff_setups = 2;
    analysis->insight.mark[0].stands = true;
    record->rating_count = 1;
    for (int item = 0; item < RATING_ITEMS; item++) {
        record->rating[0].value[item] = (double)NAN;
    }
    record->rating[0].setup = 0;
    record->rating[0].value[RATING_SEES_AHEAD] = SEES_STRAINED;
    standing_is("Setup 1: no other setup is shown to beat it, but seeing ahead was a strain on "
                "it.|");
    analysis->insight.mark[2].stands = true; /* with another one they are two */
    for (int s = 0; s < 3; s += 2) {
        analysis->insight.value[s].has[TRADEOFF_CREEP] = true;
        analysis->insight.value[s].se[TRADEOFF_CREEP] = 0.1;
    }
    standing_is("Setup 3: no other setup is shown to beat it.|"
                "Setup 1: no other setup is shown to beat it, but seeing ahead was a strain on it.|"
                "Which of them is best in what is too close to say.|");
}
END_TEST

/* How far the heights followed a part, or why that is not known. */
START_TEST(a_step_is_known_or_says_why_not)
{
    struct steps *steps = &analysis->insight.steps[0];
    char text[64];
    insight_step_words(text, sizeof text, steps, 0);
    ck_assert_str_eq(text, "not known");
    analysis->body[3] = true; /* of no sensor that is there */
    ck_assert_int_eq(analysis->insight.steps[3].status, MEASURE_OK);
    ck_assert(!insight_steps_known(analysis));
    analysis->insight.steps[1].status = MEASURE_OK; /* of no body */
    ck_assert(!insight_steps_known(analysis));
    steps->status = MEASURE_OK;
    ck_assert(insight_steps_known(analysis));
    steps->factor[0] = (struct steps_factor){STEPS_KNOWN, 0.516, 0.312};
    steps->factor[1].state = STEPS_NOT_TOLD_APART;
    steps->factor[2].state = STEPS_NOT_CHANGED;
    insight_step_words(text, sizeof text, steps, 0);
    ck_assert_str_eq(text, "+0.52 ±0.31");
    insight_step_words(text, sizeof text, steps, 1);
    ck_assert_str_eq(text, "not told apart");
    insight_step_words(text, sizeof text, steps, 2);
    ck_assert_str_eq(text, "-");
    ck_assert_str_eq(insight_per_unit(BIKE_SPACERS), "mm");
    ck_assert_str_eq(insight_per_unit(BIKE_PAD_TILT), "degree");
}
END_TEST

/* What changed together is said once, not of each channel; a poor fit of each. */
START_TEST(what_changed_together_is_said_once)
{
    struct insight *insight = &analysis->insight;
    insight->factor[0] = BIKE_SPACERS;
    insight->factor[1] = BIKE_PAD_RISE;
    insight->factor_count = 2;
    for (int c = 0; c < 3; c++) {
        insight->steps[c].status = MEASURE_OK;
        insight->steps[c].factor_count = 2;
        insight->steps[c].factor[0].state = insight->steps[c].factor[1].state =
            STEPS_NOT_TOLD_APART;
        insight->steps[c].change_alone = 1;
        insight->steps[c].widened = 9.0;
    }
    said[0] = '\0';
    insight_say_steps(analysis, hear, NULL);
    ck_assert_str_eq(said, "Changed together, so that it is not known which of them did it: "
                           "spacers, pad rise. A setup that changes only the pad rise would tell.|"
                           "head, chest: the heights do not follow a straight line; the limits are "
                           "wider for it.|");
    for (int c = 0; c < 3; c++) {
        insight->steps[c].change_alone = 0;
    }
    said[0] = '\0';
    insight_say_steps(analysis, hear, NULL);
    ck_assert_ptr_nonnull(strstr(said, "A setup that changes only the spacers would tell.|"));
    insight->steps[0].widened = 1.45;
    insight->steps[2].widened = 1.55;
    said[0] = '\0';
    insight_say_steps(analysis, hear, NULL);
    ck_assert_msg(strstr(said, "|chest: the heights do not follow") != NULL, "%s", said);
    said[0] = '\0';
    insight->steps[2].widened = 1.0;
    insight_say_steps(analysis, hear, NULL);
    ck_assert_msg(strstr(said, "do not follow") == NULL, "%s", said);
    said[0] = '\0';
    insight_say_too_many(insight, hear, NULL);
    ck_assert_str_eq(said, "");
    insight->factors_too_many = 12;
    insight_say_too_many(insight, hear, NULL);
    ck_assert_ptr_eq(strstr(said, "12 parts were changed, more than can be told apart ("), said);
}
END_TEST

/* A page is as long as it is: a sentence that does not fit is left out whole. */
START_TEST(a_page_has_the_steps_that_were_tried)
{
    static struct insight_page page;
    struct insight *insight = &analysis->insight;
    insight->factor[0] = BIKE_SPACERS;
    insight->factor[1] = BIKE_PAD_RISE;
    insight->factor_count = 2;
    insight->tried_low[0] = 5.0;
    insight->tried_high[0] = 25.0;
    insight_page_make(record, analysis, &page);
    ck_assert_int_eq(page.step_count, 0); /* nothing is known of either */
    insight->steps[0].status = MEASURE_OK;
    insight->steps[0].factor_count = 2;
    insight->steps[0].factor[0] = (struct steps_factor){STEPS_KNOWN, 0.5, 0.25};
    insight_page_make(record, analysis, &page);
    ck_assert_int_eq(page.step_count, 1);
    ck_assert_str_eq(page.step[0].part, "spacers, mm");
    ck_assert_double_eq(page.step[0].high, 25.0);
    ck_assert_str_eq(page.step[0].each[0], "+0.50 ±0.25");
    ck_assert_str_eq(page.step[0].each[1], "");
    ck_assert_str_eq(page.step[0].each[2], "not known");
    ck_assert_str_eq(page.next, ""); /* none stands to go on from */
    record->settings.chosen_setup = 2;
    insight_page_make(record, analysis, &page);
    ck_assert_ptr_eq(strstr(page.next, "No next step is suggested from setup 2: "), page.next);
    record->settings.chosen_setup = 1;
    insight_page_make(record, analysis, &page);
    ck_assert_ptr_eq(strstr(page.next, "No next step is suggested from setup 1: "), page.next);
    insight->tried_low[2] = 1.0; /* behind the last part */
    insight->tried_high[2] = 2.0;
    insight_page_make(record, analysis, &page);
    ck_assert_int_eq(page.step_count, 1);
}
END_TEST

/* Of more than fit, the first stand there, each whole. */
START_TEST(a_page_leaves_out_whole_sentences)
{
    static struct insight_page page;
    struct insight *insight = &analysis->insight;
    record->setup_count = insight->tradeoff_setups = SETUPS_MAX;
    analysis->channel_count = CHANNELS_MAX;
    insight->factor_count = STEPS_FACTORS_MAX;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        insight->steps[c].status = MEASURE_OK;
        insight->steps[c].change_alone = -1;
        insight->steps[c].factor_count = STEPS_FACTORS_MAX;
    }
    for (int s = 0; s < SETUPS_MAX; s++) {
        record->setup[s].number = s + 1;
        insight->mark[s].beaten_by = -1;
        insight->mark[s].stands = true;
        for (int k = 0; k < TRADEOFF_CRITERIA; k++) {
            insight->mark[s].leads[k] = true;
        }
    }
    insight_page_make(record, analysis, &page);
    const char *last = strrchr(page.standing, '\n');
    ck_assert_ptr_nonnull(last);
    ck_assert_uint_gt(strlen(page.standing) + 2 * strlen(last), sizeof page.standing);
    ck_assert_str_eq(last + strlen(last) - strlen("discomfort, effort."), "discomfort, effort.");
    ck_assert_int_eq(page.step_count, 0); /* none of the parts was tried */
    for (int k = 0; k < STEPS_FACTORS_MAX; k++) {
        insight->tried_high[k] = 1.0;
    }
    insight_page_make(record, analysis, &page);
    ck_assert_int_eq(page.step_count, STEPS_FACTORS_MAX);
}
END_TEST

static char sentences[SETUPS_MAX + 4][SAY_SIZE];
static int sentence_count;
static void keep(void *context, const char *sentence)
{
    (void)context;
    ck_assert_int_lt(sentence_count, SETUPS_MAX + 4);
    strcpy(sentences[sentence_count++], sentence);
}

/* Whatever their length is, each sentence stands there that fits to the last byte. */
START_TEST(a_page_is_filled_to_the_last_byte)
{
    static struct insight_page page;
    struct insight *insight = &analysis->insight;
    bool full = false;
    record->setup_count = insight->tradeoff_setups = SETUPS_MAX;
    for (int s = 0; s < SETUPS_MAX; s++) {
        record->setup[s].number = s + 1;
        insight->mark[s].beaten_by = -1;
        insight->mark[s].stands = insight->mark[s].leads[TRADEOFF_HEIGHT] = true;
        insight->mark[s].leads[TRADEOFF_STEADINESS] = s % 2 == 0;
        insight->mark[s].leads[TRADEOFF_EFFORT] = insight->mark[s].leads[TRADEOFF_CREEP] = true;
        insight->mark[s].leads[TRADEOFF_DISCOMFORT] = insight->mark[s].leads[TRADEOFF_IN_BAND] =
            true;
    }
    for (int effort = 0; effort < SETUPS_MAX; effort++) { /* of one setup more each time */
        insight->mark[effort].leads[TRADEOFF_EFFORT] = false;
        for (int length = 1; length < CHANNEL_NAME_SIZE; length++) {
            memset(analysis->channel_name[0], 'h', (size_t)length);
            analysis->channel_name[0][length] = '\0';
            char expected[sizeof page.standing] = "";
            size_t used = 0;
            sentence_count = 0;
            insight_say_standing(record, analysis, keep, NULL);
            for (int i = 0; i < sentence_count; i++) {
                size_t more = (used > 0) + strlen(sentences[i]);
                if (used + more + 1 <= sizeof expected) {
                    strcat(strcat(expected, used > 0 ? "\n" : ""), sentences[i]);
                    used += more;
                }
            }
            insight_page_make(record, analysis, &page);
            ck_assert_str_eq(page.standing, expected);
            full = full || used + 1 == sizeof expected;
        }
    }
    ck_assert(full);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("insight words");
    TCase *tests = tcase_create("insight words");
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, all_that_setups_are_weighed_by_is_named);
    tcase_add_test(tests, what_a_setup_is_best_at);
    tcase_add_test(tests, uneven_is_what_one_has_and_another_lacks);
    tcase_add_test(tests, which_setups_no_other_beats);
    tcase_add_test(tests, one_with_a_complaint_stands_with_it);
    tcase_add_test(tests, a_step_is_known_or_says_why_not);
    tcase_add_test(tests, what_changed_together_is_said_once);
    tcase_add_test(tests, a_page_has_the_steps_that_were_tried);
    tcase_add_test(tests, a_page_leaves_out_whole_sentences);
    tcase_add_test(tests, a_page_is_filled_to_the_last_byte);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
