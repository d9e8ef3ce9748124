/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/session_drive.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* What is changed on the bike in a session: heights are tied over it, slips and limits are told. */

START_TEST(bars_that_fall_under_a_still_body_change_no_height)
{
    struct drive drive;
    drive_start(&drive, 2);
    drive_describe(&drive);
    drive_do(&drive, "hold 60s free");
    drive_finish(&drive);
    /* 20 mm of spacers out along a steerer of 73 degrees: 20 sin 73 = 19.126 mm down */
    drive_do(&drive, "setup 2 \"spacers out\" spacers=0");
    drive.sensor_mm[0] -= 20.0 * sin(73.0 * M_PI / 180.0);
    drive.sensor_mm[1] -= 20.0 * sin(73.0 * M_PI / 180.0);
    drive_do(&drive, "hold 60s free");
    drive_finish(&drive);
    const struct analysis *analysis = session_analysis(drive.session);
    for (int c = 0; c < 2; c++) {
        double first = analysis->hold[0].summary[c].mean_mm,
               second = analysis->hold[1].summary[c].mean_mm;
        ck_assert_msg(fabs(first - second) < 0.5, "channel %d: %.2f then %.2f", c, first, second);
    }
    drive_end(&drive);
}
END_TEST

START_TEST(a_plate_read_later_wins_and_recomputes)
{
    struct drive drive;
    drive_start(&drive, 3);
    drive_describe(&drive);
    drive_do(&drive, "hold 60s free");
    drive_finish(&drive);
    drive_do(&drive, "setup 2 \"spacers out\" spacers=0");
    /* the label lied: the bars fell by 12 only, and the plate sees it */
    drive.sensor_mm[0] -= 12.0;
    drive.sensor_mm[1] -= 12.0;
    drive_do(&drive, "hold 60s free");
    drive_finish(&drive);
    const struct analysis *analysis = session_analysis(drive.session);
    double computed = analysis->hold[1].summary[0].mean_mm - analysis->hold[0].summary[0].mean_mm;
    ck_assert_msg(fabs(computed - (12.0 - 19.126)) < 0.7, "computed tie: %.2f", computed);
    drive_do(&drive, "plate setup=1 build=1 head=290 chest=295");
    drive_do(&drive, "plate setup=2 build=1 head=302 chest=307");
    double measured = analysis->hold[1].summary[0].mean_mm - analysis->hold[0].summary[0].mean_mm;
    ck_assert_msg(fabs(measured) < 0.7, "plate: %.2f", measured);
    ck_assert(analysis->tie[1][0].alarm); /* 7 mm between plate and parts */
    drive_end(&drive);
}
END_TEST

START_TEST(a_setup_is_chosen_and_let_go)
{
    struct drive drive;
    static struct view view;
    drive_start(&drive, 8);
    drive_describe(&drive);
    drive_do(&drive, "setup 1 \"as it came\"");
    drive_samples(&drive, 20);
    drive_do(&drive, "setup 2 \"low\" spacers=0");
    drive_samples(&drive, 20);
    drive_do(&drive, "choose 1");
    ck_assert_int_eq(session_records(drive.session)->settings.chosen_setup, 1);
    session_fill_view(drive.session, &view);
    ck_assert_msg(strstr(view.message, "no free hold of it counts yet") != NULL, "%s",
                  view.message);
    drive_do(&drive, "hold 20s free settle=1s");
    drive_finish(&drive);
    drive_do(&drive, "choose 2");
    session_fill_view(drive.session, &view);
    ck_assert_str_eq(view.message, "setup 2 is chosen: the rider's sheet is about it");
    ck_assert(!view.message_is_problem);
    drive_do(&drive, "rating sees_ahead=no");
    drive_do(&drive, "choose 2"); /* it is the fitter's to say, but not without a word */
    session_fill_view(drive.session, &view);
    ck_assert_int_eq(session_records(drive.session)->settings.chosen_setup, 2);
    ck_assert_msg(strstr(view.message, "could not see ahead") != NULL, "%s", view.message);
    ck_assert(view.message_is_problem);
    const struct comparison_settings *settings = &session_records(drive.session)->settings;
    ck_assert_str_eq(settings->found_by, "");
    drive_do(&drive, "choose 2 found_by=\"chin over the pads\"");
    drive_do(&drive, "choose 2"); /* the same posture: what was said of it stands */
    ck_assert_str_eq(settings->found_by, "chin over the pads");
    drive_do(&drive, "choose 1");
    ck_assert_str_eq(settings->found_by, "");
    drive_do(&drive, "undo");
    ck_assert_str_eq(settings->found_by, "chin over the pads");
    drive_refused(&drive, "choose 2 chin", "number of a setup");
    drive_refused(&drive, "choose 2 felt=low", "felt");
    drive_do(&drive, "choose 0");
    ck_assert_str_eq(settings->found_by, "");
    ck_assert_int_eq(settings->chosen_setup, 0);
    ck_assert_str_eq(drive.log[drive.commands - 1], "choose 0");
    drive_end(&drive);
}
END_TEST

