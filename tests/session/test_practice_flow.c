/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A session at home, by the next step alone. */
#include "session/view.h"
#include "support/session_drive.h"
#include "support/test_main.h"

#include <math.h>
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

/* places: where on the bars the sensors are was said, too, so that heights are over the bottom
 * bracket before any board is read. */
static void begin_with(const char *practice, bool places)
{
    drive_start(&drive, 3);
    if (places) {
        drive_describe(&drive);
    } else {
        drive_do(&drive, "rig bench rate=50 channels=head,chest");
        drive_do(&drive, "bike \"training bike\"");
        drive_do(&drive, "sensor head carrier=base_bar look=up");
        drive_do(&drive, "sensor chest carrier=base_bar look=up");
    }
    drive_do(&drive, "setup 1 \"as chosen\"");
    drive_samples(&drive, 200);
    drive_do(&drive, "rider R-07 health=yes");
    drive_do(&drive, practice);
}

static void begin(const char *practice)
{
    begin_with(practice, false);
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
    step("plate 5s rest=pads"); /* off the bike: nothing moved */
    waits_for("all is done");
    ck_assert_int_ne(session_analysis(drive.session)->tie[0][0].found.kind, TIE_FOUND_ENDS);
    ck_assert_int_eq(record->hold_count, 5);
    drive_end(&drive);
}
END_TEST

