/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A ride measured as it goes on is the same as one that is read again, wherever its samples are. */
#include "support/session_drive.h"
#include "support/test_main.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

/* The same twice: one keeps its samples, of the other they are had from the first. */
static struct drive keeping, forgetting;
static int asked;     /* for samples kept elsewhere */
static bool are_lost; /* none are to be had there */

static bool from_the_other(void *context, int64_t first, int64_t last,
                           const struct sample **samples, size_t *count)
{
    asked++;
    return !are_lost && session_samples(context, first, last, samples, count);
}

static void both_do(const char *line)
{
    drive_do(&keeping, line);
    drive_do(&forgetting, line);
}

static void both_take(int seconds)
{
    drive_samples(&keeping, seconds * 50);
    drive_samples(&forgetting, seconds * 50);
}

static void both_move(double by_mm)
{
    for (int c = 0; c < 2; c++) {
        keeping.body_mm[c] += by_mm;
        forgetting.body_mm[c] += by_mm;
    }
}

static void begin(void)
{
    struct drive *of[] = {&keeping, &forgetting};
    for (int i = 0; i < 2; i++) {
        drive_start(of[i], 5);
        drive_describe(of[i]);
        drive_do(of[i], "setup 1 \"as chosen\"");
        drive_samples(of[i], 200);
        drive_do(of[i], "plate head=290 chest=295 height=930");
    }
    session_keep_elsewhere(forgetting.session, from_the_other, keeping.session);
    both_do("target head=900 chest=800 sure=yes");
    both_do("band head=+12/-12 chest=+12/-12");
}

static void end(void)
{
    drive_end(&forgetting);
    drive_end(&keeping);
}

/* 11 min: two marks, sat up once, sensors silent for a while, a little high towards the end. */
static void ride(void)
{
    both_do("ride settle=0s");
    both_take(100);
    both_do("mark coughed");
    both_take(70);
    both_move(150);
    both_take(40);
    both_move(-150);
    both_take(110);
    keeping.quality = forgetting.quality = READING_MISSING;
    both_take(25);
    keeping.quality = forgetting.quality = READING_GOOD;
    both_take(155);
    both_do("mark slid");
    both_move(9);
    both_take(160);
}

static const struct hold_result *result_of(const struct drive *drive)
{
    return &session_analysis(drive->session)->hold[0];
}

/* Bytes behind a row's last member are nobody's: whatever lay there. */
static void clear_behind_rows(struct hold_result *result)
{
    size_t used = offsetof(struct minute_row, cues) + sizeof result->course[0].quarter[0].cues;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        for (int q = 0; q < RIDE_QUARTERS; q++) {
            struct minute_row *row = &result->course[c].quarter[q];
            memset((char *)row + used, 0, sizeof *row - used);
        }
    }
}

static void check_same(const struct hold_result *one, const struct hold_result *other)
{
    static struct hold_result a, b;
    memcpy(&a, one, sizeof a);
    memcpy(&b, other, sizeof b);
    clear_behind_rows(&a);
    clear_behind_rows(&b);
    ck_assert_mem_eq(&a, &b, sizeof a);
}

/* All of it worked out anew, of what the session's source hands out. */
static void check_read_again(const struct drive *drive)
{
    static struct analysis *again;
    struct problem problem = {0};
    again = analysis_create();
    ck_assert_msg(analysis_make(session_records(drive->session), session_samples, drive->session,
                                again, &problem),
                  "%s", problem.sentence);
    check_same(&again->hold[0], result_of(drive));
    analysis_destroy(again);
}

START_TEST(live_and_read_again_are_the_same)
{
    begin();
    ride();
    both_do("stop");
    ck_assert_int_eq(asked, 0); /* it is over at once */
    const struct hold_result *result = result_of(&forgetting);
    check_same(result, result_of(&keeping));
    ck_assert_double_eq_tol(result->duration_s, 660, 0.1);
    ck_assert_int_eq(result->sat_up_times, 1);
    ck_assert_double_eq_tol(result->sat_up_s, 40, 2);
    for (int c = 0; c < 2; c++) {
        const struct hold_summary *summary = &result->summary[c];
        ck_assert_int_eq(summary->status, MEASURE_OK);
        ck_assert_double_eq_tol(summary->cut_marked_s, result->sat_up_s + 8, 0.1);
        ck_assert_double_eq_tol(summary->longest_gap_s, 25, 2);
        ck_assert(summary->has_band && summary->has_target && result->has[c]);
        /* 151 s of about 590 in the posture are 9 mm higher, the band is 12 */
        ck_assert_double_eq_tol(summary->mean_mm, (c == 0 ? 900 : 800) + 9.0 * 158 / 587, 2.5);
    }
    check_read_again(&keeping);
    check_read_again(&forgetting);
    ck_assert_int_gt(asked, 10); /* of so many samples at a time */
    end();
}
END_TEST

