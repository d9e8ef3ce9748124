/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The plate read before a build's holds and after them: what slipped in between is bounded. */
#include "support/session_drive.h"
#include "support/test_main.h"

#include "bike/tie.h"
#include "say/say.h"
#include "session/view.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static struct drive drive;
static struct view view;

#define PLATE_MM 960.0

static const struct tie *tie_of(int build, int channel)
{
    return &drive_snapshot(&drive)->analysis.tie[build][channel];
}

static const struct setup_difference *second_setup(int channel)
{
    return &drive_snapshot(&drive)->analysis.free_heights[channel].difference[1];
}

static void look(void)
{
    session_fill_view(drive.session, &view);
}

/* A plate at one height over both sensors, without breath and noise of a body. */
static void read_plate(void)
{
    double body_mm[2] = {drive.body_mm[0], drive.body_mm[1]}, breathing_mm = drive.breathing_mm;
    drive.body_mm[0] = drive.body_mm[1] = PLATE_MM;
    drive.breathing_mm = 0.0;
    drive_do(&drive, "plate 5s");
    drive_finish(&drive);
    drive.body_mm[0] = body_mm[0];
    drive.body_mm[1] = body_mm[1];
    drive.breathing_mm = breathing_mm;
}

static void hold(double off_mm)
{
    drive.body_mm[0] += off_mm;
    drive.body_mm[1] -= off_mm;
    drive_do(&drive, "hold 30s free settle=0s");
    drive_finish(&drive);
    drive.body_mm[0] -= off_mm;
    drive.body_mm[1] += off_mm;
}

/* Two holds between two readings; the head's sensor comes up by so much between the holds. */
static void build(const char *command, double slip_mm)
{
    drive_do(&drive, command);
    read_plate();
    hold(0.6);
    drive.sensor_mm[0] += slip_mm;
    hold(-0.6);
    read_plate();
}

static void begin(uint64_t seed)
{
    drive_start(&drive, seed);
    drive.breathing_mm = 1.0;
    drive_do(&drive, "rig bench rate=50 channels=head,chest");
}

static void four_holds(void)
{
    hold(0.6);
    hold(-0.6);
    hold(0.3);
    hold(-0.3);
}

static void pass_the_door(void)
{
    static const char *const steps[] = {"rider",  "minutes", "bike",  "places",
                                        "checks", "warm_up", "target"};
    char line[32];
    for (size_t i = 0; i < sizeof steps / sizeof steps[0]; i++) {
        snprintf(line, sizeof line, "pass %s", steps[i]);
        drive_do(&drive, line);
    }
}

START_TEST(a_build_that_nothing_slipped_on_is_known_as_well)
{
    begin(21);
    build("setup 1 \"as it came\"", 0.0);
    build("setup 2 \"pads down\"", 0.0);
    build("setup 1", 0.0);
    ck_assert_double_lt(tie_of(0, 0)->ends_apart_mm, 1.0);
    ck_assert_double_lt(tie_of(0, 0)->u_build_mm, 0.3);
    ck_assert(!tie_of(0, 0)->alarm && !tie_of(1, 0)->alarm);
    ck_assert_int_eq(tie_of(1, 0)->kind, TIE_PLATE);
    ck_assert_int_ne(second_setup(0)->verdict, VERDICT_NOT_COMPARABLE);
    look();
    ck_assert_msg(strstr(view.message, "of before the holds: no sensor slipped further") != NULL,
                  "%s", view.message);
    drive_end(&drive);
}
END_TEST

/* 15 mm between two holds of the second setup, which the first build's plate and this one's first
 * say nothing of. The truth is no difference. */
START_TEST(a_slip_within_a_build_is_told_and_bounded)
{
    char text[256];
    begin(22);
    build("setup 1 \"as it came\"", 0.0);
    build("setup 2 \"pads down\"", 15.0);
    const struct tie *tie = tie_of(1, 0);
    ck_assert(tie->alarm);
    ck_assert_int_eq(tie->found.kind, TIE_FOUND_ENDS);
    ck_assert_double_eq_tol(tie->ends_apart_mm, 15.0, 1.5);
    /* even between the two ends: 15 over the root of 12; and the reading's own 1 mm */
    ck_assert_double_eq_tol(tie->u_build_mm, hypot(1.0, 15.0 / 3.4641), 0.5);
    ck_assert(!tie_of(1, 1)->alarm);
    look();
    ck_assert_msg(
        strstr(view.message, "mm apart at the build's two ends: the head sensor slipped") != NULL,
        "%s", view.message);
    ck_assert(view.message_is_problem);
    say_tie_finding(text, sizeof text, tie_of(1, 0), "head");
    ck_assert_ptr_nonnull(strstr(text, "when is not known"));
    /* what it did stays in the builds after it, whatever was answered for those */
    drive_do(&drive, "setup 3 \"tape\" moved=no");
    ck_assert_int_eq(tie_of(2, 0)->kind, TIE_NONE);
    ck_assert_int_ne(tie_of(2, 1)->kind, TIE_NONE);
    read_plate();
    ck_assert_int_eq(tie_of(2, 0)->kind, TIE_PLATE);
    ck_assert_double_eq_tol(tie_of(2, 0)->shift_mm, 15.0, 1.5);
    build("setup 1", 0.0);
    const struct setup_difference *found = second_setup(0);
    ck_assert(found->has_interval);
    ck_assert_double_le(found->low, 0.0);
    ck_assert_double_ge(found->high, 0.0);
    drive_end(&drive);
}
END_TEST

