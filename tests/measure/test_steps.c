/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Least squares, steps per change, and the trade-off. */
#include "reference.h"

#include "base/random.h"
#include "measure/distribution.h"
#include "measure/least_squares.h"
#include "measure/steps.h"
#include "support/test_seed.h"

static void check_row(const char *which, const char *quantity, double got, double digits)
{
    double tolerance;
    char what[80];
    snprintf(what, sizeof what, "NIST StRD %s %s", which, quantity);
    reference_check(what, got,
                    reference_expected("regression-expected.csv", which, quantity, &tolerance),
                    digits);
}

static void regression(const char *name, size_t powers, bool intercept, double digits)
{
    char file[40], quantity[20];
    double x[60 * 3], y[60];
    struct least_squares fit;
    snprintf(file, sizeof file, "%s.csv", name);
    struct reference_table *table = reference_table(file);
    size_t columns = powers + (intercept ? 1 : 0);
    for (size_t i = 0; i < table->rows; i++) {
        double power = intercept ? 1.0 : table->value[i][0];
        for (size_t k = 0; k < columns; k++) {
            x[i * columns + k] = power;
            power *= table->value[i][0];
        }
        y[i] = table->value[i][1];
    }
    ck_assert_int_eq(least_squares_fit(x, y, NULL, table->rows, columns, &fit), MEASURE_OK);
    ck_assert_uint_eq(fit.rank, columns);
    for (size_t k = 0; k < columns; k++) {
        size_t number = intercept ? k : k + 1;
        snprintf(quantity, sizeof quantity, "b%zu", number);
        check_row(name, quantity, fit.coefficient[k], digits);
        snprintf(quantity, sizeof quantity, "se_b%zu", number);
        check_row(name, quantity, fit.residual_sd * sqrt(fit.inverse[k][k]), digits);
    }
    check_row(name, "residual_sd", fit.residual_sd, digits);
    check_row(name, "ss_resid", fit.ss_residual, digits);
    check_row(name, "df_resid", fit.df, 16);
    free(table);
}

START_TEST(nist_regression)
{
    regression("Norris", 1, true, 11);
    regression("Pontius", 2, true, 10);
    regression("NoInt1", 1, false, 11);
}
END_TEST

START_TEST(rank)
{
    /* two columns that always change together: their sum is determined, each alone is not */
    const double x[] = {1, 0, 0, 1, 5, 10, 1, 10, 20, 1, 15, 30}, y[] = {900, 895, 890, 885};
    const double sum[] = {0, 1, 2}, first[] = {0, 1, 0}, level[] = {1, 0, 0}, none[] = {0, 0, 0};
    struct least_squares fit;
    ck_assert_int_eq(least_squares_fit(x, y, NULL, 4, 3, &fit), MEASURE_OK);
    ck_assert_uint_eq(fit.rank, 2);
    ck_assert_double_eq(fit.df, 2.0);
    ck_assert(least_squares_determines(&fit, sum));
    ck_assert(!least_squares_determines(&fit, first));
    ck_assert(least_squares_determines(&fit, level));
    ck_assert(!least_squares_determines(&fit, none));
    ck_assert_double_eq_tol(least_squares_value(&fit, sum), -5.0 / 5.0 * 1.0, 1e-9);
    /* fewer rows than columns */
    ck_assert_int_eq(least_squares_fit(x, y, NULL, 2, 3, &fit), MEASURE_OK);
    ck_assert_uint_eq(fit.rank, 2);
    ck_assert_double_eq(fit.df, 0.0);
    ck_assert_double_eq(fit.residual_sd, 0.0);
}
END_TEST

START_TEST(weighted_rows)
{
    /* a weight of 3 is a row three times */
    const double x[] = {1, 1, 1, 2, 1, 4}, y[] = {2, 3, 9}, weights[] = {1, 3, 1};
    const double longer[] = {1, 1, 1, 2, 1, 2, 1, 2, 1, 4}, y_longer[] = {2, 3, 3, 3, 9};
    struct least_squares a, b;
    ck_assert_int_eq(least_squares_fit(x, y, weights, 3, 2, &a), MEASURE_OK);
    ck_assert_int_eq(least_squares_fit(longer, y_longer, NULL, 5, 2, &b), MEASURE_OK);
    for (int k = 0; k < 2; k++) {
        ck_assert_double_eq_tol(a.coefficient[k], b.coefficient[k], 1e-12);
    }
    ck_assert_double_eq_tol(a.ss_residual, b.ss_residual, 1e-12);
    ck_assert_double_eq_tol(a.inverse[1][1], b.inverse[1][1], 1e-12);
}
END_TEST

