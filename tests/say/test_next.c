/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/numbers.h"
#include "say/next.h"
#include "say/setup.h"
#include "support/test_main.h"

#include <math.h>
#include <string.h>

static const char *no_suggestion(const struct insight_suggestion *suggestion)
{
    static char text[SAY_SIZE];
    say_no_suggestion(text, sizeof text, suggestion);
    return text;
}

/* A step that is none, as of a store of a later program, is never passed over. */
START_TEST(what_is_no_step_is_not_passed_over)
{
    ck_assert_int_eq(next_step_scope(NEXT_STEPS), NEXT_NEVER_PASSED);
    ck_assert_int_eq(next_step_scope((enum next_step)(NEXT_STEPS + 1)), NEXT_NEVER_PASSED);
    ck_assert_int_eq(next_step_scope(NEXT_MORNING), NEXT_OF_SESSION);
    ck_assert_int_eq(next_step_scope(NEXT_BOARD_AFTER), NEXT_OF_BUILD);
}
END_TEST

START_TEST(each_step_has_words_of_its_own)
{
    static const char *const words[NEXT_STEPS] = {
        [NEXT_SENSORS] = "waiting for the sensors",
        [NEXT_SETTLE] = "settle: no talking, eyes where they will be",
        [NEXT_HOLDING] = "holding",
        [NEXT_HOLDING_TARGET] = "holding the posture that is to be the target",
        [NEXT_PLATE] = "keep the plate still",
        [NEXT_SIT_UP] = "hands off, sit up, back: not seen yet since the hold before",
        [NEXT_RIDER] = "who rides?",
        [NEXT_MINUTES] = "how many minutes are booked?",
        [NEXT_BIKE] = "the bike's measures, for heights",
        [NEXT_PLACES] = "where is each sensor fixed?",
        [NEXT_CHECKS] = "check the sensors with the rider on",
        [NEXT_WARM_UP] = "warm-up; go on when the rider is warm",
        [NEXT_FAR] = "hold 1 is far from those before: look at beam and cables; u leaves it out",
        [NEXT_CHOOSE] = "compare (c); which setup does the rider go home with?",
        [NEXT_PUT_ON] = "put setup 1 on the bike: it was chosen",
        [NEXT_CHECK_HOLD] = "one check hold on setup 1",
        [NEXT_OWN_TARGET] = "take setup 1's own target, to practise by",
        [NEXT_OWN_BAND] = "take the band suggested for it",
        [NEXT_SHEET] = "write the rider's sheet",
        [NEXT_EASY] = "warm up for 10 min, easily, gauge unseen; then go on",
        [NEXT_BOARD] = "before you get on: the board across both pads, and keep off it",
        [NEXT_TEST] = "the test: 3 min, nothing shown; the tone begins and ends it",
        [NEXT_GUESS] = "guess: how many tenths in the band? 0 to 9, or plus for all",
        [NEXT_PIECE] = "piece 1 of 2, 30 s, after as long a rest: sit up",
        [NEXT_FELT] = "how was it? discomfort by region, numbness",
        [NEXT_TARGET_PLANNED] = "take the target of the coach's plan",
        [NEXT_BAND_PLANNED] = "take the band of the coach's plan",
        [NEXT_TEST_AT] = "the test at 1 W: 3 min, nothing shown; the tone begins and ends it",
        [NEXT_RIDE] = "the long ride, by sound alone: the same key twice ends it",
        [NEXT_MORNING] = "how was it the morning after the last time? by region",
        [NEXT_BOARD_APART] =
            "the board is 1 mm off the first day's: look at the clamps, lay it again",
        [NEXT_BOARD_ANEW] =
            "1 mm off the first day's: sensors placed anew. Aim them, lay the board again",
        [NEXT_BOARD_AGAIN] = "sensor or rider? hold 1 stepped: off the bike, and the board again",
        [NEXT_BOARD_AFTER] = "off the bike, and the same board once more: did a sensor move?",
        [NEXT_COMPARED_WITH] = "on to setup 1: compared against it, and it has no hold yet",
        [NEXT_PLACES_CARRIED] = "are the sensors where they were? measure again",
        [NEXT_STOP] = "STOP: not again before the studio or a licensed clinician looked",
        [NEXT_TARGET_CARRIED] = "take the target of the session before over",
        [NEXT_DONE] = "all is done for today: end the session",
        [NEXT_DONE_SLIPPED] =
            "the board lies 1 mm elsewhere now: a sensor moved, no test of today counts",
        [NEXT_END] = "all is done: end the session",
        [NEXT_MOVED] = "did a sensor move with this build? not compared until said",
        [NEXT_SLIPPED] = "sensor or rider? two builds disagree; not compared until said",
        [NEXT_STEPPED] =
            "a sensor moved in hold 1: leave it out (u), or b, sensor moved, and the plate",
        [NEXT_TARGET] = "ride in, then take the target",
        [NEXT_BAND] = "take the band suggested (or set another)",
        [NEXT_HOLD] = "free hold 1 of 2 on this build, 30 s",
        [NEXT_HOLD_AGAIN] = "hold 1 had not settled: one more free hold, 30 s",
        [NEXT_RATING] = "rate this setup",
        [NEXT_PLATE_AGAIN] = "plate or board again, before parts change: did a sensor slip?",
        [NEXT_FIRST_CHANGE] = "change a part and enter it as the next setup",
        [NEXT_SETUP] = "the next setup, or back to setup 1 to close the round",
        [NEXT_RETURN] = "back to setup 1: without it, setup and tiredness can't be told apart",
        [NEXT_ROUND_CLOSED] = "compare, decide, export; or change the next part",
        [NEXT_SESSION_ENDED] = "the session has ended",
    };
    char text[SAY_SIZE];
    for (int i = 0; i < NEXT_STEPS; i++) {
        say_next_step(text, sizeof text, (enum next_step)i, 1, 2, 30.0);
        ck_assert_str_eq(text, words[i]);
    }
    say_next_step(text, sizeof text, NEXT_RETURN, 7, 0, 30.0);
    ck_assert_str_eq(text, "back to setup 7: without it, setup and tiredness can't be told apart");
}
END_TEST

