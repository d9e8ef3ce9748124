/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What the fitter is told while a session runs: the next step, what the clock still lets, and
 * whether the rider is steady. */
#include "support/session_drive.h"
#include "support/test_main.h"

#include <stdio.h>
#include <string.h>

static struct view view; /* big: each test runs in a process of its own */

/* A sawtooth of this slope over the hold, about the first height; the last view before the end. */
static void hold_with_creep(struct drive *drive, double mm_per_min, double minutes)
{
    char line[64];
    snprintf(line, sizeof line, "hold %.0fs free settle=0s", 60.0 * minutes);
    drive_do(drive, line);
    for (int second = 0; second < (int)(60.0 * minutes); second++) {
        drive->body_mm[0] += mm_per_min / 60.0;
        drive_samples(drive, 50);
    }
    session_fill_view(drive->session, &view);
}

/* Creep is flagged from 4 mm a hold on, however long the hold: 3 mm a minute for 3 minutes is 9 mm,
 * 6 mm a minute for half a minute 3 mm. */
START_TEST(steady_is_never_said_of_creep_that_is_flagged)
{
    static const struct {
        double mm_per_min, minutes;
        bool flagged;
    } cases[] = {{3.0, 3.0, true}, {-3.0, 3.0, true}, {6.0, 0.5, false}, {1.0, 3.0, false}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct drive drive;
        drive_start(&drive, 11);
        drive.breathing_mm = 0.5;
        drive.noise_mm = 0.3;
        drive_describe(&drive);
        hold_with_creep(&drive, cases[i].mm_per_min, cases[i].minutes);
        ck_assert_msg(view.steady == !cases[i].flagged, "%g mm a minute for %g minutes",
                      cases[i].mm_per_min, cases[i].minutes);
        drive_finish(&drive);
        const struct hold_summary *summary = &session_analysis(drive.session)->hold[0].summary[0];
        ck_assert(summary->has_creep);
        ck_assert_int_eq(summary->creep_flagged, cases[i].flagged);
        drive_end(&drive);
    }
}
END_TEST

/* The chest's sensor crept, and was none: what is ridden without it is steady. */
START_TEST(a_sensor_that_was_taken_back_creeps_no_more)
{
    struct drive drive;
    drive_start(&drive, 11);
    drive.breathing_mm = 0.5;
    drive.noise_mm = 0.3;
    drive_do(&drive, "sensor head carrier=base_bar x=120 y=40");
    drive_do(&drive, "sensor chest carrier=base_bar x=-60 y=35");
    drive_do(&drive, "hold 180s free settle=0s");
    for (int second = 0; second < 170; second++) {
        drive.body_mm[1] += 3.0 / 60.0;
        drive_samples(&drive, 50);
    }
    session_fill_view(drive.session, &view);
    ck_assert_int_eq(view.channel_count, 2);
    ck_assert(!view.steady);
    drive_do(&drive, "undo");
    drive_do(&drive, "undo");
    hold_with_creep(&drive, 0.0, 1.0);
    ck_assert_int_eq(view.channel_count, 1);
    ck_assert(view.steady);
    drive_end(&drive);
}
END_TEST

START_TEST(the_heads_cue_waits_longer)
{
    struct drive drive;
    drive_start(&drive, 12);
    drive_describe(&drive);
    drive_do(&drive, "target head=900 chest=800");
    drive_do(&drive, "band head=+10/-20 chest=+8/none");
    const struct band_record *band = &session_records(drive.session)->band[0];
    ck_assert_double_eq(band->cue[0].on_delay_s, 2.0);
    ck_assert_double_eq(band->cue[1].on_delay_s, 0.7);
    drive_end(&drive);
}
END_TEST

/* Setups ridden and rated, so that the next one is due. */
static void ride(struct drive *drive, const char *setup, int holds)
{
    drive_do(drive, setup);
    for (int i = 0; i < holds; i++) {
        drive_do(drive, "hold 30s free settle=0s");
        drive_finish(drive);
    }
    drive_do(drive, "rating effort=3");
}

static void look_with_left(struct drive *drive, double left_min)
{
    char line[64];
    session_fill_view(drive->session, &view);
    snprintf(line, sizeof line, "minutes %.6f", left_min + view.session_s / 60.0);
    drive_do(drive, line);
    session_fill_view(drive->session, &view);
    ck_assert_double_eq_tol(view.minutes_left, left_min, 1e-5);
}

/* A setup takes 5 (change) + 2 (ride in) + 4 x 0.5 (holds) + 3 x 0.75 (rests) + 0.5 (rating)
 * = 11.75 minutes. On the second one it was seen that there were no rests, which are then 0.25:
 * 10.25. In 40 of them there is room for 39 and the return: with a tenth more or less of any one of
 * the five it would be another number. */
