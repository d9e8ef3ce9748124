/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/numbers.h"
#include "say/holds.h"
#include "support/test_main.h"

START_TEST(each_finding_in_each_length)
{
    static const struct {
        const char *journal, *page, *cell, *picture;
    } words[] = {
        [HOLD_FOUND_STOPPED] = {"; stopped early", "  cut short", ", short", ""},
        [HOLD_FOUND_CUT_SHORT] = {"; cut short", "  cut short", ", short", ""},
        [HOLD_FOUND_NOT_SETTLED] = {"; not settled", "  NOT SETTLED: do it again", ", unsettled",
                                    ""},
        [HOLD_FOUND_STEPPED] = {"; stepped", "  STEPPED: sensor or rider?", ", stepped", ""},
        [HOLD_FOUND_KEPT_AFTERWARDS] = {"; kept afterwards", "  kept afterwards", "",
                                        ", kept afterwards"},
        [HOLD_FOUND_LEFT_OUT] = {"; LEFT OUT: ", "  left out", ", left out", ", rejected"},
        [HOLD_FOUND_NOT_TIED] = {"", "", "", ", not tied"},
    };
    char text[SAY_SIZE];
    ck_assert_uint_eq(sizeof words / sizeof words[0], HOLD_FINDINGS);
    for (int i = 0; i < HOLD_FINDINGS; i++) {
        say_hold_findings(text, sizeof text, HOLD_FOUND(i), SAY_HOLD_JOURNAL);
        ck_assert_str_eq(text, words[i].journal);
        say_hold_findings(text, sizeof text, HOLD_FOUND(i), SAY_HOLD_PAGE);
        ck_assert_str_eq(text, words[i].page);
        say_hold_findings(text, sizeof text, HOLD_FOUND(i), SAY_HOLD_CELL);
        ck_assert_str_eq(text, words[i].cell);
        say_hold_findings(text, sizeof text, HOLD_FOUND(i), SAY_HOLD_PICTURE);
        ck_assert_str_eq(text, words[i].picture);
    }
}
END_TEST

START_TEST(a_cell_has_room_for_the_weightiest)
{
    const unsigned all = HOLD_FOUND(HOLD_FINDINGS) - 1;
    const unsigned tied = all & ~HOLD_FOUND(HOLD_FOUND_NOT_TIED);
    char text[SAY_SIZE];
    say_hold_findings(text, sizeof text, tied, SAY_HOLD_CELL);
    ck_assert_str_eq(text, ", left out");
    say_hold_findings(text, sizeof text,
                      HOLD_FOUND(HOLD_FOUND_STOPPED) | HOLD_FOUND(HOLD_FOUND_NOT_SETTLED) |
                          HOLD_FOUND(HOLD_FOUND_KEPT_AFTERWARDS),
                      SAY_HOLD_CELL);
    ck_assert_str_eq(text, ", unsettled");
    say_hold_findings(text, sizeof text, tied, SAY_HOLD_PICTURE);
    ck_assert_str_eq(text, ", rejected");
    say_hold_findings(text, sizeof text, all, SAY_HOLD_PICTURE);
    ck_assert_str_eq(text, ", not tied");
    say_hold_findings(text, sizeof text, 0, SAY_HOLD_PAGE);
    ck_assert_str_eq(text, "");
    say_hold_findings(text, sizeof text,
                      HOLD_FOUND(HOLD_FOUND_CUT_SHORT) | HOLD_FOUND(HOLD_FOUND_NOT_SETTLED) |
                          HOLD_FOUND(HOLD_FOUND_LEFT_OUT),
                      SAY_HOLD_JOURNAL);
    ck_assert_str_eq(text, "; cut short; not settled; LEFT OUT: ");
}
END_TEST

START_TEST(a_record_says_what_was_found)
{
    static const struct {
        struct hold_record hold;
        bool not_settled, stepped;
        const char *journal;
    } cases[] = {
        {{.status = HOLD_COMPLETE}, false, false, ""},
        {{.status = HOLD_STOPPED}, false, false, "; stopped early"},
        {{.status = HOLD_CUT_SHORT}, true, false, "; cut short; not settled"},
        {{.status = HOLD_COMPLETE}, false, true, "; stepped"},
        {{.status = HOLD_COMPLETE, .kept_afterwards = true}, false, false, "; kept afterwards"},
        {{.status = HOLD_COMPLETE, .rejected = true}, false, false, "; LEFT OUT: "},
    };
    char text[SAY_SIZE];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const struct hold_result result = {.not_settled = cases[i].not_settled,
                                           .stepped = cases[i].stepped};
        say_hold_findings(text, sizeof text, hold_findings_of(&cases[i].hold, &result),
                          SAY_HOLD_JOURNAL);
        ck_assert_str_eq(text, cases[i].journal);
    }
}
END_TEST

START_TEST(kinds_of_holds)
{
    ck_assert_str_eq(say_hold_kind(false, false, false), "free");
    ck_assert_str_eq(say_hold_kind(true, false, true), "guided");
    ck_assert_str_eq(say_hold_kind(true, true, true), "kept after");
    ck_assert_str_eq(say_hold_kind(false, true, false), "kept afterwards");
}
END_TEST