START_TEST(why_so_many_holds)
{
    static const struct {
        enum hour_why why;
        const char *text;
    } cases[] = {{HOUR_AS_BEFORE, "free hold 1 of 4"},
                 {HOUR_REPEATS, "free hold 1 of 4: from hold to hold it varies by 5.3 mm"},
                 {HOUR_NO_MORE_FIT, "free hold 1 of 4: more don't fit into the time"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[SAY_SIZE] = "free hold 1 of 4";
        struct hour_holds asked = {.why = cases[i].why, .hold_sd_mm = 5.31};
        say_hour_why(text, sizeof text, &asked);
        ck_assert_str_eq(text, cases[i].text);
    }
}
END_TEST

/* What waits, and what ends, leads by itself: all else can be passed over, by a word of its own. */
START_TEST(what_can_be_passed_over_has_a_word)
{
    static const enum next_step never[] = {NEXT_SENSORS, NEXT_SETTLE,         NEXT_SIT_UP,
                                           NEXT_HOLDING, NEXT_HOLDING_TARGET, NEXT_PLATE,
                                           NEXT_END,     NEXT_ROUND_CLOSED,   NEXT_SESSION_ENDED,
                                           NEXT_STOP,    NEXT_DONE,           NEXT_DONE_SLIPPED};
    for (int i = 0; i < NEXT_STEPS; i++) {
        bool passes = true;
        for (size_t k = 0; k < sizeof never / sizeof never[0]; k++) {
            passes = passes && never[k] != (enum next_step)i;
        }
        ck_assert_int_eq(next_step_scope((enum next_step)i) != NEXT_NEVER_PASSED, passes);
        const char *word = word_of(&next_step_words, next_step_as((enum next_step)i));
        ck_assert(passes == (word != NULL));
        ck_assert(!passes ||
                  word_find(&next_step_words, word, -1) == (int)next_step_as((enum next_step)i));
    }
    ck_assert_int_eq(next_step_as(NEXT_HOLD_AGAIN), NEXT_HOLD);
    ck_assert_int_eq(word_find(&next_step_words, "warm_up", -1), NEXT_WARM_UP);
    ck_assert_int_eq(word_find(&next_step_words, "sheet", -1), NEXT_SHEET);
    ck_assert_int_eq(next_step_scope(NEXT_RIDER), NEXT_OF_SESSION);
    ck_assert_int_eq(next_step_scope(NEXT_RATING), NEXT_OF_BUILD);
    ck_assert_int_eq(next_step_scope(NEXT_CHECK_HOLD), NEXT_OF_CHOICE);
}
END_TEST

/* The words after 'pass' (docs/scripts.md). */
START_TEST(each_step_is_passed_by_its_word)
{
    static const struct {
        enum next_step step;
        const char *word;
    } words[] = {
        {NEXT_RIDER, "rider"},
        {NEXT_MINUTES, "minutes"},
        {NEXT_BIKE, "bike"},
        {NEXT_PLACES, "places"},
        {NEXT_CHECKS, "checks"},
        {NEXT_WARM_UP, "warm_up"},
        {NEXT_MOVED, "moved"},
        {NEXT_SLIPPED, "slipped"},
        {NEXT_STEPPED, "stepped"},
        {NEXT_FAR, "far"},
        {NEXT_TARGET, "target"},
        {NEXT_BAND, "band"},
        {NEXT_HOLD, "holds"},
        {NEXT_RATING, "rating"},
        {NEXT_PLATE_AGAIN, "plate"},
        {NEXT_FIRST_CHANGE, "change"},
        {NEXT_SETUP, "setup"},
        {NEXT_RETURN, "return"},
        {NEXT_CHOOSE, "decision"},
        {NEXT_PUT_ON, "put_on"},
        {NEXT_CHECK_HOLD, "check_hold"},
        {NEXT_OWN_TARGET, "own_target"},
        {NEXT_OWN_BAND, "own_band"},
        {NEXT_SHEET, "sheet"},
        {NEXT_EASY, "easy"},
        {NEXT_BOARD, "board"},
        {NEXT_TEST, "test"},
        {NEXT_GUESS, "guess"},
        {NEXT_PIECE, "pieces"},
        {NEXT_FELT, "felt"},
        {NEXT_RIDE, "ride"},
        {NEXT_MORNING, "morning"},
        {NEXT_BOARD_APART, "apart"},
    };
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        ck_assert_int_eq(word_find(&next_step_words, words[i].word, -1), words[i].step);
    }
}
END_TEST

