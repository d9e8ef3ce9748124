/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What a tired hand types is asked about before it is taken, is taken when it is meant, and goes
 * with undo. */
#include "support/session_drive.h"
#include "support/test_main.h"

static struct drive drive;

static const struct session_record *record(void)
{
    return session_records(drive.session);
}

static void begin(void)
{
    drive_start(&drive, 31);
    drive_describe(&drive);
    drive_samples(&drive, 100);
}

static void end(void)
{
    drive_end(&drive);
}

/* The sensors are at 618 and 613 (worked by hand, tests/bike/test_geometry.c). */
START_TEST(a_plate_in_centimetres_or_in_the_others_place_is_asked_about)
{
    drive_refused(&drive, "plate head=41.2", "41.2 mm for head is nearer than a plate is held");
    drive_refused(&drive, "plate head=59.9", "centimetres");
    drive_do(&drive, "plate head=60");
    drive_do(&drive, "undo");
    drive_refused(&drive, "plate head=362.1 height=930", "a plate at 980 and not 930");
    drive_do(&drive, "plate head=361 height=930");
    drive_do(&drive, "undo");
    drive_refused(&drive, "plate head=312 chest=31.7 height=930", "31.7 mm for chest");
    ck_assert_int_eq(record()->tie_reading_count, 0); /* nothing of the line is taken */
    drive_do(&drive, "plate head=412 chest=300");
    drive_do(&drive, "setup 2 pad_rise=35");
    drive_refused(&drive, "plate head=300 chest=412", "300 mm for head, which was 412");
    drive_do(&drive, "plate head=312 chest=300");
    drive_do(&drive, "plate head=31.2 chest=300 sure=yes");
    drive_do(&drive, "undo");
    ck_assert_int_eq(record()->tie_reading_count, 4);
    session_trust(drive.session, true);
    drive_do(&drive, "plate head=31.2");
}
END_TEST

START_TEST(a_part_in_centimetres_is_asked_about)
{
    drive_refused(&drive, "setup 2 \"pads down\" pad_rise=4", "pad_rise: 4 mm, where 55");
    ck_assert_int_eq(record()->setup_count, 1);
    drive_do(&drive, "setup 2 \"pads down\" pad_rise=40");
    drive_refused(&drive, "correct 2 pad_rise=3", "centimetres");
    drive_do(&drive, "setup 3 \"all down\" pad_rise=5 sure=yes");
    drive_do(&drive, "setup 4 pad_rise=6"); /* as it was taken once */
    drive_do(&drive, "undo");
    drive_do(&drive, "undo");
    ck_assert_int_eq(record()->setup_count, 2);
    drive_refused(&drive, "bike pad_rise=5", "pad_rise: 5 mm, where 40");
    drive_do(&drive, "bike stem_length=110");
    drive_do(&drive, "setup 2 sure=yes"); /* it says nothing more: setup 2 is on the bike */
    ck_assert_int_eq(record()->build_count, 2);
}
END_TEST

/* Each was answered for in the session that is taken over. */
START_TEST(what_is_taken_over_is_not_asked_about_again)
{
    drive_do(&drive, "known 2 \"all down\" pad_rise=4");
    drive_do(&drive, "and setup 3 pad_rise=5 stem_length=100");
    drive_do(&drive, "and bike \"training bike\" pad_rise=56 stem_length=140");
    drive_do(&drive, "and matters head=2");
    drive_do(&drive, "and sensor head carrier=base_bar x=4 y=2");
    drive_refused(&drive, "matters head=1", "less than holds can tell");
}
END_TEST

/* What was typed wrongly first is put right with no more than a question. */
START_TEST(a_setup_that_was_wrong_is_put_right_beside_the_others)
{
    drive_do(&drive, "setup 2 pad_rise=4 sure=yes");
    drive_do(&drive, "correct 2 pad_rise=40"); /* near setup 1's 55: not its own 4 */
    drive_do(&drive, "undo");
    ck_assert_double_eq(record()->setup[1].bike.value[BIKE_PAD_RISE], 4.0);
}
END_TEST