/* Whatever its number is: the words name what is really compared against. */
START_TEST(the_first_setup_is_what_others_are_held_against)
{
    struct drive drive;
    drive_start(&drive, 8);
    drive_do(&drive, "setup 3"); /* no bike, as on a day of runs: with one, setup 1 is there */
    const struct comparison_settings *settings = &session_records(drive.session)->settings;
    ck_assert_int_eq(settings->baseline_setup, 3);
    drive_do(&drive, "undo");
    ck_assert_int_eq(settings->baseline_setup, 1);
    drive_do(&drive, "setup 3");
    drive_do(&drive, "setup 1"); /* a later one changes nothing */
    ck_assert_int_eq(settings->baseline_setup, 3);
    drive_do(&drive, "baseline 1");
    ck_assert_int_eq(settings->baseline_setup, 1);
    drive_end(&drive);
}
END_TEST

START_TEST(slips_are_asked_about_and_can_be_put_right)
{
    struct drive drive;
    drive_start(&drive, 15);
    drive_describe(&drive);
    drive_samples(&drive, 200);
    /* the head's sensor is 40 mm over the clamp, which is at 578 (worked by hand,
     * tests/bike/test_geometry.c)
     */
    drive_refused(&drive, "tape head=64.2", "618");
    drive_refused(&drive, "tape head=567", "618"); /* over 50 mm from it */
    drive_refused(&drive, "tape head=669.5", "618");
    drive_do(&drive, "tape head=569.5");
    drive_do(&drive, "tape head=616");
    drive_do(&drive, "hold 30s free");
    drive_finish(&drive);
    const struct analysis *analysis = session_analysis(drive.session);
    double first_mm = analysis->hold[0].summary[0].mean_mm;
    drive_do(&drive, "tape head=64.2 sure=yes");
    drive_do(&drive, "tape head=620"); /* the later one stands */
    double second_mm = analysis->hold[0].summary[0].mean_mm;
    ck_assert_msg(fabs(second_mm - first_mm - 4.0) < 0.01, "%.3f then %.3f", first_mm, second_mm);
    drive_samples(&drive, 50);
    drive_refused(&drive, "target chest=3", "a slip?");
    drive_do(&drive, "target chest=3 sure=yes");
    session_trust(drive.session, true); /* a log's lines were answered, or never asked about */
    drive_do(&drive, "target chest=4");
    drive_do(&drive, "tape head=64.3");
    session_trust(drive.session, false);
    drive_refused(&drive, "tape head=64.4", "is it meant so?");
    drive_end(&drive);
}
END_TEST

START_TEST(a_plate_below_its_sensor_and_exchanged_targets_are_asked_about)
{
    struct drive drive;
    drive_start(&drive, 17);
    drive_describe(&drive);
    drive_samples(&drive, 200);
    /* the head's sensor is at 618, the chest's at 613 */
    drive_refused(&drive, "plate head=312 chest=317 height=93", "below the sensor of head");
    drive_refused(&drive, "plate 5s height=617", "which the parts have at 618");
    drive_do(&drive, "plate head=312 chest=317 height=93 sure=yes");
    drive_do(&drive, "undo");
    drive_do(&drive, "plate head=312 chest=317 height=930");
    drive_samples(&drive, 200);
    struct view view = {.snapshot = drive_snapshot(&drive)};
    session_fill_view(drive.session, &view);
    double head = view.channel[0].slow_mm, chest = view.channel[1].slow_mm;
    ck_assert_double_gt(fabs(head - chest), 60.0); /* the rider's, to be told apart by 30 */
    char line[80];
    snprintf(line, sizeof line, "target head=%.0f chest=%.0f", chest, head);
    drive_refused(&drive, line, "typed in each other's place?");
    snprintf(line, sizeof line, "target head=%.0f chest=%.0f", head - 20.0, chest - 20.0);
    drive_do(&drive, line);
    snprintf(line, sizeof line, "target head=%.0f", chest);
    drive_do(&drive, line); /* alone it may be meant */
    drive_end(&drive);
}
END_TEST

