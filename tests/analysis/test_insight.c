/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What follows from setups beside their comparison: how far heights followed the parts, and what
 * each setup came to. */
#include "three_setups.h"

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

/* Ten millimetres lower with the head, six higher with the chest: it beats the other where six of
 * the chest do not matter, whatever of the head does. */
START_TEST(what_matters_is_each_parts_own)
{
    record->setup_count = record->build_count = 2;
    for (int c = 0; c < 2; c++) {
        analysis->free_heights[c].setup_count = 2;
    }
    analysis->free_heights[CHEST].setup[1].mean = analysis->free_heights[CHEST].setup[0].mean + 6.0;
    for (int chest = 0; chest < 2; chest++) {
        record->settings.matters_mm[HEAD] = chest ? 2.0 : 20.0;
        record->settings.matters_mm[CHEST] = chest ? 20.0 : 2.0;
        insight_make(record, analysis);
        ck_assert_int_eq(analysis->insight.mark[0].beaten_by, chest ? 1 : -1);
    }
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

/* Of three parts of the body the heights of the first two are weighed. */
START_TEST(a_third_part_is_not_weighed)
{
    analysis->channel_count = 3;
    analysis->body[2] = true;
    for (int s = 0; s < SETUPS; s++) {
        analysis->free_heights[2].setup[s] = analysis->free_heights[HEAD].setup[s];
    }
    insight_make(record, analysis);
    ck_assert_double_eq(analysis->insight.value[1].value[TRADEOFF_HEIGHT], 890.0);
    ck_assert_double_eq(analysis->insight.value[1].value[TRADEOFF_SECOND_HEIGHT], 740.0);
    analysis->body[HEAD] = false;
    insight_make(record, analysis);
    ck_assert_double_eq(analysis->insight.value[1].value[TRADEOFF_HEIGHT], 740.0);
    ck_assert_double_eq(analysis->insight.value[1].value[TRADEOFF_SECOND_HEIGHT], 890.0);
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
    tcase_add_test(tests, nothing_follows_from_a_height_in_doubt);
    tcase_add_test(tests, what_matters_is_each_parts_own);
    tcase_add_test(tests, setups_that_have_no_say);
    tcase_add_test(tests, six_parts_leave_no_room_for_others);
    tcase_add_test(tests, a_height_that_is_in_doubt);
    tcase_add_test(tests, a_third_part_is_not_weighed);
    tcase_add_test(tests, holds_of_two_parts_together);
    tcase_add_test(tests, what_each_setup_came_to);
    tcase_add_test(tests, a_step_withholds_the_difference);
    return test_main(suite);
}