START_TEST(least_squares_guards)
{
    struct least_squares fit;
    const double x[] = {1, 2, 3, 4}, zero[] = {0, 0, 0, 0}, bad[] = {1, NAN, 3, 4},
                 odd[] = {1, 0, 1, 1};
    ck_assert_int_eq(least_squares_fit(x, x, NULL, 4, 0, &fit), MEASURE_BAD_SETTING);
    ck_assert_int_eq(least_squares_fit(x, x, NULL, 4, 9, &fit), MEASURE_BAD_SETTING);
    ck_assert_int_eq(least_squares_fit(x, x, NULL, 0, 1, &fit), MEASURE_TOO_FEW);
    ck_assert_int_eq(least_squares_fit(bad, x, NULL, 4, 1, &fit), MEASURE_NOT_FINITE);
    ck_assert_int_eq(least_squares_fit(x, bad, NULL, 4, 1, &fit), MEASURE_NOT_FINITE);
    const double last_bad[] = {1, 2, 3, 5, 8, NAN}; /* of 3 rows and 2 columns */
    ck_assert_int_eq(least_squares_fit(last_bad, x, NULL, 3, 2, &fit), MEASURE_NOT_FINITE);
    ck_assert_int_eq(least_squares_fit(x, x, bad, 4, 1, &fit), MEASURE_NOT_FINITE);
    ck_assert_int_eq(least_squares_fit(x, x, NULL, 1, LEAST_SQUARES_COLUMNS_MAX + 1, &fit),
                     MEASURE_BAD_SETTING);
    ck_assert_int_eq(least_squares_fit(x, x, odd, 4, 1, &fit), MEASURE_BAD_SETTING);
    ck_assert_int_eq(least_squares_fit(zero, x, NULL, 4, 1, &fit), MEASURE_CONSTANT);
}
END_TEST

enum { PAD_HEIGHT, PAD_REACH, TILT, SPACERS };

START_TEST(steps_recovered)
{
    /* head follows the pads' height by 0.6 mm a mm and the tilt by -0.8 mm a degree; reach does
     * nothing */
    const double truth[] = {0.6, 0.0, -0.8};
    unsigned seed = 5150;
    struct random_source random;
    random_seed(&random, test_seed(seed));
    int inside = 0, all = 0;
    for (int run = 0; run < 600; run++) {
        struct steps_setup setups[] = {{{0, 0, 0}, 0, 2},
                                       {{-10, 0, 0}, 0, 2},
                                       {{-10, 20, 0}, 0, 2},
                                       {{-20, 20, 10}, 0, 2.5},
                                       {{0, 0, 10}, 0, 1.5}};
        struct steps_input input = {setups, 5, 3, 8.0};
        struct steps steps;
        for (int s = 0; s < 5; s++) {
            setups[s].height_mm = 900.0 + setups[s].u_mm * random_normal(&random);
            for (int k = 0; k < 3; k++) {
                setups[s].height_mm += truth[k] * setups[s].change[k];
            }
        }
        ck_assert_int_eq(steps_fit(&input, &steps), MEASURE_OK);
        for (int k = 0; k < 3; k++) {
            ck_assert_int_eq(steps.factor[k].state, STEPS_KNOWN);
            inside += fabs(steps.factor[k].per_unit - truth[k]) <= steps.factor[k].half_width;
            all++;
        }
    }
    printf("  steps per change: 95 %% intervals cover %.3f of %d (seed %u)\n", (double)inside / all,
           all, seed);
    ck_assert_double_ge((double)inside / all, 0.93);
}
END_TEST

