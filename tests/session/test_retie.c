/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The history is drawn in the heights that are known: at once when places and geometry come, and
 * with gaps where nothing came. */
#include "support/session_drive.h"
#include "support/test_main.h"

#include <math.h>
#include <string.h>

static struct view view; /* big: each test runs in a process of its own */

static void look(struct drive *drive)
{
    session_fill_view(drive->session, &view);
}

static double back_mm(int channel, int steps)
{
    return (double)view_history_back(view.history, channel, steps)->slow_mm;
}

/* Body at 900 over a sensor at 500: a range of 400 becomes a height of 900 all along, the moment
 * that the bike and the place are known. Stack 545, 40 + 20 mm above it on a steerer of 73 degrees,
 * stem 100 at -6: the clamp is at 589.0 by hand, so a sensor 40 below it at 549.0. */
START_TEST(ranges_become_heights_all_along)
{
    struct drive drive;
    drive_start(&drive, 21);
    drive.noise_mm = drive.breathing_mm = 0.0;
    drive_do(&drive, "rig bench rate=50 channels=head,chest");
    drive_samples(&drive, 50 * 20);
    look(&drive);
    double range_mm = drive.body_mm[0] - drive.sensor_mm[0];
    for (int back = 0; back < 150; back += 10) {
        ck_assert_double_eq_tol(back_mm(0, back), range_mm, 0.2);
        ck_assert(!view_history_back(view.history, 0, back)->tied);
    }
    uint64_t redrawn = view.history->redrawn;
    drive_do(&drive, "sensor head carrier=stand x=0 y=500 look=up");
    look(&drive);
    ck_assert_ptr_nonnull(snapshot_tie(drive_snapshot(&drive), 0));
    ck_assert_ptr_null(snapshot_tie(drive_snapshot(&drive), 1));
    ck_assert_uint_gt(view.history->redrawn, redrawn);
    for (int back = 0; back < 150; back += 10) {
        ck_assert_double_eq_tol(back_mm(0, back), 500.0 + range_mm, 0.2);
        ck_assert(view_history_back(view.history, 0, back)->tied);
        ck_assert(!view_history_back(view.history, 1, back)->tied); /* nothing is said of it */
    }
    /* put right: 12 lower, and back down again when it looks down from above */
    drive_do(&drive, "sensor head y=488");
    look(&drive);
    ck_assert_double_eq_tol(back_mm(0, 100), 488.0 + range_mm, 0.2);
    drive_do(&drive, "sensor head y=1400 look=down sure=yes");
    look(&drive);
    ck_assert_double_eq_tol(back_mm(0, 100), 1400.0 - range_mm, 0.2);
    drive_samples(&drive, 50 * 5);
    look(&drive);
    ck_assert_double_eq_tol(back_mm(0, 10), 1400.0 - range_mm, 0.2);
    ck_assert_double_eq_tol(back_mm(0, 100), 1400.0 - range_mm, 0.2);
    drive_end(&drive);
}
END_TEST

/* What gave the sensors other heights is taken back: so are the heights all along, and put back
 * with it. */
START_TEST(heights_go_back_with_what_gave_them)
{
    static const char *const acts[] = {
        "bike \"training bike\" stack=565 reach=410 head_angle=73", /* 20 mm more */
        "correct 1 spacers=35",
        "sensor head y=70",
        "tape head=570",
    };
    for (size_t i = 0; i < sizeof acts / sizeof acts[0]; i++) {
        struct drive drive;
        drive_start(&drive, 21);
        drive.noise_mm = drive.breathing_mm = 0.0;
        drive_describe(&drive);
        drive_do(&drive, "setup 1 \"as it came\"");
        drive_samples(&drive, 50 * 20);
        look(&drive);
        double before_mm = back_mm(0, 100);
        drive_do(&drive, acts[i]);
        look(&drive);
        double after_mm = back_mm(0, 100);
        ck_assert_msg(fabs(after_mm - before_mm) > 5.0, "%s: %g", acts[i], after_mm - before_mm);
        drive_do(&drive, "undo");
        look(&drive);
        ck_assert_msg(fabs(back_mm(0, 100) - before_mm) < 1e-3, "%s: %g", acts[i],
                      back_mm(0, 100) - before_mm);
        drive_do(&drive, "redo");
        look(&drive);
        ck_assert_double_eq_tol(back_mm(0, 100), after_mm, 1e-3);
        drive_end(&drive);
    }
}
END_TEST

