/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* When it is asked whether a sensor slipped, and what of a step or a slip is open still. Setup 1 is
 * built twice, setup 2 between; two free holds on either build of setup 1. */
#include "analysis/slip.h"
#include "analysis/step_in_hold.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { HEAD = 0, CHEST = 1 };

static struct session_record *record;
static struct analysis *analysis;

/* The head 30 mm higher on the later build, a millimetre between two holds; the chest as it was. */
static void set_up(void)
{
    static const double head_mm[] = {900, 901, 930, 931}, chest_mm[] = {700, 701, 701, 700};
    record = calloc(1, sizeof *record);
    analysis = analysis_create();
    ck_assert(record != NULL && analysis != NULL);
    session_record_clear(record);
    record->setup_count = 2;
    record->build_count = 3;
    record->placing_count = 2;
    for (int b = 0; b < 3; b++) {
        record->build[b].setup = b % 2;
        record->build[b].placing = 0;
    }
    record->hold_count = 4;
    analysis->channel_count = 2;
    analysis->body[HEAD] = analysis->body[CHEST] = true;
    for (int h = 0; h < 4; h++) {
        record->hold[h] = (struct hold_record){.number = h + 1,
                                               .build = h < 2 ? 0 : 2,
                                               .target = -1,
                                               .band = -1,
                                               .status = HOLD_COMPLETE};
        for (int c = 0; c < 2; c++) {
            analysis->hold[h].has[c] = true;
            analysis->hold[h].summary[c] =
                (struct hold_summary){.status = MEASURE_OK,
                                      .has_interval = true,
                                      .mean_mm = c == HEAD ? head_mm[h] : chest_mm[h]};
        }
    }
    for (int b = 0; b < 3; b++) {
        for (int c = 0; c < 2; c++) {
            analysis->tie[b][c].kind = b == 0 ? TIE_FIRST : TIE_COMPUTED;
        }
    }
}

static void tear_down(void)
{
    analysis_destroy(analysis);
    free(record);
}

static bool asked(void)
{
    slip_find(record, analysis);
    return analysis->slip[HEAD].asked;
}

START_TEST(what_moved_alone_is_asked_about)
{
    ck_assert(asked() && analysis->slip[HEAD].beside && !analysis->slip[CHEST].asked);
    ck_assert_int_eq(analysis->slip[HEAD].earlier, 0);
    ck_assert_int_eq(analysis->slip[HEAD].later, 2);
    ck_assert_double_eq(analysis->slip[HEAD].apart_mm, 30.0);
    ck_assert_int_eq(slip_unanswered(record, analysis), HEAD);
    for (int h = 2; h < 4; h++) { /* a rider who sits otherwise is no sensor that slipped */
        analysis->hold[h].summary[CHEST].mean_mm += 30.0;
    }
    ck_assert(!asked());
    record->build[2].slipped = ANSWER_NO;
    ck_assert(!asked());
}
END_TEST

/* A third as far, it is the rider; a little less, the sensor. What is as far apart as it may be,
 * 5 mm, is not asked of. */
START_TEST(slips_on_their_limits)
{
    static const struct {
        double apart_mm, chest_mm;
        bool asked;
    } tried[] = {{24.0, 8.0, false}, {24.0, 7.5, true}, {24.0, -8.0, false},
                 {24.0, -7.5, true}, {5.0, 0, false},   {5.25, 0, true}};
    for (size_t i = 0; i < sizeof tried / sizeof tried[0]; i++) {
        for (int h = 0; h < 4; h++) {
            analysis->hold[h].summary[HEAD].mean_mm =
                900.0 + 0.125 * (h % 2) + (h < 2 ? 0.0 : tried[i].apart_mm);
            analysis->hold[h].summary[CHEST].mean_mm = 700.0 + (h < 2 ? 0.0 : tried[i].chest_mm);
        }
        ck_assert_msg(asked() == tried[i].asked, "%zu", i);
    }
}
END_TEST

/* One hold, and four of a variance of 1: the standard error of what is between them is the root of
 * 1.25, and t of 1 in 100 on three degrees of freedom 5.841 (tables): 6.53 mm. */
