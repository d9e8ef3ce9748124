/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What no measure can be made of is refused, one wrong value at a time: numbers that are none, and
 * settings that can't be. Right beside it the same input without that value is taken. */
#include "refused.h"

#include "measure/compare.h"
#include "measure/cue.h"
#include "measure/distribution.h"
#include "measure/drag_plan.h"
#include "measure/many_to_one.h"
#include "measure/moderated.h"
#include "measure/plan.h"
#include "measure/random_effects.h"
#include "measure/tolerance.h"

/* ---- plans ---- */

static enum measure_status run_plan(void *context)
{
    struct plan plan;
    return plan_make(context, 2, &plan);
}

START_TEST(a_plan_of_what_cannot_be)
{
    struct plan_input input = {.setups = 3,
                               .order = PLAN_ROWS,
                               .hold_sd_mm = 4.0,
                               .tie_mm = 1.0,
                               .difference_mm = 15.0,
                               .times = {5.0, 2.0, 1.0, 0.5, 0.75},
                               .minutes_left = 60.0};
    const struct wrong_field fields[] = {
        {&input.hold_sd_mm, ALL},          {&input.tie_mm, NOT_ZERO},
        {&input.difference_mm, ALL},       {&input.times.change_min, NOT_ZERO},
        {&input.times.rest_min, NOT_ZERO}, {&input.minutes_left, 1U << IS_NAN},
        {&input.learnt_df, NOT_ZERO}};
    struct plan plan;
    each_refused(fields, sizeof fields / sizeof fields[0], run_plan, &input, MEASURE_BAD_SETTING);
    ck_assert_int_eq(plan_make(&input, 0, &plan), MEASURE_BAD_SETTING);
    ck_assert_int_eq(plan_make(&input, PLAN_ROUNDS_MAX + 1, &plan), MEASURE_BAD_SETTING);
    for (int setups = 0; setups < 2; setups++) {
        input.setups = setups == 0 ? 1 : PLAN_SETUPS_MAX + 1;
        ck_assert_int_eq(plan_make(&input, 2, &plan), MEASURE_BAD_SETTING);
        ck_assert_int_eq(plan_choose(&input, &plan), MEASURE_BAD_SETTING);
    }
    input.setups = PLAN_SETUPS_MAX; /* more builds than can be compared */
    input.order = PLAN_MIRROR;
    ck_assert_int_eq(plan_make(&input, PLAN_ROUNDS_MAX, &plan), MEASURE_BAD_SETTING);
}
END_TEST

struct power {
    double difference, variance, df, known, alpha;
};

static enum measure_status run_power(void *context)
{
    const struct power *of = context;
    double power;
    return plan_power(of->difference, of->variance, of->df, of->known, of->alpha, &power);
}

START_TEST(a_power_of_what_cannot_be)
{
    struct power power = {10.0, 4.0, 6.0, 1.0, 0.05};
    const struct wrong_field fields[] = {{&power.difference, NOT_FINITE},
                                         {&power.variance, ALL},
                                         {&power.df, ALL},
                                         {&power.known, NOT_ZERO},
                                         {&power.alpha, ALL}};
    double found;
    each_refused(fields, sizeof fields / sizeof fields[0], run_power, &power, MEASURE_BAD_SETTING);
    ck_assert_int_eq(drag_plan_found(0.01, 1, &found), MEASURE_TOO_FEW);
    ck_assert_int_eq(drag_plan_found(0.0, 4, &found), MEASURE_BAD_SETTING);
    ck_assert_int_eq(drag_plan_found(INFINITY, 4, &found), MEASURE_BAD_SETTING);
    ck_assert_int_eq(drag_plan_found(0.01, 4, &found), MEASURE_OK);
}
END_TEST

/* ---- comparisons ---- */

static enum measure_status run_compare(void *context)
{
    struct comparison comparison;
    return compare_setups(context, &comparison);
}