/* Sensors that moved between two builds have no heights; they have them again when that is taken
 * back, also what was ridden since. */
START_TEST(heights_come_back_with_sensors_that_did_not_move)
{
    struct drive drive;
    drive_start(&drive, 24);
    drive.noise_mm = drive.breathing_mm = 0.0;
    drive_describe(&drive);
    drive_do(&drive, "setup 1 \"as it came\"");
    drive_samples(&drive, 50 * 10);
    drive_do(&drive, "build");
    drive_do(&drive, "moved no");
    drive_samples(&drive, 50 * 10);
    look(&drive);
    ck_assert(view_history_back(view.history, 0, 20)->tied);
    double height_mm = back_mm(0, 20);
    drive_do(&drive, "moved yes");
    look(&drive);
    ck_assert(!view_history_back(view.history, 0, 20)->tied);
    drive_do(&drive, "undo");
    look(&drive);
    ck_assert(view_history_back(view.history, 0, 20)->tied);
    ck_assert_double_eq_tol(back_mm(0, 20), height_mm, 1e-3);
    drive_end(&drive);
}
END_TEST

START_TEST(each_build_has_its_own_heights)
{
    struct drive drive;
    drive_start(&drive, 22);
    drive.noise_mm = drive.breathing_mm = 0.0;
    drive_describe(&drive);
    drive_samples(&drive, 50 * 10);
    look(&drive);
    double first_mm = back_mm(0, 10);
    uint64_t redrawn = view.history->redrawn;
    drive_do(&drive, "setup 2 \"lower\" spacers=0");
    drive_samples(&drive, 50 * 5);
    look(&drive);
    ck_assert_uint_eq(view.history->redrawn, redrawn);
    ck_assert_double_eq_tol(back_mm(0, 100), first_mm, 0.2);
    double lower_mm = back_mm(0, 10);
    ck_assert(lower_mm < first_mm - 5.0);
    drive_do(&drive, "plate head=400 setup=1 build=1");
    drive_do(&drive, "plate head=390"); /* it came up by 10 by the plate */
    look(&drive);
    ck_assert_double_eq_tol(back_mm(0, 100), first_mm, 0.2);
    ck_assert_double_eq_tol(back_mm(0, 10), first_mm + 10.0, 0.5);
    drive_end(&drive);
}
END_TEST

/* Ten seconds without a sample are a gap of ten seconds; a sample that is lost here and there is
 * none, nor is the pace of a slow rig. */
START_TEST(time_without_data_is_a_gap)
{
    struct drive drive;
    drive_start(&drive, 23);
    drive_describe(&drive);
    drive_samples(&drive, 50 * 10);
    drive.time_us += 10 * 1000000;
    drive_samples(&drive, 50 * 2);
    look(&drive);
    int empty = 0;
    for (int back = 0; back < 200; back++) {
        empty += isnan(back_mm(0, back)) ? 1 : 0;
    }
    ck_assert_int_ge(empty, 98);
    ck_assert_int_le(empty, 101);
    ck_assert(isfinite(back_mm(0, 10)));
    ck_assert(isfinite(back_mm(0, 130)));
    drive.time_us += 100000;
    drive_samples(&drive, 50 * 2);
    look(&drive);
    for (int back = 0; back < 20; back++) {
        ck_assert(isfinite(back_mm(0, back)));
    }
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("retie");
    TCase *tests = tcase_create("retie");
    tcase_add_test(tests, heights_go_back_with_what_gave_them);
    tcase_add_test(tests, ranges_become_heights_all_along);
    tcase_add_test(tests, heights_come_back_with_sensors_that_did_not_move);
    tcase_add_test(tests, each_build_has_its_own_heights);
    tcase_add_test(tests, time_without_data_is_a_gap);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
