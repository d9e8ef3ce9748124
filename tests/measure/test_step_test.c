/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A block of known thickness on a plate. */
#include "reference.h"

#include "base/random.h"
#include "measure/step_test.h"
#include "support/test_seed.h"

START_TEST(worked)
{
    /* own computation */
    static const double bare[] = {412.1, 412.9, 411.8, 412.6, 412.3};
    static const double block[] = {386.9, 387.8, 387.2, 386.6, 387.5};
    struct step_input input = {bare, 5, block, 5, 25.0, 0.0};
    struct step_test test;
    ck_assert_int_eq(step_test(&input, &test), MEASURE_OK);
    reference_printed("step", test.step_mm, 25.140, 5e-4);
    reference_printed("step u", test.u_mm, .2857, 5e-5);
    reference_printed("step error", test.error_mm, .140, 5e-4);
    reference_printed("step t", test.t, .49, 5e-3);
    ck_assert_int_eq(test.verdict, STEP_PASSED);
    ck_assert_double_eq(test.limit_mm, 1.5); /* 5 % of 25 is less */
    reference_printed("scale error, %", test.scale_error_percent, .56, 5e-3);
    /* the block's own uncertainty is added in squares: sqrt(.2857^2 + .3^2) */
    input.thickness_u_mm = 0.3;
    ck_assert_int_eq(step_test(&input, &test), MEASURE_OK);
    ck_assert_double_eq_tol(test.u_mm, 0.41428, 5e-5);
}
END_TEST

static struct step_test simulate(struct random_source *random, double scale, double noise_mm,
                                 double thickness_mm)
{
    double bare[10], block[10];
    struct step_test test;
    for (int i = 0; i < 10; i++) {
        bare[i] = scale * 420 + noise_mm * random_normal(random);
        block[i] = scale * (420 - thickness_mm) + noise_mm * random_normal(random);
    }
    struct step_input input = {bare, 10, block, 10, thickness_mm, 0.0};
    ck_assert_int_eq(step_test(&input, &test), MEASURE_OK);
    return test;
}

START_TEST(simulated)
{
    struct random_source random;
    int good_failed = 0, bad_passed = 0, runs = 2000;
    double scale = 0.0;
    random_seed(&random, test_seed(21));
    for (int i = 0; i < runs; i++) {
        good_failed += simulate(&random, 1.0, 0.4, 50).verdict != STEP_PASSED;
        struct step_test bad = simulate(&random, 1.08, 0.4, 50);
        bad_passed += bad.verdict != STEP_FAILED;
        scale += bad.scale_error_percent / runs;
    }
    printf("  step test: good sensors not passed %d, 8 %% wrong ones not failed %d, of %d\n",
           good_failed, bad_passed, runs);
    ck_assert_int_eq(good_failed, 0);
    ck_assert_int_eq(bad_passed, 0);
    ck_assert_double_eq_tol(scale, 8.0, 0.05);
    /* limit at 50 mm: 5 % */
    ck_assert_double_eq(simulate(&random, 1.0, 0.4, 50).limit_mm, 2.5);
    /* a noisy sensor is neither passed nor failed */
    int uncertain = 0;
    for (int i = 0; i < 100; i++) {
        uncertain += simulate(&random, 1.0, 8.0, 25).verdict == STEP_UNCERTAIN;
    }
    ck_assert_int_ge(uncertain, 90);
}
END_TEST

START_TEST(wrong_way)
{
    static const double bare[] = {400, 401, 400}, block[] = {425, 426, 425};
    struct step_input input = {bare, 3, block, 3, 25.0, 0.0};
    struct step_test test;
    ck_assert_int_eq(step_test(&input, &test), MEASURE_OK);
    ck_assert_int_eq(test.verdict, STEP_FAILED);
    ck_assert_double_eq_tol(test.step_mm, -25, 1e-12);
}
END_TEST

START_TEST(guards)
{
    static const double flat[] = {400, 400, 400}, some[] = {400, 401, 402}, bad[] = {400, NAN, 1};
    struct step_test test;
    ck_assert_int_eq(step_test(&(struct step_input){flat, 3, flat, 3, 25, 0}, &test),
                     MEASURE_CONSTANT);
    ck_assert_int_eq(step_test(&(struct step_input){some, 1, some, 3, 25, 0}, &test),
                     MEASURE_TOO_FEW);
    ck_assert_int_eq(step_test(&(struct step_input){some, 3, some, 0, 25, 0}, &test),
                     MEASURE_TOO_FEW);
    ck_assert_int_eq(step_test(&(struct step_input){some, 3, bad, 3, 25, 0}, &test),
                     MEASURE_NOT_FINITE);
    ck_assert_int_eq(step_test(&(struct step_input){some, 3, some, 3, 0, 0}, &test),
                     MEASURE_BAD_SETTING);
    ck_assert_int_eq(step_test(&(struct step_input){some, 3, some, 3, NAN, 0}, &test),
                     MEASURE_BAD_SETTING);
    ck_assert_int_eq(step_test(&(struct step_input){some, 3, some, 3, 25, -1}, &test),
                     MEASURE_BAD_SETTING);
}
END_TEST

/* Two block means 1 mm to each side, bare and with the block: u = sqrt(2 * 2 / 2) = 1.414, and 2 u
 * = 2.83 mm is what an error must pass to fail, over the limit of 1.5. */
static struct step_test scattered(double scatter_mm, double error_mm, double thickness_mm)
{
    double bare[] = {400 - scatter_mm, 400 + scatter_mm}, block[2];
    struct step_test test;
    for (int i = 0; i < 2; i++) {
        block[i] = bare[i] - thickness_mm - error_mm;
    }
    struct step_input input = {bare, 2, block, 2, thickness_mm, 0.0};
    ck_assert_int_eq(step_test(&input, &test), MEASURE_OK);
    ck_assert_double_eq_tol(test.u_mm, sqrt(2.0) * scatter_mm, 1e-9);
    return test;
}

START_TEST(two_u_and_the_limits)
{
    for (int sign = -1; sign <= 1; sign += 2) {
        ck_assert_int_eq(scattered(1.0, sign * 2.7, 25).verdict, STEP_UNCERTAIN);
        ck_assert_int_eq(scattered(1.0, sign * 2.9, 25).verdict, STEP_FAILED);
        /* 2 u = 1.48 and 1.53, limit 1.5 */
        ck_assert_int_eq(scattered(0.523, sign * 0.1, 25).verdict, STEP_PASSED);
        ck_assert_int_eq(scattered(0.541, sign * 0.1, 25).verdict, STEP_UNCERTAIN);
        /* 1.5 mm, or 5 % of 50 mm */
        ck_assert_int_eq(scattered(0.0078125, sign * 1.5, 25).verdict, STEP_PASSED); /* just so */
        ck_assert_int_eq(scattered(0.01, sign * 1.45, 25).verdict, STEP_PASSED);
        ck_assert_int_eq(scattered(0.01, sign * 1.55, 25).verdict, STEP_FAILED);
        ck_assert_int_eq(scattered(0.01, sign * 2.45, 50).verdict, STEP_PASSED);
        ck_assert_int_eq(scattered(0.01, sign * 2.55, 50).verdict, STEP_FAILED);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("step_test");
    TCase *tests = tcase_create("step_test");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, worked);
    tcase_add_test(tests, simulated);
    tcase_add_test(tests, wrong_way);
    tcase_add_test(tests, guards);
    tcase_add_test(tests, two_u_and_the_limits);
    return test_main(suite);
}
