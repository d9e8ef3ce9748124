/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What follows from setups beside their comparison: how far heights followed the parts, and the
 * next setup worth trying. Three setups on one build each, the pads at 55, 45 and 40 mm, the head
 * at 900, 890 and 885: a millimetre lower for each. */
#include "analysis/analysis.h"
#include "support/bikes.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>

enum { HEAD = 0, CHEST = 1, SETUPS = 3 };

static struct session_record *record;
static struct analysis *analysis;
static struct bike_limits limits;

static void set_up(void)
{
    static const double pad_mm[SETUPS] = {55.0, 45.0, 40.0};
    record = calloc(1, sizeof *record);
    analysis = analysis_create();
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    record->setup_count = record->build_count = SETUPS;
    analysis->channel_count = 2;
    bike_limits_clear(&limits);
    limits.least[BIKE_PAD_RISE] = 0.0;
    for (int s = 0; s < SETUPS; s++) {
        record->setup[s].number = s + 1;
        record->setup[s].bike = usual_bike();
        record->setup[s].bike.value[BIKE_PAD_RISE] = pad_mm[s];
        record->build[s].setup = s;
        analysis->free_holds[s] = 3;
    }
    for (int c = 0; c < 2; c++) {
        struct comparison *heights = &analysis->free_heights[c];
        analysis->body[c] = true;
        heights->setup_count = SETUPS;
        heights->has_repeatability = true;
        heights->repeatability_df = 6;
        for (int s = 0; s < SETUPS; s++) {
            heights->setup[s] = (struct setup_estimate){.holds = 3,
                                                        .tied = true,
                                                        .has_interval = true,
                                                        .mean = 845.0 + pad_mm[s] - 150.0 * c,
                                                        .standard_error = 0.5,
                                                        .df = 6};
        }
    }
}

static void tear_down(void)
{
    analysis_destroy(analysis);
    free(record);
}

static struct insight_suggestion suggested(int setup)
{
    struct insight_suggestion suggestion;
    insight_make(record, analysis);
    insight_suggest(record, analysis, setup, &limits, &suggestion);
    return suggestion;
}

static void numb(int setup)
{
    struct rating_record *rating = &record->rating[record->rating_count++];
    for (int item = 0; item < RATING_ITEMS; item++) {
        rating->value[item] = (double)NAN;
    }
    rating->setup = setup;
    rating->value[RATING_NUMB_HANDS] = ANSWER_YES;
}

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

/* Nothing is learnt of a part's effect while a channel's heights are in doubt, of that channel; nor
 * of one that is no body's. */
