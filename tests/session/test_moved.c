/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* No height without a tie: builds of which nobody said whether a sensor moved with them. */
#include "support/session_drive.h"
#include "support/test_main.h"

#include "analysis/analysis.h"
#include "measure/rules.h"
#include "session/view.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static struct drive drive;

static const struct tie *tie_of(int build)
{
    return &drive_snapshot(&drive)->analysis.tie[build][0];
}

static const struct setup_difference *second_setup(void)
{
    return &drive_snapshot(&drive)->analysis.free_heights[0].difference[1];
}

static enum view_next asks(void)
{
    static struct view view;
    session_fill_view(drive.session, &view);
    return view.next;
}

static void hold(void)
{
    drive_do(&drive, "hold 20s free settle=0s");
    drive_finish(&drive);
}

/* Nothing is entered but the setups' names. The second lets both the body and, with the bars, the
 * sensors down: the range grows although the rider came lower. */
static void two_names(void)
{
    drive_start(&drive, 1);
    drive_do(&drive, "rig virtual rate=50 channels=head,chest");
    drive_do(&drive, "setup 1 \"as it came\"");
    hold();
    hold();
    drive.body_mm[0] -= 5.0;
    drive.sensor_mm[0] -= 19.0;
    drive_do(&drive, "setup 2 \"spacers out\"");
    hold();
    hold();
}

START_TEST(a_name_alone_ties_nothing)
{
    two_names();
    ck_assert_int_eq(tie_of(0)->kind, TIE_FIRST);
    ck_assert_int_eq(tie_of(1)->kind, TIE_NONE);
    ck_assert_int_eq(tie_of(1)->found.kind, TIE_FOUND_NO_MOUNT);
    ck_assert_int_eq(second_setup()->verdict, VERDICT_NOT_COMPARABLE);
    ck_assert_int_eq(asks(), VIEW_NEXT_MOVED);
    drive_refused(&drive, "moved perhaps", "yes or no");
    drive_refused(&drive, "moved", "yes or no");
    /* the answer that was wrong is told as what it is: the sensors did move */
    drive_do(&drive, "moved no");
    ck_assert_int_eq(tie_of(1)->kind, TIE_FIXED);
    ck_assert(second_setup()->has_interval && second_setup()->difference > 10.0);
    ck_assert_int_ne(asks(), VIEW_NEXT_MOVED);
    drive_do(&drive, "moved yes");
    ck_assert_int_eq(tie_of(1)->found.kind, TIE_FOUND_MOVED);
    ck_assert_int_eq(second_setup()->verdict, VERDICT_NOT_COMPARABLE);
    ck_assert_int_ne(asks(), VIEW_NEXT_MOVED); /* it was answered */
    drive_end(&drive);
}
END_TEST

START_TEST(a_plate_ties_without_a_mount)
{
    two_names();
    drive_do(&drive, "plate head=1030 setup=1 build=1");
    ck_assert_int_eq(tie_of(1)->kind, TIE_NONE); /* one alone says nothing */
    drive_do(&drive, "plate head=1049 setup=2 build=1");
    ck_assert_int_eq(tie_of(1)->kind, TIE_PLATE);
    ck_assert_double_eq_tol(tie_of(1)->shift_mm, -19.0, 1e-9);
    ck_assert_double_eq(tie_of(1)->u_build_mm, TIE_U_PLATE_MM);
    ck_assert_double_eq_tol(tie_uncertainty_mm(tie_of(1)), M_SQRT2 * TIE_U_PLATE_MM, 1e-12);
    ck_assert_double_eq_tol(second_setup()->difference, -5.0, 3.0);
    /* built again without a reading: as the build before, once it is said that nothing moved */
    drive_do(&drive, "build");
    ck_assert_int_eq(tie_of(2)->kind, TIE_NONE);
    drive_do(&drive, "moved no");
    ck_assert_int_eq(tie_of(2)->kind, TIE_PLATE);
    ck_assert_double_eq(tie_of(2)->shift_mm, tie_of(1)->shift_mm);
    ck_assert_double_eq(tie_of(2)->u_build_mm, 0.0); /* no reading of its own shrinks it */
    ck_assert_int_ne(tie_of(2)->position_group, tie_of(1)->position_group);
    drive_end(&drive);
}
END_TEST

START_TEST(said_at_once)
{
    two_names();
    drive_do(&drive, "moved yes");
    drive_do(&drive, "build moved=no");
    ck_assert_int_eq(tie_of(2)->found.kind, TIE_FOUND_AS_BEFORE);
    drive_do(&drive, "setup 1 moved=no");
    ck_assert_int_eq(tie_of(3)->kind, TIE_NONE);
    drive_refused(&drive, "setup 3 \"new\" moved=maybe", "yes or no");
    drive_refused(&drive, "build moved=", "yes or no");
    drive_end(&drive);
}
END_TEST

static struct view_channel head_now(void)
{
    static struct view view;
    drive_samples(&drive, 250);
    session_fill_view(drive.session, &view);
    return view.channel[0];
}

