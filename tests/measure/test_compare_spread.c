/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "reference.h"
#include "trial.h"

#include "../../src/measure/compare_fit.h"
#include "measure/compare.h"
#include "measure/distribution.h"

/* Comparison of setups whose holds differ in length, or in how they repeat; what was learnt before.
 */

START_TEST(second_opinion_on_all_holds)
{
    struct trial *trial = trial_start(2, 10.0);
    for (int h = 0; h < COMPARE_HOLDS_MAX; h++) {
        trial_add(trial, h % 2, 0, (h % 2 ? 890.0 : 900.0) + (h / 4 % 2 ? 0.5 : -0.5));
        trial->holds[h].mean_se = h / 2 % 2 ? 1.0 : 3.0;
        trial->holds[h].kept_s = h / 2 % 2 ? 120.0 : 25.0;
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert(trial->result.uneven && trial->result.difference[1].has_second);
    ck_assert_double_eq_tol(trial->result.difference[1].second_difference, -10.0, 1e-9);
    /* weights of 200 holds of either setup, half 1 and half 1/9 */
    double u = sqrt(2.0 / (100.0 + 100.0 / 9.0)), t = t_quantile(0.975, 398);
    ck_assert_double_eq_tol(trial->result.difference[1].second_high, -10.0 + t * u, 1e-6);
}
END_TEST

/* Holds of 120 and 25 s in mirror order: by hand. */
START_TEST(second_opinion_on_uneven_holds)
{
    struct trial *trial = trial_start(2, 10.0);
    trial_add(trial, 0, 1, 900.0);
    trial_add(trial, 1, 2, 890.0);
    trial_add(trial, 1, 3, 889.1);
    trial_add(trial, 0, 4, 900.9);
    const struct setup_difference *d = &trial->result.difference[1];
    /* standard errors not known: nothing to weigh by */
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert(!trial->result.uneven && !d->has_second);
    for (int h = 0; h < 4; h++) {
        bool is_long = h < 2;
        trial->holds[h].mean_se = is_long ? 1.0 : 3.0;
        trial->holds[h].kept_s = is_long ? 120.0 : 25.0;
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert(trial->result.uneven && d->has_second);
    ck_assert_double_eq(trial->result.shortest_s, 25.0);
    ck_assert_double_eq(trial->result.longest_s, 120.0);
    ck_assert_double_eq_tol(d->difference, -10.9, 1e-9);
    /* weights 1 and 1/9: 900.09 and 889.91; squares 0.18 under 2, so that tau^2 is 0 */
    ck_assert_double_eq_tol(d->second_difference, 889.91 - 900.09, 1e-9);
    double half = t_quantile(0.975, 2) * sqrt(2.0 / (10.0 / 9.0));
    ck_assert_double_eq_tol(d->second_high - d->second_difference, half, 1e-9);
    ck_assert_double_eq_tol(d->second_difference - d->second_low, half, 1e-9);
    /* a plate of 1 mm for the second build comes in quadrature, with 1.96 */
    trial->builds[1].u_build = 1.0;
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert_double_eq_tol(d->second_high - d->second_difference,
                            hypot(half, normal_quantile(0.975)), 1e-9);
    /* under twice as long: no second opinion, and the verdict is the same either way */
    enum verdict verdict = d->verdict;
    for (int h = 2; h < 4; h++) {
        trial->holds[h].kept_s = 61.0;
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert(!trial->result.uneven && !d->has_second);
    ck_assert_int_eq(d->verdict, verdict);
    /* nonsense is 'not known' */
    static const double known[][2] = {
        {NAN, 120.0}, {0.0, 120.0}, {(double)INFINITY, 120.0}, {1.0, 0.0}, {1.0, NAN}};
    for (int i = 0; i < 5; i++) {
        trial->holds[2].kept_s = 25.0;
        trial->holds[1].mean_se = known[i][0];
        trial->holds[1].kept_s = known[i][1];
        ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
        ck_assert(!trial->result.uneven && !d->has_second);
        ck_assert_double_eq(trial->result.longest_s, 0.0);
    }
}
END_TEST

/* Setups whose holds are -a, 0, a about their mean. */
static const struct comparison *three_spreads(const double a[3])
{
    struct trial *trial = trial_start(3, 10.0);
    for (int s = 0; s < 3; s++) {
        for (int i = -1; i <= 1; i++) {
            trial_add(trial, s, 0, 900.0 - 40.0 * s + i * a[s]);
        }
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    return &trial->result;
}

/* Cochran's C of three setups with three holds each is Beta(1, 2) for one of them: over c with the
 * chance 3 (1 - c)^2. At 5 % that is c = 0.871, as ISO 5725-2:1994, table 4, has it; at SPREAD_P =
 * 0.15 it is 0.7764: a^2/(a^2 + 2) reaches it at a = 2.635. */
START_TEST(a_spread_of_its_own)
{
    const struct comparison *r = three_spreads((double[]){1, 2.62, 1});
    ck_assert(r->spread_seen);
    ck_assert(!r->setup[0].own_spread && !r->setup[1].own_spread);
    r = three_spreads((double[]){1, 2.65, 1});
    ck_assert(r->setup[1].own_spread && !r->setup[0].own_spread && !r->setup[2].own_spread);
    /* a = 3: 9 with 2 df, and of setup 1 the pooled (18 + 2 + 2)/6 with 6; each over three holds.
     * Welch-Satterthwaite's df 3.75387, at the level of Dunnett's 2.86275 with 6 df:
     * Student's 3.45484 (SciPy 1.10, by quadrature) */
    r = three_spreads((double[]){1, 3, 1});
    ck_assert_double_eq_tol(r->setup[1].spread, 3.0, 1e-9);
    ck_assert_double_eq_tol(r->difference[1].standard_error, sqrt(3.0 + 22.0 / 18.0), 1e-9);
    ck_assert_double_eq_tol(r->difference[1].high - r->difference[1].low, 2.0 * 7.099, 0.01);
    /* the others keep what is pooled, the restless one with it */
    ck_assert_double_eq_tol(r->difference[2].standard_error, sqrt(2.0 * 22.0 / 18.0), 1e-9);
    /* its own interval: 9 over three holds, t of 2 df 4.30265 */
    ck_assert_double_eq_tol(r->setup[1].half_width, 4.30265 * sqrt(3.0), 1e-4);
}
END_TEST

START_TEST(two_holds_show_no_spread_of_their_own)
{
    struct trial *trial = trial_start(2, 10.0);
    const double values[] = {900, 901, 860, 890};
    for (int i = 0; i < 4; i++) {
        trial_add(trial, i / 2, 0, values[i]);
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert(!trial->result.spread_seen && !trial->result.setup[1].own_spread);
    ck_assert(isnan(trial->result.setup[1].spread));
}
END_TEST

/* Two holds each, 2 and 4 apart: 2 + 8 over 2 df = 5. Learnt: SD 4, worth 8: (10 + 128)/10 = 13.8
 * with 10 df; t 2.22814, two holds each. */
START_TEST(what_was_learnt_has_its_say)
{
    struct trial *trial = trial_start(2, 10.0);
    const double values[] = {900, 902, 880, 884};
    for (int i = 0; i < 4; i++) {
        trial_add(trial, i / 2, 0, values[i]);
    }
    trial->input.learnt = (struct spread){16.0, 8.0};
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    const struct comparison *r = &trial->result;
    ck_assert_double_eq_tol(r->repeatability, sqrt(13.8), 1e-9);
    ck_assert_double_eq_tol(r->repeatability_df, 10.0, 1e-9);
    ck_assert_double_eq_tol(r->repeatability_here, sqrt(5.0), 1e-9);
    ck_assert_double_eq_tol(r->repeatability_here_df, 2.0, 1e-9);
    ck_assert_double_eq_tol(r->repeatability_learnt, 4.0, 1e-9);
    ck_assert_double_eq_tol((r->difference[1].high - r->difference[1].low) / 2.0,
                            2.22814 * sqrt(13.8), 1e-3);
    ck_assert(!r->provisional && !r->setup[0].assumed);
    /* nothing learnt: 2 df, and a usual SD of 5 mm worth 3 has its say in what is shown of a setup
     * alone: (10 + 75)/5 = 17 with 5 df, t 2.57058; not in the difference, t of 2 df 4.30265 */
    trial->input.learnt = (struct spread){0.0, 0.0};
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert(r->setup[0].assumed && r->provisional);
    ck_assert_double_eq_tol(r->setup[0].half_width, 2.57058 * sqrt(17.0 / 2.0), 1e-4);
    ck_assert_double_eq_tol((r->difference[1].high - r->difference[1].low) / 2.0,
                            4.30265 * sqrt(5.0), 1e-3);
}
END_TEST

/* The others hardly moved, or not at all: where there is no spread to hold it against, one that has
 * any is not apart. */
START_TEST(beside_no_spread_at_all_none_is_apart)
{
    ck_assert(!three_spreads((double[]){0, 4, 0})->setup[1].own_spread);
    ck_assert(three_spreads((double[]){0, 4, 0.001})->setup[1].own_spread);
}
END_TEST

/* Where each cell has its own spread, and all have the same, a difference is as well known as with
 * one for all: level, baseline and the order's slope are made of nothing else. */
START_TEST(cells_own_shares_are_all_there_is)
{
    static const int orders[] = {1, 4, 5, 2, 6, 7, 3, 8, 9};
    static const double value[] = {900, 901, 898, 889, 892, 890, 880, 879, 883};
    static struct fit fit;
    struct trial *trial = trial_start(3, 10.0);
    for (int h = 0; h < 9; h++) {
        trial_add(trial, h / 3, orders[h], value[h] + 0.5 * orders[h]);
    }
    ck_assert_int_eq(compare_fit(&trial->input, &fit), MEASURE_OK);
    ck_assert(fit.order_fitted);
    for (int s = 0; s < 3; s++) {
        fit.cell[s].apart = true;
        fit.cell[s].own = (struct spread){5.0, 2.0};
    }
    fit.pooled.variance = 1e6; /* has no share */
    for (int s = 0; s < 3; s++) {
        for (int baseline = -1; baseline < 3; baseline++) {
            double expected = 5.0 * fit_hold_factor(&fit, s, baseline);
            ck_assert(s == baseline || fabs(fit_hold_variance(&fit, s, baseline).variance -
                                            expected) < 1e-6 * expected);
        }
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("compare_spread");
    TCase *tests = tcase_create("compare_spread");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, second_opinion_on_all_holds);
    tcase_add_test(tests, second_opinion_on_uneven_holds);
    tcase_add_test(tests, a_spread_of_its_own);
    tcase_add_test(tests, two_holds_show_no_spread_of_their_own);
    tcase_add_test(tests, what_was_learnt_has_its_say);
    tcase_add_test(tests, beside_no_spread_at_all_none_is_apart);
    tcase_add_test(tests, cells_own_shares_are_all_there_is);
    return test_main(suite);
}
