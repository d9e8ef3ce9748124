/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The live picture, from sample to sample: what is no body, how fast the postures follow, and the
 * rate that their filters are made for. */
#include "session/view.h"
#include "support/session_drive.h"
#include "support/test_main.h"

#include <math.h>
#include <string.h>

#define PI 3.14159265358979

static struct drive drive;
static struct view view;

/* The head over the bottom bracket: its sensor 40 mm over the clamp, which is at 578.252 (worked by
 * hand, tests/bike/test_geometry.c), and a range of 260 mm. */
static const double head_mm = 578.252 + 40.0 + 260.0;

/* Bodies that don't move by themselves. */
static void begin(void)
{
    drive_start(&drive, 5);
    drive.noise_mm = drive.breathing_mm = 0.0;
    drive_describe(&drive);
}

static const struct view_channel *look(void)
{
    memset(&view, 0, sizeof view);
    view.snapshot = drive_snapshot(&drive);
    session_fill_view(drive.session, &view);
    return &view.channel[0];
}

/* One reading so far from where the rider is. */
static double highest_with(double off_mm)
{
    double highest = 0.0;
    begin();
    drive_samples(&drive, 500);
    drive.body_mm[0] += off_mm;
    drive_samples(&drive, 1);
    drive.body_mm[0] -= off_mm;
    drive_samples(&drive, 10);
    look();
    for (int back = 0; back < 4; back++) {
        highest = fmax(highest, (double)view_history_back(view.history, 0, back)->high_mm);
    }
    drive_end(&drive);
    return highest;
}

START_TEST(further_than_150_mm_from_the_posture_is_no_body)
{
    ck_assert_double_eq_tol(highest_with(149.0), head_mm + 149.0, 0.06);
    ck_assert_double_eq_tol(highest_with(151.0), head_mm, 0.06);
    ck_assert_double_eq_tol(highest_with(-151.0), head_mm, 0.06);
}
END_TEST

/* The head goes up and down by 10 mm, so often, in samples that come every period_us: amplitudes
 * of both postures, over three seconds. */
static void swing(double hz, int64_t period_us, double *slow_mm, double *quick_mm)
{
    double slow = 0.0, quick = 0.0;
    int count = (int)lround(3e6 / (double)period_us);
    begin();
    for (int i = -500; i < count; i++) {
        drive.body_mm[0] = 900.0 + 10.0 * sin(2.0 * PI * hz * (double)drive.time_us / 1e6);
        drive.time_us += period_us - 20000;
        drive_samples(&drive, 1);
        if (i >= 0) {
            slow += pow(look()->slow_mm - head_mm, 2.0);
            quick += pow(look()->quick_mm - head_mm, 2.0);
        }
    }
    *slow_mm = sqrt(2.0 * slow / count);
    *quick_mm = sqrt(2.0 * quick / count);
    drive_end(&drive);
}

/* A Butterworth filter of the second order leaves 1 / sqrt 2 at its corner. */
START_TEST(the_postures_are_of_one_hertz_and_of_three)
{
    double slow_mm, quick_mm;
    swing(1.0, 20000, &slow_mm, &quick_mm);
    ck_assert_double_eq_tol(slow_mm, 10.0 / sqrt(2.0), 0.05);
    swing(3.0, 20000, &slow_mm, &quick_mm);
    ck_assert_double_eq_tol(quick_mm, 10.0 / sqrt(2.0), 0.05);
}
END_TEST

/* The rig says 50/s. Samples that come 4.6 % slower are taken for that, and the corner is where
 * the bilinear transform puts a filter of 50/s at their rate; 5.4 % slower, and it is where it
 * should be. */
