/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The next setup worth trying, and why there is none. */
#include "three_setups.h"

START_TEST(ten_millimetres_further_down)
{
    struct insight_suggestion next = suggested(2);
    ck_assert_int_eq(next.reason, SUGGESTION_MADE);
    ck_assert_int_eq(next.part, BIKE_PAD_RISE);
    ck_assert(next.from == 40.0 && next.to == 30.0);
    ck_assert_double_eq_tol(next.forecast[HEAD].height_change_mm, -10.0, 1e-9);
    ck_assert_double_eq_tol(next.forecast[CHEST].height_change_mm, -10.0, 1e-9);
    limits.least[BIKE_PAD_RISE] = 35.0;
    ck_assert_int_eq(suggested(2).reason, SUGGESTION_NO_STEP);
    limits.least[BIKE_PAD_RISE] = NAN;
    ck_assert_int_eq(suggested(2).reason, SUGGESTION_NO_LIMIT);
    struct insight_suggestion without;
    insight_suggest(record, analysis, 2, NULL, &without);
    ck_assert_int_eq(without.reason, SUGGESTION_NO_LIMIT);
    ck_assert_int_eq(without.part, BIKE_PAD_RISE);
}
END_TEST

/* Pads further forward lower the head as much: a step goes up to what was entered as the most, and
 * to a step beyond what was tried. */
START_TEST(ten_millimetres_further_forward)
{
    static const double forward_mm[SETUPS] = {-20.0, -10.0, -5.0};
    for (int s = 0; s < SETUPS; s++) {
        record->setup[s].bike.value[BIKE_PAD_RISE] = 55.0;
        record->setup[s].bike.value[BIKE_PAD_FORE_AFT] = forward_mm[s];
    }
    ck_assert_int_eq(suggested(2).reason, SUGGESTION_NO_LIMIT);
    limits.least[BIKE_PAD_FORE_AFT] = -100.0; /* that is the other side */
    ck_assert_int_eq(suggested(2).reason, SUGGESTION_NO_LIMIT);
    limits.most[BIKE_PAD_FORE_AFT] = 4.9;
    ck_assert_int_eq(suggested(2).reason, SUGGESTION_NO_STEP);
    limits.most[BIKE_PAD_FORE_AFT] = 5.0;
    struct insight_suggestion next = suggested(2);
    ck_assert_int_eq(next.reason, SUGGESTION_MADE);
    ck_assert_int_eq(next.part, BIKE_PAD_FORE_AFT);
    ck_assert(next.from == -5.0 && next.to == 5.0);
    ck_assert_double_eq_tol(next.forecast[HEAD].height_change_mm, -10.0, 1e-9);
    limits.most[BIKE_PAD_FORE_AFT] = 100.0;
    next = suggested(1);
    ck_assert(next.from == -10.0 && next.to == 0.0);
    record->setup_count = 4; /* built, and nothing held on it: no reason to try beyond it */
    record->setup[3] = record->setup[2];
    record->setup[3].bike.value[BIKE_PAD_FORE_AFT] = 20.0;
    record->setup[3].bike.value[BIKE_STEM_LENGTH] = 60.0;
    insight_make(record, analysis);
    for (int f = 0; f < analysis->insight.factor_count; f++) {
        bool forward = analysis->insight.factor[f] == BIKE_PAD_FORE_AFT;
        ck_assert(analysis->insight.factor[f] != BIKE_STEM_LENGTH);
        ck_assert(!forward || analysis->insight.tried_high[f] == -5.0);
        ck_assert(!forward || analysis->insight.tried_low[f] == -20.0);
    }
}
END_TEST

/* A stem is not changed by a step: what it did is told, and never is more of it suggested. */
START_TEST(no_step_is_one_of_a_stem)
{
    static const double stem_mm[SETUPS] = {80.0, 90.0, 95.0};
    for (int s = 0; s < SETUPS; s++) {
        record->setup[s].bike.value[BIKE_PAD_RISE] = 55.0;
        record->setup[s].bike.value[BIKE_STEM_LENGTH] = stem_mm[s];
    }
    limits.least[BIKE_STEM_LENGTH] = 40.0;
    limits.most[BIKE_STEM_LENGTH] = 140.0;
    for (int s = 0; s < SETUPS; s++) {
        ck_assert_int_eq(suggested(s).reason, SUGGESTION_NO_STEP);
    }
    ck_assert_int_eq(analysis->insight.factor[0], BIKE_STEM_LENGTH);
    ck_assert_int_eq(analysis->insight.steps[HEAD].status, MEASURE_OK);
}
END_TEST

