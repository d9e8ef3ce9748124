/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A session at home, by the next step alone. */
#include "session/view.h"
#include "support/session_drive.h"
#include "support/test_main.h"

#include <stdio.h>
#include <string.h>

static struct drive drive;

static const char *next_command(const char **words)
{
    static struct view view;
    memset(&view, 0, sizeof view);
    view.snapshot = drive_snapshot(&drive);
    session_fill_view(drive.session, &view);
    *words = view.next_step;
    return view.next_command;
}

static void begin(const char *practice)
{
    drive_start(&drive, 3);
    drive_describe(&drive);
    drive_do(&drive, "setup 1 \"as chosen\"");
    drive_samples(&drive, 200);
    drive_do(&drive, "rider R-07 health=yes");
    drive_do(&drive, practice);
}

/* Does the step that is due, which must begin so. */
static void step(const char *begins)
{
    const char *words;
    char command[160];
    snprintf(command, sizeof command, "%s", next_command(&words));
    ck_assert_msg(strncmp(command, begins, strlen(begins)) == 0, "'%s' (%s), not '%s'", command,
                  words, begins);
    double breathing_mm = drive.breathing_mm;
    drive.breathing_mm = strncmp(command, "plate", 5) == 0 ? 0.0 : breathing_mm; /* a board lies */
    drive_do(&drive, command);
    drive_finish(&drive);
    drive.breathing_mm = breathing_mm;
}

static void waits_for(const char *begins)
{
    const char *words, *command = next_command(&words);
    ck_assert_msg(command[0] == '\0' && strstr(words, begins) != NULL, "'%s' (%s), not '%s'",
                  command, words, begins);
}

/* Row 3 of docs/practice.md: heard, after, heard, after. Whoever stays in the band is given a
 * quarter more after two pieces. */
START_TEST(a_whole_session)
{
    begin("practice row=3 length=40s pieces=4");
    step("plate 5s rest=pads");
    drive_do(&drive, "target head=0 chest=0 sure=yes");
    char line[96];
    const struct session_record *record = session_records(drive.session);
    ck_assert_int_eq(record->tie_reading[0].rest, REST_PADS);
    ck_assert_double_eq(record->tie_reading[0].plate_height_mm, 0.0);
    snprintf(line, sizeof line, "band head=+300/-300 chest=+300/-300");
    drive_do(&drive, line);
    step("pass easy");
    step("hold test");
    ck_assert_int_eq(record->hold[0].purpose, PURPOSE_TEST);
    ck_assert_double_eq(record->hold[0].planned_s, 180.0);
    waits_for("guess: how many tenths");
    drive_do(&drive, "guess 7");
    ck_assert_double_eq_tol(record->hold[0].guessed_share, 0.7, 1e-12);
    step("hold 40s piece told=heard settle=5s");
    step("hold 40s piece told=after settle=40s");
    waits_for("guess: how many tenths");
    drive_do(&drive, "guess 9");
    step("hold 50s piece told=heard settle=50s");
    step("hold 50s piece told=after settle=50s");
    drive_do(&drive, "guess 10");
    waits_for("how was it?");
    drive_do(&drive, "rating effort=3 neck=1");
    waits_for("all is done");
    ck_assert_int_eq(record->hold_count, 5);
    drive_end(&drive);
}
END_TEST

START_TEST(a_base_day_is_a_test_alone)
{
    const char *words;
    begin("practice base=yes");
    step("plate 5s rest=pads");
    drive_do(&drive, "target head=0 chest=0 sure=yes");
    drive_do(&drive, "band head=+300/-300 chest=+300/-300");
    step("pass easy");
    step("hold test");
    drive_do(&drive, "guess 5");
    waits_for("how was it?");
    drive_do(&drive, "rating effort=3 sign=yes");
    waits_for("STOP");
    drive_do(&drive, "practice off");
    next_command(&words);
    ck_assert_ptr_null(strstr(words, "STOP"));
    drive_end(&drive);
}
END_TEST

/* The target of before is carried over, at the board's height of before. */
START_TEST(the_target_does_not_move)
{
    const char *words;
    begin("practice carried=yes board=930");
    step("plate 5s height=930.0 rest=pads");
    ck_assert_str_eq(next_command(&words), "carry R-07 target");
    drive_end(&drive);
}
END_TEST

START_TEST(wrong_words_are_refused)
{
    begin("practice");
    drive_refused(&drive, "practice row=9", "row");
    drive_refused(&drive, "practice held=maybe", "yes or no");
    drive_refused(&drive, "practice everything", "off");
    drive_refused(&drive, "ride", "target");
    drive_refused(&drive, "hold test told=seen", "nothing is shown");
    drive_refused(&drive, "hold 60s piece told=loud", "none of");
    drive_refused(&drive, "guess 7", "no test or piece");
    drive_refused(&drive, "guess 11", "0 to 10");
    drive_refused(&drive, "plate 5s rest=floor", "rest=pads");
    drive_end(&drive);
}
END_TEST

/* It has no end of its own; sounds tell the way. */
START_TEST(a_ride_ends_with_stop)
{
    begin("practice off");
    drive_do(&drive, "target head=884 chest=771 sure=yes");
    drive_do(&drive, "ride settle=0s");
    drive_samples(&drive, 50 * 100);
    const struct session_record *record = session_records(drive.session);
    ck_assert_int_eq(record->hold[0].status, HOLD_RUNNING);
    ck_assert_int_eq(record->hold[0].purpose, PURPOSE_RIDE);
    ck_assert_int_eq(record->hold[0].told, TOLD_HEARD);
    ck_assert_double_eq(record->hold[0].planned_s, 8 * 3600.0);
    drive_do(&drive, "stop");
    ck_assert_int_eq(record->hold[0].status, HOLD_STOPPED);
    ck_assert_double_eq_tol(session_analysis(drive.session)->hold[0].duration_s, 100.0, 1.0);
    drive_end(&drive);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("practice_flow");
    TCase *tests = tcase_create("practice_flow");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, a_whole_session);
    tcase_add_test(tests, a_base_day_is_a_test_alone);
    tcase_add_test(tests, the_target_does_not_move);
    tcase_add_test(tests, wrong_words_are_refused);
    tcase_add_test(tests, a_ride_ends_with_stop);
    return test_main(suite);
}