/* docs/scripts.md: ride=yes is a long ride, with neither warm-up nor test before it. */
START_TEST(a_day_of_the_long_ride_has_no_test)
{
    const char *words;
    begin("practice ride=yes");
    step("plate 5s rest=pads");
    drive_do(&drive, "target head=0 chest=0 sure=yes");
    drive_do(&drive, "band head=+300/-300 chest=+300/-300");
    ck_assert_int_eq(strncmp(next_command(&words), "ride", 4), 0);
    ck_assert_ptr_nonnull(strstr(words, "the long ride"));
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

START_TEST(six_pieces_of_half_a_minute_where_nothing_is_said)
{
    const char *words;
    begin("practice row=3");
    step("plate 5s rest=pads");
    drive_do(&drive, "target head=0 chest=0 sure=yes");
    drive_do(&drive, "band head=+300/-300 chest=+300/-300");
    step("pass easy");
    drive_do(&drive, "pass test");
    next_command(&words);
    ck_assert_msg(strstr(words, "piece 1 of 6, 30 s") != NULL, "%s", words);
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
    drive_do(&drive, "practice carried=12 board=930"); /* the session that had it */
    ck_assert_str_eq(next_command(&words), "carry 12 target");
    drive_do(&drive, "practice carried=no");
    ck_assert_str_eq(next_command(&words), "target");
    drive_end(&drive);
}
END_TEST

static const struct tie *tie_of(int build, int channel)
{
    return &session_analysis(drive.session)->tie[build][channel];
}

/* Where heights are over the bottom bracket already, a board of which nobody said how high it lies
 * leaves them there, as a target that is carried over is; builds it ties to one another. */
START_TEST(a_board_moves_no_height_away_from_a_target_over_the_bottom_bracket)
{
    begin_with("practice", true);
    const struct session_record *record = session_records(drive.session);
    double sensor_mm[2] = {tie_of(0, 0)->sensor_height_mm, tie_of(0, 1)->sensor_height_mm};
    double known_to_mm = tie_of(0, 0)->u_absolute_mm;
    drive_do(&drive, "target head=885 chest=771 sure=yes");
    step("plate 5s rest=pads");
    ck_assert_int_eq(record->tie_reading_count, 2);
    for (int c = 0; c < 2; c++) {
        ck_assert_int_eq(record->tie_reading[c].rest, REST_PADS);
        ck_assert(isnan(record->tie_reading[c].plate_height_mm));
        ck_assert(tie_is_over_bottom_bracket(tie_of(0, c)));
        ck_assert_double_eq(tie_of(0, c)->sensor_height_mm, sensor_mm[c]);
    }
    ck_assert_double_eq(tie_of(0, 0)->u_absolute_mm, known_to_mm); /* nor is known any better */
    drive.sensor_mm[0] -= 12.0;
    drive_do(&drive, "build moved=yes");
    step("plate 5s rest=pads");
    ck_assert_int_eq(tie_of(1, 0)->kind, TIE_PLATE);
    ck_assert_double_eq_tol(tie_of(1, 0)->sensor_height_mm, sensor_mm[0] - 12.0, 1.0);
    ck_assert_double_eq_tol(tie_of(1, 1)->sensor_height_mm, sensor_mm[1], 1.0);
    drive_do(&drive, "plate head=245 chest=250 height=885 rest=pads sure=yes"); /* now it is said */
    ck_assert_double_eq_tol(tie_of(1, 0)->sensor_height_mm, 640.0, 1e-6);
    drive_do(&drive, "plate head=244 chest=250 rest=pads sure=yes");
    ck_assert_double_eq(record->tie_reading[record->tie_reading_count - 1].plate_height_mm, 885.0);
    drive_end(&drive);
}
END_TEST

/* Of the head alone it is known; the chest's heights are told from the board, and stay so. */
START_TEST(each_channel_by_itself_is_told_from_the_board)
{
    begin("practice");
    drive_do(&drive, "tape head=640");
    const struct session_record *record = session_records(drive.session);
    for (int time = 0; time < 2; time++) {
        drive_do(&drive, "plate head=245 chest=250 rest=pads");
        ck_assert(isnan(record->tie_reading[1 + 2 * time].plate_height_mm));
        ck_assert_double_eq(record->tie_reading[2 + 2 * time].plate_height_mm, 0.0);
        ck_assert_double_eq(tie_of(0, 0)->sensor_height_mm, 640.0);
        ck_assert_double_eq(tie_of(0, 1)->sensor_height_mm, -250.0);
    }
    drive_end(&drive);
}
END_TEST

/* What the board read, by which the next days are held against the first. */
static void read_board(double range_mm[2])
{
    begin("practice");
    step("plate 5s rest=pads");
    const struct session_record *record = session_records(drive.session);
    range_mm[0] = range_mm[1] = NAN;
    for (int i = 0; i < record->tie_reading_count; i++) {
        range_mm[record->tie_reading[i].channel] = record->tie_reading[i].value_mm;
    }
    drive_end(&drive);
}

static void begin_after(const double first_mm[2], double head_mm)
{
    char line[128];
    snprintf(line, sizeof line, "practice board_was=head:%.1f,chest:%.1f", first_mm[0] + head_mm,
             first_mm[1]);
    begin(line);
    step("plate 5s rest=pads");
}

/* Over 10 mm it is asked about, over 25 mm the sensors were placed anew; either can be passed over.
 */
START_TEST(a_board_that_lies_elsewhere_is_asked_about)
{
    const char *words;
    double first_mm[2];
    read_board(first_mm);
    begin_after(first_mm, 9.0);
    ck_assert_str_eq(next_command(&words), "target");
    drive_end(&drive);
    begin_after(first_mm, -13.0);
    ck_assert_str_eq(next_command(&words), "plate 5s rest=pads");
    ck_assert_msg(strstr(words, "board is 13 mm off the first day's") != NULL, "%s", words);
    drive.sensor_mm[0] += 13.0; /* the clamp was put where it was */
    step("plate 5s rest=pads");
    ck_assert_str_eq(next_command(&words), "target");
    drive_end(&drive);
    begin_after(first_mm, 9.6);
    ck_assert_str_eq(next_command(&words), "target");
    drive_end(&drive);
    begin_after(first_mm, 10.4);
    ck_assert_str_eq(next_command(&words), "plate 5s rest=pads");
    drive_end(&drive);
    begin_after(first_mm, 24.0);
    ck_assert_str_eq(next_command(&words), "plate 5s rest=pads");
    ck_assert_msg(strstr(words, "24 mm off the first day's") != NULL &&
                      strstr(words, "placed anew") == NULL,
                  "%s", words);
    drive_end(&drive);
    begin_after(first_mm, 26.0);
    ck_assert_str_eq(next_command(&words), "plate 5s rest=pads");
    ck_assert_msg(strstr(words, "26 mm off the first day's: sensors placed anew") != NULL, "%s",
                  words);
    drive_end(&drive);
    begin_after(first_mm, 40.0);
    ck_assert_str_eq(next_command(&words), "plate 5s rest=pads");
    ck_assert_msg(strstr(words, "40 mm off the first day's: sensors placed anew") != NULL, "%s",
                  words);
    drive_do(&drive, "pass apart");
    ck_assert_str_eq(next_command(&words), "target");
    drive_end(&drive);
}
END_TEST

START_TEST(a_knocked_sensor_asks_for_the_board)
{
    begin("practice row=3 length=60s pieces=4");
    step("plate 5s rest=pads");
    drive_do(&drive, "target head=0 chest=0 sure=yes");
    drive_do(&drive, "band head=+300/-300 chest=+300/-300");
    step("pass easy");
    drive_do(&drive, "hold test settle=0s");
    drive_samples(&drive, 100 * 50);
    drive.sensor_mm[0] -= 12.0;
    drive_finish(&drive);
    ck_assert_int_eq(session_analysis(drive.session)->step_open[0], 1);
    const char *words;
    ck_assert_str_eq(next_command(&words), "build moved=yes");
    ck_assert_msg(strstr(words, "hold 1 stepped") != NULL, "%s", words);
    step("build moved=yes");
    step("plate 5s rest=pads");
    ck_assert_int_eq(session_analysis(drive.session)->step_open[0], 0);
    waits_for("guess");
    drive_end(&drive);
}
END_TEST

/* What is knocked between two holds no hold tells: the board does, when all is ridden. It may be
 * passed over, and nothing is asked of who rode nothing. */
START_TEST(the_board_once_more_finds_what_was_knocked_between_holds)
{
    for (int knocked = 0; knocked < 2; knocked++) {
        begin("practice base=yes");
        step("plate 5s rest=pads");
        drive_do(&drive, "target head=0 chest=0 sure=yes");
        drive_do(&drive, "band head=+300/-300 chest=+300/-300");
        step("pass easy");
        step("hold test");
        drive_do(&drive, "guess 5");
        drive_do(&drive, "pass felt");
        if (knocked) {
            drive.sensor_mm[0] -= 8.0;
            step("plate 5s rest=pads");
            const struct tie *ties = session_analysis(drive.session)->tie[0];
            ck_assert_int_eq(ties[0].found.kind, TIE_FOUND_ENDS);
            ck_assert_int_ne(ties[1].found.kind, TIE_FOUND_ENDS);
            waits_for("the board lies 8 mm elsewhere now");
        } else {
            drive_do(&drive, "pass plate");
            waits_for("all is done");
        }
        drive_end(&drive);
    }
    begin("practice base=yes");
    step("plate 5s rest=pads");
    drive_do(&drive, "pass target");
    drive_do(&drive, "pass band");
    drive_do(&drive, "pass easy");
    drive_do(&drive, "pass test");
    drive_do(&drive, "pass felt");
    waits_for("all is done");
    drive_end(&drive);
}
END_TEST

/* Discomfort goes before length: at 4 a piece grows no longer, and after a morning over 2 the first
 * one is a step shorter. */
START_TEST(discomfort_goes_before_length)
{
    begin("practice row=3 length=40s pieces=6 morning=yes");
    waits_for("how was it the morning after");
    drive_do(&drive, "rating morning=yes neck=3");
    step("plate 5s rest=pads");
    drive_do(&drive, "target head=0 chest=0 sure=yes");
    drive_do(&drive, "band head=+300/-300 chest=+300/-300");
    step("pass easy");
    drive_do(&drive, "pass test");
    step("hold 32s piece told=heard"); /* 40 / 1.25 */
    step("hold 32s piece told=after");
    drive_do(&drive, "guess 9");
    step("hold 32s piece told=heard"); /* grows no longer */
    drive_end(&drive);
    begin("practice row=3 length=40s pieces=6");
    step("plate 5s rest=pads");
    drive_do(&drive, "target head=0 chest=0 sure=yes");
    drive_do(&drive, "band head=+300/-300 chest=+300/-300");
    step("pass easy");
    drive_do(&drive, "pass test");
    drive_do(&drive, "rating neck=4");
    drive_do(&drive, "rating neck=1"); /* it was 4 today, whatever it is now */
    step("hold 40s piece told=heard");
    step("hold 40s piece told=after");
    drive_do(&drive, "guess 9");
    step("hold 40s piece told=heard");
    drive_end(&drive);
}
END_TEST

/* A coach's target and band are taken as they are, and the test says at which power. */
START_TEST(a_plan_leads)
{
    const char *words;
    begin("practice carried=yes target=\"head=0 chest=0 sure=yes\" "
          "band=\"head=+300/-300 chest=+300/-300\" power=210W");
    step("plate 5s rest=pads");
    step("target head=0 chest=0 sure=yes");
    step("band head=+300/-300 chest=+300/-300");
    const struct session_record *record = session_records(drive.session);
    ck_assert_double_eq(record->band[0].cue[0].band_above_mm, 300.0);
    step("pass easy");
    ck_assert_str_eq(next_command(&words), "hold test");
    ck_assert_msg(strstr(words, "the test at 210 W") != NULL, "%s", words);
    drive_refused(&drive, "practice band=\"head=+10/-10\"", "target");
    drive_refused(&drive, "practice power=lots", "power");
    drive_end(&drive);
}
END_TEST

START_TEST(wrong_words_are_refused)
{
    begin("practice");
    drive_refused(&drive, "practice row=9", "row");
    drive_refused(&drive, "practice held=maybe", "yes or no");
    drive_refused(&drive, "practice everything", "off");
    drive_refused(&drive, "practice board_was=412", "head:412.5");
    drive_refused(&drive, "practice board_was=head:2", "a range for each channel");
    char band[97], line[256]; /* 95 characters are kept */
    memset(band, '9', 96);
    band[96] = '\0';
    snprintf(line, sizeof line, "practice target=\"head=884\" band=%s", band);
    drive_refused(&drive, line, "too long");
    snprintf(line, sizeof line, "practice target=%s", band);
    drive_refused(&drive, line, "too long");
    snprintf(line, sizeof line, "practice target=%s band=%s", band + 1, band + 1);
    drive_do(&drive, line);
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
    tcase_add_test(tests, six_pieces_of_half_a_minute_where_nothing_is_said);
    tcase_add_test(tests, a_day_of_the_long_ride_has_no_test);
    tcase_add_test(tests, a_base_day_is_a_test_alone);
    tcase_add_test(tests, the_target_does_not_move);
    tcase_add_test(tests, a_board_moves_no_height_away_from_a_target_over_the_bottom_bracket);
    tcase_add_test(tests, each_channel_by_itself_is_told_from_the_board);
    tcase_add_test(tests, a_board_that_lies_elsewhere_is_asked_about);
    tcase_add_test(tests, a_knocked_sensor_asks_for_the_board);
    tcase_add_test(tests, the_board_once_more_finds_what_was_knocked_between_holds);
    tcase_add_test(tests, discomfort_goes_before_length);
    tcase_add_test(tests, a_plan_leads);
    tcase_add_test(tests, wrong_words_are_refused);
    tcase_add_test(tests, a_ride_ends_with_stop);
    return test_main(suite);
}