START_TEST(few_holds_tell_less)
{
    record->hold_count = 5;
    record->hold[4] = record->hold[1] = record->hold[2];
    analysis->hold[4] = analysis->hold[1] = analysis->hold[2];
    for (int far = 0; far < 2; far++) {
        for (int h = 0; h < 5; h++) {
            double off_mm = h == 0 ? 0.0 : (far ? 6.6 : 6.4) + (h % 2 == 0 ? 1 : -1) * sqrt(0.75);
            analysis->hold[h].summary[HEAD].mean_mm = 900.0 + off_mm;
            analysis->hold[h].summary[CHEST].mean_mm = 700.0;
        }
        ck_assert_int_eq(asked(), far);
    }
}
END_TEST

/* A channel tells nothing beside it that is of no body, or was held on one of the builds alone. */
START_TEST(beside_stands_what_was_held_on_both)
{
    analysis->body[CHEST] = false;
    ck_assert(asked() && !analysis->slip[HEAD].beside);
    analysis->body[CHEST] = true;
    for (int build = 0; build < 2; build++) {
        for (int h = 0; h < 4; h++) {
            analysis->hold[h].has[CHEST] = h / 2 != build;
        }
        ck_assert(asked() && !analysis->slip[HEAD].beside);
    }
}
END_TEST

START_TEST(nothing_is_asked_where_nothing_is_known)
{
    for (int build = 0; build < 3; build += 2) {
        enum tie_kind kind = analysis->tie[build][HEAD].kind;
        analysis->tie[build][HEAD].kind = TIE_NONE;
        ck_assert(!asked());
        analysis->tie[build][HEAD].kind = kind;
        for (int h = 0; h < 4; h++) { /* held on the other alone */
            analysis->hold[h].has[HEAD] = h / 2 != build / 2;
        }
        ck_assert(!asked());
        for (int h = 0; h < 4; h++) {
            analysis->hold[h].has[HEAD] = true;
        }
    }
    analysis->tie[2][HEAD].kind = TIE_PLATE; /* read again: whatever it did is in its tie */
    ck_assert(!asked());
    analysis->tie[2][HEAD].kind = TIE_COMPUTED;
    ck_assert(asked());
    for (int h = 0; h < 4; h++) { /* no hold differs from the other of its build: no scatter */
        analysis->hold[h].summary[HEAD].mean_mm = h < 2 ? 900.0 : 930.0;
    }
    ck_assert(!asked());
}
END_TEST

/* A slip lies between a build and the one of the same setup before it; where there is none, it says
 * nothing of the builds before. */
START_TEST(a_slip_moved_what_lies_between)
{
    record->build[2].slipped = ANSWER_YES;
    ck_assert_int_eq(slip_or_moved(record, 0), 0);
    ck_assert_int_eq(slip_or_moved(record, 1), ANSWER_YES);
    ck_assert_int_eq(slip_or_moved(record, 2), ANSWER_YES);
    record->build[0].placing = 1; /* the sensors were placed anew since */
    ck_assert_int_eq(slip_build_before(record, 2), -1);
    ck_assert_int_eq(slip_or_moved(record, 1), 0);
    record->build[1].moved = ANSWER_YES;
    ck_assert_int_eq(slip_or_moved(record, 1), ANSWER_YES);
}
END_TEST

/* A step of a sensor alone is open until the next build says where it is. */
START_TEST(a_step_is_open_until_the_next_build_tells)
{
    analysis->hold[1].summary[HEAD].stepped = analysis->hold[1].step_alone[HEAD] = true;
    step_find_open(record, analysis);
    ck_assert_int_eq(analysis->step_open[HEAD], 2);
    ck_assert_int_eq(analysis->step_open[CHEST], 0);
    for (int how = 0; how < 4; how++) {
        record->build[1].moved = how == 0 ? ANSWER_YES : 0;
        record->build[1].placing = how == 1 ? 1 : 0;
        analysis->tie[1][HEAD].kind = how == 2 ? TIE_PLATE : TIE_COMPUTED;
        record->build_count = how == 3 ? 1 : 3; /* there is none yet */
        step_find_open(record, analysis);
        ck_assert_int_eq(analysis->step_open[HEAD], how == 3 ? 2 : 0);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("slip");
    TCase *tests = tcase_create("slip");
    suite_add_tcase(suite, tests);
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, what_moved_alone_is_asked_about);
    tcase_add_test(tests, slips_on_their_limits);
    tcase_add_test(tests, few_holds_tell_less);
    tcase_add_test(tests, beside_stands_what_was_held_on_both);
    tcase_add_test(tests, nothing_is_asked_where_nothing_is_known);
    tcase_add_test(tests, a_slip_moved_what_lies_between);
    tcase_add_test(tests, a_step_is_open_until_the_next_build_tells);
    return test_main(suite);
}
