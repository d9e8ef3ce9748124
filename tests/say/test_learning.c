/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Practice over weeks in words. */
#include "say/learning.h"
#include "support/test_main.h"

#include <math.h>
#include <string.h>

static struct learning learning;

static void change_is(const struct practice_change *change, const char *wanted)
{
    char text[512];
    say_practice_change(text, sizeof text, change, "before practice");
    ck_assert_str_eq(text, wanted);
}

START_TEST(a_change_is_told_with_its_interval_or_what_is_missing)
{
    struct practice_change change = {.verdict = PRACTICE_BETTER,
                                     .base_share = 0.55,
                                     .later_share = 0.72,
                                     .change = 0.17,
                                     .change_low = 0.07,
                                     .change_high = 0.26};
    change_is(&change, "better: 72 % of the time in the band, 55 % before practice "
                       "(+7 to +26 points)");
    change.change_low = NAN;
    change_is(&change, "better: 72 % of the time in the band, 55 % before practice");
    change.change_low = 0.07;
    change.change_high = INFINITY;
    change_is(&change, "better: 72 % of the time in the band, 55 % before practice");
    change.verdict = PRACTICE_CANNOT_TELL;
    change.more = 1;
    change_is(&change, "cannot tell yet: 1 more test. 72 % of the time in the band, 55 % before "
                       "practice");
    change.more = 2;
    change.change = NAN;
    change_is(&change, "cannot tell yet: 2 more tests");
    change.verdict = PRACTICE_BASE_SHORT;
    change_is(&change, "no base yet: 2 more tests before the first practice");
}
END_TEST

/* ln 1.18 a test; t(0.975, 10) = 2.228139 (tables of the t distribution): half an interval is
 * 2.228139 * 0.01 * sqrt(12 / 10) = 0.02441, and exp(0.16551 -+ 0.02441) are 1.1516 and 1.2092. */
START_TEST(how_long_it_lasts_has_its_interval)
{
    const struct censored_line line = {.slope = 0.165514, .slope_se = 0.01, .seen = 12, .df = 10};
    char text[512];
    say_lasting(text, sizeof text, &line);
    ck_assert_str_eq(text, "how long it is kept: +18 % from test to test (+15 to +21 %)");
}
END_TEST

static void next_is(int count, const char *first, const char *second)
{
    static char text[NEXT_SENTENCES][512];
    ck_assert_int_eq(say_next_session(&learning, text), count);
    ck_assert_str_eq(text[0], first);
    ck_assert(count < 2 || strcmp(text[1], second) == 0);
}

START_TEST(the_next_session_follows_from_the_tests_so_far)
{
    static const char test[] =
        "Warm-up of 10 min, board on the pads, then the test of 3 min: nothing shown.";
    learning_begin(&learning);
    learning.counted[PHASE_BASE] = 1;
    next_is(2, test, "2 more tests before the first practice, on 2 days; no pieces yet.");
    learning.counted[PHASE_BASE] = 2;
    next_is(2, test, "1 more test before the first practice, on 1 day; no pieces yet.");
    learning.channel_count = 1;
    learning.counted[PHASE_BASE] = 3;
    learning.of[0].practice.base_rises = true;
    next_is(2, test,
            "2 more tests before the first practice, on 2 days (they were rising already); no "
            "pieces yet.");
    learning.asks = DISCOMFORT_STUDIO;
    learning.asks_item = RATING_NECK;
    next_is(1,
            "STOP: discomfort (neck). Back to the studio before the next practice; a higher target "
            "is the first thing to try.",
            NULL);
}
END_TEST

/* The usual six, as the second and the last of the orders of docs/practice.md tell them. */
START_TEST(pieces_are_told_with_what_is_told_in_each)
{
    static const char test[] =
        "Warm-up of 10 min, board on the pads, then the test of 3 min: nothing shown.";
    learning_begin(&learning);
    learning.counted[PHASE_BASE] = 5;
    learning.piece.length_s = 120.0;
    learning.feedback_row = 1;
    next_is(2, test,
            "6 pieces of 2 min, 2 min rest: seen, told after, heard, seen, told after, heard.");
    learning.feedback_row = 4;
    next_is(2, test,
            "6 pieces of 2 min, 2 min rest: told after, none, told after, none, told after, none.");
}
END_TEST