START_TEST(steps_exact)
{
    struct steps_setup setups[] = {{{0, 0}, 900, 2}, {{-10, 0}, 894, 2}, {{-10, 20}, 897, 2}};
    struct steps_input input = {setups, 3, 2, 6.0};
    struct steps steps;
    ck_assert_int_eq(steps_fit(&input, &steps), MEASURE_OK);
    ck_assert_double_eq_tol(steps.factor[0].per_unit, 0.6, 1e-10);
    ck_assert_double_eq_tol(steps.factor[1].per_unit, 0.15, 1e-10);
    /* difference of two setups known to 2 mm each over 10 mm: t(6) sqrt(8) / 10 */
    ck_assert_double_eq_tol(steps.factor[0].half_width, t_quantile(.975, 6) * sqrt(8.0) / 10.0,
                            1e-9);
    const double next[] = {-20, 0};
    struct steps_forecast f = steps_forecast(&steps, next);
    ck_assert(f.possible);
    ck_assert_double_eq_tol(f.height_change_mm, -12.0, 1e-9);
    ck_assert_double_eq_tol(f.half_width_mm, 2.0 * t_quantile(.975, 6) * sqrt(8.0), 1e-8);
    /* heights that no straight line fits: its misses widen what is said */
    struct steps_setup bent[] = {{{0}, 900, 1}, {{-10}, 880, 1}, {{-20}, 900, 1}, {{-30}, 880, 1}};
    struct steps_input line = {bent, 4, 1, 6.0};
    ck_assert_int_eq(steps_fit(&line, &steps), MEASURE_OK);
    ck_assert_double_gt(steps.widened, 5.0);
    ck_assert_double_eq(steps.df, 2.0);
    ck_assert_double_gt(steps.factor[0].half_width, fabs(steps.factor[0].per_unit));
}
END_TEST

START_TEST(steps_not_told_apart)
{
    /* spacers and pad height always together, reach never */
    struct steps_setup setups[] = {
        {{0, 0, 0, 0}, 900, 2}, {{-10, 0, 0, -10}, 893, 2}, {{-20, 0, 5, -20}, 880, 2}};
    struct steps_input input = {setups, 3, 4, 6.0};
    struct steps steps;
    ck_assert_int_eq(steps_fit(&input, &steps), MEASURE_OK);
    ck_assert_int_eq(steps.factor[PAD_HEIGHT].state, STEPS_NOT_TOLD_APART);
    ck_assert_int_eq(steps.factor[SPACERS].state, STEPS_NOT_TOLD_APART);
    ck_assert_int_eq(steps.factor[PAD_REACH].state, STEPS_NOT_CHANGED);
    ck_assert_int_eq(steps.factor[TILT].state, STEPS_KNOWN);
    ck_assert_int_eq(steps.change_alone, PAD_HEIGHT);
    const double together[] = {-5, 0, 0, -5}, alone[] = {-5, 0, 0, 0}, reach[] = {0, 10, 0, 0};
    ck_assert(steps_forecast(&steps, together).possible);
    ck_assert_double_eq_tol(steps_forecast(&steps, together).height_change_mm, -3.5, 1e-9);
    ck_assert(!steps_forecast(&steps, alone).possible);
    ck_assert(!steps_forecast(&steps, reach).possible);
    /* the setup that it asks for does tell them apart */
    struct steps_setup more[4];
    memcpy(more, setups, sizeof setups);
    more[3] = (struct steps_setup){{-10, 0, 0, 0}, 896, 2};
    input = (struct steps_input){more, 4, 4, 6.0};
    ck_assert_int_eq(steps_fit(&input, &steps), MEASURE_OK);
    ck_assert_int_eq(steps.factor[PAD_HEIGHT].state, STEPS_KNOWN);
    ck_assert_int_eq(steps.factor[SPACERS].state, STEPS_KNOWN);
    ck_assert_int_eq(steps.change_alone, -1);
}
END_TEST

START_TEST(suggestions)
{
    struct steps_setup setups[] = {
        {{0, 0, 0}, 900, 1}, {{-10, 0, 0}, 890, 1}, {{-10, 0, 10}, 889, 1}};
    struct steps_input input = {setups, 3, 3, 20.0};
    struct steps steps;
    struct steps_suggestion s;
    struct steps_limits limits = {
        .now = {-10, 0, 10}, .low = {-30, -20, -5}, .high = {10, 20, 15}, .step = {5, 10, 5}};
    ck_assert_int_eq(steps_fit(&input, &steps), MEASURE_OK);
    steps_suggest(&steps, &limits, &s);
    ck_assert_int_eq(s.purpose, STEPS_LOWER);
    ck_assert_int_eq(s.factor, PAD_HEIGHT);
    ck_assert_double_eq(s.change[PAD_HEIGHT], -15.0);
    ck_assert_double_eq(s.change[TILT], 10.0);
    ck_assert(s.forecast.possible);
    ck_assert_double_eq_tol(s.forecast.height_change_mm, -16.0, 1e-8);
    limits.low[PAD_HEIGHT] = -12; /* at the limit; what the others do is not known apart from 0 */
    steps_suggest(&steps, &limits, &s);
    ck_assert_int_eq(s.purpose, STEPS_NOTHING);
    ck_assert_int_eq(s.factor, -1);
    limits.low[PAD_HEIGHT] = -30; /* what has no step is left as it is */
    limits.step[PAD_HEIGHT] = 0;
    steps_suggest(&steps, &limits, &s);
    ck_assert_int_eq(s.factor, -1);
    limits.step[PAD_HEIGHT] = 5;
    steps.status = MEASURE_TOO_FEW;
    steps_suggest(&steps, &limits, &s);
    ck_assert_int_eq(s.purpose, STEPS_NOTHING);
}
END_TEST

