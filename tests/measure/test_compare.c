/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "reference.h"
#include "trial.h"

#include "measure/compare.h"
#include "measure/distribution.h"

/* Comparison of setups: worked values, certified one-way tables, trial order, ties, a second
 * opinion. */

START_TEST(worked)
{
    /* own computation */
    struct trial *trial = trial_start(4, 10.0);
    const double a[] = {412.0, 414.5, 411.2}, b[] = {398.6, 401.1, 399.4}, c[] = {405.3, 404.1};
    for (int i = 0; i < 3; i++) {
        trial_add(trial, 0, 0, a[i]);
    }
    for (int i = 0; i < 3; i++) {
        trial_add(trial, 1, 0, b[i]);
    }
    for (int i = 0; i < 2; i++) {
        trial_add(trial, 2, 0, c[i]);
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    struct comparison *r = &trial->result;
    reference_printed("worked comparison, mean A", r->setup[0].mean, 412.5667, 5e-5);
    reference_printed("worked comparison, mean B", r->setup[1].mean, 399.7, 5e-5);
    reference_printed("worked comparison, mean C", r->setup[2].mean, 404.7, 5e-5);
    reference_printed("worked comparison, s_r", r->repeatability, 1.407598, 5e-7);
    reference_printed("worked comparison, 2.8 s_r", 2.8 * r->repeatability, 3.9413, 5e-5);
    /* printed there as 5.1173 (t rounded); t 2.5705818 x sqrt 2 x s_r is 5.1171 */
    reference_printed("worked comparison, t based limit", r->smallest_detectable, 5.1171, 5e-5);
    reference_printed("worked comparison, A-B", -r->difference[1].difference, 12.8667, 5e-5);
    /* two differences together: R 4.2.2, mvtnorm's qmvt for 3, 3 and 2 values and 5 degrees of
     * freedom (alone it was 2.9544) */
    reference_printed("worked comparison, half-width of A-B",
                      (r->difference[1].high - r->difference[1].low) / 2.0, 3.4974, 2e-3);
    ck_assert_double_eq(r->repeatability_df, 5);
    ck_assert(!r->provisional);
    ck_assert_int_eq(r->difference[1].verdict, VERDICT_LOWER);
    ck_assert_int_eq(r->difference[3].verdict, VERDICT_NONE); /* no holds */
    ck_assert_int_eq(r->difference[0].verdict, VERDICT_NONE);
    /* s_r's own interval by chi-square's tables: factors .62 and 2.45 at 5 df */
    ck_assert_double_eq_tol(r->repeatability_low / r->repeatability, .62, .0051);
    ck_assert_double_eq_tol(r->repeatability_high / r->repeatability, 2.45, .0051);
    /* and a setup held once, against A: borrowed repeatability */
    trial_add(trial, 3, 0, 404.7);
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    reference_printed("worked comparison, one hold against A",
                      (r->difference[3].high - r->difference[3].low) / 2.0, 5.4281, 2e-3);
    ck_assert(r->setup[3].borrowed_repeatability && !r->setup[2].borrowed_repeatability);
    ck_assert(r->setup[3].built_once);
}
END_TEST

/* NIST/SEMATECH e-Handbook 1.3.5.3: miles per gallon of 249 and 79 cars, as printed. Values with
 * the means and standard deviations printed there. */
START_TEST(handbook_cars)
{
    static const struct {
        double mean, sd;
        int count;
    } cars[2] = {{20.14458, 6.41470, 249}, {30.48101, 6.10771, 79}};
    struct trial *trial = trial_start(2, 1.0);
    for (int s = 0; s < 2; s++) {
        trial_add(trial, s, 0, cars[s].mean);
        for (int i = 1; i < cars[s].count; i++) {
            trial_add(trial, s, 0, cars[s].mean + (i % 2 ? cars[s].sd : -cars[s].sd));
        }
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    const struct setup_difference *d = &trial->result.difference[1];
    reference_printed("e-Handbook 1.3.5.3, t", d->difference / d->standard_error, 12.62059, 5e-6);
    reference_printed("e-Handbook 1.3.5.3, 95 % low", d->low, 8.725216, 1e-4);
    reference_printed("e-Handbook 1.3.5.3, 95 % high", d->high, 11.947653, 1e-4);
    ck_assert_int_eq(d->verdict, VERDICT_HIGHER);
}
END_TEST

static void anova(const char *name, double digits)
{
    char file[40], what[80];
    double tolerance;
    snprintf(file, sizeof file, "%s.csv", name);
    struct reference_table *table = reference_table(file);
    struct trial *trial = trial_start(9, 1.0);
    for (size_t i = 0; i < table->rows; i++) {
        trial_add(trial, (int)table->value[i][0] - 1, 0, table->value[i][1]);
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    snprintf(what, sizeof what, "NIST StRD %s residual SD", name);
    reference_check(what, trial->result.repeatability,
                    reference_expected("anova-expected.csv", name, "residual_sd", &tolerance),
                    digits);
    ck_assert_double_eq(
        trial->result.repeatability_df,
        (int)reference_expected("anova-expected.csv", name, "df_within", &tolerance));
    free(table);
}

START_TEST(nist_anova)
{
    anova("SiRstv", 12);
    anova("SmLs01", 13);
    anova("AtmWtAg", 9);
    anova("SmLs04", 9);
}
END_TEST

/* Analysis of covariance by hand: A at 1, 2, 5, 6 and B at 3, 4, slope exactly 2 a hold, noise +-1.
 */
START_TEST(order_covariate)
{
    struct trial *trial = trial_start(2, 10.0);
    const double noise[] = {1, -1, 1, -1, 1, -1}, order[] = {1, 2, 3, 4, 5, 6};
    const int build[] = {0, 0, 1, 1, 0, 0};
    for (int i = 0; i < 6; i++) {
        trial_add(trial, build[i], order[i],
                  900.0 - 5.0 * (build[i] == 1) + 2.0 * order[i] + noise[i]);
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    struct comparison *r = &trial->result;
    ck_assert(r->order_fitted);
    ck_assert_double_eq(r->order_index, 0.0);
    ck_assert_double_eq(r->repeatability_df, 3);
    /* within cells: orders -2.5 -1.5 1.5 2.5 and -.5 .5, sum of squares 17.5; with the noise
     * -2.5+1.5+1.5-2.5-.5-.5 = -3 */
    double slope = 2.0 - 3.0 / 17.5;
    ck_assert_double_eq_tol(r->order_per_hold, slope, 1e-10);
    ck_assert_double_eq_tol(r->difference[1].difference, -5.0, 1e-10); /* mean orders are equal */
    double variance = (6.0 - 9.0 / 17.5) / 3.0;
    ck_assert_double_eq_tol(r->repeatability, sqrt(variance), 1e-10);
    ck_assert_double_eq_tol(r->difference[1].standard_error, sqrt(variance * 0.75), 1e-10);
    ck_assert_double_eq_tol(r->order_half_width, t_quantile(.975, 3) * sqrt(variance / 17.5), 1e-9);
}
END_TEST

START_TEST(order_index)
{
    /* own computation: confounding index of designs */
    const struct {
        const char *design;
        double index;
    } table[] = {{"AABB", .80}, {"AABBCC", .91}, {"AAABBB", .77}, {"ABAB", .20},    {"ABBABA", .01},
                 {"ABBA", 0},   {"ABBAABBA", 0}, {"ABCCBA", 0},   {"AABBCCAA", .10}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        struct trial *trial = trial_start(3, 10.0);
        char what[60];
        for (int h = 0; table[i].design[h]; h++) {
            trial_add(trial, table[i].design[h] - 'A', h + 1, 900.0 + (h * 7) % 5);
        }
        trial_compare(trial);
        snprintf(what, sizeof what, "order index of %s", table[i].design);
        reference_printed(what, trial->result.order_index, table[i].index, 0.005);
    }
}
END_TEST

/* Order and setup go together, and height fell steadily: no verdict, and what would help. */
START_TEST(order_refuses)
{
    struct trial *trial = trial_start(2, 10.0);
    for (int h = 0; h < 8; h++) {
        trial_add(trial, h / 4, h + 1, 900.0 - 10.0 * h + (h % 2 ? 0.4 : -0.4));
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert_int_eq(trial->result.difference[1].verdict, VERDICT_NOT_COMPARABLE);
    ck_assert_int_eq(trial->result.difference[1].advice, ADVICE_RETURN_TO_FIRST);
    ck_assert(!trial->result.difference[1].has_interval);
    /* the same, but the first ridden again at the end: comparable, and the fall is taken out */
    trial_add(trial, 0, 9, 820.0);
    trial_add(trial, 0, 10, 810.0);
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert(trial->result.order_fitted);
    ck_assert_double_eq_tol(trial->result.order_per_hold, -10.0, 0.2);
    ck_assert_int_eq(trial->result.difference[1].verdict, VERDICT_NO_DIFFERENCE);
}
END_TEST

START_TEST(ties_enter_once_per_build)
{
    /* Half-width is sqrt(t^2 holds + 1.96^2 ties) whatever the number of holds. */
    for (int holds = 3; holds <= 21; holds += 6) {
        struct trial *trial = trial_start(2, 10.0);
        trial->builds[1].u_build = 1.5;
        trial->builds[1].u_common = 2.0;
        for (int i = 0; i < holds; i++) {
            trial_add(trial, 0, 0, 900.0 + (i % 2 ? 3.0 : -3.0));
            trial_add(trial, 1, 0, 880.0 + (i % 2 ? 3.0 : -3.0));
        }
        ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
        struct setup_difference *d = &trial->result.difference[1];
        double df = 2.0 * (holds - 1), t = t_quantile(.975, df);
        double part = 2.0 / holds * trial->result.repeatability * trial->result.repeatability;
        ck_assert_double_eq_tol(d->tie_error, 2.5, 1e-12);
        ck_assert_double_eq_tol(d->standard_error, sqrt(part + 6.25), 1e-10);
        double half = sqrt(t * t * part + 1.959963984540054 * 1.959963984540054 * 6.25);
        ck_assert_double_eq_tol((d->high - d->low) / 2.0, half, 1e-7);
        ck_assert_double_eq_tol(trial->result.setup[1].half_width,
                                sqrt(t * t * part / 2.0 + 3.8414588206941 * 6.25), 1e-6);
    }
}
END_TEST

/* Ties of three setups whose holds hardly scatter: two independent known differences reach Sidak's
 * 2.2365 (his product, normal case), with the first setup's tie in both 2.2121 (Dunnett 1964, table
 * II, infinite degrees of freedom: 2.21). */
START_TEST(known_parts_hold_together)
{
    struct trial *trial = trial_start(3, 10.0);
    trial->builds[1].u_build = trial->builds[2].u_build = 2.0;
    for (int i = 0; i < 4; i++) {
        for (int s = 0; s < 3; s++) {
            trial_add(trial, s, 0, 900.0 - 30.0 * s + (i % 2 ? 0.01 : -0.01));
        }
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    const struct comparison *r = &trial->result;
    ck_assert_double_eq_tol(r->limit_known, 2.2365, 2e-4);
    ck_assert_double_eq_tol(r->difference[1].high - r->difference[1].difference, 2.0 * 2.2365,
                            0.01);
    trial->builds[0].u_build = 2.0;
    trial->builds[0].position_group = 7;
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert_double_eq_tol(r->limit_known, 2.2121, 2e-3);
    /* what two of four have in common beside it makes the parts unlike: treated as apart */
    ck_assert_double_lt(r->limit_known, 2.2365);
    trial = trial_start(4, 10.0);
    for (int s = 1; s < 4; s++) {
        trial->builds[s].u_build = 2.0;
        trial->builds[s].u_common = 1.5;
        trial->builds[s].position_group = s == 3 ? 8 : 9;
    }
    for (int i = 0; i < 8; i++) {
        trial_add(trial, i / 2, 0, 900.0 - 30.0 * i + (i % 2 ? 0.01 : -0.01));
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert_double_eq_tol(trial->result.limit_known, 2.3877, 2e-4); /* Sidak, of three */
}
END_TEST

START_TEST(common_part_cancels_in_a_group)
{
    struct trial *trial = trial_start(2, 10.0);
    trial->builds[0].u_common = trial->builds[1].u_common = 3.0;
    trial->builds[0].position_group = trial->builds[1].position_group = 5;
    trial->builds[0].u_build = trial->builds[1].u_build = 0.3;
    for (int i = 0; i < 3; i++) {
        trial_add(trial, 0, 0, 900.0 + i);
        trial_add(trial, 1, 0, 890.0 + i);
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert_double_eq_tol(trial->result.difference[1].tie_error, 0.3 * sqrt(2.0), 1e-12);
    trial->builds[1].position_group = 6;
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert_double_eq_tol(trial->result.difference[1].tie_error, sqrt(2 * .09 + 18.0), 1e-12);
    /* two builds of a setup: its own part halves in variance */
    trial->builds[1].position_group = 5;
    trial->builds[2] = (struct compare_build){
        .setup = 1, .tied = true, .u_build = .3, .u_common = 3, .position_group = 5};
    trial->input.build_count = 3;
    for (int i = 0; i < 3; i++) {
        trial_add(trial, 2, 0, 890.0 + i);
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert_double_eq_tol(trial->result.difference[1].tie_error, sqrt(.09 + .045), 1e-12);
    ck_assert_int_eq(trial->result.setup[1].builds, 2);
    ck_assert(!trial->result.setup[1].built_once && trial->result.setup[0].built_once);
}
END_TEST

START_TEST(session_part_counts_once_for_each_session)
{
    struct trial *trial = trial_start(3, 10.0);
    for (int b = 0; b < 3; b++) {
        trial->builds[b].u_session = 2.0;
        trial->builds[b].session = b == 2 ? 1 : 0;
        for (int i = 0; i < 3; i++) {
            trial_add(trial, b, 0, 900.0 - 10.0 * b + i);
        }
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    /* within the session it cancels; against the other one both count */
    ck_assert_double_eq_tol(trial->result.difference[1].tie_error, 0.0, 1e-12);
    ck_assert_double_eq_tol(trial->result.difference[2].tie_error, sqrt(8.0), 1e-12);
    /* a setup half in each: (1/2)^2 of either's part against the first session's own */
    trial->builds[2].setup = 1;
    trial->input.setup_count = 2;
    for (int i = 6; i < 9; i++) {
        trial->holds[i] = (struct compare_hold){.setup = 1, .build = 2, .value = 890.0 + i - 6};
    }
    ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
    ck_assert_double_eq_tol(trial->result.difference[1].tie_error, sqrt(2.0 * 0.25 * 4.0), 1e-12);
    trial->builds[2].u_session = NAN;
    ck_assert_int_eq(trial_compare(trial), MEASURE_BAD_SETTING);
}
END_TEST

/* Two builds of the first setup lie 4 mm apart, 902 +- 3 and 1; the second's holds +- 1: squares 20
 * and 2 over 4 degrees of freedom, 6 over 3 within builds. What the ties explain of it is counted
 * with them: u^2 n (1 - n / m) for each of the two builds, u^2 in all. */
START_TEST(what_ties_explain_is_not_scatter)
{
    static const struct {
        double u_build, u_common, u_session, variance;
    } rows[] = {
        {0, 0, 0, 22.0 / 4},       {1, 0, 0, (22.0 - 2.0) / 4}, {2, 0, 0, (22.0 - 8.0) / 4},
        {3, 0, 0, 6.0 / 3},        {0, 2, 0, (22.0 - 8.0) / 4}, {0, 0, 2, (22.0 - 8.0) / 4},
        {1, 1, 1, (22.0 - 6) / 4},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct trial *trial = trial_start(2, 10.0);
        trial->builds[2] = (struct compare_build){.tied = true, .position_group = 2, .session = 2};
        trial->input.build_count = 3;
        trial->builds[1].session = 1;
        for (int b = 0; b < 3; b += 2) {
            trial->builds[b].u_build = rows[i].u_build;
            trial->builds[b].u_common = rows[i].u_common;
            trial->builds[b].u_session = rows[i].u_session;
        }
        for (int k = -1; k <= 1; k += 2) {
            trial_add(trial, 0, 0, 900.0 + k);
            trial_add(trial, 2, 0, 904.0 + k);
            trial_add(trial, 1, 0, 880.0 + k);
        }
        ck_assert_int_eq(trial_compare(trial), MEASURE_OK);
        ck_assert_double_eq_tol(trial->result.repeatability, sqrt(rows[i].variance), 1e-9);
    }
}
END_TEST

/* As many holds as there may be, long and short ones of the same: weights change nothing. */
int main(void)
{
    Suite *suite = suite_create("compare");
    TCase *tests = tcase_create("compare");
    tcase_set_timeout(tests, 30);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, worked);
    tcase_add_test(tests, handbook_cars);
    tcase_add_test(tests, nist_anova);
    tcase_add_test(tests, order_covariate);
    tcase_add_test(tests, order_index);
    tcase_add_test(tests, order_refuses);
    tcase_add_test(tests, ties_enter_once_per_build);
    tcase_add_test(tests, known_parts_hold_together);
    tcase_add_test(tests, common_part_cancels_in_a_group);
    tcase_add_test(tests, session_part_counts_once_for_each_session);
    tcase_add_test(tests, what_ties_explain_is_not_scatter);
    return test_main(suite);
}