/* Who comes next, and has no session yet, would take over the holds of the one before. */
START_TEST(another_rider_after_holds_is_asked_about)
{
    struct drive drive;
    drive_start(&drive, 16);
    drive_describe(&drive); /* */
    drive_do(&drive, "rider R-10");
    drive_do(&drive, "rider R-01");
    drive_do(&drive, "rating effort=4");
    drive_refused(&drive, "rider R-10", "end this session and begin a new one");
    drive_do(&drive, "undo");
    drive_do(&drive, "rider R-10");
    drive_do(&drive, "rider R-01");
    drive_do(&drive, "target head=884 chest=771 sure=yes");
    drive_refused(&drive, "rider R-10", "end this session and begin a new one");
    drive_do(&drive, "undo");
    drive_do(&drive, "hold 10s free settle=0s");
    drive_refused(&drive, "rider R-10", "what is here is of R-01");
    ck_assert_str_eq(session_records(drive.session)->rider.code, "R-01");
    drive_do(&drive, "rider R-01 \"another name\"");
    drive_do(&drive, "rider R-10 sure=yes");
    drive_do(&drive, "undo");
    ck_assert_str_eq(session_records(drive.session)->rider.code, "R-01");
    session_trust(drive.session, true);
    drive_do(&drive, "rider R-10");
    drive_end(&drive);
}
END_TEST

/* Four good readings of a plate are none, five are. */
START_TEST(a_plate_takes_five_readings)
{
    for (int good = 4; good <= 5; good++) {
        struct drive drive;
        drive_start(&drive, 15);
        drive_describe(&drive);
        drive_do(&drive, "setup 1");
        drive_samples(&drive, 50);
        drive.quality = READING_MISSING;
        drive_do(&drive, "plate 5s");
        drive_samples(&drive, 20);
        drive.quality = READING_GOOD;
        drive_samples(&drive, good);
        drive.quality = READING_MISSING;
        drive_finish(&drive);
        ck_assert_int_eq(session_records(drive.session)->tie_reading_count, good == 5 ? 2 : 0);
        drive_end(&drive);
    }
}
END_TEST

/* A height over the bottom bracket beside a range would cue the rider by hundreds of millimetres.
 */
START_TEST(a_target_of_a_sensor_that_was_not_placed_is_asked_about)
{
    struct drive drive;
    drive_start(&drive, 15);
    drive_do(&drive, "rig virtual rate=50 channels=head,chest");
    drive_refused(&drive, "target head=884", "whose height over the bottom bracket is not known");
    drive_samples(&drive, 200);
    drive_refused(&drive, "target head=884", "which is not over the bottom bracket");
    const struct session_record *record = session_records(drive.session);
    ck_assert_int_eq(record->target_count, 0);
    struct view *view = calloc(1, sizeof *view);
    ck_assert_ptr_nonnull(view);
    session_fill_view(drive.session, view);
    char line[64]; /* a range agreed on: 200 mm is the most */
    snprintf(line, sizeof line, "target head=%.1f", view->channel[0].slow_mm + 201.0);
    drive_refused(&drive, line, "which is not over the bottom bracket");
    snprintf(line, sizeof line, "target head=%.1f", view->channel[0].slow_mm + 199.0);
    free(view);
    drive_do(&drive, line);
    ck_assert_int_eq(record->target_count, 1);
    drive_end(&drive);
}
END_TEST

/* A sensor whose height over the bottom bracket can't be worked out yet: what it needs. */
START_TEST(what_heights_need_is_named)
{
    struct drive drive;
    struct view *view = calloc(1, sizeof *view);
    ck_assert_ptr_nonnull(view);
    drive_start(&drive, 3);
    drive_do(&drive, "rig virtual rate=50 channels=head,chest");
    drive_do(&drive, "bike b stack=545 reach=410 head_angle=73");
    drive_do(&drive, "sensor head carrier=base_bar x=110 y=40");
    session_fill_view(drive.session, view);
    ck_assert_str_eq(view->message, "head: where the bars are needs spacers, stem length and stem "
                                    "angle: not given");
    ck_assert(!snapshot_tied(drive_snapshot(&drive), 0));
    drive_do(&drive, "bike b spacers=20 stem_length=100 stem_angle=-6");
    session_fill_view(drive.session, view);
    ck_assert(snapshot_tied(drive_snapshot(&drive), 0));
    ck_assert_ptr_null(strstr(view->message, "not given"));
    drive_end(&drive);
    free(view);
}
END_TEST