START_TEST(the_clock_says_what_fits)
{
    static const struct {
        double minutes_left;
        struct plan_of_hour plan;
        const char *text;
    } cases[] = {
        {NAN, {.setups_fit = 3}, ""},
        {-3.2, {.setups_fit = 3}, "4 min over time"},
        {21,
         {.setups_fit = 2, .keeps_room = true},
         "21 min left: 2 more setups, then back to setup 1"},
        {21, {.setups_fit = 1}, "21 min left: 1 more setup"},
        {9, {.keeps_room = true}, "9 min left: no other setup fits; go back to setup 1"},
        {4, {.setups_fit = 0}, "4 min left: no other setup fits"},
        {0, {.setups_fit = 0}, "0 min left: no other setup fits"},
    };
    char text[SAY_SIZE];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        say_session_clock(text, sizeof text, cases[i].minutes_left, &cases[i].plan, 1);
        ck_assert_str_eq(text, cases[i].text);
    }
    say_session_clock(text, sizeof text, 9, &cases[4].plan, 3);
    ck_assert_str_eq(text, "9 min left: no other setup fits; go back to setup 3");
}
END_TEST

START_TEST(what_speaks_against_a_setup)
{
    struct insight_suggestion suggestion = {.reason = SUGGESTION_COMPLAINT,
                                            .complaint = COMPLAINT_STRAINED};
    static const char *const failed[SAY_FAILED_LENGTHS] = {
        [SAY_FAILED_MARK] = "FAILED: cannot see ahead",
        [SAY_FAILED_NAMED] = "FAILED, cannot see ahead",
        [SAY_FAILED_RATING] = "; can't see ahead: it FAILED, whatever the numbers",
        [SAY_FAILED_ATTENTION] =
            "FAILED: the rider cannot see ahead. Its other numbers don't matter.",
        [SAY_FAILED_STANDING] = "FAILED: the rider cannot see ahead, whatever the numbers.",
        [SAY_FAILED_PICTURE] = "FAILED: can't see",
    };
    for (int i = 0; i < SAY_FAILED_LENGTHS; i++) {
        ck_assert_str_eq(say_failed((enum say_failed_length)i), failed[i]);
    }
    static const char *const numb[SAY_NUMB_LENGTHS] = {
        [SAY_NUMB_RATING] = "; numbness: change that before anything else",
        [SAY_NUMB_ATTENTION] = "numbness (hands). Change that before anything else; if it stays, a "
                               "licensed clinician should see it.",
        [SAY_NUMB_RIDER] = "It made you numb (hands). Let that be changed before anything else; if "
                           "it stays, a licensed clinician should see it.",
    };
    for (int i = 0; i < SAY_NUMB_LENGTHS; i++) {
        char text[SAY_SIZE];
        say_numb(text, sizeof text, (enum say_numb_length)i, "hands");
        ck_assert_str_eq(text, numb[i]);
    }
    ck_assert_str_eq(say_failed_badge(true), " BLIND ");
    ck_assert_str_eq(say_failed_badge(false), " CAN'T SEE ");
    ck_assert_str_eq(say_complaint(COMPLAINT_NONE), "");
    ck_assert_str_eq(say_complaint(COMPLAINT_FAILED),
                     "it FAILED: the rider could not see ahead on it");
    ck_assert_str_eq(say_complaint(COMPLAINT_NUMB),
                     "it made the rider numb: change that before anything else");
    ck_assert_str_eq(no_suggestion(&suggestion), "seeing ahead was a strain on it");
    suggestion.reason = SUGGESTION_MADE;
    ck_assert_str_eq(no_suggestion(&suggestion), "");
    suggestion.reason = SUGGESTION_TOO_LITTLE;
    ck_assert_ptr_nonnull(strstr(no_suggestion(&suggestion), "it takes two setups"));
    suggestion.reason = SUGGESTION_NO_STEP;
    ck_assert_ptr_nonnull(strstr(no_suggestion(&suggestion), "no single step"));
    suggestion.reason = SUGGESTION_NO_LIMIT;
    suggestion.part = BIKE_PAD_RISE;
    ck_assert_str_eq(no_suggestion(&suggestion), "no limit was entered for pad rise: look into the "
                                                 "papers of the parts and enter it");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("next");
    TCase *tests = tcase_create("next");
    tcase_add_test(tests, what_can_be_passed_over_has_a_word);
    tcase_add_test(tests, each_step_has_words_of_its_own);
    tcase_add_test(tests, what_is_no_step_is_not_passed_over);
    tcase_add_test(tests, why_so_many_holds);
    tcase_add_test(tests, each_step_is_passed_by_its_word);
    tcase_add_test(tests, the_clock_says_what_fits);
    tcase_add_test(tests, what_speaks_against_a_setup);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