START_TEST(a_rate_that_is_off_by_five_percent_is_put_right)
{
    double slow_mm, quick_mm;
    int64_t period_us = 20964;
    double rate_hz = 1e6 / (double)period_us;
    double over = tan(PI * 3.0 / rate_hz) / tan(PI * 3.0 / 50.0);
    swing(3.0, period_us, &slow_mm, &quick_mm);
    ck_assert_double_eq_tol(quick_mm, 10.0 / sqrt(1.0 + pow(over, 4.0)), 0.05);
    ck_assert_double_lt(quick_mm, 6.8);
    swing(3.0, 21142, &slow_mm, &quick_mm);
    ck_assert_double_eq_tol(quick_mm, 10.0 / sqrt(2.0), 0.05);
}
END_TEST

/* The head goes up by 1 mm from sample to sample: the digits change four times a second, to the
 * mean of the second before, which lacks half of its 49 mm. */
START_TEST(digits_are_of_the_last_second_and_change_each_quarter)
{
    double shown_mm = NAN;
    int changes = 0;
    begin();
    for (int i = 0; i < 500; i++) {
        drive_samples(&drive, 1);
        double now_mm = look()->shown_mm;
        if (i >= 100 && now_mm != shown_mm) {
            changes++;
            ck_assert_double_eq_tol(head_mm + (drive.body_mm[0] - 900.0) - now_mm, 24.5, 0.6);
        }
        shown_mm = now_mm;
        drive.body_mm[0] += 1.0;
    }
    ck_assert_int_eq(changes, 32); /* in 8 s */
    drive_end(&drive);
}
END_TEST

/* Nothing came for 3 s: what was before it is in no digit any more. */
START_TEST(digits_begin_anew_behind_a_hole)
{
    begin();
    drive_samples(&drive, 500);
    drive.time_us += 3000000;
    drive.body_mm[0] += 100.0;
    drive_samples(&drive, 1);
    ck_assert(isnan(look()->shown_mm));
    drive_samples(&drive, 13);
    ck_assert_double_eq_tol(look()->shown_mm, head_mm + 100.0, 0.06);
    drive_end(&drive);
}
END_TEST

/* The history has a point for each tenth of a second. Nothing in one of them: the line goes on.
 * Nothing in two: it is broken there. */
START_TEST(the_history_is_broken_where_two_tenths_lack)
{
    for (int lack = 1; lack <= 2; lack++) {
        int broken = 0;
        begin();
        drive_samples(&drive, 500); /* to the end of a tenth */
        drive.time_us += 100000 * lack;
        drive_samples(&drive, 50);
        look();
        for (int back = 0; back < 30; back++) {
            broken += isnan((double)view_history_back(view.history, 0, back)->slow_mm) ? 1 : 0;
        }
        ck_assert_int_eq(broken, lack == 1 ? 0 : 2);
        drive_end(&drive);
    }
}
END_TEST

/* Nothing says how fast the samples will come: until a hundred have, it is 50/s. */
START_TEST(a_rate_that_nothing_tells_is_fifty)
{
    double sum = 0.0, squares = 0.0;
    drive_start(&drive, 5);
    drive.noise_mm = drive.breathing_mm = 0.0;
    drive_do(&drive, "rig bench channels=head,chest");
    for (int i = 0; i < 90; i++) {
        drive.body_mm[0] = 900.0 + 10.0 * sin(2.0 * PI * 3.0 * (double)drive.time_us / 1e6);
        drive_samples(&drive, 1);
        double quick_mm = i >= 40 ? look()->quick_mm : 0.0; /* three periods */
        sum += quick_mm;
        squares += quick_mm * quick_mm;
    }
    ck_assert_double_eq_tol(sqrt(2.0 * (squares / 50.0 - sum * sum / 2500.0)), 10.0 / sqrt(2.0),
                            0.05);
    drive_end(&drive);
}
END_TEST

