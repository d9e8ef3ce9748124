/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The straight line of a range sensor. */
#include "reference.h"

#include "base/random.h"
#include "measure/range_calibration.h"
#include "support/test_seed.h"

START_TEST(worked_five_levels)
{
    /* own computation: five distances, three readings each */
    static const double known[] = {200, 200, 200, 300, 300, 300, 400, 400,
                                   400, 500, 500, 500, 600, 600, 600};
    static const double reading[] = {203.1, 202.4, 203.6, 304.0, 303.2, 303.9, 404.6, 405.1,
                                     404.0, 505.9, 506.3, 505.4, 606.9, 607.5, 606.6};
    struct range_calibration line;
    ck_assert_int_eq(calibration_fit(known, reading, 15, &line), MEASURE_OK);
    reference_printed("calibration b", line.slope, 1.010100, 5e-7);
    reference_printed("calibration s", line.residual_sd_mm, .481211, 5e-7);
    reference_printed("calibration u(b)", line.slope_u, 8.7857e-4, 5e-9);
    ck_assert(line.has_lack_of_fit);
    reference_printed("lack of fit p", line.lack_of_fit_p, .62, 5e-3);
    /* turned round */
    ck_assert_double_eq_tol(line.gain * 452.3 + line.offset_mm, 446.9920, 5e-5);
}
END_TEST

START_TEST(worked_two_levels)
{
    /* the same data's mean readings at 200 and 600 only: gain .990181, offset -1.03969 [C] */
    const double known[] = {200, 600};
    const double reading[] = {(203.1 + 202.4 + 203.6) / 3, (606.9 + 607.5 + 606.6) / 3};
    struct range_calibration line;
    ck_assert_int_eq(calibration_fit(known, reading, 2, &line), MEASURE_OK);
    reference_printed("two-point gain", line.gain, .990181, 5.1e-7);
    reference_printed("two-point offset", line.offset_mm, -1.03969, 5.1e-6);
    ck_assert(!line.has_errors);
    ck_assert(!line.has_lack_of_fit);
}
END_TEST

START_TEST(guide_h3_thermometer)
{
    /* JCGM 100:2008 (GUM), H.3, table H.6 and its results: a thermometer's corrections over
     * temperature about 20 degrees */
    static const double temperature[] = {21.521, 22.012, 22.512, 23.003, 23.507, 23.999,
                                         24.513, 25.002, 25.503, 26.010, 26.511};
    static const double correction[] = {-.171, -.169, -.166, -.159, -.164, -.165,
                                        -.156, -.157, -.159, -.161, -.160};
    struct range_calibration line;
    ck_assert_int_eq(calibration_fit(temperature, correction, 11, &line), MEASURE_OK);
    reference_printed("GUM H.3 y2", line.slope, .00218, 5e-6);
    reference_printed("GUM H.3 u(y2)", line.slope_u, .00067, 5e-6);
    reference_printed("GUM H.3 s", line.residual_sd_mm, .0035, 5e-5);
}
END_TEST

START_TEST(lack_of_fit_finds_a_bend)
{
    double known[60], reading[60], p_bent, p_straight;
    struct range_calibration line;
    struct random_source random;
    random_seed(&random, test_seed(8));
    for (int bent = 0; bent < 2; bent++) {
        for (int i = 0; i < 60; i++) {
            known[i] = 200 + 100 * (i % 5);
            reading[i] = 3 + 1.01 * known[i] + 0.5 * random_normal(&random) +
                         (bent ? 2e-4 * (known[i] - 400) * (known[i] - 400) / 4 : 0);
        }
        ck_assert_int_eq(calibration_fit(known, reading, 60, &line), MEASURE_OK);
        *(bent ? &p_bent : &p_straight) = line.lack_of_fit_p;
    }
    ck_assert_double_gt(p_straight, 0.01);
    ck_assert_double_lt(p_bent, 1e-4);
}
END_TEST

START_TEST(guards)
{
    struct range_calibration line;
    const double same[] = {400, 400, 400}, up[] = {1, 2, 3}, not_finite[] = {1, NAN, 3};
    ck_assert_int_eq(calibration_fit(up, up, 1, &line), MEASURE_TOO_FEW);
    ck_assert_int_eq(calibration_fit(same, up, 3, &line), MEASURE_CONSTANT);
    ck_assert_int_eq(calibration_fit(up, same, 3, &line), MEASURE_CONSTANT);
    const double evenly[] = {1, 2, 3, 4}, hill[] = {5, 6, 6, 5}; /* moves, but not with it */
    ck_assert_int_eq(calibration_fit(evenly, hill, 4, &line), MEASURE_CONSTANT);
    ck_assert_int_eq(calibration_fit(up, not_finite, 3, &line), MEASURE_NOT_FINITE);
    ck_assert_int_eq(calibration_fit(not_finite, up, 3, &line), MEASURE_NOT_FINITE);
    ck_assert_int_eq(calibration_fit(up, up, CALIBRATION_POINTS_MAX + 1, &line),
                     MEASURE_BAD_SETTING);
    ck_assert_int_eq(calibration_fit(up, up, 3, &line), MEASURE_OK);
    ck_assert_double_eq_tol(line.gain, 1.0, 1e-12);
    ck_assert_double_eq_tol(line.offset_mm, 0.0, 1e-12);
    ck_assert(!line.has_lack_of_fit); /* nothing was read twice */
    const double twice[] = {100, 100, 200, 200, 300, 300}, alike[] = {101, 101, 203, 203, 299, 299};
    ck_assert_int_eq(calibration_fit(twice, alike, 6, &line), MEASURE_OK);
    ck_assert(!line.has_lack_of_fit); /* read twice the very same: no scatter to hold it against */
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("range_calibration");
    TCase *tests = tcase_create("range_calibration");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, worked_five_levels);
    tcase_add_test(tests, worked_two_levels);
    tcase_add_test(tests, guide_h3_thermometer);
    tcase_add_test(tests, lack_of_fit_finds_a_bend);
    tcase_add_test(tests, guards);
    return test_main(suite);
}
