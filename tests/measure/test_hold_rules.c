/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The thresholds of a hold, just below and just above, on signals made by hand. */
#include "base/random.h"
#include "measure/block.h"
#include "measure/hold.h"
#include "support/test_main.h"

#include <math.h>
#include <string.h>

#define MOST 80000

static double time_s[MOST], height_mm[MOST];
static uint8_t valid[MOST];

/* Readings as they are, evenly spaced: nothing is cut, nothing rejected. */
static struct hold_summary summarise(double duration_s, double rate_hz)
{
    size_t count = (size_t)(duration_s * rate_hz + 0.5);
    for (size_t i = 0; i < count; i++) {
        time_s[i] = (double)i / rate_hz;
    }
    struct hold_input input = {.time_s = time_s,
                               .height_mm = height_mm,
                               .valid = valid,
                               .count = count,
                               .duration_s = duration_s,
                               .rate_hz = rate_hz};
    struct hold_settings settings = {.raw = true};
    struct hold_summary summary;
    ck_assert_int_eq(hold_summarise(&input, &settings, &summary), MEASURE_OK);
    return summary;
}

/* A breath of 0.7 Hz on a slope; a little of everything, so that blocks differ. */
static void breathe(double mm_per_min, double amplitude_mm)
{
    memset(valid, 1, sizeof valid);
    for (size_t i = 0; i < MOST; i++) {
        double t = 0.02 * (double)i;
        height_mm[i] = 900.0 + mm_per_min * t / 60.0 + amplitude_mm * sin(6.2831853 * 0.7 * t);
    }
}

START_TEST(an_interval_takes_eight_blocks_and_nine_tenths)
{
    breathe(0.0, 3.0);
    struct hold_summary s = summarise(20.0, 50.0); /* 8 blocks of 2.5 s */
    ck_assert_int_eq(s.blocks, 8);
    ck_assert(s.has_interval && s.has_creep);
    s = summarise(19.0, 50.0);
    ck_assert_int_eq(s.blocks, 7);
    ck_assert(!s.has_interval && !s.has_creep);
    for (size_t i = 0; i < MOST; i++) {
        valid[i] = i % 11 != 0; /* 10 of 11: 0.909 */
    }
    ck_assert(summarise(60.0, 50.0).has_interval);
    for (size_t i = 0; i < MOST; i++) {
        valid[i] = i % 9 != 0; /* 8 of 9: 0.889 */
    }
    ck_assert(!summarise(60.0, 50.0).has_interval);
}
END_TEST

/* Half a second marked in each of two blocks: eight blocks all the same, but 19 s. */
START_TEST(an_interval_takes_twenty_seconds)
{
    struct random_source random;
    random_seed(&random, 3);
    for (double marked_s = 0.0; marked_s <= 1.0; marked_s += 1.0) {
        memset(valid, 1, sizeof valid);
        for (size_t i = 0; i < 1000; i++) {
            time_s[i] = 0.02 * (double)i;
            height_mm[i] = 900.0 + random_normal(&random);
        }
        const struct hold_cut cuts[] = {{6.0, 6.0 + 0.5 * marked_s}, {16.0, 16.0 + 0.5 * marked_s}};
        struct hold_input input = {.time_s = time_s,
                                   .height_mm = height_mm,
                                   .valid = valid,
                                   .count = 1000,
                                   .duration_s = 20.0,
                                   .rate_hz = 50.0,
                                   .cuts = cuts,
                                   .cut_count = 2};
        struct hold_settings settings = {.has_target = false};
        struct hold_summary s;
        ck_assert_int_eq(hold_summarise(&input, &settings, &s), MEASURE_OK);
        ck_assert_int_eq(s.blocks, 8);
        ck_assert_double_eq_tol(s.kept_s, 20.0 - marked_s, 1e-9);
        ck_assert_int_eq(s.has_interval, marked_s == 0.0);
    }
}
END_TEST

/* 4 mm a hold, whatever its length: 4.0 mm a minute over a minute, 2.0 over two. */
START_TEST(creep_is_flagged_from_four_millimetres_a_hold)
{
    for (int minutes = 1; minutes <= 2; minutes++) {
        for (int sign = -1; sign <= 1; sign += 2) {
            breathe(sign * 3.9 / minutes, 0.05);
            struct hold_summary s = summarise(60.0 * minutes, 50.0);
            ck_assert(s.has_creep && !s.creep_flagged);
            ck_assert_double_gt(fabs(s.creep_mm_per_min), s.creep_half_width_mm_per_min);
            breathe(sign * 4.1 / minutes, 0.05);
            ck_assert(summarise(60.0 * minutes, 50.0).creep_flagged);
        }
    }
    /* and only where it is no accident: the same slope in restless blocks */
    struct random_source random;
    random_seed(&random, 5);
    breathe(5.0, 0.0);
    double step_mm = 0.0;
    for (size_t i = 0; i < 3000; i++) {
        step_mm = i % 125 == 0 ? 20.0 * random_normal(&random) : step_mm;
        height_mm[i] += step_mm;
    }
    ck_assert(!summarise(60.0, 50.0).creep_flagged);
}
END_TEST

