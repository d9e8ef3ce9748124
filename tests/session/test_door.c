/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* An appointment from door to door: which step leads after which, that each can be passed over,
 * for what it is passed over, and that a choice leads on to the setup chosen. */
#include "support/session_drive.h"
#include "support/test_main.h"

#include <stdio.h>
#include <string.h>

static struct view view; /* big: each test runs in a process of its own */

static void leads(struct drive *drive, const char *words, enum view_next next)
{
    session_fill_view(drive->session, &view);
    ck_assert_msg(strstr(view.next_step, words) != NULL, "'%s' leads, not '%s'", view.next_step,
                  words);
    ck_assert_int_eq(view.next, next);
}

static void skip(struct drive *drive)
{
    session_fill_view(drive->session, &view);
    ck_assert_str_ne(view.next_skip, "");
    drive_do(drive, view.next_skip);
}

static void step(struct drive *drive)
{
    session_fill_view(drive->session, &view);
    ck_assert_int_eq(view.next, VIEW_NEXT_COMMAND);
    drive_do(drive, view.next_command);
    if (session_phase(drive->session) != VIEW_LIVE) {
        drive_finish(drive);
    }
}

START_TEST(what_is_known_is_not_asked_for)
{
    struct drive drive;
    drive_start(&drive, 31);
    leads(&drive, "who rides", VIEW_NEXT_RIDER);
    drive_do(&drive, "rider R-01");
    leads(&drive, "how many minutes", VIEW_NEXT_MINUTES);
    ck_assert_str_eq(view.clock_words, "");
    drive_do(&drive, "minutes 60");
    leads(&drive, "the bike's measures", VIEW_NEXT_BIKE);
    ck_assert_ptr_nonnull(strstr(view.clock_words, "60 min left"));
    drive_do(&drive, "bike \"b\" stack=540 reach=400 head_angle=73 spacers=20 stem_length=100 "
                     "stem_angle=-17");
    leads(&drive, "waiting for the sensors", VIEW_NEXT_WAIT);
    drive_do(&drive, "rig bench rate=50 channels=head,chest");
    drive_samples(&drive, 10);
    leads(&drive, "where is each sensor", VIEW_NEXT_PLACES);
    drive_do(&drive, "sensor head carrier=base_bar x=120 y=40");
    leads(&drive, "where is each sensor", VIEW_NEXT_PLACES);
    drive_do(&drive, "sensor chest carrier=base_bar x=-60 y=35");
    leads(&drive, "check the sensors", VIEW_NEXT_CHECKS);
    skip(&drive);
    leads(&drive, "warm-up", VIEW_NEXT_COMMAND);
    step(&drive);
    leads(&drive, "take the target", VIEW_NEXT_COMMAND);
    drive_end(&drive);
}
END_TEST

START_TEST(each_step_can_be_passed_over)
{
    static const char *const words[] = {
        "who rides",         "how many minutes", "the bike's measures", "where is each sensor",
        "check the sensors", "warm-up",          "take the target",     "free hold 1 of ",
        "rate this setup",   "change a part",    "compare, decide"};
    struct drive drive;
    int count = (int)(sizeof words / sizeof words[0]);
    drive_start(&drive, 32);
    drive_do(&drive, "rig bench rate=50 channels=head,chest");
    drive_do(&drive, "setup 1 \"as it came\"");
    drive_samples(&drive, 10);
    for (int i = 0; i < count; i++) {
        session_fill_view(drive.session, &view);
        ck_assert_msg(strstr(view.next_step, words[i]) != NULL, "%d: '%s' leads, not '%s'", i,
                      view.next_step, words[i]);
        if (i + 1 < count) {
            skip(&drive);
        }
    }
    ck_assert_str_eq(view.next_skip, "");
    drive_refused(&drive, "pass", "is none of rider, minutes");
    drive_refused(&drive, "pass wind", "'wind' is none of");
    drive_refused(&drive, "pass rider bike", "is none of");
    drive_end(&drive);
}
END_TEST