/* With its hundredth sample: filters begin anew there, at rest where the body is. */
START_TEST(the_rate_is_known_from_a_hundred_samples)
{
    begin();
    for (int i = 1; i <= 101; i++) {
        double off_mm = 10.0 * sin(2.0 * PI * 3.0 * (double)drive.time_us / 1e6);
        drive.body_mm[0] = 900.0 + off_mm;
        drive.time_us += 5000; /* 40/s */
        drive_samples(&drive, 1);
        double behind_mm = fabs(look()->quick_mm - head_mm - off_mm);
        ck_assert_msg(i <= 1 || (behind_mm < 0.06) == (i == 100), "%d: %.2f", i, behind_mm);
    }
    drive_end(&drive);
}
END_TEST

static void one_sample(bool gap_before, uint32_t lost_before)
{
    struct sample sample = {.number = ++drive.number,
                            .time_us = drive.time_us,
                            .link_gap_before = gap_before,
                            .lost_before = lost_before};
    double head = 900.0 + 10.0 * sin(2.0 * PI * 3.0 * (double)drive.time_us / 1e6);
    sample.range_tenth_mm[0] = (int32_t)lround(10.0 * (head - drive.sensor_mm[0]));
    sample.range_tenth_mm[1] = 4000;
    sample.quality[0] = sample.quality[1] = READING_GOOD;
    drive.time_us += 20000;
    session_sample(drive.session, &sample);
}

/* A cable that was out for a second, or lines that were lost, in the first hundred samples: those
 * before are no rate together with those behind. The postures still follow as filters of 50/s. */
START_TEST(a_rate_is_not_measured_over_a_hole)
{
    for (int by_gap = 0; by_gap < 2; by_gap++) {
        double sum = 0.0, squares = 0.0;
        begin();
        for (int i = 0; i < 300; i++) {
            drive.time_us += i == 60 ? 1000000 : 0;
            one_sample(i == 60 && by_gap == 1, i == 60 && by_gap == 0 ? 50 : 0);
            double quick_mm = i >= 250 ? look()->quick_mm : 0.0; /* three periods */
            sum += quick_mm;
            squares += quick_mm * quick_mm;
        }
        ck_assert_double_eq_tol(sqrt(2.0 * (squares / 50.0 - sum * sum / 2500.0)), 10.0 / sqrt(2.0),
                                0.05);
        drive_end(&drive);
    }
}
END_TEST

/* Numbers so far are of the hold that runs: none before its first second, none when it is over. */
START_TEST(numbers_so_far_are_of_the_hold_that_runs)
{
    begin();
    drive.noise_mm = 0.5;
    drive_do(&drive, "setup 1 \"as it came\"");
    drive_samples(&drive, 500);
    ck_assert(isnan(look()->mean_mm));
    drive_do(&drive, "hold 30s free settle=0s");
    drive_samples(&drive, 1);
    ck_assert(isnan(look()->mean_mm));
    drive_samples(&drive, 1000);
    ck_assert_double_eq_tol(look()->mean_mm, head_mm, 1.0);
    drive_finish(&drive);
    ck_assert(isnan(look()->mean_mm));
    ck_assert_int_eq(view.channel[0].came_up, 0);
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("live");
    TCase *tests = tcase_create("live");
    tcase_set_timeout(tests, 60);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, further_than_150_mm_from_the_posture_is_no_body);
    tcase_add_test(tests, the_postures_are_of_one_hertz_and_of_three);
    tcase_add_test(tests, a_rate_that_is_off_by_five_percent_is_put_right);
    tcase_add_test(tests, digits_are_of_the_last_second_and_change_each_quarter);
    tcase_add_test(tests, digits_begin_anew_behind_a_hole);
    tcase_add_test(tests, the_history_is_broken_where_two_tenths_lack);
    tcase_add_test(tests, a_rate_that_nothing_tells_is_fifty);
    tcase_add_test(tests, the_rate_is_known_from_a_hundred_samples);
    tcase_add_test(tests, a_rate_is_not_measured_over_a_hole);
    tcase_add_test(tests, numbers_so_far_are_of_the_hold_that_runs);
    return test_main(suite);
}