START_TEST(places_inside_the_bar_and_places_exchanged_are_asked_about)
{
    drive_refused(&drive, "sensor head carrier=base_bar x=4.7 y=1.6",
                  "sensor head: x and y of 4.7 and 1.6 mm are inside the bar");
    drive_refused(&drive, "sensor head x=-61", "its x of -61 mm lets chest look ahead of the head");
    drive_refused(&drive, "sensor head x=-60", "x: -60 mm, where 120"); /* not behind it */
    drive_refused(&drive, "sensor chest x=121", "with head at 120");
    drive_do(&drive, "sensor head x=30");
    drive_refused(&drive, "sensor chest x=31", "with head at 30");
    drive_do(&drive, "sensor chest x=31 tilt=-1"); /* 31 - 300 tan 1 deg = 25.8 */
    drive_do(&drive, "sensor chest x=30 tilt=0");
    drive_do(&drive, "undo");
    drive_do(&drive, "undo");
    drive_do(&drive, "undo");
    drive_do(&drive, "sensor chest carrier=extension x=121"); /* not from the same point */
    drive_do(&drive, "undo");
    drive_do(&drive, "sensor chest x=121 sure=yes");
    drive_do(&drive, "sensor chest mark=\"lower strap\""); /* its place was answered for */
    ck_assert_double_eq(record()->placing[0].channel[1].mount.x_mm, 121.0);
}
END_TEST

START_TEST(another_bike_after_holds_or_in_practice_is_asked_about)
{
    drive_do(&drive, "bike \"other bike\" stack=545 reach=405");
    drive_do(&drive, "undo");
    drive_do(&drive, "hold 10s free settle=0s");
    drive_refused(&drive, "bike \"other bike\"", "this session's setups are of training bike");
    drive_refused(&drive, "bike stack=545 reach=405", "end it and begin a new one");
    drive_do(&drive, "bike stack=545"); /* one measure is put right */
    drive_do(&drive, "undo");
    drive_do(&drive, "bike \"training bike\" stack=540 reach=405");
    drive_do(&drive, "bike \"other bike\" sure=yes");
    drive_do(&drive, "undo");
    ck_assert_str_eq(record()->bike.name, "training bike");
    end();
    begin();
    drive_do(&drive, "practice row=2 length=45s pieces=6");
    drive_refused(&drive, "bike \"other bike\"", "or was only what was typed wrong?");
    drive_refused(&drive, "rider R-10", "what is here is of R-01"); /* whose practice it is */
    drive_do(&drive, "practice off");
    drive_do(&drive, "rider R-10");
}
END_TEST

/* Name, what to watch for and the consent to keep discomfort are of one person. */
START_TEST(another_code_takes_nothing_over_of_the_person_before)
{
    drive_do(&drive, "rider R-08 \"one\" watch_for=\"left knee\" health=yes");
    drive_do(&drive, "rider R-08");
    ck_assert_str_eq(record()->rider.name, "one");
    drive_do(&drive, "rider R-09");
    ck_assert_str_eq(record()->rider.name, "");
    ck_assert_str_eq(record()->rider.watch_for, "");
    ck_assert_int_eq(record()->rider.health, 0);
    drive_do(&drive, "undo");
    ck_assert_str_eq(record()->rider.name, "one");
    ck_assert_int_eq(record()->rider.health, ANSWER_YES);
    drive_do(&drive, "hold 10s free settle=0s");
    drive_do(&drive, "rider R-09 sure=yes"); /* who rode is the same: the code was wrong */
    ck_assert_str_eq(record()->rider.name, "one");
    ck_assert_str_eq(record()->rider.watch_for, "left knee");
}
END_TEST

START_TEST(what_matters_less_than_holds_tell_is_asked_about)
{
    drive_refused(&drive, "matters head=1", "1 mm for head is less than holds can tell");
    drive_refused(&drive, "matters head=10 chest=2.9", "2.9 mm for chest");
    ck_assert_double_eq(record()->settings.matters_mm[0], 10.0);
    drive_do(&drive, "matters head=3");
    drive_do(&drive, "matters head=1 sure=yes");
    ck_assert_double_eq(record()->settings.matters_mm[0], 1.0);
    drive_do(&drive, "undo");
    ck_assert_double_eq(record()->settings.matters_mm[0], 3.0);
}
END_TEST

/* What matters of drag is a number of its own, unless a sensor is called so. */
START_TEST(a_sensor_may_be_called_drag)
{
    end();
    drive_start(&drive, 31);
    drive_do(&drive, "rig bench rate=50 channels=drag,chest");
    drive_do(&drive, "matters drag=20");
    ck_assert_double_eq(record()->settings.matters_mm[0], 20.0);
}
END_TEST

