/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "trial.h"

#include "support/test_main.h"

#include <math.h>
#include <string.h>

/* Which verdict a comparison comes to, and what it advises. */

START_TEST(not_tied)
{
    struct trial *trial = trial_start(3, 10.0);
    trial->builds[1].tied = false;
    for (int i = 0; i < 3; i++) {
        for (int s = 0; s < 3; s++) {
            trial_add(trial, s, 0, 900.0 - 30.0 * s + i);
        }
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    struct comparison *r = &trial->result;
    ck_assert_int_eq(r->difference[1].verdict, VERDICT_NOT_COMPARABLE);
    ck_assert_int_eq(r->difference[1].advice, ADVICE_TIE);
    ck_assert_int_eq(r->difference[1].reason, REASON_NOT_TIED);
    ck_assert(!r->setup[1].has_interval && !r->setup[1].tied);
    ck_assert_double_eq_tol(r->setup[1].mean, 871.0, 1e-9);
    ck_assert_int_eq(r->difference[2].verdict, VERDICT_LOWER);
    ck_assert_double_eq(r->repeatability_df, 6); /* its holds still tell how holds repeat */
    trial->builds[1].tied = true;
    trial->builds[0].tied = false;
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert_int_eq(r->difference[1].verdict, VERDICT_NOT_COMPARABLE);
    ck_assert_int_eq(r->difference[2].verdict, VERDICT_NOT_COMPARABLE);
    /* one build tied, one not: the tied one's holds are the setup's */
    trial->builds[0].tied = true;
    trial->builds[3] = (struct compare_build){.setup = 1, .tied = false, .position_group = 9};
    trial->input.build_count = 4;
    trial_add(trial, 3, 0, 700.0);
    trial_add(trial, 3, 0, 701.0);
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert_double_eq_tol(r->setup[1].mean, 871.0, 1e-9);
    ck_assert_int_eq(r->setup[1].holds, 3);
    ck_assert_double_eq(r->repeatability_df, 7);
}
END_TEST

START_TEST(unreplicated)
{
    /* No setup held twice: means only */
    struct trial *trial = trial_start(3, 10.0);
    for (int s = 0; s < 3; s++) {
        trial_add(trial, s, s, 900.0 - 40.0 * s);
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    struct comparison *r = &trial->result;
    ck_assert(!r->has_repeatability);
    for (int s = 1; s < 3; s++) {
        ck_assert(!r->setup[s].has_interval && !r->difference[s].has_interval);
        ck_assert_int_eq(r->difference[s].verdict, VERDICT_CANNOT_TELL);
        ck_assert_int_eq(r->difference[s].advice, ADVICE_MORE_HOLDS);
        ck_assert_double_eq_tol(r->difference[s].difference, -40.0 * s, 1e-9);
    }
    trial_add(trial, 0, 4, 903.0); /* one repeat: everything is borrowed from it, provisional */
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert(r->has_repeatability && r->provisional && r->setup[1].borrowed_repeatability);
    ck_assert_double_eq(r->repeatability_df, 1);
}
END_TEST

/* The first verdict that holds. Two setups, 4 holds each, SE = s / sqrt 2 = 1, df 6. */
static enum verdict verdict_at(double difference, double matters, bool up)
{
    struct trial *trial = trial_start(2, matters);
    double step = sqrt(2.0) * sqrt(6.0 / 8.0);
    for (int i = 0; i < 4; i++) {
        trial_add(trial, 0, 0, 900.0 + (i % 2 ? step : -step));
        trial_add(trial, 1, 0, 900.0 + difference + (i % 2 ? step : -step));
    }
    trial->input.higher_is_up = up;
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert_double_eq_tol(trial->result.difference[1].standard_error, 1.0, 1e-9);
    return trial->result.difference[1].verdict;
}

START_TEST(verdict_order)
{
    /* t(6): .975 2.4469: the interval that is printed, and nothing else */
    ck_assert_int_eq(verdict_at(-0.5, 10, true), VERDICT_NO_DIFFERENCE);
    ck_assert_int_eq(verdict_at(2.4, 10, true), VERDICT_NO_DIFFERENCE);
    ck_assert_int_eq(verdict_at(2.5, 10, true), VERDICT_LESS_THAN_MATTERS);
    ck_assert_int_eq(verdict_at(-7.5, 10, true), VERDICT_LESS_THAN_MATTERS);
    ck_assert_int_eq(verdict_at(-7.6, 10, true), VERDICT_LOWER); /* 7.6 + 2.4469 is over 10 */
    ck_assert_int_eq(verdict_at(7.6, 10, true), VERDICT_HIGHER);
    ck_assert_int_eq(verdict_at(7.6, 10, false), VERDICT_LOWER);
    ck_assert_int_eq(verdict_at(-30, 10, true), VERDICT_LOWER);
    ck_assert_int_eq(verdict_at(0.5, 2, true), VERDICT_CANNOT_TELL);
    ck_assert_int_eq(verdict_at(2.4, 2, true), VERDICT_CANNOT_TELL);
    ck_assert_int_eq(verdict_at(2.5, 2, true), VERDICT_HIGHER);
}
END_TEST

START_TEST(intervals_hold_together)
{
    /* the same difference against the first is 'higher' alone, and not among four: five groups of
     * four, 15 degrees of freedom, Dunnett 1964, table II: 2.73, against Student's 2.131 */
    struct trial *trial = trial_start(5, 2.0);
    double step = sqrt(2.0) * sqrt(6.0 / 8.0);
    for (int s = 0; s < 5; s++) {
        for (int i = 0; i < 4; i++) {
            trial_add(trial, s, 0, 900.0 + (s == 1 ? 2.6 : 0.0) + (i % 2 ? step : -step));
        }
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    struct comparison *r = &trial->result;
    struct setup_difference *d = &r->difference[1];
    ck_assert_int_eq(r->compared, 4);
    ck_assert_double_eq_tol(r->limit_holds, 2.727, 0.0015);
    ck_assert_double_eq_tol(d->high - d->difference, r->limit_holds * d->standard_error, 1e-9);
    ck_assert_int_eq(d->verdict, VERDICT_CANNOT_TELL);
    ck_assert(d->low < 0.0); /* the interval beside it says the same */
    ck_assert_double_gt(2.6, 2.131 * d->standard_error);
}
END_TEST

START_TEST(advice_follows_what_dominates)
{
    /* holds dominate */
    struct trial *trial = trial_start(2, 10.0);
    const double noise[] = {5, -5};
    for (int i = 0; i < 2; i++) {
        trial_add(trial, 0, 0, 900.0 + noise[i]);
        trial_add(trial, 1, 0, 885.0 + noise[i]);
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    struct setup_difference *d = &trial->result.difference[1];
    ck_assert_int_eq(d->verdict, VERDICT_CANNOT_TELL);
    ck_assert_int_eq(d->advice, ADVICE_MORE_HOLDS);
    ck_assert_int_ge(d->advice_holds, 1);
    ck_assert_int_le(d->advice_holds, 4);
    /* and so many more, as alike as these, do settle it */
    for (int i = 0; i < d->advice_holds; i++) {
        trial_add(trial, 0, 0, 900.0 + (i % 2 ? 7.0 : -7.0));
        trial_add(trial, 1, 0, 885.0 + (i % 2 ? 7.0 : -7.0));
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert_int_ne(d->verdict, VERDICT_CANNOT_TELL);
    /* a tape dominates: read the plate; a plate dominates: build it again */
    const double u[] = {6.0, 1.0}, gap[] = {8.0, 1.5}, matters[] = {10.0, 2.0};
    const enum compare_advice want[] = {ADVICE_PLATE, ADVICE_BUILD_AGAIN};
    for (int k = 0; k < 2; k++) {
        trial = trial_start(2, matters[k]);
        trial->builds[0].u_build = trial->builds[1].u_build = u[k];
        for (int i = 0; i < 8; i++) {
            trial_add(trial, 0, 0, 900.0 + (i % 2 ? 0.3 : -0.3));
            trial_add(trial, 1, 0, 900.0 - gap[k] + (i % 2 ? 0.3 : -0.3));
        }
        ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
        d = &trial->result.difference[1];
        ck_assert_int_eq(d->verdict, VERDICT_CANNOT_TELL);
        ck_assert_int_eq(d->advice, want[k]);
        ck_assert_int_eq(d->reason, k == 0 ? REASON_SENSOR_HEIGHT : REASON_TIE_LEAVES);
    }
}
END_TEST

/* Always in the band on both setups: nothing could show a difference. As heights the same numbers
 * would be a stuck sensor's. */
START_TEST(shares_at_their_end)
{
    struct trial *trial = trial_start(3, 0.1);
    trial->input.shares = true;
    for (int h = 0; h < 2; h++) {
        trial_add(trial, 0, 3 * h + 1, 1.0);
        trial_add(trial, 1, 3 * h + 2, 1.0);
        trial_add(trial, 2, 3 * h + 3, 0.8);
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_CONSTANT);
    const struct setup_difference *d = trial->result.difference;
    ck_assert_int_eq(d[1].verdict, VERDICT_NO_DIFFERENCE);
    ck_assert_int_eq(d[1].reason, REASON_ALWAYS_IN_BAND);
    ck_assert_int_eq(d[1].advice, ADVICE_NONE);
    ck_assert(!d[1].has_interval);
    ck_assert_double_eq(d[1].difference, 0.0);
    ck_assert_int_eq(d[2].verdict, VERDICT_CANNOT_TELL);
    for (int h = 0; h < trial->input.hold_count; h++) {
        trial->holds[h].value = 0.0;
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_CONSTANT);
    ck_assert_int_eq(d[2].verdict, VERDICT_NO_DIFFERENCE);
    ck_assert_int_eq(d[2].reason, REASON_NEVER_IN_BAND);
    for (int h = 0; h < trial->input.hold_count; h++) {
        trial->holds[h].value = 0.5; /* the same, but it could be more or less */
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_CONSTANT);
    ck_assert_int_eq(d[1].verdict, VERDICT_CANNOT_TELL);
    for (int h = 0; h < trial->input.hold_count; h++) {
        trial->holds[h].value = 1.0;
    }
    trial->input.shares = false;
    ck_assert_int_eq(trial_compare(trial), MEASURE_CONSTANT);
    ck_assert_int_eq(d[1].verdict, VERDICT_CANNOT_TELL);
    trial->input.shares = true;
    trial->input.hold_count = 2; /* once each is too thin */
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert_int_eq(d[1].verdict, VERDICT_CANNOT_TELL);
    trial_add(trial, 1, 3, 1.0); /* and so is once on the first */
    trial->holds[2] = trial->holds[trial->input.hold_count - 1];
    trial->input.hold_count = 3;
    ck_assert_int_eq(trial_compare(trial), MEASURE_CONSTANT);
    ck_assert_int_eq(d[1].verdict, VERDICT_CANNOT_TELL);
}
END_TEST

/* Shares come of guided holds alone, and that is what the first setup is said to lack. */
START_TEST(a_first_setup_without_holds_lacks_those_that_are_compared)
{
    struct trial *trial = trial_start(2, 0.1);
    for (int h = 0; h < 4; h++) {
        trial_add(trial, 1, h + 1, 0.8 + 0.02 * h);
    }
    for (int shares = 0; shares <= 1; shares++) {
        trial->input.shares = shares == 1;
        ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
        const struct setup_difference *d = &trial->result.difference[1];
        ck_assert_int_eq(d->verdict, VERDICT_NOT_COMPARABLE);
        ck_assert_int_eq(d->reason, trial->input.shares ? REASON_BASELINE_NO_GUIDED_HOLDS
                                                        : REASON_BASELINE_NO_HOLDS);
        ck_assert_int_eq(d->advice, ADVICE_MORE_HOLDS);
        ck_assert_int_eq(d->advice_holds, 2);
    }
}
END_TEST

/* A usual scatter in mm has no say in shares: their intervals are of their own holds alone. The
 * same numbers as heights have it, of as few holds. */
START_TEST(shares_have_no_usual_scatter)
{
    struct trial *trial = trial_start(2, 0.1);
    const double value[] = {0.80, 0.60, 0.85, 0.66, 0.93, 0.71};
    for (int h = 0; h < 6; h++) {
        trial_add(trial, h % 2, h + 1, value[h]);
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert(trial->result.setup[0].has_interval && trial->result.setup[0].assumed);
    double usual = trial->result.setup[0].half_width;
    trial->input.shares = true;
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert(trial->result.setup[0].has_interval && !trial->result.setup[0].assumed);
    ck_assert_double_lt(trial->result.setup[0].half_width, usual);
}
END_TEST

/* Read with the plate, the ties' variance would be 1 mm² of what it is now: 1 / 1.21² = 0.68 of it
 * helps, 1 / 1.18² = 0.72 does not. */
START_TEST(a_plate_is_asked_for_where_it_helps)
{
    const double u[] = {1.21, 1.18};
    const enum compare_advice want[] = {ADVICE_PLATE, ADVICE_BUILD_AGAIN};
    for (int k = 0; k < 2; k++) {
        struct trial *trial = trial_start(2, 2.0);
        trial->builds[0].u_build = trial->builds[1].u_build = u[k];
        for (int i = 0; i < 8; i++) {
            trial_add(trial, 0, 0, 900.0 + (i % 2 ? 0.3 : -0.3));
            trial_add(trial, 1, 0, 898.5 + (i % 2 ? 0.3 : -0.3));
        }
        ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
        ck_assert_int_eq(trial->result.difference[1].verdict, VERDICT_CANNOT_TELL);
        ck_assert_int_eq(trial->result.difference[1].advice, want[k]);
    }
}
END_TEST

/* Which setup each hold is of, in the order of riding. */
static const struct comparison *ridden(const char *design, double kept_shortest_s)
{
    struct trial *trial = trial_start(2, 10.0);
    for (int i = 0; design[i] != '\0'; i++) {
        trial_add(trial, design[i] - 'A', i + 1, 900.0 + (i * 7 % 5));
        trial->holds[i].mean_se = 1.0;
        trial->holds[i].kept_s = i == 0 ? kept_shortest_s : 60.0;
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    return &trial->result;
}

/* Order indices by hand: 1 - (sum of squares of the order within setups) / (over all): AABABBBBBBBB
 * 0.486, AAAAAABBBABB 0.504. */
START_TEST(the_order_is_taken_out_where_the_design_carries_it)
{
    const struct comparison *r = ridden("AABABBBBBBBB", 60.0);
    ck_assert_double_eq_tol(r->order_index, 0.4856, 1e-4);
    ck_assert(r->order_fitted);
    r = ridden("AAAAAABBBABB", 60.0);
    ck_assert_double_eq_tol(r->order_index, 0.5041, 1e-4);
    ck_assert(!r->order_fitted);
    ck_assert(ridden("ABBAAB", 60.0)->order_fitted); /* 6 holds, 2 levels and a slope: 3 left */
    ck_assert(!ridden("ABBAB", 60.0)->order_fitted); /* 2 left */
    ck_assert_double_eq(ridden("ABBAAB", 60.0)->repeatability_df, 3);
    ck_assert(ridden("ABBAAB", 60.0)->provisional);
    ck_assert(!ridden("ABBAABA", 60.0)->provisional); /* 4 */
}
END_TEST

START_TEST(a_second_opinion_from_twice_the_length_on)
{
    ck_assert(ridden("ABBAAB", 29.5)->uneven);
    ck_assert(!ridden("ABBAAB", 30.5)->uneven);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("verdicts");
    TCase *tests = tcase_create("verdicts");
    tcase_set_timeout(tests, 30);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, not_tied);
    tcase_add_test(tests, unreplicated);
    tcase_add_test(tests, verdict_order);
    tcase_add_test(tests, intervals_hold_together);
    tcase_add_test(tests, advice_follows_what_dominates);
    tcase_add_test(tests, shares_at_their_end);
    tcase_add_test(tests, a_first_setup_without_holds_lacks_those_that_are_compared);
    tcase_add_test(tests, shares_have_no_usual_scatter);
    tcase_add_test(tests, a_plate_is_asked_for_where_it_helps);
    tcase_add_test(tests, the_order_is_taken_out_where_the_design_carries_it);
    tcase_add_test(tests, a_second_opinion_from_twice_the_length_on);
    return test_main(suite);
}