START_TEST(its_minutes_and_quarters)
{
    struct minute_row rows[20];
    begin();
    ride();
    both_do("stop");
    ck_assert_uint_eq(analysis_minutes(session_records(forgetting.session),
                                       session_analysis(forgetting.session), 0, 0, session_samples,
                                       forgetting.session, rows, 20),
                      11);
    ck_assert_double_eq_tol(rows[2].up_s + rows[3].up_s, result_of(&forgetting)->sat_up_s, 0.01);
    ck_assert_double_eq_tol(rows[0].seen_s, 60, 1);
    ck_assert_double_eq_tol(rows[5].seen_s, 35, 1);
    const struct minutes_course *course = &result_of(&forgetting)->course[0];
    ck_assert_double_eq_tol(course->quarter[0].to_s, 120, 0.1);
    ck_assert_double_eq_tol(course->quarter[3].to_s, 660, 0.1);
    ck_assert_double_gt(course->quarter[3].mean_mm, course->quarter[1].mean_mm + 5);
    ck_assert(course->has_trend);
    end();
}
END_TEST

/* The plate again, long after it: heights are others, and so is all of the ride. */
START_TEST(what_changes_heights_reads_it_again)
{
    begin();
    ride();
    both_do("stop");
    double mean_mm = result_of(&forgetting)->summary[0].mean_mm;
    both_take(120);
    asked = 0;
    both_do("plate head=280 chest=287 height=930");
    ck_assert_int_gt(asked, 10);
    check_same(result_of(&forgetting), result_of(&keeping));
    ck_assert_double_gt(fabs(result_of(&forgetting)->summary[0].mean_mm - mean_mm), 1);
    end();
}
END_TEST

START_TEST(a_stop_that_is_taken_back_goes_on)
{
    begin();
    ride();
    both_do("stop");
    both_take(20);
    both_do("undo");
    ck_assert_int_eq(session_records(forgetting.session)->hold[0].status, HOLD_RUNNING);
    both_take(100);
    both_do("stop");
    ck_assert_double_eq_tol(result_of(&forgetting)->duration_s, 780, 0.1);
    check_same(result_of(&forgetting), result_of(&keeping));
    check_read_again(&forgetting);
    end();
}
END_TEST

/* A mark taken back after its minute: what was measured on the way is not what is meant. */
START_TEST(what_was_changed_on_the_way_is_measured_anew)
{
    begin();
    both_do("ride settle=0s");
    both_take(60);
    both_do("mark slid");
    both_take(120);
    both_do("undo");
    both_take(120);
    both_do("stop");
    ck_assert_double_eq(result_of(&forgetting)->summary[0].cut_marked_s, 0);
    check_same(result_of(&forgetting), result_of(&keeping));
    ck_assert_int_gt(asked, 10);
    end();
}
END_TEST

/* Where they can't be had, what was measured stays. */
START_TEST(without_its_samples_it_stays_as_it_is)
{
    begin();
    ride();
    both_do("stop");
    both_take(120);
    are_lost = true;
    drive_do(&forgetting, "plate head=280 chest=287 height=930");
    check_same(result_of(&forgetting), result_of(&keeping));
    end();
}
END_TEST

/* A ride that is taken back while it is ridden is gone with all that was worked out of it: the next
 * hold is measured by its own readings, and so are seconds that are kept afterwards. */
START_TEST(a_ride_that_was_taken_back_is_in_no_hold)
{
    static const char *const next[] = {"hold 20s free settle=0s", "hold 20s guided settle=0s",
                                       "keep 20s"};
    for (size_t i = 0; i < sizeof next / sizeof next[0]; i++) {
        begin();
        both_do("ride settle=0s");
        both_take(150);
        both_do("undo");
        both_move(30);
        both_take(30);
        drive_do(&keeping, next[i]);
        drive_finish(&keeping);
        const struct session_record *record = session_records(keeping.session);
        const struct hold_result *result = &session_analysis(keeping.session)->hold[0];
        ck_assert_int_eq(record->hold_count, 1);
        ck_assert_double_eq_tol(result->duration_s, 20.0, 0.1);
        ck_assert_int_eq(result->summary[0].status, MEASURE_OK);
        ck_assert_double_eq_tol(result->summary[0].mean_mm, 930.0, 2.0);
        end();
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ride_measure");
    TCase *tests = tcase_create("ride_measure");
    suite_add_tcase(suite, tests);
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, live_and_read_again_are_the_same);
    tcase_add_test(tests, its_minutes_and_quarters);
    tcase_add_test(tests, what_changes_heights_reads_it_again);
    tcase_add_test(tests, a_stop_that_is_taken_back_goes_on);
    tcase_add_test(tests, what_was_changed_on_the_way_is_measured_anew);
    tcase_add_test(tests, without_its_samples_it_stays_as_it_is);
    tcase_add_test(tests, a_ride_that_was_taken_back_is_in_no_hold);
    return test_main(suite);
}