START_TEST(why_a_hold_does_not_count)
{
    const struct {
        double duration_s, kept_s;
        const char *text;
    } cases[] = {
        {15.0, 15.0, "hold 3 kept: too short to count (20 s at least)"},
        {20.0, 19.0, "hold 3 kept: too little of it was settled to count (20 s at least)"},
        {30.0, 20.0, "hold 3 kept: too broken to count (of the readings 90 % at least)"},
        {25.0, 18.0, "hold 3 kept: too little of it was settled to count (20 s at least)"},
        {30.0, 30.0, "hold 3 kept: too broken to count (of the readings 90 % at least)"},
        {30.0, 0.0, "hold 3 kept: too broken to count (of the readings 90 % at least)"},
    };
    char text[SAY_SIZE];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct hold_record hold = {.number = 3, .status = HOLD_COMPLETE};
        struct hold_result result = {.duration_s = cases[i].duration_s};
        result.has[1] = cases[i].kept_s > 0.0;
        result.summary[1].kept_s = cases[i].kept_s;
        say_hold_ended(text, sizeof text, &hold, false, false, &result);
        ck_assert_str_eq(text, cases[i].text);
    }
}
END_TEST

START_TEST(what_became_of_a_hold)
{
    static const struct {
        enum hold_status status;
        bool is_long, not_settled, stepped, same_sit;
        const char *text;
    } cases[] = {
        {HOLD_COMPLETE, true, false, false, false, "hold 3 kept"},
        {HOLD_COMPLETE, true, false, false, true,
         "hold 3 kept, but no re-sit was seen: one with the hold before (u if the rider sat up)"},
        {HOLD_COMPLETE, true, false, true, false,
         "hold 3 kept, but its level stepped: sensor or rider? read the plate"},
        {HOLD_COMPLETE, true, true, true, false,
         "hold 3 kept, but had not settled: better done again"},
        {HOLD_STOPPED, false, true, true, false,
         "hold 3 stopped early: too short to count (20 s at least)"},
        {HOLD_STOPPED, true, false, false, false,
         "hold 3 stopped early; what there is of it counts (u leaves it out)"},
        {HOLD_CUT_SHORT, true, true, false, false,
         "hold 3 was cut short, but had not settled: better done again"},
    };
    char text[SAY_SIZE];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct hold_record hold = {.number = 3, .status = cases[i].status};
        const struct hold_result result = {.not_settled = cases[i].not_settled,
                                           .stepped = cases[i].stepped};
        say_hold_ended(text, sizeof text, &hold, cases[i].is_long, cases[i].same_sit, &result);
        ck_assert_str_eq(text, cases[i].text);
    }
    const struct hold_record ride = {.number = 3, .status = HOLD_STOPPED, .purpose = PURPOSE_RIDE};
    struct hold_result result = {.duration_s = 3720.4};
    say_hold_ended(text, sizeof text, &ride, true, false, &result); /* it ends so */
    ck_assert_str_eq(text, "ride of 1 h 2 min kept");
    result.sat_up_times = 2;
    result.sat_up_s = 65;
    result.stepped = true;
    say_hold_ended(text, sizeof text, &ride, true, false, &result);
    ck_assert_str_eq(text, "ride of 1 h 2 min kept; sat up for 65 s; a level stepped: sensor or "
                           "rider? read the board");
}
END_TEST

/* Of a hold on one channel, whether its heights are used. */
START_TEST(why_a_hold_is_not_used)
{
    static const struct {
        enum hold_use use;
        const char *words;
    } uses[] = {
        {HOLD_USED, ""},
        {HOLD_UNUSED_RUNNING, "it is still running"},
        {HOLD_UNUSED_LEFT_OUT, "left out"},
        {HOLD_UNUSED_KEPT_AFTERWARDS, "kept afterwards"},
        {HOLD_UNUSED_NOT_OF_THE_BODY, "not a channel of the body"},
        {HOLD_UNUSED_NO_NUMBERS, "no numbers on this channel"},
        {HOLD_UNUSED_TOO_LITTLE, "too short, or too few readings"},
        {HOLD_UNUSED_NO_BAND, "guided without a band on this channel"},
        {HOLD_UNUSED_NOT_TIED, "height not tied"},
        {HOLD_UNUSED_STEP, "its level stepped"},
        {HOLD_UNUSED_AFTER_STEP, "the sensor moved in a hold before it"},
        {HOLD_UNUSED_SLIP, "did the sensor slip? not answered"},
        {HOLD_UNUSED_SAME_SIT, "no re-sit seen since the hold before: one with it"},
    };
    ck_assert_uint_eq(sizeof uses / sizeof uses[0], HOLD_USES);
    for (size_t i = 0; i < HOLD_USES; i++) {
        ck_assert_str_eq(say_hold_use(uses[i].use), uses[i].words);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("holds");
    TCase *tests = tcase_create("holds");
    tcase_add_test(tests, each_finding_in_each_length);
    tcase_add_test(tests, a_cell_has_room_for_the_weightiest);
    tcase_add_test(tests, a_record_says_what_was_found);
    tcase_add_test(tests, kinds_of_holds);
    tcase_add_test(tests, why_a_hold_does_not_count);
    tcase_add_test(tests, why_a_hold_is_not_used);
    tcase_add_test(tests, what_became_of_a_hold);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
