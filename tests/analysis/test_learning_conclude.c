/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What tests and days show together, and what follows for the next session. */
#include "analysis/learning.h"
#include "measure/rules.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>

#define DAY_MS INT64_C(86400000)

static struct learning *learning;

static void set_up(void)
{
    learning = malloc(sizeof *learning);
    ck_assert_ptr_nonnull(learning);
    learning_begin(learning);
    learning->channel_count = 1;
}

static void tear_down(void)
{
    free(learning);
}

static struct learning_test *add_test(enum learning_phase phase, double share)
{
    struct learning_test *test = &learning->test[learning->test_count];
    *test = (struct learning_test){.at_ms = learning->test_count * DAY_MS,
                                   .phase = phase,
                                   .power_w = NAN,
                                   .cadence_per_min = NAN,
                                   .guessed_share = NAN};
    for (int c = 0; c < learning->channel_count; c++) {
        test->has[c] = true;
        test->result[c] = (struct practice_test){.share = share, .blocks = 24, .kept_s = 30};
    }
    if (++learning->test_count < LEARNING_TESTS_MAX) { /* what stands behind is none of them */
        test[1] = *test;
        test[1].at_ms += DAY_MS;
        test[1].result[0] = (struct practice_test){.share = 0.01, .blocks = 24, .kept_s = 1};
    }
    return test;
}

static struct learning_day *add_day(double told_share, int test)
{
    struct learning_day *day = &learning->day[learning->day_count++];
    *day = (struct learning_day){.told_share = told_share, .test = test, .practised = true};
    for (int item = 0; item < RATING_ITEMS; item++) {
        day->discomfort[item] = day->morning[item] = NAN;
    }
    if (learning->day_count < LEARNING_DAYS_MAX) {
        day[1] = *day;
        day[1].pieces = 1;
        day[1].piece_s = 9999.0;
    }
    return day;
}

/* Kept for 30 s, and each time for longer by a tenth, a hundredth up and down. */
static double kept_s(int test)
{
    return 30.0 * exp(0.1 * test + (test % 2 == 1 ? 0.01 : -0.01));
}

START_TEST(as_many_of_each_as_there_can_be)
{
    learning->channel_count = CHANNELS_MAX;
    for (int t = 0; t < LEARNING_TESTS_MAX; t++) {
        struct learning_test *test = add_test(t < BASE_TESTS ? PHASE_BASE : PHASE_PRACTICE, 0.8);
        test->result[CHANNELS_MAX - 1].kept_s = kept_s(t % 4);
    }
    while (learning->day_count < LEARNING_DAYS_MAX) {
        struct learning_day *day = add_day(1.0, learning->day_count % LEARNING_TESTS_MAX);
        day->pieces = 1;
        day->piece_s = 100.0;
    }
    learning_conclude(learning);
    ck_assert_int_eq(learning->counted[PHASE_BASE], BASE_TESTS);
    ck_assert_int_eq(learning->counted[PHASE_PRACTICE], LEARNING_TESTS_MAX - BASE_TESTS);
    for (int c = 0; c < CHANNELS_MAX; c++) {
        ck_assert(learning->of[c].has_trend);
        ck_assert_int_eq(learning->of[c].has_lasting, c == CHANNELS_MAX - 1); /* others are equal */
        ck_assert_double_eq(learning->of[c].trend.slope, 0.0);
    }
    ck_assert_double_eq_tol(learning->total_most_s, 130.0, 1e-9);
}
END_TEST

/* Told, 0.9 of the time; in the test of the session after, 0.5: twice, and it is kept only while
 * told. A test that does not count, that the part has no band in, or that there is none, is no
 * second time. */
START_TEST(kept_only_while_told)
{
    for (int how = 0; how < 5; how++) {
        learning_begin(learning);
        learning->channel_count = 1;
        for (int d = 0; d < 3; d++) { /* the first test is of the second day */
            add_test(PHASE_PRACTICE, 0.5);
            add_day(0.9, d - 1);
        }
        learning->test[1].left_out = how == 1 ? TEST_AWAY : TEST_COUNTS;
        learning->test[1].has[0] = how != 2;
        learning->day[2].test = how == 3 ? -1 : 1;
        learning->day[2].told_share = how == 4 ? NAN : 0.9; /* of the last day no test is known */
        learning_conclude(learning);
        ck_assert_msg(learning->of[0].depends == (how == 0 || how == 4), "%d", how);
    }
}
END_TEST

