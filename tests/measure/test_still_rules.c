/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The limits of a still test, just below and just over, on readings made by hand: 40 a second, so
 * that a block of 2.5 s has 100 of them, and is over with the reading that follows. */
#include "reference.h"

#include "measure/still_test.h"

#include <string.h>

enum { A_BLOCK = 100, BLOCKS = 24, READINGS = BLOCKS * A_BLOCK + 1 };

static double time_s[READINGS], range_mm[READINGS];
static uint8_t valid[READINGS];

static struct still_test tested(int blocks)
{
    struct still_input input = {time_s, range_mm, valid, (size_t)blocks * A_BLOCK + 1};
    struct still_test test;
    ck_assert_int_eq(still_test(&input, &test), MEASURE_OK);
    return test;
}

/* Up and down in turns about at_mm. */
static void still_at(double at_mm, double swing_mm)
{
    for (int i = 0; i < READINGS; i++) {
        time_s[i] = i / 40.0;
        range_mm[i] = at_mm + (i % 2 ? -swing_mm : swing_mm);
        valid[i] = 1;
    }
}

static double minutes_of(int block)
{
    return block * 2.5 / 60.0;
}

/* Steps of twice the swing: white noise of the swing times the root of 2. */
START_TEST(noise_over_five_millimetres_is_too_much)
{
    still_at(400.0, 3.45); /* 4.88 mm */
    ck_assert(!(tested(BLOCKS).reasons & STILL_NOISY));
    still_at(400.0, 3.62); /* 5.12 mm */
    ck_assert(tested(BLOCKS).reasons & STILL_NOISY);
}
END_TEST

static unsigned reasons_without_every(int one)
{
    still_at(400.0, 1.0);
    for (int i = 0; i < READINGS; i += one) {
        valid[i] = 0;
    }
    return tested(BLOCKS).reasons;
}

START_TEST(one_in_twenty_may_be_missing)
{
    ck_assert_uint_eq(reasons_without_every(21), 0);           /* 115 of 2401 */
    ck_assert_uint_eq(reasons_without_every(19), STILL_DROPS); /* 127 */
}
END_TEST

/* Those that are far off count as missing: 60 of 2401, and as many or more that lack. Beyond that
 * readings that are closed up tell nothing of averaging, nor of ripples. */
START_TEST(outliers_and_missing_ones_together)
{
    for (int more = 0; more < 2; more++) {
        still_at(400.0, 1.0);
        int lacking = more ? 61 : 60; /* 121 of 2401 are 5.04 %, 120 are 4.998 % */
        for (int i = 0; i < 60; i++) {
            range_mm[20 + 40 * i] += 300.0;
        }
        for (int i = 0; i < lacking; i++) {
            valid[35 + 38 * i] = 0;
        }
        struct still_test test = tested(BLOCKS);
        ck_assert_double_eq_tol(test.outlier_share * READINGS, 60, 1e-6);
        ck_assert_double_eq_tol(test.valid_share * READINGS, READINGS - lacking, 1e-6);
        ck_assert_uint_eq(test.reasons & STILL_DROPS, more ? STILL_DROPS : 0);
        ck_assert(test.has_allan == !more);
    }
}
END_TEST

/* Each block a little further, along a line without an error. */
START_TEST(half_a_millimetre_a_minute_is_drift)
{
    for (int sign = -1; sign <= 1; sign += 2) {
        for (int over = 0; over <= 1; over++) {
            double mm_per_min = sign * (over ? 0.52 : 0.48);
            still_at(400.0, 1.0);
            for (int i = 0; i < READINGS; i++) {
                range_mm[i] += mm_per_min * minutes_of(i / A_BLOCK);
            }
            struct still_test test = tested(BLOCKS);
            ck_assert_double_eq_tol(test.drift_mm_per_min, mm_per_min, 1e-9);
            ck_assert_int_eq((test.reasons & STILL_DRIFTS) != 0, over);
        }
    }
}
END_TEST

START_TEST(drift_takes_eight_blocks)
{
    still_at(400.0, 1.0);
    ck_assert(!tested(7).has_drift);
    ck_assert(tested(8).has_drift);
}
END_TEST

/* Two halves of eight blocks. About each half's line lie + - - + + - - + of e, at right angles to
 * it: the line's SD is e sqrt(8/6), its standard error that over 2.5 s times sqrt(42), 4.276 e a
 * minute; of the difference of both 6.047 e. Three times that of e = 0.05 mm is 0.907. */
