/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/session_drive.h"
#include "support/test_main.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>

/* A part put right in one setup is put right in those that took it over from there, and in no
 * other. */

static const char *said(const struct drive *drive)
{
    uint64_t serial = 0;
    return session_message(drive->session, &serial);
}

static double has(const struct drive *drive, int number, int key)
{
    const struct session_record *record = session_records(drive->session);
    return record->setup[session_record_setup(record, number)].bike.value[key];
}

/* The spacers of setups 1, 2, ... */
static void spacers(const struct drive *drive, int count, ...)
{
    va_list values;
    va_start(values, count);
    for (int s = 1; s <= count; s++) {
        double value = va_arg(values, double);
        ck_assert_msg(has(drive, s, BIKE_SPACERS) == value, "setup %d: spacers %g, not %g", s,
                      has(drive, s, BIKE_SPACERS), value);
    }
    va_end(values);
}

/* 2 typed for 20, three setups on it. */
static void begin(struct drive *drive)
{
    drive_start(drive, 61);
    drive_describe(drive);
    drive_do(drive, "bike \"training bike\" spacers=2 sure=yes");
    drive_do(drive, "correct 1 spacers=2 sure=yes");
    drive_do(drive, "hold 20s free settle=0s");
    drive_finish(drive);
    drive_do(drive, "setup 2 \"pads down\" pad_rise=30");
    drive_do(drive, "hold 20s free settle=0s");
    drive_finish(drive);
    drive_do(drive, "setup 3 \"pads down, and back\" pad_fore_aft=-10");
}

/* The sensors are on the bars, which pads that come down don't move; 18 mm of spacers would have
 * moved them by 18 sin 73 = 17.2 mm. */
START_TEST(a_slip_is_put_right_where_it_was_taken_over)
{
    struct drive drive;
    begin(&drive);
    spacers(&drive, 3, 2.0, 2.0, 2.0);
    const struct analysis *analysis = session_analysis(drive.session);
    double first = analysis->hold[0].summary[0].mean_mm,
           second = analysis->hold[1].summary[0].mean_mm;
    drive_do(&drive, "correct 1 spacers=20");
    ck_assert_str_eq(said(&drive), "setup 1 corrected (spacers 2 to 20), setups 2 and 3 too where "
                                   "they had it from there; everything was worked out anew");
    spacers(&drive, 3, 20.0, 20.0, 20.0);
    ck_assert(has(&drive, 1, BIKE_PAD_RISE) == 55.0 && has(&drive, 2, BIKE_PAD_RISE) == 30.0);
    ck_assert_double_eq_tol(analysis->tie[1][0].shift_mm, 0.0, 1e-9);
    double up_mm = 18.0 * sin(73.0 * M_PI / 180.0);
    ck_assert_double_eq_tol(analysis->hold[0].summary[0].mean_mm - first, up_mm, 1e-6);
    ck_assert_double_eq_tol(analysis->hold[1].summary[0].mean_mm - second, up_mm, 1e-6);
    /* one act */
    drive_do(&drive, "undo");
    ck_assert_str_eq(said(&drive),
                     "taken back: setup 1: spacers 20 to 2, setups 2 and 3 too where they had it "
                     "from there; setup 3, build 1 is on the bike");
    spacers(&drive, 3, 2.0, 2.0, 2.0);
    ck_assert_double_eq_tol(analysis->hold[1].summary[0].mean_mm, second, 1e-9);
    drive_do(&drive, "redo");
    spacers(&drive, 3, 20.0, 20.0, 20.0);
    drive_do(&drive, "correct 1 spacers=25"); /* it is still had from there */
    spacers(&drive, 3, 25.0, 25.0, 25.0);
    drive_end(&drive);
}
END_TEST

START_TEST(what_was_typed_for_a_setup_stays_and_so_does_what_was_made_from_it)
{
    struct drive drive;
    begin(&drive);
    drive_do(&drive, "setup 4 \"typed\" spacers=2 sure=yes");
    drive_do(&drive, "setup 5 \"as in 4\" pad_rise=35");
    drive_do(&drive, "setup 6 \"as in 1\" from=1 pad_rise=35");
    drive_do(&drive, "correct 1 spacers=20");
    spacers(&drive, 6, 20.0, 20.0, 20.0, 2.0, 2.0, 20.0);
    ck_assert_str_eq(said(&drive),
                     "setup 1 corrected (spacers 2 to 20), setups 2, 3 and 6 too where they had it "
                     "from there; setup 4 keeps spacers 2; setup 5 keeps spacers 2: key 5");
    /* upwards nothing goes: setup 4 alone, and the one made from it */
    drive_do(&drive, "correct 4 spacers=20");
    ck_assert_ptr_nonnull(strstr(said(&drive), ", setup 5 too where it had it from there;"));
    drive_do(&drive, "correct 3 spacers=5");
    spacers(&drive, 6, 20.0, 20.0, 5.0, 20.0, 20.0, 20.0);
    /* put right for itself, it was typed for it, until that is taken back */
    drive_do(&drive, "correct 3 spacers=20");
    drive_do(&drive, "correct 1 spacers=15");
    spacers(&drive, 6, 15.0, 15.0, 20.0, 20.0, 20.0, 15.0);
    for (int i = 0; i < 3; i++) {
        drive_do(&drive, "undo");
    }
    spacers(&drive, 3, 20.0, 20.0, 20.0);
    drive_do(&drive, "correct 1 spacers=15");
    spacers(&drive, 3, 15.0, 15.0, 15.0);
    drive_end(&drive);
}
END_TEST