/* How often pieces are told goes by the part that is held worst, of tests that count. */
START_TEST(feedback_goes_by_the_part_that_is_held_worst)
{
    static const struct {
        double share[2];
        bool has[2];
        enum test_left_out left_out;
        int row;
    } tried[] = {
        {{0.9, 0.75}, {true, true}, TEST_COUNTS, 2},
        {{0.75, 0.9}, {true, true}, TEST_COUNTS, 2},
        {{0.9, 0.75}, {true, false}, TEST_COUNTS, 3},
        {{0.9, 0.75}, {false, true}, TEST_COUNTS, 2},
        {{0.9, 0.75}, {false, false}, TEST_COUNTS, 0},
        {{0.9, 0.75}, {true, true}, TEST_NOT_WHOLE, 0},
    };
    for (size_t i = 0; i < sizeof tried / sizeof tried[0]; i++) {
        learning_begin(learning);
        learning->channel_count = 2;
        struct learning_test *test = add_test(PHASE_BASE, 0.0);
        test->left_out = tried[i].left_out;
        for (int c = 0; c < 2; c++) {
            test->result[c].share = tried[i].share[c];
            test->has[c] = tried[i].has[c];
        }
        learning_conclude(learning);
        ck_assert_msg(learning->feedback_row == tried[i].row, "%zu: %d", i, learning->feedback_row);
    }
}
END_TEST

/* Shares over days, how long over tests: a test after weeks without practice is not of that course,
 * and one that was kept for no time at all has its place in it, but no length (slopes by hand). */
START_TEST(the_course_over_days)
{
    for (int t = 0; t < 5; t++) {
        struct learning_test *test = add_test(t < 2 ? PHASE_BASE : PHASE_PRACTICE, 0.5 + 0.05 * t);
        test->result[0].kept_s = kept_s(t);
    }
    learning_conclude(learning);
    ck_assert(learning->of[0].has_trend);
    ck_assert_double_eq_tol(learning->of[0].trend.slope, 0.05, 1e-9);
    ck_assert(learning->of[0].has_lasting);
    ck_assert_double_eq_tol(learning->of[0].lasting.slope, 0.1, 1e-6);
    for (int how = 0; how < 3; how++) {
        learning->test[4].left_out = how == 0 ? TEST_AWAY : TEST_COUNTS;
        learning->test[4].has[0] = how != 1;
        learning->test[4].phase = how == 2 ? PHASE_KEEP : PHASE_PRACTICE;
        learning_conclude(learning);
        ck_assert(learning->of[0].has_trend);
        ck_assert_int_eq(learning->of[0].trend.s, 6); /* of four */
    }
    learning->test[3].phase = PHASE_KEEP;
    learning_conclude(learning);
    ck_assert(!learning->of[0].has_trend);
    for (int t = 0; t < 5; t++) {
        learning->test[t].phase = PHASE_PRACTICE;
        learning->test[t].has[0] = true;
        learning->test[t].result[0].kept_s = t == 1 ? 0.0 : kept_s(t);
    }
    learning_conclude(learning);
    ck_assert_double_eq_tol(learning->of[0].lasting.slope, 0.1 + 0.01 * 1.5 / 8.75, 1e-6);
}
END_TEST

/* What is kept is set against the last five tests of practice, and no earlier one. */
START_TEST(what_is_kept_of_the_last_tests)
{
    for (int t = 0; t < 8; t++) {
        add_test(PHASE_PRACTICE, t < 8 - PROGRESS_TESTS ? 0.1 : 0.8);
    }
    add_test(PHASE_KEEP, 0.8);
    add_test(PHASE_KEEP, 0.8);
    learning_conclude(learning);
    ck_assert(learning->of[0].has_keep);
    ck_assert_double_eq_tol(learning->of[0].keep.base_share, learning->of[0].keep.later_share,
                            1e-9);
    ck_assert_double_gt(learning->of[0].keep.base_share, 0.75);
}
END_TEST

/* A day whose pieces are none has no say in what all of them may come to; none has: no limit. */
START_TEST(what_all_pieces_may_come_to)
{
    learning_conclude(learning);
    ck_assert(isinf(learning->total_most_s));
    ck_assert_int_eq(learning_pieces(learning), PIECES_USUAL);
    for (int d = 0; d < 5; d++) {
        struct learning_day *day = add_day(NAN, -1);
        day->pieces = d < 3 ? 1 : 0;
        day->piece_s = d < 3 ? 100.0 * (3 - d) : 0.0;
    }
    learning_conclude(learning);
    ck_assert_double_eq_tol(learning->total_most_s, 1.3 * 300.0, 1e-9);
    static const struct {
        double length_s;
        int pieces;
    } tried[] = {{50.0, PIECES_USUAL},  {65.0, PIECES_USUAL},  {66.0, PIECES_USUAL - 1}, {78.0, 5},
                 {79.0, PIECES_FEWEST}, {300.0, PIECES_FEWEST}};
    for (size_t i = 0; i < sizeof tried / sizeof tried[0]; i++) {
        learning->piece.length_s = tried[i].length_s;
        ck_assert_msg(learning_pieces(learning) == tried[i].pieces, "%g s", tried[i].length_s);
    }
}
END_TEST