/* Blocks that climb all the way are as alike as blocks are taken to be: 0.8, and 24 blocks then
 * count as 24 x 0.2 / 1.8 = 2.67, with 3 degrees of freedom, the least. */
START_TEST(likeness_has_its_limit)
{
    breathe(30.0, 0.05);
    struct hold_summary s = summarise(60.0, 50.0);
    ck_assert_double_eq(s.block_autocorrelation, 0.8);
    ck_assert_double_eq_tol(s.effective_n, 24.0 * 0.2 / 1.8, 1e-9);
    ck_assert_double_eq(s.mean_df, 3.0);
}
END_TEST

/* White noise of 2 mm at 10 readings a second has 4 mm² spread evenly over 0 to 5 Hz: each band's
 * share of it is its width. (Slow motion's is less by what each window's own mean takes away.) */
START_TEST(bands_are_as_wide_as_they_are_said_to_be)
{
    struct random_source random;
    random_seed(&random, 7);
    memset(valid, 1, sizeof valid);
    for (size_t i = 0; i < 72000; i++) {
        height_mm[i] = 900.0 + 2.0 * random_normal(&random);
    }
    struct hold_summary s = summarise(7200.0, 10.0);
    ck_assert(s.has_spectrum);
    ck_assert_double_lt(s.rms_slow_mm, 2.0 * sqrt(0.25 / 5.0));
    ck_assert_double_eq_tol(s.rms_breathing_mm, 2.0 * sqrt((0.8 - 0.25) / 5.0), 0.012);
    ck_assert_double_eq_tol(s.rms_pedalling_mm, 2.0 * sqrt((3.5 - 1.2) / 5.0), 0.015);
}
END_TEST

/* 18 s at 50 readings a second, with one step of another length in the middle. */
static struct hold_summary with_step(double step_s)
{
    for (size_t i = 0; i < 900; i++) {
        time_s[i] = 0.02 * (double)i + (i < 450 ? 0.0 : step_s - 0.02);
    }
    struct hold_input input = {.time_s = time_s,
                               .height_mm = height_mm,
                               .valid = valid,
                               .count = 900,
                               .duration_s = 17.98 + step_s,
                               .rate_hz = 50.0};
    struct hold_settings settings = {.raw = true};
    struct hold_summary s;
    ck_assert_int_eq(hold_summarise(&input, &settings, &s), MEASURE_OK);
    return s;
}

/* A step of over 0.2 s parts a hold: neither half has the 10 s that a spectrum takes. One of over
 * one and a half periods is a gap that is told. */
START_TEST(what_a_gap_is)
{
    breathe(0.0, 3.0);
    ck_assert(with_step(0.19).has_spectrum);
    ck_assert(!with_step(0.21).has_spectrum);
    ck_assert_double_eq(with_step(0.029).longest_gap_s, 0.0);
    ck_assert_double_eq_tol(with_step(0.031).longest_gap_s, 0.031, 1e-9);
}
END_TEST

/* Readings that jump about by 100 mm: no scatter makes one an outlier, but 150 mm do. */
START_TEST(no_body_is_further_than_150_mm_from_its_median)
{
    for (int sign = -1; sign <= 1; sign += 2) {
        for (int far = 0; far <= 1; far++) {
            memset(valid, 1, sizeof valid);
            for (size_t i = 0; i < 1500; i++) {
                time_s[i] = 0.02 * (double)i;
                height_mm[i] = 900.0 + 100.0 * (double)((int)(i % 3) - 1);
            }
            height_mm[700] = 900.0 + sign * (149.0 + 2.0 * far); /* it was 900 */
            struct hold_input input = {.time_s = time_s,
                                       .height_mm = height_mm,
                                       .valid = valid,
                                       .count = 1500,
                                       .duration_s = 30.0,
                                       .rate_hz = 50.0};
            struct hold_settings settings = {.has_target = false};
            struct hold_summary s;
            ck_assert_int_eq(hold_summarise(&input, &settings, &s), MEASURE_OK);
            ck_assert_uint_eq(s.outliers, (size_t)far);
        }
    }
}
END_TEST

START_TEST(a_spectrum_takes_ten_seconds_and_eight_readings)
{
    breathe(0.0, 3.0);
    ck_assert(summarise(10.5, 50.0).has_spectrum);
    ck_assert(!summarise(9.5, 50.0).has_spectrum);
    ck_assert(summarise(60.0, 8.4).has_spectrum);
    ck_assert(!summarise(60.0, 7.6).has_spectrum);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rules of a hold");
    TCase *tests = tcase_create("rules of a hold");
    tcase_set_timeout(tests, 60);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, an_interval_takes_eight_blocks_and_nine_tenths);
    tcase_add_test(tests, an_interval_takes_twenty_seconds);
    tcase_add_test(tests, creep_is_flagged_from_four_millimetres_a_hold);
    tcase_add_test(tests, likeness_has_its_limit);
    tcase_add_test(tests, bands_are_as_wide_as_they_are_said_to_be);
    tcase_add_test(tests, what_a_gap_is);
    tcase_add_test(tests, no_body_is_further_than_150_mm_from_its_median);
    tcase_add_test(tests, a_spectrum_takes_ten_seconds_and_eight_readings);
    return test_main(suite);
}