START_TEST(each_reason_and_verdict_has_its_words)
{
    static const struct {
        enum test_left_out reason;
        const char *words;
    } reasons[] = {
        {TEST_COUNTS, ""},
        {TEST_NOT_WHOLE, "not ridden to its end, or left out"},
        {TEST_NO_BAND, "no target with a band, or no readings"},
        {TEST_NOT_TIED, "nothing ties the sensors to the target's day: read the board"},
        {TEST_MOVED, "the level stepped: sensor or rider? Read the board"},
        {TEST_SLIPPED, "a sensor moved that day: the board says so, not when"},
        {TEST_AWAY, "sat up, or not seen, for too much of it"},
        {TEST_TOO_SOON, "too soon after the last practice"},
        {TEST_SECOND, "the second of its day"},
        {TEST_POWER, "at another power or cadence than the others"},
    };
    ck_assert_uint_eq(sizeof reasons / sizeof reasons[0], TEST_LEFT_OUTS);
    for (size_t i = 0; i < TEST_LEFT_OUTS; i++) {
        ck_assert_str_eq(say_test_left_out[reasons[i].reason], reasons[i].words);
    }
    ck_assert_str_eq(say_verdicts[PRACTICE_BASE_SHORT], "no base yet");
    ck_assert_str_eq(say_verdicts[PRACTICE_CANNOT_TELL], "cannot tell yet");
    ck_assert_str_eq(say_verdicts[PRACTICE_NONE], "no change that matters");
    ck_assert_str_eq(say_verdicts[PRACTICE_BETTER], "better");
    ck_assert_str_eq(say_verdicts[PRACTICE_WORSE], "worse");
    ck_assert_str_eq(say_phases[PHASE_BASE], "base");
    ck_assert_str_eq(say_phases[PHASE_PRACTICE], "practice");
    ck_assert_str_eq(say_phases[PHASE_KEEP], "keep");
}
END_TEST

/* What discomfort asks for, where, and of nothing nothing. */
START_TEST(discomfort_is_told_with_what_it_asks)
{
    char text[512];
    learning_begin(&learning);
    learning.asks = DISCOMFORT_NOTHING;
    learning.asks_item = -1;
    say_discomfort_asks(text, sizeof text, &learning);
    ck_assert_str_eq(text, "");
    learning.asks = DISCOMFORT_ENDS;
    say_discomfort_asks(text, sizeof text, &learning);
    ck_assert_ptr_eq(strstr(text, "STOP: numbness"), text);
    learning.asks = DISCOMFORT_SHORTER;
    learning.asks_item = RATING_NECK;
    say_discomfort_asks(text, sizeof text, &learning);
    ck_assert_str_eq(text, "Discomfort (neck): pieces are one step shorter, and grow no longer "
                           "next time.");
}
END_TEST

START_TEST(what_speaks_against_a_test)
{
    static const struct {
        enum test_left_out left_out;
        double apart_mm;
        const char *words;
    } rows[] = {
        {TEST_COUNTS, 0.0, ""},
        {TEST_SECOND, 0.0, "the second of its day"},
        {TEST_COUNTS, 20.4,
         "it counts; the board lay 20 mm off the first day's: heights may be off by that"},
        {TEST_SECOND, 20.4,
         "the second of its day; the board lay 20 mm off the first day's: heights may be off by "
         "that"},
        {TEST_COUNTS, 40.0,
         "it counts; the board lay 40 mm off the first day's, taken as sensors placed anew: later "
         "days are held against it"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char text[512];
        say_test_doubt(text, sizeof text, rows[i].left_out, rows[i].apart_mm);
        ck_assert_str_eq(text, rows[i].words);
    }
}
END_TEST

/* After the base, pieces: how many, how long, and how each is told; shorter ones where it hurt.
 */
START_TEST(pieces_follow_the_base)
{
    static char text[NEXT_SENTENCES][512];
    learning_begin(&learning);
    learning.channel_count = 1;
    learning.counted[PHASE_BASE] = 3;
    learning.piece.length_s = 60.0;
    ck_assert_int_eq(say_next_session(&learning, text), 2);
    ck_assert_ptr_nonnull(strstr(text[1], " pieces of 60 s, "));
    ck_assert_ptr_nonnull(strstr(text[1], " rest: "));
    learning.asks = DISCOMFORT_SHORTER;
    learning.asks_item = RATING_NECK;
    ck_assert_int_eq(say_next_session(&learning, text), 3);
    ck_assert_ptr_eq(strstr(text[2], "Discomfort (neck)"), text[2]);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("learning");
    TCase *tests = tcase_create("words");
    tcase_add_test(tests, a_change_is_told_with_its_interval_or_what_is_missing);
    tcase_add_test(tests, how_long_it_lasts_has_its_interval);
    tcase_add_test(tests, the_next_session_follows_from_the_tests_so_far);
    tcase_add_test(tests, pieces_are_told_with_what_is_told_in_each);
    tcase_add_test(tests, each_reason_and_verdict_has_its_words);
    tcase_add_test(tests, discomfort_is_told_with_what_it_asks);
    tcase_add_test(tests, what_speaks_against_a_test);
    tcase_add_test(tests, pieces_follow_the_base);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
