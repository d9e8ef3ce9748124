/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A block of known thickness on a plate. */
#include "reference.h"

#include "base/random.h"
#include "measure/step_test.h"

START_TEST(worked)
{
    /* own computation */
    static const double bare[] = {412.1, 412.9, 411.8, 412.6, 412.3};
    static const double block[] = {386.9, 387.8, 387.2, 386.6, 387.5};
    struct step_input input = {bare, 5, block, 5, 25.0, 0.0, 0.0};
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
    struct step_input input = {bare, 10, block, 10, thickness_mm, 0.0, 0.0};
    ck_assert_int_eq(step_test(&input, &test), MEASURE_OK);
    return test;
}

START_TEST(simulated)
{
    struct random_source random;
    int good_failed = 0, bad_passed = 0, runs = 2000;
    double scale = 0.0;
    random_seed(&random, 21);
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
    for (int i = 0; i < 100; i++)
        uncertain += simulate(&random, 1.0, 8.0, 25).verdict == STEP_UNCERTAIN;
    ck_assert_int_ge(uncertain, 90);
}
END_TEST

START_TEST(wrong_way)
{
    static const double bare[] = {400, 401, 400}, block[] = {425, 426, 425};
    struct step_input input = {bare, 3, block, 3, 25.0, 0.0, 0.0};
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
    ck_assert_int_eq(step_test(&(struct step_input){flat, 3, flat, 3, 25, 0, 0}, &test),
                     MEASURE_CONSTANT);
    ck_assert_int_eq(step_test(&(struct step_input){some, 1, some, 3, 25, 0, 0}, &test),
                     MEASURE_TOO_FEW);
    ck_assert_int_eq(step_test(&(struct step_input){some, 3, some, 0, 25, 0, 0}, &test),
                     MEASURE_TOO_FEW);
    ck_assert_int_eq(step_test(&(struct step_input){some, 3, bad, 3, 25, 0, 0}, &test),
                     MEASURE_NOT_FINITE);
    ck_assert_int_eq(step_test(&(struct step_input){some, 3, some, 3, 0, 0, 0}, &test),
                     MEASURE_BAD_SETTING);
    ck_assert_int_eq(step_test(&(struct step_input){some, 3, some, 3, NAN, 0, 0}, &test),
                     MEASURE_BAD_SETTING);
    ck_assert_int_eq(step_test(&(struct step_input){some, 3, some, 3, 25, -1, 0}, &test),
                     MEASURE_BAD_SETTING);
    ck_assert_int_eq(step_test(&(struct step_input){some, 3, some, 3, 25, 0, NAN}, &test),
                     MEASURE_BAD_SETTING);
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
    return test_main(suite);
}