/* Only what was put right goes on, and a measure of the frame for one setup alone is that one's. */
START_TEST(only_what_was_put_right_goes_on)
{
    struct drive drive;
    begin(&drive);
    drive_do(&drive, "correct 1 spacers=20 pad_rise=50 crank_length=165");
    ck_assert(has(&drive, 2, BIKE_PAD_RISE) == 30.0 && has(&drive, 2, BIKE_SPACERS) == 20.0);
    ck_assert(has(&drive, 3, BIKE_CRANK_LENGTH) == 165.0); /* nobody had typed one */
    drive_do(&drive, "correct 1 stack=545 sure=yes");
    ck_assert(has(&drive, 1, BIKE_STACK) == 545.0 && has(&drive, 2, BIKE_STACK) == 540.0);
    drive_do(&drive, "correct 1 \"as bought\"");
    ck_assert_str_eq(said(&drive), "setup 1 corrected; everything was worked out anew");
    drive_do(&drive, "correct 1 spacers=20");
    ck_assert_str_eq(said(&drive), "setup 1 has that already");
    drive_do(&drive, "limits spacers=22");
    drive_do(&drive, "correct 2 spacers=18");
    drive_do(&drive, "correct 1 spacers=25"); /* setup 3 has it from 2 */
    spacers(&drive, 3, 25.0, 18.0, 18.0);
    drive_do(&drive, "correct 2 spacers=25");
    ck_assert_ptr_nonnull(strstr(said(&drive), "setup 3: spacers"));
    drive_end(&drive);
}
END_TEST

/* What was made from a setup that goes away was made from the one before it; from one that is
 * another, from that one. */
START_TEST(setups_put_in_order_keep_where_they_had_it_from)
{
    struct drive drive;
    begin(&drive);
    drive_do(&drive, "setup 4 \"further\" pad_rise=25");
    drive_do(&drive, "remove 3");
    drive_do(&drive, "correct 2 spacers=20");
    ck_assert(has(&drive, 4, BIKE_SPACERS) == 20.0);
    drive_do(&drive, "undo");
    drive_do(&drive, "undo"); /* 3 is there again */
    drive_do(&drive, "correct 3 spacers=20");
    spacers(&drive, 4, 2.0, 2.0, 20.0, 20.0);
    drive_do(&drive, "undo");
    drive_do(&drive, "correct 3 pad_fore_aft=5");
    drive_do(&drive, "correct 2 pad_fore_aft=5");
    drive_do(&drive, "same 3 2");
    drive_do(&drive, "correct 2 spacers=20");
    ck_assert(has(&drive, 1, BIKE_SPACERS) == 2.0 && has(&drive, 4, BIKE_SPACERS) == 20.0);
    drive_end(&drive);
}
END_TEST

/* Of an earlier session only the values are known: what it had is not put right unasked. */
START_TEST(what_an_earlier_session_had_is_said_not_guessed)
{
    struct drive drive;
    drive_start(&drive, 61);
    drive_do(&drive, "rig bench rate=50 channels=head,chest");
    drive_do(&drive, "known 1 \"as it came\" spacers=2 stem_length=100 stem_angle=-17 pad_rise=55");
    drive_do(&drive, "known 2 \"pads down\" spacers=2 stem_length=100 stem_angle=-17 pad_rise=30");
    drive_do(&drive, "setup 1");
    drive_do(&drive, "bike \"training bike\" stack=540 reach=400 head_angle=73 spacers=2");
    drive_do(&drive, "setup 3 \"pads further down\" pad_rise=40");
    drive_do(&drive, "correct 1 spacers=20");
    spacers(&drive, 3, 20.0, 2.0, 20.0);
    ck_assert_str_eq(said(&drive),
                     "setup 1 corrected (spacers 2 to 20), setup 3 too where it had it from there; "
                     "setup 2 keeps spacers 2 (whether typed for it is not known): key 5");
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("parts that were taken over");
    TCase *tests = tcase_create("parts from");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, a_slip_is_put_right_where_it_was_taken_over);
    tcase_add_test(tests, what_was_typed_for_a_setup_stays_and_so_does_what_was_made_from_it);
    tcase_add_test(tests, only_what_was_put_right_goes_on);
    tcase_add_test(tests, setups_put_in_order_keep_where_they_had_it_from);
    tcase_add_test(tests, what_an_earlier_session_had_is_said_not_guessed);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