START_TEST(the_clock_counts_setups_and_the_return)
{
    struct drive drive;
    drive_start(&drive, 13);
    drive_describe(&drive);
    drive_do(&drive, "target head=900 chest=800");
    ride(&drive, "setup 1 \"as it came\"", 4);
    look_with_left(&drive, 470.01);
    ck_assert_ptr_nonnull(strstr(view.clock_words, ": 40 more setups"));
    look_with_left(&drive, 469.99);
    ck_assert_ptr_nonnull(strstr(view.clock_words, ": 39 more setups"));
    ride(&drive, "setup 2 \"lower\" spacers=10", 4);
    look_with_left(&drive, 410.01);
    ck_assert_ptr_nonnull(strstr(view.clock_words, ": 39 more setups, then back to setup 1"));
    look_with_left(&drive, 409.99);
    ck_assert_ptr_nonnull(strstr(view.clock_words, ": 38 more setups, then back to setup 1"));
    /* another setup only where the return fits behind it */
    look_with_left(&drive, 20.51);
    ck_assert_ptr_nonnull(strstr(view.clock_words, "1 more setup, then back to setup 1"));
    ck_assert_int_eq(view.next, VIEW_NEXT_SETUP);
    look_with_left(&drive, 20.49);
    ck_assert_ptr_nonnull(strstr(view.clock_words, "no other setup fits; go back to setup 1"));
    ck_assert_int_eq(view.next, VIEW_NEXT_COMMAND);
    ck_assert_str_eq(view.next_command, "setup 1");
    drive_end(&drive);
}
END_TEST

START_TEST(four_free_holds_are_asked_for_where_nothing_is_known)
{
    struct drive drive;
    drive_start(&drive, 14);
    drive_describe(&drive);
    drive_do(&drive, "setup 1 \"as it came\"");
    drive_samples(&drive, 10);
    for (int i = 1; i <= 4; i++) {
        char words[64];
        drive_do(&drive, "target head=900 chest=800");
        session_fill_view(drive.session, &view);
        snprintf(words, sizeof words, "free hold %d of 4 on this build, 30 s%s", i,
                 i > 1 ? ": hands off, sit up, back" : "");
        ck_assert_str_eq(view.next_step, words);
        ck_assert_str_eq(view.next_command, "hold 30s free");
        drive_do(&drive, "hold 30s free settle=0s");
        drive_finish(&drive);
    }
    session_fill_view(drive.session, &view);
    ck_assert_str_eq(view.next_step, "rate this setup");
    /* this rider repeats well, but three would hardly be shorter: it stays */
    drive_do(&drive, "setup 2 \"lower\" spacers=10");
    session_fill_view(drive.session, &view);
    ck_assert_str_eq(view.next_step, "free hold 1 of 4 on this build, 30 s");
    drive_do(&drive, "hold 30s free settle=0s");
    drive_finish(&drive);
    /* what is typed while it is held changes nothing before the next build */
    drive_do(&drive, "minutes 5");
    session_fill_view(drive.session, &view);
    ck_assert_str_eq(view.next_step,
                     "free hold 2 of 4 on this build, 30 s: hands off, sit up, back");
    drive_end(&drive);
}
END_TEST

static void assert_next(struct drive *drive, const char *words)
{
    session_fill_view(drive->session, &view);
    ck_assert_str_eq(view.next_step, words);
}

/* What is taken over was said on another day: the door asks for the time, each sensor's place, the
 * checks and the warm-up all the same, and each can be passed over. A place that is said again, the
 * same or not, is asked for no more; taken back, it is. */
START_TEST(an_earlier_session_taken_over_leads_through_the_door)
{
    struct drive drive;
    drive_start(&drive, 18);
    drive_do(&drive, "rig virtual rate=50 channels=head,chest");
    drive_do(&drive, "rider R-31");
    drive_do(&drive, "and known 1 \"as it came\" stack=545 reach=410 head_angle=73 spacers=20 "
                     "stem_length=100 stem_angle=-6");
    drive_do(&drive, "and setup 1");
    drive_do(&drive, "and bike b stack=545 reach=410 head_angle=73");
    drive_do(&drive, "and sensor head carrier=base_bar x=110 y=40");
    drive_do(&drive, "and sensor chest carrier=base_bar x=-60 y=35");
    drive_do(&drive, "and target head=900 known_to=head:5");
    drive_samples(&drive, 10);
    assert_next(&drive, "how many minutes are booked?");
    drive_do(&drive, "minutes 60");
    assert_next(&drive, "are the sensors where they were? measure again");
    ck_assert(view.place_carried[0] && view.place_carried[1]);
    drive_do(&drive, "sensor head carrier=base_bar x=110 y=40");
    assert_next(&drive, "are the sensors where they were? measure again");
    ck_assert(!view.place_carried[0] && view.place_carried[1]);
    drive_do(&drive, "sensor chest carrier=base_bar x=-62 y=35");
    assert_next(&drive, "check the sensors with the rider on");
    drive_do(&drive, "undo");
    assert_next(&drive, "are the sensors where they were? measure again");
    ck_assert_str_eq(view.next_skip, "pass places");
    drive_do(&drive, "pass places");
    assert_next(&drive, "check the sensors with the rider on");
    drive_do(&drive, "pass checks");
    assert_next(&drive, "warm-up; go on when the rider is warm");
    drive_do(&drive, "pass warm_up");
    assert_next(&drive, "free hold 1 of 4 on this build, 30 s");
    /* another one first: then the one that is compared against, which was not held today */
    ride(&drive, "setup 2 \"lower\" spacers=10", 4);
    assert_next(&drive, "on to setup 1: compared against it, and it has no hold yet");
    ck_assert_str_eq(view.next_command, "setup 1");
    ck_assert_str_eq(view.next_skip, "pass setup");
    drive_do(&drive, "setup 1");
    session_fill_view(drive.session, &view);
    ck_assert_str_eq(view.next_command, "hold 30s free");
    drive_end(&drive);
}
END_TEST

