/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A long hold by the minute, of signals whose answers are known. */
#include "support/test_main.h"

#include "measure/minutes.h"

#include <math.h>
#include <string.h>

#define READINGS 40000
static double time_s[READINGS], height_mm[READINGS];
static uint8_t valid[READINGS];

static struct hold_settings usual(void)
{
    struct hold_settings settings = {
        .raw = false, .has_target = true, .target_mm = 900.0, .has_band = true};
    settings.cue = cue_usual(false);
    settings.cue.filter_hz = 0.0;
    settings.cue.band_above_mm = settings.cue.band_below_mm = 10.0;
    return settings;
}

/* Ten readings a second at target + rise * hours, a ripple of 0.1 mm on it. */
static struct hold_input ride(double length_s, double rise_mm_per_h)
{
    struct hold_input input = {.time_s = time_s,
                               .height_mm = height_mm,
                               .valid = valid,
                               .duration_s = length_s,
                               .rate_hz = 10.0};
    for (int i = 0; i / 10.0 < length_s - 1e-9 && i < READINGS; i++) {
        time_s[i] = i / 10.0;
        height_mm[i] = 900.0 + rise_mm_per_h * time_s[i] / 3600.0 + 0.1 * (i % 3 - 1);
        valid[i] = 1;
        input.count++;
    }
    return input;
}

static void lift(double from_s, double to_s, double by_mm)
{
    for (int i = (int)(from_s * 10.0 + 0.5); i < (int)(to_s * 10.0 + 0.5); i++) {
        height_mm[i] += by_mm;
    }
}

START_TEST(rows_of_a_minute)
{
    struct minute_row rows[16];
    struct hold_settings settings = usual();
    struct hold_input input = ride(330, 0);
    const struct hold_cut up = {115, 135};
    lift(60, 75, 20);    /* out for 15 s of the second minute */
    lift(115, 135, 150); /* sat up over the third one's beginning */
    input.cuts = &up;
    input.cut_count = 1;
    for (int i = 2400; i < 2700; i++) {
        valid[i] = 0; /* half of the fifth is missing */
    }
    ck_assert_uint_eq(minutes_make(&input, &settings, 60.0, rows, 16), 6);
    ck_assert_double_eq(rows[5].from_s, 300);
    ck_assert_double_eq(rows[5].to_s, 330);
    ck_assert_double_eq_tol(rows[0].mean_mm, 900, 0.01);
    ck_assert_double_eq_tol(rows[0].in_band_share, 1, 1e-9);
    ck_assert_double_eq_tol(rows[1].up_s, 5, 1e-9);
    ck_assert_double_eq_tol(rows[2].up_s, 15, 1e-9);
    ck_assert_double_eq_tol(rows[1].seen_s, 55, 0.2);
    ck_assert_double_eq_tol(rows[1].in_band_share, 40.0 / 55.0, 0.005);
    ck_assert_double_eq_tol(rows[1].mean_mm, 900 + 20 * 15.0 / 55.0, 0.1);
    ck_assert_int_eq(rows[1].cues, 1);
    ck_assert_int_eq(rows[2].cues, 0);
    ck_assert_double_eq_tol(rows[4].seen_s, 30, 0.2);
    ck_assert_double_eq_tol(rows[5].seen_s, 30, 0.2);
    ck_assert_uint_eq(minutes_make(&input, &settings, 60.0, rows, 3), 3);
    ck_assert_double_eq_tol(rows[2].up_s, 15, 1e-9);
    input.duration_s = 0;
    ck_assert_uint_eq(minutes_make(&input, &settings, 60.0, rows, 16), 0);
}
END_TEST

/* An hour that rises by 6 mm: quarters lie at 0.75, 2.25, 3.75, 5.25. */
START_TEST(quarters_and_trend)
{
    struct minute_row rows[64];
    struct hold_settings settings = usual();
    struct hold_input input = ride(3600, 6);
    struct minutes_course course;
    size_t count = minutes_make(&input, &settings, 60.0, rows, 64);
    ck_assert_uint_eq(count, 60);
    minutes_course(rows, count, &course);
    for (int q = 0; q < 4; q++) {
        ck_assert_double_eq_tol(course.quarter[q].mean_mm, 900.75 + 1.5 * q, 0.01);
        ck_assert_double_eq_tol(course.quarter[q].in_band_share, 1, 1e-9);
        ck_assert_double_eq(course.quarter[q].from_s, 900.0 * q);
        ck_assert_double_eq(course.quarter[q].to_s, 900.0 * (q + 1));
    }
    ck_assert(course.has_trend);
    ck_assert_double_eq_tol(course.trend_mm_per_h, 6, 0.05);
    ck_assert_double_le(course.trend_low, 6.0 + 1e-6);
    ck_assert_double_ge(course.trend_high, 6.0 - 1e-6);
    ck_assert(isnan(course.after_mm)); /* not asked */
    minutes_course_after(rows, count, 1790, &course);
    ck_assert_double_eq_tol(course.after_mm, 904.5, 0.01); /* of the second half */
    minutes_course_after(rows, count, 3590, &course);
    ck_assert(isnan(course.after_mm));
    minutes_course(rows, 7, &course);
    ck_assert(!course.has_trend);
    minutes_course(rows, 8, &course);
    ck_assert(course.has_trend);
}
END_TEST

START_TEST(of_no_reading_there_are_rows_and_no_numbers)
{
    struct minute_row rows[4];
    struct hold_settings settings = usual();
    struct hold_input input = ride(150, 0);
    input.count = 1;
    ck_assert_uint_eq(minutes_make(&input, &settings, 60.0, rows, 4), 3);
    input.count = 1500;
    for (int i = 0; i < 1500; i++) {
        valid[i] = 0;
    }
    ck_assert_uint_eq(minutes_make(&input, &settings, 60.0, rows, 4), 3);
    for (int r = 0; r < 3; r++) {
        ck_assert(rows[r].seen_s == 0.0 && isnan(rows[r].mean_mm));
        ck_assert_double_eq(rows[r].to_s, r < 2 ? 60.0 * (r + 1) : 150.0);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("minutes");
    TCase *tests = tcase_create("minutes");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, rows_of_a_minute);
    tcase_add_test(tests, quarters_and_trend);
    tcase_add_test(tests, of_no_reading_there_are_rows_and_no_numbers);
    return test_main(suite);
}