/* A rider is not told to come lower by what the sensor may have moved. */
START_TEST(no_cue_beside_a_target_that_is_not_tied)
{
    drive_start(&drive, 15);
    drive_describe(&drive);
    drive_do(&drive, "setup 1 \"as it came\" spacers=20");
    drive_do(&drive, "tape head=616");
    char line[64];
    snprintf(line, sizeof line, "target head=%.1f", head_now().slow_mm - 30.0);
    drive_do(&drive, line);
    drive_do(&drive, "band head=+10/-10");
    ck_assert(head_now().has_target && head_now().has_band && head_now().cue == CUE_HIGH);
    drive_do(&drive, "setup 2 \"out\"");
    ck_assert_int_eq(tie_of(1)->kind, TIE_NONE);
    struct view_channel head = head_now();
    ck_assert(!head.has_target && !head.has_band && head.cue == CUE_IN);
    ck_assert(snapshot_has_target(drive_snapshot(&drive), 0)); /* it waits for a tie */
    drive_do(&drive, "hold 20s free settle=0s");
    drive_finish(&drive);
    const struct hold_summary *kept = &drive_snapshot(&drive)->analysis.hold[0].summary[0];
    ck_assert(!kept->has_target && !kept->has_band);
    drive_do(&drive, "moved no");
    ck_assert(head_now().has_target && head_now().cue == CUE_HIGH);
    kept = &drive_snapshot(&drive)->analysis.hold[0].summary[0];
    ck_assert(kept->has_target && kept->has_band);
    drive_do(&drive, "moved yes");
    ck_assert(!head_now().has_target);
    drive_do(&drive, "target until=3mm settle=0s"); /* of this build: beside itself it is known */
    drive_finish(&drive);
    ck_assert(head_now().has_target);
    drive_do(&drive, "setup 1");
    ck_assert(!head_now().has_target);
    drive_end(&drive);
}
END_TEST

/* A sensor on the bars whose setups differ by their names alone. */
START_TEST(measures_that_are_alike)
{
    drive_start(&drive, 1);
    drive_describe(&drive);
    drive_do(&drive, "setup 1 \"as it came\" spacers=20");
    hold();
    hold();
    drive_do(&drive, "setup 2 \"spacers out\"");
    ck_assert_int_eq(tie_of(1)->kind, TIE_NONE);
    ck_assert_int_eq(tie_of(1)->found.kind, TIE_FOUND_ALIKE);
    ck_assert_int_eq(tie_of(1)->found.alike, 1);
    ck_assert_int_eq(asks(), VIEW_NEXT_MOVED);
    drive_do(&drive, "correct 2 spacers=0"); /* what was changed */
    ck_assert_int_eq(tie_of(1)->kind, TIE_COMPUTED);
    drive_do(&drive, "setup 3 \"other saddle\" moved=no"); /* or nothing that counts */
    ck_assert_int_ne(tie_of(2)->kind, TIE_NONE);
    drive_do(&drive, "moved yes"); /* knocked */
    ck_assert_int_eq(tie_of(2)->found.kind, TIE_FOUND_MOVED);
    drive_do(&drive, "setup 1"); /* and it stays so */
    ck_assert_int_eq(tie_of(3)->found.kind, TIE_FOUND_MOVED);
    drive_do(&drive, "plate head=430 setup=1 build=1");
    drive_do(&drive, "plate head=430");
    ck_assert_int_eq(tie_of(3)->kind, TIE_PLATE);
    drive_end(&drive);
}
END_TEST

/* Plates of two setups of which no part was entered: that they differ is no slip. Of one setup
 * built twice, and where it is said that none moved, it is asked for. */
START_TEST(parts_that_nobody_entered_say_nothing)
{
    drive_start(&drive, 1);
    drive_do(&drive, "rig virtual rate=50 channels=head,chest");
    drive_do(&drive, "sensor head carrier=base_bar look=up tilt=0 gain=1");
    drive_do(&drive, "setup 1");
    drive_do(&drive, "plate head=500 height=1142");
    drive_do(&drive, "setup 2");
    drive_do(&drive, "plate head=519 height=1142");
    ck_assert_int_eq(tie_of(1)->kind, TIE_PLATE);
    ck_assert_double_eq_tol(tie_of(1)->shift_mm, -19.0, 1e-9);
    ck_assert_int_eq(tie_of(1)->found.kind, TIE_FOUND_NOTHING);
    ck_assert(!tie_of(1)->alarm);
    drive_do(&drive, "moved no");
    ck_assert_int_eq(tie_of(1)->found.kind, TIE_FOUND_OFF_PARTS);
    ck_assert(tie_of(1)->alarm);
    drive_do(&drive, "setup 1");
    drive_do(&drive, "plate head=519 height=1142");
    ck_assert_int_eq(tie_of(2)->found.kind, TIE_FOUND_OFF_PARTS);
    drive_do(&drive, "correct 1 spacers=20");
    drive_do(&drive, "correct 2 spacers=20");
    drive_do(&drive, "setup 3");
    drive_do(&drive, "plate head=519 height=1142"); /* parts are known, and the same */
    ck_assert_int_eq(tie_of(3)->found.kind, TIE_FOUND_OFF_PARTS);
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("moved");
    TCase *tests = tcase_create("moved");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, a_name_alone_ties_nothing);
    tcase_add_test(tests, a_plate_ties_without_a_mount);
    tcase_add_test(tests, said_at_once);
    tcase_add_test(tests, no_cue_beside_a_target_that_is_not_tied);
    tcase_add_test(tests, measures_that_are_alike);
    tcase_add_test(tests, parts_that_nobody_entered_say_nothing);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