/* Readings 1 mm each: told from 2.6 x 1.41 = 3.7 mm on. */
START_TEST(the_readings_own_errors_are_no_slip)
{
    static const struct {
        double slip_mm;
        bool told;
    } cases[] = {{3.5, false}, {-3.5, false}, {3.9, true}, {-3.9, true}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        begin(23);
        drive.noise_mm = 0.2;
        build("setup 1 \"as it came\"", cases[i].slip_mm);
        ck_assert_msg(tie_of(0, 0)->alarm == cases[i].told, "%g mm", cases[i].slip_mm);
        ck_assert_double_eq_tol(tie_of(0, 0)->ends_apart_mm, fabs(cases[i].slip_mm), 0.2);
        drive_end(&drive);
    }
}
END_TEST

START_TEST(the_next_step_asks_for_it_once)
{
    begin(24);
    pass_the_door();
    drive_do(&drive, "setup 1 \"as it came\"");
    read_plate();
    four_holds();
    drive_do(&drive, "rating effort=3");
    look();
    ck_assert_msg(strstr(view.next_step, "plate or board again") == view.next_step, "%s",
                  view.next_step);
    ck_assert_str_eq(view.next_command, "plate 5s");
    ck_assert_str_eq(view.next_skip, "pass plate");
    drive_do(&drive, view.next_skip);
    look();
    ck_assert_ptr_null(strstr(view.next_step, "plate or board"));
    drive_do(&drive, "undo");
    look();
    ck_assert_str_eq(view.next_command, "plate 5s");
    read_plate();
    look();
    ck_assert_ptr_null(strstr(view.next_step, "plate or board"));
    /* with none before the holds there is nothing that one after them would bound */
    drive_do(&drive, "setup 2 \"pads down\" moved=no");
    four_holds();
    drive_do(&drive, "rating effort=3");
    look();
    ck_assert_ptr_null(strstr(view.next_step, "plate or board"));
    drive_end(&drive);
}
END_TEST

/* As the first lay: its height over the bottom bracket, or the board. */
START_TEST(it_is_asked_for_as_it_was)
{
    begin(25);
    pass_the_door();
    drive_do(&drive, "setup 1 \"as it came\"");
    drive_do(&drive, "plate 5s rest=pads");
    drive_finish(&drive);
    four_holds();
    drive_do(&drive, "rating effort=3");
    look();
    ck_assert_str_eq(view.next_command, "plate 5s rest=pads");
    drive_do(&drive, "plate 5s"); /* another thing: no second end of the board's */
    drive_finish(&drive);
    ck_assert(isnan(tie_of(0, 0)->ends_apart_mm));
    drive_do(&drive, "undo");
    drive_do(&drive, view.next_command);
    drive_finish(&drive);
    ck_assert_double_lt(tie_of(0, 0)->ends_apart_mm, 1.5);
    drive_end(&drive);
}
END_TEST

/* One that is typed, or read again with no hold in between, stands for what was before it. */
START_TEST(a_reading_put_right_is_no_second_end)
{
    begin(26);
    drive_do(&drive, "setup 1 \"as it came\"");
    drive.sensor_mm[0] -= 30.0;
    read_plate();
    drive.sensor_mm[0] += 30.0;
    read_plate();
    ck_assert(isnan(tie_of(0, 0)->ends_apart_mm));
    hold(0.6);
    read_plate();
    ck_assert_double_lt(tie_of(0, 0)->ends_apart_mm, 1.0);
    drive_do(&drive, "plate head=300 chest=325 setup=1");
    ck_assert(isnan(tie_of(0, 0)->ends_apart_mm));
    ck_assert(!tie_of(0, 0)->alarm);
    drive_do(&drive, "undo");
    ck_assert_double_lt(tie_of(0, 0)->ends_apart_mm, 1.0);
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("plate ends");
    TCase *tests = tcase_create("plate ends");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, a_build_that_nothing_slipped_on_is_known_as_well);
    tcase_add_test(tests, a_slip_within_a_build_is_told_and_bounded);
    tcase_add_test(tests, the_readings_own_errors_are_no_slip);
    tcase_add_test(tests, the_next_step_asks_for_it_once);
    tcase_add_test(tests, it_is_asked_for_as_it_was);
    tcase_add_test(tests, a_reading_put_right_is_no_second_end);
    return test_main(suite);
}