START_TEST(nothing_follows_from_a_height_in_doubt)
{
    for (int doubt = 0; doubt < 4; doubt++) {
        analysis->step_open[CHEST] = doubt == 1 ? 1 : 0;
        analysis->slip[CHEST].asked = doubt == 2;
        analysis->body[CHEST] = doubt != 3;
        insight_make(record, analysis);
        ck_assert_int_eq(analysis->insight.steps[HEAD].status, MEASURE_OK);
        ck_assert_int_eq(analysis->insight.steps[CHEST].status,
                         doubt == 0 ? MEASURE_OK : MEASURE_TOO_FEW);
    }
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

/* A setup of which the height, or a part, is not known has no say; without the first there is
 * nothing to count from. */
START_TEST(setups_that_have_no_say)
{
    for (int setup = 0; setup < 2; setup++) {
        for (int lacks = 0; lacks < 5; lacks++) {
            struct setup_estimate *estimate = &analysis->free_heights[HEAD].setup[setup];
            const struct setup_estimate whole = *estimate;
            double pad_mm = record->setup[setup].bike.value[BIKE_PAD_RISE];
            estimate->holds = lacks == 0 ? 0 : whole.holds;
            estimate->tied = lacks != 1;
            estimate->has_interval = lacks != 2;
            estimate->standard_error = lacks == 3 ? 0.0 : whole.standard_error;
            record->setup[setup].bike.value[BIKE_PAD_RISE] = lacks == 4 ? NAN : pad_mm;
            insight_make(record, analysis);
            if (setup == 0) { /* of a part that is not known it is not known that it was changed */
                ck_assert_int_eq(analysis->insight.steps[HEAD].status,
                                 lacks == 4 ? MEASURE_CONSTANT : MEASURE_TOO_FEW);
            } else {
                ck_assert_int_eq(analysis->insight.steps_setups[HEAD], 2);
            }
            *estimate = whole;
            record->setup[setup].bike.value[BIKE_PAD_RISE] = pad_mm;
        }
    }
    insight_make(record, analysis);
    ck_assert_int_eq(analysis->insight.steps_setups[HEAD], SETUPS);
}
END_TEST

/* As many parts were changed as can be told apart: no usual one is added to them. */
START_TEST(six_parts_leave_no_room_for_others)
{
    static const enum bike_key keys[] = {BIKE_STEM_LENGTH, BIKE_STEM_ANGLE, BIKE_BAR_ROLL,
                                         BIKE_PAD_WIDTH, BIKE_EXTENSION_LENGTH};
    insight_make(record, analysis);
    int few = analysis->insight.factor_count;
    ck_assert_int_gt(few, 1); /* the pads' height, and usual ones */
    for (size_t k = 0; k < sizeof keys / sizeof keys[0]; k++) {
        record->setup[0].bike.value[keys[k]] = 10.0;
        record->setup[1].bike.value[keys[k]] = 11.0;
    }
    insight_make(record, analysis);
    ck_assert_int_eq(analysis->insight.factor_count, STEPS_FACTORS_MAX);
    for (int f = 0; f < STEPS_FACTORS_MAX; f++) {
        ck_assert(analysis->insight.factor[f] != BIKE_PAD_FORE_AFT);
    }
}
END_TEST

/* How well a height is known is not told while it may be its sensor that moved. */
START_TEST(a_height_that_is_in_doubt)
{
    for (int doubt = 0; doubt < 4; doubt++) {
        analysis->step_open[HEAD] = doubt == 1 ? 1 : 0;
        analysis->slip[HEAD].asked = doubt == 2;
        analysis->free_heights[HEAD].setup[1].has_interval = doubt != 3;
        insight_make(record, analysis);
        const struct tradeoff_setup *value = &analysis->insight.value[1];
        ck_assert(value->has[TRADEOFF_HEIGHT]);
        ck_assert_double_eq(value->value[TRADEOFF_HEIGHT], 890.0);
        ck_assert(isnan(value->se[TRADEOFF_HEIGHT]) == (doubt > 0));
    }
}
END_TEST

/* Holds of two parts together are of builds on which both are tied; a hold that did not move at all
 * has no steadiness. */
START_TEST(holds_of_two_parts_together)
{
    record->hold_count = 2;
    for (int h = 0; h < 2; h++) {
        struct hold_result *result = &analysis->hold[h];
        record->hold[h] = (struct hold_record){.number = h + 1, .status = HOLD_COMPLETE};
        result->counts = result->together = true;
        result->ellipse = (struct ellipse){.count = 100,
                                           .mean_x = 750.0,
                                           .mean_y = 900.0,
                                           .var_x = 4.0,
                                           .var_y = 9.0,
                                           .cov_xy = 1.0};
        for (int c = 0; c < 2; c++) {
            result->has[c] = true;
            result->summary[c] =
                (struct hold_summary){.status = MEASURE_OK, .steadiness_mm = h == 0 ? 3.0 : 0.0};
        }
    }
    for (int untied = -1; untied < 2; untied++) {
        for (int c = 0; c < 2; c++) {
            analysis->tie[0][c].kind = c == untied ? TIE_NONE : TIE_FIRST;
        }
        insight_make(record, analysis);
        ck_assert_int_eq(analysis->insight.together[0], untied < 0);
    }
    ck_assert(analysis->insight.value[0].has[TRADEOFF_STEADINESS]);
    ck_assert_double_eq_tol(analysis->insight.value[0].value[TRADEOFF_STEADINESS], 3.0, 1e-9);
}
END_TEST

static void hold_on(int setup, bool guided, double log_steadiness, double creep, double share)
{
    int h = record->hold_count++;
    struct hold_result *result = &analysis->hold[h];
    record->hold[h] = (struct hold_record){
        .number = h + 1, .build = setup, .guided = guided, .status = HOLD_COMPLETE};
    result->counts = true;
    for (int c = 0; c < 2; c++) { /* the chest: steadier on the first setup, and always in band */
        result->has[c] = true;
        result->summary[c] = (struct hold_summary){
            .status = MEASURE_OK,
            .has_creep = true,
            .has_band = true,
            .has_interval = true,
            .steadiness_mm = exp(c == HEAD ? log_steadiness : 1.0 + setup),
            .creep_mm_per_min = c == HEAD ? creep : 0.5,
            .in_band_share = c == HEAD ? share : 0.9,
        };
    }
}

static void came_to(int setup, enum tradeoff_criterion of, double value, double se, double df)
{
    const struct tradeoff_setup *found = &analysis->insight.value[setup];
    ck_assert(found->has[of]);
    ck_assert_double_eq_tol(found->value[of], value, 1e-9);
    ck_assert_double_eq_tol(found->se[of], se, 1e-9);
    ck_assert_double_eq(found->df[of], df);
}

/* By hand, of the part that is worse: free holds' steadiness as a geometric mean, creep as a median
 * that is known 1.2533 times less well than a mean, guided holds' share in the band as a mean; the
 * scatter of holds is one for all setups. */
START_TEST(what_each_setup_came_to)
{
    hold_on(0, false, 1.0, 1.0, 0.1);
    hold_on(0, false, 2.0, 2.0, 0.1);
    hold_on(0, false, 3.0, 4.0, 0.1);
    hold_on(1, false, 1.0, -3.0, 0.1);
    hold_on(1, false, 1.0, -5.0, 0.1);
    hold_on(0, true, 9.0, 9.0, 0.6);
    hold_on(0, true, 9.0, 9.0, 0.8);
    for (int lacks = 0; lacks < 2;
         lacks++) { /* two without a band or without limits have no share */
        hold_on(0, true, 9.0, 9.0, 0.1);
        for (int part = 0; part < 2; part++) {
            struct hold_summary *summary = &analysis->hold[record->hold_count - 1].summary[part];
            *(lacks == 0 ? &summary->has_band : &summary->has_interval) = false;
        }
    }
    double steadiness_sd = sqrt(2.0 / 3.0), creep_sd = sqrt((42.0 / 9.0 + 2.0) / 3.0);
    insight_make(record, analysis);
    came_to(0, TRADEOFF_STEADINESS, exp(2.0), exp(2.0) * steadiness_sd / sqrt(3.0), 3.0);
    came_to(1, TRADEOFF_STEADINESS, exp(2.0), 0.0, 3.0); /* the chest, each time the same */
    came_to(0, TRADEOFF_CREEP, 2.0, 1.2533 * creep_sd / sqrt(3.0), 3.0);
    came_to(1, TRADEOFF_CREEP, 4.0, 1.2533 * creep_sd / sqrt(2.0), 3.0);
    came_to(0, TRADEOFF_IN_BAND, 0.7, 0.1, 1.0);
    ck_assert(!analysis->insight.value[1].has[TRADEOFF_IN_BAND]);
    ck_assert(!analysis->insight.value[0].has[TRADEOFF_EFFORT]);
    ck_assert_int_eq(analysis->insight.tradeoff_setups, 3); /* of the third the height */
    numb(0);
    numb(0);
    record->rating[0].value[RATING_NECK] = 3.0;
    record->rating[0].value[RATING_HANDS] = 5.0;
    record->rating[1].value[RATING_EFFORT] = 14.0;
    insight_make(record, analysis);
    came_to(0, TRADEOFF_DISCOMFORT, 5.0, 0.0, (double)INFINITY);
    came_to(0, TRADEOFF_EFFORT, 14.0, 0.0, (double)INFINITY);
    analysis->hold[0].counts = false; /* what does not count, has no creep or no steadiness */
    analysis->hold[1].summary[HEAD].has_creep = false;
    analysis->hold[2].summary[HEAD].steadiness_mm = 0.0;
    insight_make(record, analysis);
    ck_assert_double_eq_tol(analysis->insight.value[0].value[TRADEOFF_STEADINESS], exp(2.0), 1e-9);
    ck_assert_double_eq_tol(analysis->insight.value[0].value[TRADEOFF_CREEP], 4.0, 1e-9);
}
END_TEST

/* Records whose holds are measured already: of a channel that stepped alone nothing is said until
 * it is known whether it was the sensor. */
START_TEST(a_step_withholds_the_difference)
{
    struct problem problem = {PROBLEM_NONE, ""};
    record->setup_count = record->build_count = 2;
    record->placing_count = 1;
    record->placing[0].channel_count = 1;
    record->placing[0].channel[0].role = ROLE_BODY;
    record->placing[0].channel[0].gain = 1.0;
    record->build[0].placing = record->build[1].placing = 0;
    record->build[1].moved = ANSWER_NO;
    record->hold_count = 6;
    record->settings.matters_mm[HEAD] = 10.0;
    for (int h = 0; h < 6; h++) {
        record->hold[h] = (struct hold_record){
            .number = h + 1, .build = h % 2, .target = -1, .band = -1, .status = HOLD_COMPLETE};
        analysis->hold[h].has[HEAD] = true;
        analysis->hold[h].summary[HEAD] =
            (struct hold_summary){.status = MEASURE_OK,
                                  .has_interval = true,
                                  .mean_mm = 900.0 - 30.0 * (h % 2) + h % 3,
                                  .mean_se_mm = 0.5,
                                  .kept_s = 60.0};
    }
    ck_assert_int_eq(analysis_estimate(analysis, HEAD, 0)->holds, 3);
    ck_assert_int_eq(analysis_estimate(analysis, HEAD, SETUPS)->holds, 0); /* there is none */
    ck_assert_int_eq(analysis_difference(analysis, HEAD, SETUPS)->verdict, VERDICT_NONE);
    analysis->free_heights[HEAD].setup[SETUPS].holds = 7;
    ck_assert_int_eq(analysis_estimate(analysis, HEAD, SETUPS)->holds, 0);
    analysis->free_heights[HEAD].status = MEASURE_TOO_FEW;
    ck_assert_int_eq(analysis_estimate(analysis, HEAD, 0)->holds, 0);
    const struct setup_difference *difference = &analysis->free_heights[HEAD].difference[1];
    ck_assert(analysis_add_hold(record, -1, NULL, NULL, analysis, &problem));
    ck_assert_int_eq(difference->verdict, VERDICT_LOWER);
    /* Ten watts from the middle of all are not apart. */
    static const double power_w[] = {200.0, 210.0, 190.0, 211.0, 200.0, 189.0};
    for (int h = 0; h < 6; h++) {
        analysis->hold[h].auxiliary_mean[AUXILIARY_POWER] = power_w[h];
        analysis->hold[h].counts = true;
    }
    ck_assert(analysis_add_hold(record, -1, NULL, NULL, analysis, &problem));
    for (int h = 0; h < 6; h++) {
        ck_assert_int_eq(analysis->hold[h].auxiliary_apart[AUXILIARY_POWER],
                         fabs(power_w[h] - 200.0) > 10.0);
        analysis->hold[h].auxiliary_mean[AUXILIARY_POWER] = 0.0;
        analysis->hold[h].counts = false;
    }
    /* Other readings stand apart from those of the holds beside them, where they are known. */
    analysis->hold[1].auxiliary_mean[AUXILIARY_POWER] = NAN;
    analysis->hold[2].auxiliary_mean[AUXILIARY_POWER] = 200.0;
    ck_assert(analysis_add_hold(record, -1, NULL, NULL, analysis, &problem));
    ck_assert(!analysis->hold[0].auxiliary_apart[AUXILIARY_POWER]);
    ck_assert(!analysis->hold[1].auxiliary_apart[AUXILIARY_POWER]);
    ck_assert(analysis->hold[2].auxiliary_apart[AUXILIARY_POWER]);
    analysis->hold[5].summary[HEAD].stepped = analysis->hold[5].step_alone[HEAD] = true;
    ck_assert(analysis_add_hold(record, -1, NULL, NULL, analysis, &problem));
    ck_assert_int_eq(difference->verdict, VERDICT_NOT_COMPARABLE);
    ck_assert_int_eq(difference->reason, REASON_STEPPED);
    ck_assert(!analysis->free_heights[HEAD].has_repeatability);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("insight");
    TCase *tests = tcase_create("insight");
    suite_add_tcase(suite, tests);
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, ten_millimetres_further_down);
    tcase_add_test(tests, ten_millimetres_further_forward);
    tcase_add_test(tests, nothing_follows_from_a_height_in_doubt);
    tcase_add_test(tests, a_suggestion_is_from_the_lowest);
    tcase_add_test(tests, a_first_channel_of_no_body);
    tcase_add_test(tests, what_was_ridden_is_not_suggested);
    tcase_add_test(tests, not_as_low_as_what_numbed);
    tcase_add_test(tests, setups_that_have_no_say);
    tcase_add_test(tests, six_parts_leave_no_room_for_others);
    tcase_add_test(tests, a_height_that_is_in_doubt);
    tcase_add_test(tests, holds_of_two_parts_together);
    tcase_add_test(tests, what_each_setup_came_to);
    tcase_add_test(tests, a_step_withholds_the_difference);
    return test_main(suite);
}