/* The first channel of the body is what is to go lower. */
START_TEST(a_first_channel_of_no_body)
{
    analysis->body[HEAD] = false;
    struct insight_suggestion next = suggested(2);
    ck_assert_int_eq(next.reason, SUGGESTION_MADE);
    ck_assert(!next.forecast[HEAD].possible && next.forecast[CHEST].possible);
    analysis->body[CHEST] = false;
    ck_assert_int_eq(suggested(2).reason, SUGGESTION_TOO_LITTLE);
    analysis->channel_count = 1;
    ck_assert_int_eq(suggested(2).reason, SUGGESTION_TOO_LITTLE);
}
END_TEST

/* What was ridden is not suggested again; a setup that was built and not held is no such. */
START_TEST(what_was_ridden_is_not_suggested)
{
    record->setup_count = 4;
    record->setup[3] = record->setup[2];
    record->setup[3].number = 4;
    record->setup[3].bike.value[BIKE_PAD_RISE] = 30.0;
    ck_assert_int_eq(suggested(2).reason, SUGGESTION_MADE);
    analysis->free_holds[3] = 1;
    ck_assert_int_ne(suggested(2).reason, SUGGESTION_MADE);
    record->setup_count = 3; /* it was taken back */
    ck_assert_int_eq(suggested(2).reason, SUGGESTION_MADE);
}
END_TEST

/* Not as low as where hands went numb, as far as it is known how low that was. */
START_TEST(not_as_low_as_what_numbed)
{
    record->setup[2].bike.value[BIKE_PAD_RISE] = 37.0; /* 10 down from 45 are 35 mm */
    analysis->free_heights[HEAD].setup[2].mean = 882.0;
    ck_assert_int_eq(suggested(1).reason, SUGGESTION_MADE);
    numb(2);
    ck_assert_int_eq(suggested(1).reason, SUGGESTION_NO_STEP);
    ck_assert_int_eq(suggested(2).reason, SUGGESTION_COMPLAINT);
    analysis->free_heights[HEAD].setup[2].tied = false;
    ck_assert_int_eq(suggested(1).reason, SUGGESTION_MADE);
    analysis->free_heights[HEAD].setup[2].tied = true;
    analysis->free_heights[HEAD].setup[2].holds = 0;
    ck_assert_int_eq(suggested(1).reason, SUGGESTION_MADE);
}
END_TEST

/* From the lowest of those that stand, and of two as low the first. */
START_TEST(a_suggestion_is_from_the_lowest)
{
    struct insight *insight = &analysis->insight;
    ck_assert_int_eq(insight_suggest_from(record, analysis), -1);
    for (int s = 0; s < SETUPS; s++) {
        insight->mark[s].stands = insight->value[s].has[TRADEOFF_HEIGHT] = true;
        insight->value[s].value[TRADEOFF_HEIGHT] = s == 0 ? 900.0 : 890.0;
    }
    ck_assert_int_eq(insight_suggest_from(record, analysis), 1);
    insight->mark[1].stands = false;
    ck_assert_int_eq(insight_suggest_from(record, analysis), 2);
    insight->value[2].has[TRADEOFF_HEIGHT] = false;
    ck_assert_int_eq(insight_suggest_from(record, analysis), 0);
}
END_TEST

/* What the column may come to is a limit of the spacers, and of no other part. */
START_TEST(the_columns_limit_is_the_spacers)
{
    static const enum bike_key keys[] = {BIKE_PAD_RISE, BIKE_SPACERS};
    for (int k = 0; k < 2; k++) {
        for (int s = 0; s < SETUPS; s++) {
            record->setup[s].bike.value[BIKE_PAD_RISE] = 55.0;
            record->setup[s].bike.value[BIKE_SPACERS] = 25.0;
            record->setup[s].bike.value[keys[k]] = s == 0 ? 25.0 : s == 1 ? 15.0 : 10.0;
        }
        bike_limits_clear(&limits);
        ck_assert_int_eq(suggested(2).reason, SUGGESTION_NO_LIMIT);
        limits.least[BIKE_LIMIT_COLUMN] = 10.0;
        ck_assert_int_eq(suggested(2).reason, k == 0 ? SUGGESTION_NO_LIMIT : SUGGESTION_MADE);
        limits.least[BIKE_LIMIT_COLUMN] = NAN;
        limits.most[BIKE_LIMIT_COLUMN] = 100.0; /* that is the other side */
        ck_assert_int_eq(suggested(2).reason, SUGGESTION_NO_LIMIT);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("suggestion");
    TCase *tests = tcase_create("suggestion");
    suite_add_tcase(suite, tests);
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, ten_millimetres_further_down);
    tcase_add_test(tests, ten_millimetres_further_forward);
    tcase_add_test(tests, no_step_is_one_of_a_stem);
    tcase_add_test(tests, a_first_channel_of_no_body);
    tcase_add_test(tests, what_was_ridden_is_not_suggested);
    tcase_add_test(tests, not_as_low_as_what_numbed);
    tcase_add_test(tests, a_suggestion_is_from_the_lowest);
    tcase_add_test(tests, the_columns_limit_is_the_spacers);
    return test_main(suite);
}