/* Whoever has ridden once is not asked at the door any more. */
START_TEST(nobody_goes_back_to_the_door)
{
    struct drive drive;
    drive_start(&drive, 33);
    drive_do(&drive, "rig bench rate=50 channels=head,chest");
    drive_samples(&drive, 10);
    drive_do(&drive, "hold 30s free settle=0s");
    drive_finish(&drive);
    leads(&drive, "free hold 2 of ", VIEW_NEXT_COMMAND);
    drive_end(&drive);
}
END_TEST

static void ride_two_setups(struct drive *drive)
{
    drive_describe(drive);
    drive_do(drive, "minutes 120");
    drive_samples(drive, 10);
    drive_do(drive, "pass target");
    for (int setup = 1; setup <= 2; setup++) {
        if (setup == 2) {
            drive_do(drive, "setup 2 \"lower\" spacers=10");
        }
        for (int i = 0; i < 2; i++) {
            drive_do(drive, "hold 30s free settle=0s");
            drive_finish(drive);
        }
        leads(drive, "free hold 3 of ", VIEW_NEXT_COMMAND);
        skip(drive);
        leads(drive, "rate this setup",
              VIEW_NEXT_RATING); /* of this build, not of the one before */
        skip(drive);
    }
}

START_TEST(the_choice_leads_on)
{
    struct drive drive;
    drive_start(&drive, 34);
    ride_two_setups(&drive);
    leads(&drive, "the next setup, or back to setup 1", VIEW_NEXT_SETUP);
    skip(&drive);
    leads(&drive, "back to setup 1", VIEW_NEXT_COMMAND);
    step(&drive);
    leads(&drive, "free hold 1 of ", VIEW_NEXT_COMMAND);
    skip(&drive);
    leads(&drive, "rate this setup", VIEW_NEXT_RATING);
    skip(&drive);
    leads(&drive, "which setup does the rider go home with", VIEW_NEXT_CHOOSE);
    drive_do(&drive, "choose 2");
    leads(&drive, "put setup 2 on the bike", VIEW_NEXT_COMMAND);
    step(&drive);
    const struct session_record *record = session_records(drive.session);
    ck_assert_int_eq(record->setup[record->build[record->build_count - 1].setup].number, 2);
    leads(&drive, "one check hold on setup 2", VIEW_NEXT_COMMAND);
    step(&drive);
    leads(&drive, "setup 2's own target", VIEW_NEXT_COMMAND);
    step(&drive);
    leads(&drive, "take the band suggested for it", VIEW_NEXT_COMMAND);
    step(&drive);
    leads(&drive, "write the rider's sheet", VIEW_NEXT_SHEET);
    drive_do(&drive, "pass sheet");
    leads(&drive, "end the session", VIEW_NEXT_END);
    ck_assert_str_eq(view.next_skip, "");
    /* another choice: all of it again */
    drive_do(&drive, "choose 1");
    leads(&drive, "put setup 1 on the bike", VIEW_NEXT_COMMAND);
    /* and none: the question again, or what was before it */
    drive_do(&drive, "choose 0");
    session_fill_view(drive.session, &view);
    ck_assert_ptr_null(strstr(view.next_step, "put setup"));
    drive_end(&drive);
}
END_TEST

/* Chosen early, and then another is tried all the same. */
START_TEST(a_choice_holds_nobody_back)
{
    struct drive drive;
    drive_start(&drive, 35);
    ride_two_setups(&drive);
    drive_do(&drive, "choose 1");
    leads(&drive, "put setup 1 on the bike", VIEW_NEXT_COMMAND);
    drive_do(&drive, "setup 3 \"lower still\" spacers=0");
    leads(&drive, "free hold 1 of ", VIEW_NEXT_COMMAND);
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("door to door");
    TCase *tests = tcase_create("door");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, what_is_known_is_not_asked_for);
    tcase_add_test(tests, each_step_can_be_passed_over);
    tcase_add_test(tests, nobody_goes_back_to_the_door);
    tcase_add_test(tests, the_choice_leads_on);
    tcase_add_test(tests, a_choice_holds_nobody_back);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