/* What the parts would need to say where a sensor went is named as soon as they are changed. */
START_TEST(missing_geometry_is_named)
{
    struct drive drive;
    struct view *view = calloc(1, sizeof *view);
    drive_start(&drive, 3);
    drive_do(&drive, "rig virtual rate=50 channels=head,chest");
    drive_do(&drive, "bike b stack=545 reach=410 spacers=20 stem_length=100");
    drive_do(&drive, "sensor head carrier=base_bar x=110 y=40");
    drive_do(&drive, "sensor chest carrier=stand x=0 y=300");
    drive_do(&drive, "setup 1 \"as it came\"");
    drive_do(&drive, "setup 2 \"spacers out\" spacers=10");
    session_fill_view(drive.session, view);
    ck_assert_str_eq(view->message, "setup 2, build 1; head not tied: how far the base bar moved "
                                    "needs head angle, or a plate or tape reading on this build "
                                    "and the first");
    drive_do(&drive, "bike b head_angle=73");
    drive_do(&drive, "setup 3 \"another stem\" stem_length=110");
    session_fill_view(drive.session, view);
    ck_assert_ptr_nonnull(strstr(view->message, "head not tied: how far the base bar moved needs "
                                                "stem angle"));
    drive_do(&drive, "setup 4 \"spacers\" from=1 spacers=5");
    session_fill_view(drive.session, view);
    ck_assert_str_eq(view->message, "setup 4, build 1; sensors against setup 2: head -5 mm");
    drive_do(&drive, "setup 1");
    session_fill_view(drive.session, view);
    ck_assert_str_eq(view->message, "setup 1, build 2; sensors against setup 4: head +14 mm");
    drive_end(&drive);
    free(view);
}
END_TEST

START_TEST(a_limit_passed_is_told)
{
    struct drive drive;
    struct view *view = calloc(1, sizeof *view);
    ck_assert_ptr_nonnull(view);
    drive_start(&drive, 17);
    drive_describe(&drive);
    drive_refused(&drive, "limits wings=3", "wings");
    drive_do(&drive, "limits spacers=25 stem_length=90..120");
    drive_do(&drive, "setup 2 \"spacers in\" spacers=30");
    session_fill_view(drive.session, view);
    ck_assert_msg(strstr(view->message, "25") != NULL && view->message_is_problem, "%s",
                  view->message);
    drive_do(&drive, "setup 3 \"as allowed\" spacers=25 stem_length=120");
    session_fill_view(drive.session, view);
    ck_assert_msg(!view->message_is_problem, "%s", view->message);
    drive_do(&drive, "correct 3 stem_length=130");
    session_fill_view(drive.session, view);
    ck_assert_msg(strstr(view->message, "120") != NULL && view->message_is_problem, "%s",
                  view->message);
    const struct session_record *record = session_records(drive.session);
    ck_assert_int_eq(bike_limits_entered(&record->limits), 3);
    /* a line with a slip in it changes nothing; 'none' takes one back */
    drive_refused(&drive, "limits spacers=40 stem_length=long", "stem_length");
    ck_assert(record->limits.most[BIKE_SPACERS] == 25.0);
    drive_do(&drive, "limits stem_length=none column=85");
    ck_assert_int_eq(bike_limits_entered(&record->limits), 2);
    drive_end(&drive);
    free(view);
}
END_TEST

/* None is assumed, a line with a slip changes nothing. */
static const char *last_message(const struct drive *drive)
{
    uint64_t serial = 0;
    return session_message(drive->session, &serial);
}

/* Its heights go from earlier holds, too: that is said when it is done. */
START_TEST(a_role_that_takes_heights_from_earlier_holds_is_told)
{
    struct drive drive;
    drive_start(&drive, 16);
    drive_describe(&drive);
    drive_do(&drive, "sensor chest role=aux");
    ck_assert_ptr_null(strstr(last_message(&drive), "part of the body"));
    drive_do(&drive, "sensor chest role=body");
    drive_do(&drive, "hold 20s free settle=1s");
    drive_finish(&drive);
    drive_do(&drive, "sensor chest mark=strap");
    ck_assert_ptr_null(strstr(last_message(&drive), "part of the body"));
    drive_do(&drive, "sensor chest role=aux");
    ck_assert_ptr_nonnull(
        strstr(last_message(&drive), "chest is no part of the body from here on"));
    drive_end(&drive);
}
END_TEST