START_TEST(a_drift_slows_down_by_three_standard_errors)
{
    static const int apart[] = {1, -1, -1, 1, 1, -1, -1, 1};
    for (int over = 0; over <= 1; over++) {
        double first = 2.0 + (over ? 0.96 : 0.86), at_mm = 400.0;
        still_at(0.0, 1.0);
        for (int b = 0; b <= 16; b++) { /* and the reading that ends the last */
            for (int i = b * A_BLOCK; i < (b + 1) * A_BLOCK; i++) {
                range_mm[i] += at_mm + 0.05 * apart[b % 8];
            }
            at_mm += (b < 8 ? first : 2.0) * minutes_of(1);
        }
        struct still_test test = tested(16);
        ck_assert(test.reasons & STILL_DRIFTS);
        ck_assert_int_eq(test.warms_minutes > 0.0, over);
    }
}
END_TEST

/* A square wave of 16 readings up and 16 down, and steps of twice w between readings that follow
 * each other. Neighbouring means of 16 readings (averaging 16 / rate) are apart by 2 a at most and
 * by 0 at least, evenly: their Allan deviation is a sqrt(2/3), that of means of 32 is 0. White
 * noise is sqrt(2 w^2 + a^2/8). */
static bool wanders(double rate_hz, double a_mm, double w_mm)
{
    still_at(400.0, w_mm);
    for (int i = 0; i < READINGS; i++) {
        time_s[i] = i / rate_hz;
        range_mm[i] += i / 16 % 2 ? -a_mm : a_mm;
    }
    return tested(BLOCKS).reasons & STILL_WANDERS;
}

START_TEST(wandering_is_looked_for_from_half_a_second)
{
    ck_assert(!wanders(16.0 / 0.48, 1.0, 0.3));
    ck_assert(wanders(16.0 / 0.52, 1.0, 0.3));
}
END_TEST

START_TEST(wandering_is_half_a_millimetre_and_beyond_noise)
{
    ck_assert(!wanders(16.0 / 0.6, 0.58, 0.3)); /* 0.474 mm */
    ck_assert(wanders(16.0 / 0.6, 0.64, 0.3));  /* 0.523 mm */
    ck_assert(wanders(16.0 / 0.6, 1.0, 0.85));  /* 2.6 times the 0.31 mm that noise would leave */
    ck_assert(!wanders(16.0 / 0.6, 1.0, 0.93)); /* 2.4 times 0.34 mm */
}
END_TEST

START_TEST(nearer_than_thirty_five_millimetres_is_a_covered_window)
{
    still_at(34.5, 1.0);
    ck_assert(tested(BLOCKS).reasons & STILL_BLOCKED);
    still_at(35.5, 1.0);
    ck_assert(!(tested(BLOCKS).reasons & STILL_BLOCKED));
    still_at(35.0, 1.0);
    range_mm[READINGS - 1] = 35.0; /* as many above as below: just at it */
    ck_assert(!(tested(BLOCKS).reasons & STILL_BLOCKED));
}
END_TEST

/* Readings further from those about them than five SDs, by the median of their distances: that is
 * 1 mm where a third of them lie at 0, 1 and -1 mm, the SD 1.4826 mm, and 7.413 mm the limit. */
START_TEST(an_outlier_is_five_spreads_away)
{
    for (int over = 0; over <= 1; over++) {
        still_at(400.0, 0.0);
        for (int i = 0; i < READINGS; i++) {
            range_mm[i] += i % 3 - 1;
        }
        range_mm[1000] = 400.0 + (over ? 7.6 : 7.2);
        range_mm[1300] = 400.0 - (over ? 7.6 : 7.2);
        double outliers = tested(BLOCKS).outlier_share * READINGS;
        ck_assert_double_eq_tol(outliers, over ? 2.0 : 0.0, 1e-6);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("still_rules");
    TCase *tests = tcase_create("still_rules");
    tcase_add_test(tests, noise_over_five_millimetres_is_too_much);
    tcase_add_test(tests, one_in_twenty_may_be_missing);
    tcase_add_test(tests, outliers_and_missing_ones_together);
    tcase_add_test(tests, half_a_millimetre_a_minute_is_drift);
    tcase_add_test(tests, drift_takes_eight_blocks);
    tcase_add_test(tests, a_drift_slows_down_by_three_standard_errors);
    tcase_add_test(tests, wandering_is_looked_for_from_half_a_second);
    tcase_add_test(tests, wandering_is_half_a_millimetre_and_beyond_noise);
    tcase_add_test(tests, nearer_than_thirty_five_millimetres_is_a_covered_window);
    tcase_add_test(tests, an_outlier_is_five_spreads_away);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