START_TEST(a_comparison_of_what_cannot_be)
{
    struct compare_hold holds[6];
    struct compare_build builds[COMPARE_BUILDS_MAX];
    for (int i = 0; i < 6; i++) {
        holds[i] = (struct compare_hold){
            .setup = i / 2, .build = i / 2, .order = i + 1, .value = 900.0 - 7.0 * i + i % 2};
        builds[i / 2] = (struct compare_build){.setup = i / 2, .tied = true, .u_build = 1.0};
    }
    struct compare_input input = {.holds = holds,
                                  .hold_count = 6,
                                  .builds = builds,
                                  .build_count = 3,
                                  .setup_count = 3,
                                  .matters = 8.0,
                                  .higher_is_up = true};
    const struct wrong_field fields[] = {{&input.matters, ALL},
                                         {&builds[1].u_build, NOT_ZERO},
                                         {&builds[1].u_common, NOT_ZERO},
                                         {&builds[1].u_session, NOT_ZERO}};
    each_refused(fields, sizeof fields / sizeof fields[0], run_compare, &input,
                 MEASURE_BAD_SETTING);
    const struct wrong_field values[] = {{&holds[4].value, NOT_FINITE},
                                         {&holds[4].order, NOT_FINITE}};
    each_refused(values, sizeof values / sizeof values[0], run_compare, &input, MEASURE_NOT_FINITE);
    const struct {
        int *at, wrong;
    } counts[] = {{&input.hold_count, -1},  {&input.hold_count, COMPARE_HOLDS_MAX + 1},
                  {&input.build_count, -1}, {&input.build_count, COMPARE_BUILDS_MAX + 1},
                  {&input.setup_count, 0},  {&input.setup_count, COMPARE_SETUPS_MAX + 1},
                  {&input.baseline, -1},    {&input.baseline, 3},
                  {&builds[2].setup, -1},   {&builds[2].setup, 3},
                  {&holds[5].build, -1},    {&holds[5].build, 3},
                  {&holds[5].setup, -1},    {&holds[5].setup, 3},
                  {&holds[5].setup, 1}};
    for (size_t i = 0; i < sizeof counts / sizeof counts[0]; i++) {
        int good = *counts[i].at;
        *counts[i].at = counts[i].wrong;
        ck_assert_msg(run_compare(&input) == MEASURE_BAD_SETTING, "case %zu", i);
        *counts[i].at = good;
    }
    for (int b = 3; b < COMPARE_BUILDS_MAX; b++) { /* as many as there can be, without holds */
        builds[b] = builds[2];
    }
    input.build_count = COMPARE_BUILDS_MAX;
    ck_assert_int_eq(run_compare(&input), MEASURE_OK);
}
END_TEST

START_TEST(limits_of_what_cannot_be_are_none)
{
    struct many_to_one family = {.count = 2, .own = {1.0, 1.0}, .one = {0.5, 0.5}};
    const double wrong[] = {NAN, INFINITY, -1.0};
    ck_assert(isfinite(many_to_one_limit(&family, 8.0, 0.95)));
    for (int i = 0; i < 3; i++) {
        family.own[1] = wrong[i];
        ck_assert(isinf(many_to_one_limit(&family, 8.0, 0.95)));
    }
    family.own[1] = 0.0;
    family.one[1] = 0.0;
    ck_assert(isinf(many_to_one_limit(&family, 8.0, 0.95)));
    family = (struct many_to_one){.count = 1, .own = {1.0}};
    ck_assert(isinf(many_to_one_limit(&family, 0.0, 0.95)));
    ck_assert(isinf(many_to_one_limit(&family, 8.0, 1.0)));
    ck_assert(isinf(many_to_one_limit(&family, 8.0, 0.0)));
    family.count = 0;
    ck_assert(isinf(many_to_one_limit(&family, 8.0, 0.95)));
    family.count = MANY_TO_ONE_MOST + 1;
    ck_assert(isinf(many_to_one_limit(&family, 8.0, 0.95)));
}
END_TEST

START_TEST(effects_of_what_cannot_be)
{
    double value[] = {1, 2, 3, 4}, variance[] = {1, 1, 2, 2}, covariate[] = {1, 2, 3, 5};
    int group[] = {0, 0, 1, 1};
    struct random_effects_input input = {
        .value = value, .variance = variance, .covariate = covariate, .group = group, .count = 4};
    struct random_effects fit;
    struct random_effects_estimate estimate;
    ck_assert_int_eq(random_effects_fit(&input, &fit), MEASURE_OK);
    ck_assert_int_eq(random_effects_estimate(&fit, -1, 0, &estimate), MEASURE_BAD_SETTING);
    ck_assert_int_eq(random_effects_estimate(&fit, RANDOM_EFFECTS_GROUPS_MAX, 0, &estimate),
                     MEASURE_BAD_SETTING);
    ck_assert_int_eq(random_effects_estimate(&fit, 0, RANDOM_EFFECTS_GROUPS_MAX, &estimate),
                     MEASURE_BAD_SETTING);
    ck_assert_int_eq(random_effects_estimate(&fit, 0, 5, &estimate), MEASURE_TOO_FEW);
    ck_assert_int_eq(random_effects_estimate(&fit, 5, 0, &estimate), MEASURE_TOO_FEW);
    double *const at[] = {value, variance, covariate};
    for (int i = 0; i < 3; i++) {
        double good = at[i][2];
        at[i][2] = NAN;
        ck_assert_int_eq(random_effects_fit(&input, &fit), MEASURE_NOT_FINITE);
        at[i][2] = good;
    }
    variance[2] = 0.0;
    ck_assert_int_eq(random_effects_fit(&input, &fit), MEASURE_BAD_SETTING);
    variance[2] = 2.0;
    group[2] = -1;
    ck_assert_int_eq(random_effects_fit(&input, &fit), MEASURE_BAD_SETTING);
    group[2] = RANDOM_EFFECTS_GROUPS_MAX;
    ck_assert_int_eq(random_effects_fit(&input, &fit), MEASURE_BAD_SETTING);
    input.count = 0;
    ck_assert_int_eq(random_effects_fit(&input, &fit), MEASURE_TOO_FEW);
}
END_TEST