/* 44 inch-pounds are 5 N·m; 185 pounds are 84 kg. */
START_TEST(torques_and_masses_in_other_units_are_asked_about)
{
    drive_refused(&drive, "torque stem_clamp=44 faceplate=5", "stem_clamp=44 N\u00b7m is much");
    ck_assert_double_nan(record()->torques.nm[BOLT_FACEPLATE]);
    drive_do(&drive, "torque stem_clamp=25 cranks=50 pedals=35");
    drive_do(&drive, "torque saddle=26 sure=yes");
    drive_do(&drive, "torque stem_clamp=5"); /* the saddle's was answered for */
    drive_do(&drive, "undo");
    drive_do(&drive, "undo");
    ck_assert_double_nan(record()->torques.nm[BOLT_SADDLE]);
    drive_refused(&drive, "mass 185kg", "185 kg of rider and bike: pounds");
    drive_refused(&drive, "check step head block=2.5 2s", "a block of 2.5 mm: centimetres");
    drive_do(&drive, "check step head block=2.5 2s sure=yes");
    drive_do(&drive, "stop");
    drive_do(&drive, "check step head block=5 2s");
    drive_do(&drive, "stop");
    drive_do(&drive, "mass 150kg");
    drive_do(&drive, "mass 185kg sure=yes");
    drive_do(&drive, "undo");
    ck_assert_double_eq(record()->drag.mass_kg, 150.0);
    drive_refused(&drive, "mass sure=yes", "of rider and bike");
}
END_TEST

/* Nothing of a rider is below the bars; a sensor that reads the bars' own move from the floor is no
 * body's. */
START_TEST(a_sensor_that_looks_down_from_the_bars_is_asked_about)
{
    drive_refused(&drive, "sensor head look=down", "what is below the bars");
    drive_do(&drive, "sensor head look=down role=ref");
    drive_do(&drive, "undo");
    drive_do(&drive, "sensor head carrier=stand x=500 y=1400 look=down");
    drive_do(&drive, "undo");
    drive_do(&drive, "sensor head look=down sure=yes");
    drive_do(&drive, "sensor head mark=\"chin strap\"");
}
END_TEST

/* A frame's measure of one setup alone would move its heights against the others'. */
START_TEST(a_frame_that_changes_is_asked_about)
{
    drive_refused(&drive, "setup 2 stack=545",
                  "stack is of the frame, the same in all setups, and 540");
    drive_do(&drive, "setup 2 pad_rise=40");
    drive_refused(&drive, "correct 1 stack=454", "'bike stack=454' puts it right");
    drive_refused(&drive, "bike stack=450", "stack: 450 mm, where 540"); /* two digits exchanged */
    drive_refused(&drive, "bike head_angle=63", "head_angle: 63 degrees, where 73");
    drive_do(&drive, "bike head_angle=70");
    drive_do(&drive, "undo");
    drive_do(&drive, "bike stack=565");
    ck_assert_double_eq(record()->setup[1].bike.value[BIKE_STACK], 565.0);
    drive_do(&drive, "undo");
    drive_do(&drive, "bike stack=450 sure=yes");
    drive_do(&drive, "undo");
    ck_assert_double_eq(record()->setup[1].bike.value[BIKE_STACK], 540.0);
    drive_do(&drive, "correct 1 stack=450 sure=yes"); /* it is what was said */
    drive_do(&drive, "correct 1 stack=540");
}
END_TEST

/* Of the head's 120 and 40 mm. */
START_TEST(a_place_far_from_what_it_was_is_asked_about)
{
    drive_refused(&drive, "sensor head y=4",
                  "sensor head: y: 4 mm, where 40 is the nearest so far: "
                  "centimetres");
    drive_refused(&drive, "sensor head x=221", "x: 221 mm, where 120");
    drive_do(&drive, "sensor head x=220 y=15");
    drive_do(&drive, "undo");
    drive_do(&drive, "sensor head carrier=stand x=600 y=700");
    drive_do(&drive, "undo");
    drive_do(&drive, "sensor head y=4 sure=yes");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("typed slips");
    TCase *cases = tcase_create("typed slips");
    tcase_add_checked_fixture(cases, begin, end);
    tcase_add_test(cases, a_plate_in_centimetres_or_in_the_others_place_is_asked_about);
    tcase_add_test(cases, a_part_in_centimetres_is_asked_about);
    tcase_add_test(cases, what_is_taken_over_is_not_asked_about_again);
    tcase_add_test(cases, a_setup_that_was_wrong_is_put_right_beside_the_others);
    tcase_add_test(cases, places_inside_the_bar_and_places_exchanged_are_asked_about);
    tcase_add_test(cases, another_bike_after_holds_or_in_practice_is_asked_about);
    tcase_add_test(cases, another_code_takes_nothing_over_of_the_person_before);
    tcase_add_test(cases, what_matters_less_than_holds_tell_is_asked_about);
    tcase_add_test(cases, a_sensor_may_be_called_drag);
    tcase_add_test(cases, torques_and_masses_in_other_units_are_asked_about);
    tcase_add_test(cases, a_sensor_that_looks_down_from_the_bars_is_asked_about);
    tcase_add_test(cases, a_frame_that_changes_is_asked_about);
    tcase_add_test(cases, a_place_far_from_what_it_was_is_asked_about);
    suite_add_tcase(suite, cases);
    return test_main(suite);
}
