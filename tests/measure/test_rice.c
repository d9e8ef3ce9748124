/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Crossing rates against closed forms and counted crossings. */
#include "reference.h"

#include "base/random.h"
#include "measure/rice.h"
#include "support/test_seed.h"

static const double pi = 3.14159265358979323846;

START_TEST(crossings)
{
    double rate;
    /* flat band f1..f2: sd_rate / (2 pi sd) = sqrt((f2^3 - f1^3) / (3 (f2 - f1))); 0.2 to 1 Hz:
     * 0.6429100507 (theory) */
    double f1 = 0.2, f2 = 1.0, nu0 = sqrt((f2 * f2 * f2 - f1 * f1 * f1) / (3 * (f2 - f1)));
    ck_assert_int_eq(rice_upcrossings(0.0, 3.0, 2 * pi * 3.0 * nu0, &rate), MEASURE_OK);
    reference_check("Rice, flat band, rate at the mean", rate, 0.6429100507328637, 13);
    ck_assert_int_eq(rice_upcrossings(-6.0, 3.0, 2 * pi * 3.0 * nu0, &rate), MEASURE_OK);
    reference_check("Rice, flat band, rate at -2 SD", rate, 0.08700841381159713, 13);
    /* own computation: two-sided exits a minute at nu0 = 0.4 Hz */
    const double levels[] = {1, 1.5, 2, 2.5, 3}, exits[] = {29.1, 15.6, 6.5, 2.1, .53};
    for (int i = 0; i < 5; i++) {
        rice_upcrossings(levels[i], 1.0, 2 * pi * 0.4, &rate);
        char what[60];
        snprintf(what, sizeof what, "Rice, exits a minute at %.1f SD, 0.4 Hz", levels[i]);
        reference_printed(what, 120 * rate, exits[i], i < 4 ? 0.051 : 0.0051);
    }
    /* against a counted signal: 60 sines of random phase fill the band */
    static double x[40000];
    struct random_source random;
    unsigned seed = 1944;
    random_seed(&random, test_seed(seed));
    for (int k = 0; k < 60; k++) {
        double f = f1 + (f2 - f1) * (k + 0.5) / 60, phase = 2 * pi * random_uniform(&random);
        f += (f2 - f1) / 60 * (random_uniform(&random) - 0.5);
        for (int i = 0; i < 40000; i++) {
            x[i] += cos(2 * pi * f * i / 25.0 + phase);
        }
    }
    double sd = sqrt(30.0), seconds = 40000 / 25.0;
    for (int u = -2; u <= 2; u++) {
        double counted = 0.0, want;
        for (int i = 1; i < 40000; i++) {
            counted += (x[i - 1] < u * sd && u * sd <= x[i]) / seconds;
        }
        rice_upcrossings(u * sd, sd, 2 * pi * sd * nu0, &want);
        printf("  reference: Rice at %+d SD: theory %.4f, counted %.4f a second (seed %u)\n", u,
               want, counted, seed);
        ck_assert_double_eq_tol(counted, want, 0.035);
    }
    ck_assert_int_eq(rice_upcrossings(1, 0, 1, &rate), MEASURE_CONSTANT);
    ck_assert_int_eq(rice_upcrossings(NAN, 1, 1, &rate), MEASURE_NOT_FINITE);
}
END_TEST

/* A band of noise, with its own spectrum's rate through the mean (numpy): the formula's counts, and
 * what was counted, within three standard deviations of a count. */
START_TEST(crossings_of_a_band)
{
    const char *levels[] = {"-2", "-1", "-0.5", "0", "0.5", "1", "1.5", "2", "2.5"};
    const char *file = "rice-expected.csv";
    double tolerance, mean = reference_expected(file, "band", "mean", &tolerance);
    double sd = reference_expected(file, "band", "sd_n", &tolerance);
    double nu0 = reference_expected(file, "band", "nu0_from_spectrum", &tolerance);
    double seconds = (20000 - 1) / 25.0;
    for (size_t i = 0; i < sizeof levels / sizeof levels[0]; i++) {
        char quantity[60], what[100];
        double rate;
        snprintf(quantity, sizeof quantity, "level_u%s", levels[i]);
        double level = reference_expected(file, "band", quantity, &tolerance);
        ck_assert_int_eq(rice_upcrossings(level - mean, sd, 2 * pi * sd * nu0, &rate), MEASURE_OK);
        snprintf(quantity, sizeof quantity, "expected_u%s", levels[i]);
        snprintf(what, sizeof what, "crossings of a band at %s SD", levels[i]);
        reference_check(what, rate * seconds,
                        reference_expected(file, "band", quantity, &tolerance), 12);
        snprintf(quantity, sizeof quantity, "sd_count_u%s", levels[i]);
        double sd_count = reference_expected(file, "runs400", quantity, &tolerance);
        snprintf(quantity, sizeof quantity, "upcrossings_u%s", levels[i]);
        double counted = reference_expected(file, "band", quantity, &tolerance);
        ck_assert_double_eq_tol(rate * seconds, counted, 3.0 * sd_count);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rice");
    TCase *tests = tcase_create("rice");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, crossings);
    tcase_add_test(tests, crossings_of_a_band);
    return test_main(suite);
}