static double stem_angle(const struct drive *drive, int setup)
{
    return session_records(drive->session)->setup[setup].bike.value[BIKE_STEM_ANGLE];
}

/* The bike's parts are the first setup's where it had none; put right in the bike alone they stay
 * there as they were, and it is said where. What the keys make of it puts setup 1 right as well,
 * in one act. */
START_TEST(a_part_put_right_says_which_setups_keep_it)
{
    struct drive drive;
    drive_start(&drive, 20);
    drive_do(&drive, "rig virtual rate=50 channels=head,chest");
    drive_do(&drive, "bike b stack=545 reach=410 head_angle=73 spacers=20 stem_length=100 "
                     "stem_angle=6");
    drive_do(&drive, "setup 2 \"lower\" spacers=10");
    drive_do(&drive, "bike b stem_angle=-6");
    ck_assert(stem_angle(&drive, 0) == 6.0 && stem_angle(&drive, 1) == 6.0);
    ck_assert_str_eq(last_message(&drive),
                     "setup 1 keeps stem angle 6; setup 2 keeps stem angle 6: key 5");
    drive_do(&drive, "and correct 1 stem_angle=-6");
    ck_assert(stem_angle(&drive, 0) == -6.0 && stem_angle(&drive, 1) == -6.0);
    drive_do(&drive, "and correct 2 stem_angle=-6"); /* the form makes it: it is so already */
    ck_assert_str_eq(last_message(&drive),
                     "setup 1 corrected (stem angle 6 to -6), setup 2 too where it had it from "
                     "there; everything was worked out anew");
    drive_do(&drive, "undo");
    ck_assert(session_records(drive.session)->bike.frame.value[BIKE_STEM_ANGLE] == 6.0);
    ck_assert(stem_angle(&drive, 0) == 6.0 && stem_angle(&drive, 1) == 6.0);
    /* a frame's measure goes to all of them, a part that was not given to those without it */
    drive_do(&drive, "bike b stack=550 pad_rise=60");
    ck_assert_ptr_null(strstr(last_message(&drive), "keeps"));
    /* setup 1 was put right by itself: the bike says otherwise again; setup 2 has it from there */
    drive_do(&drive, "correct 1 stem_angle=-7");
    drive_do(&drive, "bike b stem_angle=-8");
    ck_assert_str_eq(last_message(&drive), "setup 1 keeps stem angle -7: key 5");
    drive_end(&drive);
}
END_TEST

START_TEST(torques_are_taken_as_typed)
{
    struct drive drive;
    drive_start(&drive, 17);
    drive_describe(&drive);
    const struct bike_torques *torques = &session_records(drive.session)->torques;
    ck_assert_int_eq(bike_torques_entered(torques), 0);
    drive_do(&drive, "torque stem_clamp=5.5 pads=4");
    ck_assert(torques->nm[BOLT_STEM_CLAMP] == 5.5 && torques->nm[BOLT_PADS] == 4.0);
    drive_refused(&drive, "torque", "stem_clamp=5 faceplate=5");
    drive_refused(&drive, "torque wings=3", "'wings' is no bolt");
    drive_refused(&drive, "torque 5", "'5' is no bolt");
    drive_refused(&drive, "torque pads=5 stem_clamp=0.4", "0.5 to 100");
    drive_refused(&drive, "torque pads=5 stem_clamp=101", "0.5 to 100");
    drive_refused(&drive, "torque pads=5 stem_clamp=tight", "tight");
    ck_assert(torques->nm[BOLT_STEM_CLAMP] == 5.5 && torques->nm[BOLT_PADS] == 4.0);
    drive_do(&drive, "torque stem_clamp=none pads=0.5 pedals=100");
    ck_assert(isnan(torques->nm[BOLT_STEM_CLAMP]) && torques->nm[BOLT_PADS] == 0.5);
    drive_do(&drive, "undo");
    ck_assert(torques->nm[BOLT_STEM_CLAMP] == 5.5 && isnan(torques->nm[BOLT_PEDALS]));
    drive_end(&drive);
}
END_TEST