/* Nothing said: five seconds to settle, a minute of hold. */
START_TEST(a_hold_as_usual)
{
    struct drive drive;
    drive_start(&drive, 15);
    drive_describe(&drive);
    drive_samples(&drive, 10);
    drive_do(&drive, "hold free");
    drive_samples(&drive, 249);
    ck_assert_int_eq(session_phase(drive.session), VIEW_SETTLING);
    drive_samples(&drive, 1);
    ck_assert_int_eq(session_phase(drive.session), VIEW_HOLD);
    drive_finish(&drive);
    const struct capture_record *capture = &session_records(drive.session)->capture[0];
    ck_assert_int_eq(capture->last_sample - capture->first_sample, 60 * 50);
    drive_end(&drive);
}
END_TEST

/* What is kept afterwards is of the build on the bike, however long it was asked for. */
START_TEST(keep_does_not_reach_into_the_build_before)
{
    struct drive drive;
    drive_start(&drive, 16);
    drive_describe(&drive);
    drive_do(&drive, "setup 1 \"as it came\"");
    drive_samples(&drive, 40 * 50);
    drive_do(&drive, "setup 2 \"lower\" spacers=10");
    drive_samples(&drive, 30 * 50);
    drive_do(&drive, "keep 60s");
    const struct session_record *record = session_records(drive.session);
    const struct capture_record *capture = &record->capture[record->hold[0].capture];
    ck_assert_int_eq(record->hold[0].build, record->build_count - 1);
    ck_assert_int_eq(capture->first_sample, 40 * 50 + 1);
    ck_assert_int_eq(capture->last_sample, 70 * 50);
    drive_end(&drive);
}
END_TEST

/* A plate read before and after the sensors were fixed anew ties the two placings, each reading to
 * 1 mm: what is unknown between them is sqrt 2, and by two tapes of 2 mm each sqrt 8. */
START_TEST(fixing_anew_costs_two_readings)
{
    static const struct {
        const char *before, *after;
        double u_mm;
    } cases[] = {{"plate head=412.5 chest=405.5", "plate head=410 chest=402", 1.41421356},
                 {"tape head=618.3 chest=613.3", "tape head=617 chest=612", 2.82842712}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct drive drive;
        drive_start(&drive, 17);
        drive_describe(&drive);
        drive_do(&drive, "setup 1 \"as it came\"");
        drive_do(&drive, cases[i].before);
        drive_do(&drive, "placing");
        drive_do(&drive, cases[i].after);
        const struct session_record *record = session_records(drive.session);
        const struct tie(*tie)[CHANNELS_MAX] = session_analysis(drive.session)->tie;
        int build = record->build_count - 1;
        ck_assert_int_eq(record->build[build].placing, 1);
        for (int c = 0; c < 2; c++) {
            ck_assert_double_eq_tol(tie_uncertainty_mm(&tie[0][c]), 0.0, 1e-12);
            ck_assert_double_eq_tol(tie_uncertainty_mm(&tie[build][c]), cases[i].u_mm, 1e-6);
        }
        drive_end(&drive);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("next step");
    TCase *tests = tcase_create("next step");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, steady_is_never_said_of_creep_that_is_flagged);
    tcase_add_test(tests, a_sensor_that_was_taken_back_creeps_no_more);
    tcase_add_test(tests, the_heads_cue_waits_longer);
    tcase_add_test(tests, the_clock_counts_setups_and_the_return);
    tcase_add_test(tests, four_free_holds_are_asked_for_where_nothing_is_known);
    tcase_add_test(tests, an_earlier_session_taken_over_leads_through_the_door);
    tcase_add_test(tests, a_hold_as_usual);
    tcase_add_test(tests, keep_does_not_reach_into_the_build_before);
    tcase_add_test(tests, fixing_anew_costs_two_readings);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
