/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/plate_still.h"

#include "base/random.h"
#include "support/test_main.h"
#include "support/test_seed.h"

#include <math.h>

#define READINGS 250 /* five seconds at 50 a second */

/* A plate that sinks by way_mm in all, read with noise and in steps. */
static struct plate_still read_plate(struct random_source *random, double way_mm, double noise_mm,
                                     double step_mm)
{
    double mm[READINGS];
    struct plate_still still;
    for (int i = 0; i < READINGS; i++) {
        mm[i] = 412 + way_mm * i / READINGS + noise_mm * random_normal(random);
        mm[i] = step_mm > 0 ? step_mm * round(mm[i] / step_mm) : mm[i];
    }
    ck_assert_int_eq(plate_still(mm, READINGS, &still), MEASURE_OK);
    return still;
}

START_TEST(a_plate_that_sinks_is_seen_and_one_that_is_still_is_not)
{
    struct random_source random;
    int seen = 0, false_alarms = 0;
    random_seed(&random, (uint64_t)test_seed(1));
    for (int i = 0; i < 400; i++) {
        seen += read_plate(&random, 6, 1.8, 1).moved ? 1 : 0;
        false_alarms += read_plate(&random, 0, 1.8, 1).moved ? 1 : 0;
        false_alarms += read_plate(&random, 0, 1, 10).moved ? 1 : 0; /* whole centimetres */
    }
    ck_assert_int_ge(seen, 396);
    ck_assert_int_le(false_alarms, 2);
}
END_TEST

START_TEST(the_way_is_told_and_goes_into_the_uncertainty)
{
    struct random_source random;
    random_seed(&random, (uint64_t)test_seed(1));
    struct plate_still still = read_plate(&random, 8, 0, 0);
    /* means of the first and the last of four parts: three quarters of the way apart */
    ck_assert_double_eq_tol(still.moved_mm, 6, 1e-9);
    ck_assert(still.moved);
    ck_assert_double_eq_tol(still.u_mm, 3 / sqrt(3), 0.02);
    still = read_plate(&random, 0, 1, 0);
    ck_assert_double_eq_tol(still.noise_mm, 1, 0.15);
    ck_assert(!still.moved && still.u_mm < 0.25);
}
END_TEST

/* Three quarters of the way lie between the first and the last of four parts: 1.95 and 2.05 mm. */
START_TEST(two_millimetres_are_not_held_still)
{
    struct random_source random;
    random_seed(&random, 1);
    ck_assert(!read_plate(&random, 2.6, 0, 0).moved);
    ck_assert(read_plate(&random, 2.7334, 0, 0).moved);
}
END_TEST

/* Readings that go up and down by a have a noise of sqrt 2 a; of a part's mean of 8 readings of 32
 * that leaves sqrt(2 x 4 / 32) of it, 4 times which is 2.83 a: 10 mm are beyond where a is under
 * 3.53 mm. */
START_TEST(four_times_the_noise_is_a_move)
{
    for (int beyond = 0; beyond <= 1; beyond++) {
        double mm[32], a = beyond ? 3.43 : 3.63, squares = 0.0;
        struct plate_still still;
        for (int i = 0; i < 32; i++) {
            mm[i] = 412 + (i >= 24 ? 10.0 : 0.0) + (i % 2 ? a : -a);
            squares += i > 0 ? pow(mm[i] - mm[i - 1], 2.0) : 0.0;
        }
        ck_assert_int_eq(plate_still(mm, 32, &still), MEASURE_OK);
        ck_assert_double_eq_tol(still.moved_mm, 10.0, 1e-9);
        ck_assert_double_eq_tol(still.noise_mm, sqrt(squares / 2.0 / 31.0), 1e-9);
        ck_assert_int_eq(still.moved, 10.0 > 4.0 * still.noise_mm / 2.0);
        ck_assert_int_eq(still.moved, beyond);
    }
}
END_TEST

START_TEST(too_few_readings_tell_nothing)
{
    const double none[8] = {412, 413, NAN, 411, 412, 413, 412, 411};
    const double mm[8] = {412, 413, 412, 411, 412, 413, 412, 411};
    struct plate_still still;
    ck_assert_int_eq(plate_still(mm, 7, &still), MEASURE_TOO_FEW);
    ck_assert(!still.moved);
    ck_assert_int_eq(plate_still(mm, 8, &still), MEASURE_OK);
    ck_assert_int_eq(plate_still(none, 8, &still), MEASURE_NOT_FINITE);
    ck_assert(!still.moved);
}
END_TEST

/* To and fro by 10 mm, 120 readings: noise of 10 / sqrt(2) over the root of 120, no way, and half a
 * step over the root of 3, of four parts. */
START_TEST(a_step_goes_into_the_uncertainty)
{
    double mm[120];
    struct plate_still still;
    for (int i = 0; i < 120; i++) {
        mm[i] = 400.0 + 10.0 * (i % 2);
    }
    ck_assert_int_eq(plate_still(mm, 120, &still), MEASURE_OK);
    ck_assert_double_eq(still.moved_mm, 0.0);
    ck_assert_double_eq(still.step_mm, 10.0);
    ck_assert_double_eq_tol(still.noise_mm, 10.0 / sqrt(2.0), 1e-12);
    ck_assert_double_eq_tol(still.u_mm, sqrt(50.0 / 120.0 + 25.0 / 3.0 / 4.0), 1e-12);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("plate still");
    TCase *one = tcase_create("plate still");
    tcase_add_test(one, a_plate_that_sinks_is_seen_and_one_that_is_still_is_not);
    tcase_add_test(one, the_way_is_told_and_goes_into_the_uncertainty);
    tcase_add_test(one, two_millimetres_are_not_held_still);
    tcase_add_test(one, four_times_the_noise_is_a_move);
    tcase_add_test(one, too_few_readings_tell_nothing);
    tcase_add_test(one, a_step_goes_into_the_uncertainty);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