START_TEST(steps_guards)
{
    struct steps_setup setups[] = {{{0}, 900, 2}, {{0}, 890, 2}, {{5}, 880, 2}};
    struct steps steps;
    struct steps_input input = {setups, 1, 1, 6.0};
    ck_assert_int_eq(steps_fit(&input, &steps), MEASURE_TOO_FEW);
    input.setup_count = 2; /* nothing was changed */
    ck_assert_int_eq(steps_fit(&input, &steps), MEASURE_CONSTANT);
    ck_assert(!steps_forecast(&steps, setups[2].change).possible);
    input.setup_count = 3;
    ck_assert_int_eq(steps_fit(&input, &steps), MEASURE_OK);
    setups[1].u_mm = 0.0;
    ck_assert_int_eq(steps_fit(&input, &steps), MEASURE_BAD_SETTING);
    setups[1].u_mm = NAN;
    ck_assert_int_eq(steps_fit(&input, &steps), MEASURE_BAD_SETTING);
    setups[1].u_mm = 2.0;
    setups[1].height_mm = NAN;
    ck_assert_int_eq(steps_fit(&input, &steps), MEASURE_NOT_FINITE);
    setups[1].height_mm = 890;
    input.factor_count = 6; /* as many as there may be */
    ck_assert_int_eq(steps_fit(&input, &steps), MEASURE_OK);
    input.factor_count = 7;
    ck_assert_int_eq(steps_fit(&input, &steps), MEASURE_BAD_SETTING);
    input.factor_count = 1;
    input.df = 0.0;
    ck_assert_int_eq(steps_fit(&input, &steps), MEASURE_BAD_SETTING);
}
END_TEST

START_TEST(states_and_purposes_have_their_words)
{
    ck_assert_str_eq(steps_state_words(STEPS_KNOWN), "known");
    ck_assert_str_eq(steps_state_words(STEPS_NOT_CHANGED), "not changed");
    ck_assert_str_eq(steps_state_words(STEPS_NOT_TOLD_APART), "not told apart");
    ck_assert_str_eq(steps_purpose_word(STEPS_NOTHING), "none");
    ck_assert_str_eq(steps_purpose_word(STEPS_LOWER), "lower");
}
END_TEST

/* Up lowers by a millimetre for each: 5 more are the next step, where the limit leaves them. */
START_TEST(a_part_that_goes_up_to_its_limit)
{
    struct steps_setup setups[] = {{{0}, 900, 1}, {{10}, 890, 1}, {{20}, 880, 1}};
    struct steps_input input = {setups, 3, 1, 20.0};
    struct steps steps;
    struct steps_suggestion s;
    struct steps_limits limits = {.now = {20}, .low = {0}, .high = {24}, .step = {5}};
    ck_assert_int_eq(steps_fit(&input, &steps), MEASURE_OK);
    steps_suggest(&steps, &limits, &s);
    ck_assert_int_eq(s.purpose, STEPS_NOTHING);
    limits.high[0] = 25;
    steps_suggest(&steps, &limits, &s);
    ck_assert_int_eq(s.purpose, STEPS_LOWER);
    ck_assert_double_eq(s.change[0], 25.0);
    limits.step[0] = 0; /* one that has no step is left where it is */
    steps_suggest(&steps, &limits, &s);
    ck_assert_int_eq(s.purpose, STEPS_NOTHING);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("steps");
    TCase *tests = tcase_create("steps");
    tcase_add_test(tests, states_and_purposes_have_their_words);
    tcase_add_test(tests, nist_regression);
    tcase_add_test(tests, rank);
    tcase_add_test(tests, weighted_rows);
    tcase_add_test(tests, least_squares_guards);
    tcase_add_test(tests, steps_recovered);
    tcase_add_test(tests, steps_exact);
    tcase_add_test(tests, steps_not_told_apart);
    tcase_add_test(tests, suggestions);
    tcase_add_test(tests, steps_guards);
    tcase_add_test(tests, a_part_that_goes_up_to_its_limit);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