START_TEST(sensors_fixed_anew_are_tied_by_the_plate)
{
    struct drive drive;
    drive_start(&drive, 13);
    drive_describe(&drive);
    drive_do(&drive, "plate head=290 chest=295");
    drive_do(&drive, "hold 60s free");
    drive_finish(&drive);
    /* fixed 30 mm higher than the tape says, which nobody told; the plate sees it: 290 - 30 */
    drive_do(&drive, "placing");
    drive.sensor_mm[0] += 30.0;
    drive_do(&drive, "hold 60s free");
    drive_finish(&drive);
    const struct analysis *analysis = session_analysis(drive.session);
    double blind = analysis->hold[1].summary[0].mean_mm - analysis->hold[0].summary[0].mean_mm;
    ck_assert_msg(fabs(blind + 30.0) < 0.7, "without the plate: %.2f", blind);
    drive_do(&drive, "plate head=260 chest=295");
    double tied = analysis->hold[1].summary[0].mean_mm - analysis->hold[0].summary[0].mean_mm;
    ck_assert_msg(fabs(tied) < 0.7, "with the plate: %.2f", tied);
    ck_assert_int_eq(analysis->tie[1][0].kind, TIE_PLATE);
    ck_assert_double_gt(tie_uncertainty_mm(&analysis->tie[1][0]), 1.0);
    drive_end(&drive);
}
END_TEST

START_TEST(a_setup_that_is_only_known_is_not_on_the_bike)
{
    struct drive drive;
    drive_start(&drive, 14);
    drive_describe(&drive);
    drive_do(&drive, "known 4 \"last month's\" spacers=5 stem_length=110 stem_angle=-17");
    ck_assert_int_eq(session_records(drive.session)->setup_count, 2);
    ck_assert_int_eq(session_records(drive.session)->build_count, 1);
    drive_refused(&drive, "known 4", "already");
    drive_do(&drive, "setup 4");
    ck_assert_int_eq(session_records(drive.session)->build_count, 2);
    ck_assert_int_eq(session_records(drive.session)
                         ->setup[session_records(drive.session)->build[1].setup]
                         .number,
                     4);
    drive_end(&drive);
}
END_TEST

START_TEST(an_unmounted_sensor_is_not_tied_across_a_change)
{
    struct drive drive;
    drive_start(&drive, 12);
    drive_do(&drive, "rig bench rate=50 channels=head,chest");
    drive_do(&drive, "setup 1 \"as it came\" spacers=20");
    for (int setup = 1; setup <= 2; setup++) {
        for (int i = 0; i < 2; i++) {
            drive_do(&drive, "hold 30s free");
            drive_finish(&drive);
        }
        if (setup == 1) {
            drive_do(&drive, "setup 2 \"spacers out\" spacers=0");
        }
    }
    const struct comparison *comparison = &session_analysis(drive.session)->free_heights[0];
    ck_assert_int_eq(comparison->difference[1].verdict, VERDICT_NOT_COMPARABLE);
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("setups of a session");
    TCase *tests = tcase_create("setups");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, bars_that_fall_under_a_still_body_change_no_height);
    tcase_add_test(tests, a_plate_read_later_wins_and_recomputes);
    tcase_add_test(tests, a_setup_is_chosen_and_let_go);
    tcase_add_test(tests, the_first_setup_is_what_others_are_held_against);
    tcase_add_test(tests, slips_are_asked_about_and_can_be_put_right);
    tcase_add_test(tests, a_plate_below_its_sensor_and_exchanged_targets_are_asked_about);
    tcase_add_test(tests, another_rider_after_holds_is_asked_about);
    tcase_add_test(tests, a_role_that_takes_heights_from_earlier_holds_is_told);
    tcase_add_test(tests, a_plate_takes_five_readings);
    tcase_add_test(tests, a_target_of_a_sensor_that_was_not_placed_is_asked_about);
    tcase_add_test(tests, what_heights_need_is_named);
    tcase_add_test(tests, missing_geometry_is_named);
    tcase_add_test(tests, a_limit_passed_is_told);
    tcase_add_test(tests, a_part_put_right_says_which_setups_keep_it);
    tcase_add_test(tests, torques_are_taken_as_typed);
    tcase_add_test(tests, sensors_fixed_anew_are_tied_by_the_plate);
    tcase_add_test(tests, a_setup_that_is_only_known_is_not_on_the_bike);
    tcase_add_test(tests, an_unmounted_sensor_is_not_tied_across_a_change);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