/* The day before counts, the morning until that day's pieces; a sign ends it whatever else. Items
 * that are no discomfort ask for nothing. */
START_TEST(what_the_last_day_asks_for)
{
    learning_conclude(learning);
    ck_assert_int_eq(learning->asks, DISCOMFORT_NOTHING);
    struct learning_day *first = add_day(NAN, -1), *last = add_day(NAN, -1);
    first->sign = true; /* of a day before the last */
    for (int item = 0; item < RATING_ITEMS; item++) {
        first->discomfort[item] = rating_fields[item].discomfort ? (double)NAN : 9.0;
        last->discomfort[item] = first->discomfort[item];
    }
    learning_conclude(learning);
    ck_assert_int_eq(learning->asks, DISCOMFORT_NOTHING);
    ck_assert_int_eq(learning->asks_item, -1);
    last->discomfort[RATING_NECK] = DISCOMFORT_BACK;
    learning->piece.length_s = 60.0;
    learning_conclude(learning);
    ck_assert_int_eq(learning->asks, DISCOMFORT_SHORTER);
    ck_assert_int_eq(learning->asks_item, RATING_NECK);
    ck_assert_double_lt(learning->piece.length_s, 60.0);
    first->discomfort[RATING_NECK] = DISCOMFORT_BACK;
    learning_conclude(learning);
    ck_assert_int_eq(learning->asks, DISCOMFORT_STUDIO);
    learning->day_count = 1; /* there is no day before it */
    first->sign = false;
    learning_conclude(learning);
    ck_assert_int_eq(learning->asks, DISCOMFORT_SHORTER);
    first->discomfort[RATING_NECK] = NAN;
    first->morning[RATING_HANDS] = DISCOMFORT_MORNING + 1.0;
    learning_conclude(learning);
    ck_assert_int_eq(learning->asks, DISCOMFORT_SHORTER);
    ck_assert_int_eq(learning->asks_item, RATING_HANDS);
    first->pieces = 1; /* they went by it */
    learning_conclude(learning);
    ck_assert_int_eq(learning->asks, DISCOMFORT_NOTHING);
    first->sign = true;
    learning->asks_item = -1;
    learning_conclude(learning);
    ck_assert_int_eq(learning->asks, DISCOMFORT_ENDS);
    ck_assert_int_eq(learning->asks_item, -1);
}
END_TEST

/* Before the first practice; more than the base ever wants are none that lack. */
START_TEST(tests_that_are_still_wanted)
{
    for (int counted = 0; counted < 8; counted++) {
        learning->counted[PHASE_BASE] = counted;
        for (int rises = 0; rises < 2; rises++) {
            learning->of[0].practice.base_rises = rises;
            int wanted = rises && counted < BASE_TESTS + BASE_TESTS_MORE
                             ? BASE_TESTS + BASE_TESTS_MORE - counted
                         : counted < BASE_TESTS ? BASE_TESTS - counted
                                                : 0;
            ck_assert_int_eq(learning_base_wanted(learning), wanted);
        }
    }
    learning->counted[PHASE_BASE] = 0;
    add_day(NAN, -1)->practised = false;
    learning->day[1].practised = true; /* behind the last */
    ck_assert_int_ne(learning_base_wanted(learning), 0);
    add_day(NAN, -1);
    ck_assert_int_eq(learning_base_wanted(learning), 0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("learning_conclude");
    TCase *tests = tcase_create("learning_conclude");
    suite_add_tcase(suite, tests);
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, as_many_of_each_as_there_can_be);
    tcase_add_test(tests, kept_only_while_told);
    tcase_add_test(tests, feedback_goes_by_the_part_that_is_held_worst);
    tcase_add_test(tests, the_course_over_days);
    tcase_add_test(tests, what_is_kept_of_the_last_tests);
    tcase_add_test(tests, what_all_pieces_may_come_to);
    tcase_add_test(tests, what_the_last_day_asks_for);
    tcase_add_test(tests, tests_that_are_still_wanted);
    return test_main(suite);
}
