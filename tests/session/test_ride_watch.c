/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A ride while it is ridden: minute by minute, rests, sitting up, a cable that comes out. */
#include "session/view.h"
#include "support/session_drive.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static struct drive drive;
static struct view view;

static const struct view_ride *look(void)
{
    memset(&view, 0, sizeof view);
    view.snapshot = drive_snapshot(&drive);
    session_fill_view(drive.session, &view);
    return &view.ride;
}

static void minutes(double count)
{
    drive_samples(&drive, (int)(count * 60 * 50));
}

/* Bodies at the target, bands of 10 mm. */
static void begin(const char *ride)
{
    char line[96];
    drive_start(&drive, 7);
    drive_describe(&drive);
    drive_do(&drive, "setup 1 \"as chosen\"");
    drive_samples(&drive, 500);
    look();
    snprintf(line, sizeof line, "target head=%.1f chest=%.1f sure=yes", view.channel[0].slow_mm,
             view.channel[1].slow_mm);
    drive_do(&drive, line);
    drive_do(&drive, "band head=+10/-10 chest=+10/-10");
    drive_do(&drive, ride);
}

START_TEST(minutes_are_told_as_they_go)
{
    begin("ride settle=0s");
    minutes(3.5);
    const struct view_ride *ride = look();
    ck_assert(ride->on && ride->open && !ride->sat_up && !ride->rest);
    ck_assert_int_eq(ride->count, 3);
    ck_assert_int_eq(ride->minute[0].minute, 3); /* the newest first */
    ck_assert_double_gt(ride->minute[0].in_band_share, 0.97);
    ck_assert_double_eq_tol(ride->minute[1].off_mm[0], 0, 1.5);
    drive.body_mm[0] += 25; /* from the middle of the fourth minute on */
    minutes(1.6);
    ride = look();
    ck_assert_double_eq_tol(ride->minute[1].in_band_share, 0.5, 0.05);
    ck_assert_double_eq_tol(ride->minute[0].in_band_share, 0, 0.05);
    ck_assert_double_eq_tol(ride->minute[0].off_mm[0], 25, 1.5);
    ck_assert_int_ge(ride->minute[0].sounds + ride->minute[1].sounds, 2);
    drive_do(&drive, "stop");
    ck_assert(!look()->on);
    drive_end(&drive);
}
END_TEST

/* Below a band is out of it as above it is; where there is none below, it is in. */
START_TEST(lower_than_the_band_is_out)
{
    static const struct {
        const char *band;
        double low_mm, share;
    } cases[] = {{"band head=+10/-10 chest=+10/-10", 25.0, 0.0},
                 {"band head=+10/-40 chest=+10/-40", 25.0, 1.0},
                 {"band head=+10/none chest=+10/none", 25.0, 1.0},
                 {"band head=+10/-40 chest=+10/-40", -25.0, 0.0}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        begin(cases[i].band);
        drive.body_mm[0] -= cases[i].low_mm;
        drive_do(&drive, "ride settle=5s");
        minutes(1.2);
        ck_assert_double_eq_tol(look()->minute[0].in_band_share, cases[i].share, 0.03);
        drive_end(&drive);
    }
}
END_TEST

/* Up by 150 mm for 20 s: in no share, and nobody is told to come down once it is seen. */
START_TEST(sitting_up_is_no_loss)
{
    begin("ride settle=0s");
    minutes(1);
    drive.body_mm[0] += 150;
    drive_samples(&drive, 10 * 50);
    ck_assert(look()->sat_up);
    uint64_t heard = view.heard_serial;
    drive_samples(&drive, 10 * 50);
    drive.body_mm[0] -= 150;
    drive_samples(&drive, 40 * 50);
    const struct view_ride *ride = look();
    ck_assert(!ride->sat_up);
    ck_assert_int_eq(ride->up_times, 1);
    ck_assert_double_eq_tol(ride->up_s, 20, 1.5);
    ck_assert_double_gt(ride->minute[0].in_band_share, 0.85); /* but the 3 s until it was seen */
    ck_assert_uint_le(view.heard_serial, heard + 1);          /* in again */
    drive_end(&drive);
}
END_TEST

/* Every ten minutes, for half a minute. */
START_TEST(a_rest_is_proposed)
{
    begin("ride 25min told=none settle=0s");
    ck_assert(!look()->open);
    minutes(9.9);
    ck_assert(!look()->rest);
    minutes(0.2);
    ck_assert(look()->rest);
    drive_samples(&drive, 23 * 50); /* 10 min 29 s */
    ck_assert(look()->rest);
    drive_samples(&drive, 2 * 50);
    ck_assert(!look()->rest);
    minutes(9.6);
    ck_assert(look()->rest);
    drive_end(&drive);
}
END_TEST

/* A cable that is out for two minutes: the ride goes on, the minutes have a hole. */
START_TEST(an_interruption_is_a_gap_and_no_end)
{
    begin("ride settle=0s");
    minutes(2);
    drive.time_us += 120 * 1000000;
    minutes(2.1);
    const struct view_ride *ride = look();
    ck_assert(ride->on);
    ck_assert_int_eq(ride->count, 6);
    ck_assert(isnan(ride->minute[2].in_band_share)); /* the fourth */
    ck_assert_double_gt(ride->minute[0].in_band_share, 0.97);
    ck_assert_double_eq_tol(ride->up_s, 0, 0.1);
    drive_do(&drive, "stop");
    const struct hold_result *result = &drive_snapshot(&drive)->analysis.hold[0];
    ck_assert_double_eq_tol(result->duration_s, 366, 1);
    ck_assert_double_gt(result->summary[0].in_band_share, 0.97); /* of the time seen */
    ck_assert_double_gt(result->summary[0].longest_gap_s, 119);
    drive_end(&drive);
}
END_TEST

/* 20 s in the band, half a minute of nothing, 10 s out of it: two thirds of what was seen. */
START_TEST(a_cable_out_for_half_a_minute_is_neither_in_nor_out)
{
    begin("ride settle=0s");
    minutes(1);
    drive_samples(&drive, 20 * 50);
    drive.time_us += 30 * 1000000;
    drive.body_mm[0] += 25;
    drive_samples(&drive, 11 * 50);
    const struct view_ride *ride = look();
    ck_assert_int_eq(ride->minute[0].minute, 2);
    ck_assert_double_eq_tol(ride->minute[0].in_band_share, 2.0 / 3.0, 0.04);
    ck_assert_double_eq_tol(ride->minute[0].off_mm[0], 25.0 / 3.0, 3.0);
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ride_watch");
    TCase *tests = tcase_create("ride_watch");
    tcase_set_timeout(tests, 60);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, minutes_are_told_as_they_go);
    tcase_add_test(tests, lower_than_the_band_is_out);
    tcase_add_test(tests, sitting_up_is_no_loss);
    tcase_add_test(tests, a_rest_is_proposed);
    tcase_add_test(tests, an_interruption_is_a_gap_and_no_end);
    tcase_add_test(tests, a_cable_out_for_half_a_minute_is_neither_in_nor_out);
    return test_main(suite);
}