/* Spreads of which one is none, or known for certain. */
START_TEST(a_spread_that_is_none_has_no_say)
{
    const struct spread none = {0.0, 0.0}, some = {4.0, 6.0}, certain = {9.0, INFINITY};
    ck_assert_double_eq(spread_together(none, some).variance, 4.0);
    ck_assert_double_eq(spread_together(some, none).variance, 4.0);
    ck_assert_double_eq(spread_together(some, certain).variance, 9.0);
    ck_assert_double_eq(spread_together(certain, some).variance, 9.0);
}
END_TEST

/* ---- distributions: outside of what they are made for the value that claims least ---- */

START_TEST(distributions_outside_of_their_domain)
{
    static const double no_df[] = {NAN, 0.0, -1.0}, no_share[] = {NAN, 0.0, 1.0};
    double factor;
    for (int i = 0; i < 3; i++) {
        ck_assert_double_eq(t_quantile(0.975, no_df[i]), INFINITY);
        ck_assert_double_eq(t_upper(1.0, no_df[i]), 1.0);
        ck_assert_double_eq(t_two_sided_p(1.0, no_df[i]), 1.0);
        ck_assert_double_eq(chi2_quantile(0.5, no_df[i]), INFINITY);
        ck_assert_double_eq(f_upper(1.0, no_df[i], 3.0), 1.0);
        ck_assert_double_eq(f_upper(1.0, 3.0, no_df[i]), 1.0);
        ck_assert_double_eq(normal_quantile(no_share[i]), INFINITY);
        ck_assert_double_eq(t_quantile(no_share[i], 5.0), INFINITY);
        ck_assert_double_eq(chi2_quantile(no_share[i], 5.0), INFINITY);
        ck_assert_int_eq(tolerance_two_sided(10.0, no_share[i], 0.9, &factor), MEASURE_BAD_SETTING);
        ck_assert_int_eq(tolerance_two_sided(10.0, 0.9, no_share[i], &factor), MEASURE_BAD_SETTING);
    }
    ck_assert_int_eq(tolerance_two_sided(INFINITY, 0.9, 0.9, &factor), MEASURE_BAD_SETTING);
    ck_assert_int_eq(tolerance_two_sided(1.0, 0.9, 0.9, &factor), MEASURE_TOO_FEW);
    ck_assert_double_eq(chi2_quantile(0.5, INFINITY), INFINITY);
    ck_assert_double_eq(normal_upper(NAN), 1.0);
    ck_assert_double_eq(t_upper(NAN, 5.0), 1.0);
    ck_assert_double_eq(t_upper(INFINITY, 5.0), 0.0);
    ck_assert_double_eq(t_upper(-INFINITY, 5.0), 1.0);
    ck_assert_double_eq(t_upper(1.959963984540054, 1e9), normal_upper(1.959963984540054));
    ck_assert_double_eq(t_two_sided_p(NAN, 5.0), 1.0);
    ck_assert_double_eq(f_upper(NAN, 3.0, 5.0), 1.0);
    ck_assert_double_eq(f_upper(0.0, 3.0, 5.0), 1.0);
}
END_TEST

/* ---- cues ---- */

/* Each setting by itself makes another cue. */
START_TEST(cues_are_equal_in_all_or_not)
{
    const struct cue_settings one = {8.0, 10.0, 1.0, 0.2, 0.7, 0.5, 0.5};
    struct cue_settings other = one;
    double *const of[] = {&other.band_above_mm, &other.band_below_mm, &other.filter_hz,
                          &other.dead_band,     &other.on_delay_s,    &other.off_delay_s,
                          &other.no_reading_s};
    ck_assert_uint_eq(sizeof of / sizeof of[0] * sizeof(double), sizeof one);
    ck_assert(cue_settings_equal(&one, &other));
    for (size_t i = 0; i < sizeof of / sizeof of[0]; i++) {
        double good = *of[i];
        *of[i] += 0.25;
        ck_assert_msg(!cue_settings_equal(&one, &other), "setting %zu", i);
        *of[i] = good;
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("refused_input");
    TCase *tests = tcase_create("refused_input");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, a_plan_of_what_cannot_be);
    tcase_add_test(tests, a_power_of_what_cannot_be);
    tcase_add_test(tests, a_comparison_of_what_cannot_be);
    tcase_add_test(tests, limits_of_what_cannot_be_are_none);
    tcase_add_test(tests, effects_of_what_cannot_be);
    tcase_add_test(tests, a_spread_that_is_none_has_no_say);
    tcase_add_test(tests, distributions_outside_of_their_domain);
    tcase_add_test(tests, cues_are_equal_in_all_or_not);
    return test_main(suite);
}
