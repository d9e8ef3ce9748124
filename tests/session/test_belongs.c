/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/session_drive.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* What was held as the wrong setup is given to the one whose parts were on the bike. */

static const char *said(const struct drive *drive)
{
    uint64_t serial = 0;
    return session_message(drive->session, &serial);
}

static void hold(struct drive *drive, int count)
{
    for (int i = 0; i < count; i++) {
        drive_do(drive, "hold 20s free settle=0s");
        drive_finish(drive);
    }
}

/* Build by build: its setup's number and which of its builds it is, as two digits. */
static void builds(const struct drive *drive, const char *expected)
{
    const struct session_record *record = session_records(drive->session);
    char now[64] = "";
    for (int b = 0; b < record->build_count; b++) {
        snprintf(now + strlen(now), sizeof now - strlen(now), "%s%d%d", b > 0 ? " " : "",
                 record->setup[record->build[b].setup].number, record->build[b].ordinal);
    }
    ck_assert_str_eq(now, expected);
}

/* Setup 2's bars are 20 mm of spacers lower: 20 sin 73 = 19.126 mm, which its third build was
 * held with as well, and named setup 1. */
static void begin(struct drive *drive)
{
    drive_start(drive, 62);
    drive_describe(drive);
    hold(drive, 2);
    drive_do(drive, "rating effort=2");
    drive_do(drive, "setup 2 \"spacers out\" spacers=0");
    drive->sensor_mm[0] -= 20.0 * sin(73.0 * M_PI / 180.0);
    drive->sensor_mm[1] -= 20.0 * sin(73.0 * M_PI / 180.0);
    hold(drive, 2);
    drive_do(drive, "setup 1");
    drive_samples(drive, 50);
    hold(drive, 3);
    drive_do(drive, "rating effort=7");
}

START_TEST(a_build_is_given_to_the_setup_that_it_was)
{
    struct drive drive;
    begin(&drive);
    const struct session_record *record = session_records(drive.session);
    const struct analysis *analysis = session_analysis(drive.session);
    double wrong_mm = analysis->hold[4].summary[0].mean_mm,
           low_mm = 20.0 * sin(73.0 * M_PI / 180.0);
    ck_assert_double_eq_tol(wrong_mm - analysis->hold[0].summary[0].mean_mm, low_mm, 1.5);
    builds(&drive, "11 21 12");
    drive_do(&drive, "belongs 2");
    ck_assert_str_eq(said(&drive), "setup 1, build 2 was setup 2 (its build 2, with 3 holds and 1 "
                                   "rating); everything was worked out anew");
    builds(&drive, "11 21 22");
    ck_assert_double_eq_tol(analysis->hold[4].summary[0].mean_mm, wrong_mm - low_mm, 1e-6);
    ck_assert_double_eq_tol(analysis->free_heights[0].difference[1].difference, 0.0, 1.5);
    /* its parts are as they were, and what was said of setup 1 on it was said of setup 2 */
    ck_assert(record->setup[0].bike.value[BIKE_SPACERS] == 20.0);
    ck_assert_int_eq(record->rating[0].setup, 0);
    ck_assert_int_eq(record->rating[1].setup, 1);
    const struct snapshot *snapshot = drive_snapshot(&drive);
    ck_assert_int_eq(snapshot_setup_number(snapshot), 2);
    ck_assert_int_eq(snapshot_build_ordinal(snapshot), 2);
    drive_do(&drive, "undo");
    ck_assert_str_eq(said(&drive), "taken back: setup 2, build 2 is setup 1, build 2; setup 1, "
                                   "build 2 is on the bike");
    builds(&drive, "11 21 12");
    ck_assert_double_eq_tol(analysis->hold[4].summary[0].mean_mm, wrong_mm, 1e-9);
    ck_assert_int_eq(record->rating[1].setup, 0);
    drive_do(&drive, "redo");
    builds(&drive, "11 21 22");
    ck_assert_int_eq(record->rating[1].setup, 1);
    hold(&drive, 1); /* it goes on as setup 2 */
    ck_assert_int_eq(record->build[record->hold[7].build].setup, 1);
    drive_end(&drive);
}
END_TEST

/* One in the middle, named: those behind it are counted anew, in both setups. */
START_TEST(the_builds_of_both_setups_are_counted_anew)
{
    struct drive drive;
    begin(&drive);
    drive_do(&drive, "setup 2");
    hold(&drive, 1);
    drive_do(&drive, "setup 1");
    drive_do(&drive, "rating effort=3");
    builds(&drive, "11 21 12 22 13");
    drive_do(&drive, "belongs 2 setup=1 build=2");
    builds(&drive, "11 21 22 23 12");
    const struct session_record *record = session_records(drive.session);
    ck_assert_int_eq(record->rating[1].setup, 1);
    ck_assert_int_eq(record->rating[2].setup, 0);
    drive_do(&drive, "undo");
    builds(&drive, "11 21 12 22 13");
    /* a setup may be left without any; the one compared against stays what it is */
    drive_do(&drive, "belongs 1 setup=2");
    drive_do(&drive, "belongs 1 setup=2 build=1");
    builds(&drive, "11 12 13 14 15");
    ck_assert_int_eq(record->settings.baseline_setup, 1);
    drive_do(&drive, "remove 2");
    drive_do(&drive, "undo");
    drive_do(&drive, "undo");
    drive_do(&drive, "undo");
    builds(&drive, "11 21 12 22 13");
    drive_end(&drive);
}
END_TEST

/* Whether a sensor slipped was said against another build than is now the one before it. */
START_TEST(an_answer_of_a_slip_goes_where_it_was_of_another_build)
{
    struct drive drive;
    begin(&drive);
    drive_do(&drive, "setup 2");
    drive_do(&drive, "slipped no setup=1 build=2");
    drive_do(&drive, "slipped no setup=2 build=2");
    drive_do(&drive, "moved no setup=1 build=2");
    drive_do(&drive, "belongs 2 setup=1 build=2");
    const struct session_record *record = session_records(drive.session);
    ck_assert_int_eq(record->build[2].slipped, 0);
    ck_assert_int_eq(record->build[3].slipped, 0);
    ck_assert_int_eq(record->build[2].moved, ANSWER_NO);
    drive_do(&drive, "undo");
    ck_assert_int_eq(record->build[2].slipped, ANSWER_NO);
    ck_assert_int_eq(record->build[3].slipped, ANSWER_NO);
    drive_end(&drive);
}
END_TEST

START_TEST(what_cannot_be_meant_is_refused)
{
    struct drive drive;
    begin(&drive);
    drive_refused(&drive, "belongs 1", "setup 1, build 2 is of that setup");
    drive_refused(&drive, "belongs 3", "there is no setup '3'");
    drive_refused(&drive, "belongs", "there is no setup ''");
    drive_refused(&drive, "belongs 2 setup=1 build=4", "there is no build 4 of setup 1");
    drive_refused(&drive, "belongs 2 hold=4", "does not know 'hold='");
    drive_do(&drive, "hold 20s free settle=0s");
    drive_refused(&drive, "belongs 2", "a hold is in progress");
    builds(&drive, "11 21 12");
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("builds of another setup");
    TCase *tests = tcase_create("belongs");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, a_build_is_given_to_the_setup_that_it_was);
    tcase_add_test(tests, the_builds_of_both_setups_are_counted_anew);
    tcase_add_test(tests, an_answer_of_a_slip_goes_where_it_was_of_another_build);
    tcase_add_test(tests, what_cannot_be_meant_is_refused);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
