/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Weeks of practice by script on the virtual rig, and what is told of them. */
#include "progress_fixture.h"
#include "support/json_schema.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Three base tests (that of the first practice's day is one) under five others, all apart: 1 of
 * C(8, 3) = 56 orders. */
START_TEST(a_rider_who_learnt_it_is_better)
{
    four_weeks();
    struct json_value *json = told();
    ck_assert_str_eq(json_text_at(json, "channels/0/channel"), "head");
    for (int c = 0; c < 2; c++) {
        char path[64];
        snprintf(path, sizeof path, "channels/%d/practice/verdict", c);
        ck_assert_str_eq(json_text_at(json, path), "better");
        snprintf(path, sizeof path, "channels/%d/practice/better_p", c);
        ck_assert_double_eq_tol(json_number_at(json, path), 1.0 / 56.0, 1e-9);
    }
    ck_assert_str_eq(json_text_at(json, "tests/2/phase"), "base");
    ck_assert_str_eq(json_text_at(json, "tests/3/phase"), "practice");
    ck_assert_double_eq_tol(json_number_at(json, "tests/0/guessed_share"), 0.4, 1e-12);
    ck_assert_double_eq_tol(json_number_at(json, "tests/0/channels/0/offset_mm"), 30, 6);
    ck_assert_double_eq_tol(json_number_at(json, "tests/7/channels/0/offset_mm"), 0, 6);
    /* 30 mm off a band of 20 from the start to the end: one cue in 58 s; on the target none */
    ck_assert_double_eq_tol(json_number_at(json, "tests/0/channels/0/cues_per_min"), 60.0 / 58.0,
                            0.1);
    ck_assert_double_eq(json_number_at(json, "tests/7/channels/0/cues_per_min"), 0);
    ck_assert_double_eq(json_number_at(json, "sessions/0/pieces"), 0);
    ck_assert_double_eq(json_number_at(json, "sessions/2/pieces"), 2);
    ck_assert_double_eq_tol(json_number_at(json, "sessions/2/piece_s"), 60, 1);
    ck_assert_ptr_null(json_at(json, "sessions/2/discomfort")); /* stays at home */
    json_free(json);
    struct program_result text = ASK("progress", "R-07");
    ck_assert(strstr(text.output, "head: better: ") != NULL);
    ck_assert(strstr(text.output, "+30    1.0") != NULL);      /* from target, cues a minute */
    ck_assert(strstr(text.output, "neck 2, hands 1") != NULL); /* on the rider's own screen */
    program_free(&text);
}
END_TEST

START_TEST(what_is_left_out_says_why)
{
    folder = program_folder();
    day("2026-01-05T18:00:00Z", "hold 60s test settle=2s\nhold 60s test settle=2s", 0);
    day("2026-01-07T18:00:00Z", "hold 60s test settle=2s\nreject 1 \"phone rang\"", 0);
    day("2026-01-09T18:00:00Z", practice, 0);
    day("2026-01-10T12:00:00Z", test_alone, 0); /* 18 hours after practice */
    day("2026-01-25T18:00:00Z", test_alone, 0); /* and 16 days */
    struct json_value *json = told();
    static const char *const why[] = {
        NULL, "the second of its day", NULL, NULL, "too soon after the last practice", NULL};
    static const char *const phase[] = {"base", "base", "base", "base", "practice", "keep"};
    for (int t = 0; t < 6; t++) {
        char path[64];
        snprintf(path, sizeof path, "tests/%d/why_not", t);
        const char *found = json_text_at(json, path);
        if (t == 2) {
            ck_assert_msg(found != NULL && strstr(found, "not ridden to its end") != NULL, "%s",
                          found);
        } else if (why[t] == NULL) {
            ck_assert_msg(found == NULL, "test %d: %s", t, found);
        } else {
            ck_assert_str_eq(found, why[t]);
        }
        snprintf(path, sizeof path, "tests/%d/phase", t);
        ck_assert_str_eq(json_text_at(json, path), phase[t]);
    }
    ck_assert_str_eq(json_text_at(json, "channels/0/practice/verdict"), "no base yet");
    json_free(json);
}
END_TEST

START_TEST(another_power_no_board_and_nothing_told_are_said)
{
    static const char *const why[] = {NULL, NULL, NULL, "at another power", "nothing ties", NULL};
    folder = program_folder();
    day_with("2026-01-05T18:00:00Z", POWERED "200", PLATE, test_alone);
    day_with("2026-01-06T18:00:00Z", POWERED "200", PLATE, test_alone);
    day_with("2026-01-07T18:00:00Z", POWERED "200", PLATE, test_alone);
    day_with("2026-01-08T18:00:00Z", POWERED "225", PLATE, test_alone);
    day_with("2026-01-09T18:00:00Z", POWERED "200", "", test_alone);
    day_with("2026-01-10T18:00:00Z", POWERED "200", PLATE,
             "hold 60s test settle=2s\nguess 4\nhold 30s piece told=seen settle=2s");
    struct json_value *json = told();
    for (int t = 0; t < 6; t++) {
        char path[64];
        snprintf(path, sizeof path, "tests/%d/why_not", t);
        const char *found = json_text_at(json, path);
        ck_assert_msg(why[t] == NULL ? found == NULL
                                     : found != NULL && strstr(found, why[t]) != NULL,
                      "test %d: %s", t, found);
    }
    ck_assert_double_eq_tol(json_number_at(json, "tests/3/power_w"), 225, 3);
    ck_assert_int_eq(json_at(json, "sessions/4/felt_not_told")->kind, JSON_FALSE);
    ck_assert_int_eq(json_at(json, "sessions/5/felt_not_told")->kind, JSON_TRUE);
    json_free(json);
    struct program_result text = ASK("progress", "R-07");
    ck_assert(strstr(text.output, "how it felt") != NULL);
    program_free(&text);
}
END_TEST

/* The board once more, after a pause in which the head's sensor was knocked by 15 mm, and after one
 * in which nobody did. */
START_TEST(a_board_that_reads_otherwise_afterwards_leaves_the_test_out)
{
    static const struct {
        const char *rig, *why;
    } days[] = {
        {"bump=15&bump_at=1.6", "a sensor moved that day"},
        {"bump=0", NULL},
    };
    folder = program_folder();
    day_with("2026-01-05T18:00:00Z", days[0].rig, PLATE,
             "hold 60s test settle=2s\nhold 30s piece told=seen settle=60s\n" PLATE);
    day_with("2026-01-07T18:00:00Z", days[1].rig, PLATE,
             "hold 60s test settle=2s\nhold 30s piece told=seen settle=60s\n" PLATE);
    struct json_value *json = told();
    for (int t = 0; t < 2; t++) {
        char path[64];
        snprintf(path, sizeof path, "tests/%d/why_not", t);
        const char *found = json_text_at(json, path);
        ck_assert_msg(days[t].why == NULL ? found == NULL
                                          : found != NULL && strstr(found, days[t].why) != NULL,
                      "test %d: %s", t, found);
    }
    json_free(json);
}
END_TEST

/* Shares and mm from the target are not told as if nothing spoke against them. */
START_TEST(what_speaks_against_a_ride_is_said)
{
    static const char ride[] = "ride 6min settle=2s";
    static const char *const why[] = {NULL, "nothing ties the sensors", "a sensor moved that day",
                                      "not ridden to its end, or left out"};
    folder = program_folder();
    day("2026-01-05T18:00:00Z", ride, 0);
    day_with("2026-01-06T18:00:00Z", "bump=0", "", "ride 6min settle=2s");
    day_with("2026-01-07T18:00:00Z", "bump=15&bump_at=1.6", PLATE,
             "hold 60s test settle=2s\nride 6min settle=60s\n" PLATE);
    day("2026-01-08T18:00:00Z", "ride 6min settle=2s\nreject 1 \"phone rang\"", 0);
    struct json_value *json = told();
    struct program_result text = ASK("progress", "R-07", "--json");
    program_write_file(folder, "rides.json", text.output);
    program_free(&text);
    json_validate(folder, SOURCE_DIR "/docs/progress.schema.json", "rides.json");
    text = ASK("progress", "R-07");
    for (int r = 0; r < 4; r++) {
        char path[64];
        snprintf(path, sizeof path, "rides/%d/doubt", r);
        const char *found = json_text_at(json, path);
        ck_assert_msg(why[r] == NULL ? found == NULL
                                     : found != NULL && strstr(found, why[r]) != NULL,
                      "ride %d: %s", r, found);
    }
    for (int c = 0; c < 2; c++) { /* what is not tied is beside no target */
        char path[64];
        snprintf(path, sizeof path, "rides/1/channels/%d/quarters/0/offset_mm", c);
        ck_assert_int_eq(json_at(json, path)->kind, JSON_NULL);
        snprintf(path, sizeof path, "rides/1/channels/%d/quarters/0/in_band_share", c);
        ck_assert_int_eq(json_at(json, path)->kind, JSON_NULL);
        snprintf(path, sizeof path, "rides/1/channels/%d/kept_s", c);
        ck_assert_int_eq(json_at(json, path)->kind, JSON_NULL);
        snprintf(path, sizeof path, "rides/0/channels/%d/quarters/0/in_band_share", c);
        ck_assert_double_gt(json_number_at(json, path), 0.9);
    }
    int doubts = 0;
    for (const char *at = text.output; (at = strstr(at, "but:")) != NULL; at++) {
        doubts++;
    }
    ck_assert_int_eq(doubts, 3);
    program_free(&text);
    json_free(json);
}
END_TEST

START_TEST(a_sign_to_stop_stops)
{
    folder = program_folder();
    day("2026-01-09T18:00:00Z",
        "hold 30s piece told=seen settle=2s\nrating effort=3 numb_hands=yes", 0);
    struct program_result text = ASK("progress", "R-07");
    ck_assert(strstr(text.output, "STOP: numbness") != NULL);
    ck_assert(strstr(text.output, "licensed") != NULL);
    ck_assert(strstr(text.output, "pieces of") == NULL);
    program_free(&text);
    struct program_result refused = ASK("practice", "R-07");
    ck_assert_int_ne(refused.status, 0);
    ck_assert(strstr(refused.errors, "no practice") != NULL);
    program_free(&refused);
    /* it goes on to open the screen, which the test has none of */
    struct program_result again = ASK("practice", "R-07", "--looked-at");
    ck_assert_msg(strstr(again.errors, "no practice") == NULL, "%s", again.errors);
    ck_assert_msg(strstr(again.errors, "terminal") != NULL, "%s", again.errors);
    program_free(&again);
}
END_TEST

/* Two pieces kept: a quarter longer, 38 s. Not where discomfort of 4 was told, at any time. */
START_TEST(discomfort_of_the_day_keeps_pieces_from_growing)
{
    static const struct {
        const char *lines, *says;
    } days[] = {{"", "pieces of 38 s"}, {"rating neck=4\nrating neck=1", "pieces of 30 s"}};
    for (size_t i = 0; i < sizeof days / sizeof days[0]; i++) {
        char lines[512];
        folder = program_folder();
        snprintf(lines, sizeof lines,
                 "hold 30s piece told=seen settle=2s\n%s\n"
                 "hold 30s piece told=seen settle=2s\nrating neck=1",
                 days[i].lines);
        day("2026-01-09T18:00:00Z", lines, 0);
        struct program_result text = ASK("progress", "R-07");
        ck_assert_msg(strstr(text.output, days[i].says) != NULL, "%s", text.output);
        program_free(&text);
    }
}
END_TEST

/* A region that nobody asked about may hurt. */
START_TEST(discomfort_is_none_only_of_what_was_asked)
{
    static const struct {
        const char *rating;
        bool of_those;
    } days[] = {{"rating neck=0", true},
                {"rating neck=0 shoulder_blades=0 lower_back=0 forearms=0 hands=0 saddle_front=0 "
                 "hips=0 breathing=0",
                 false}};
    for (size_t i = 0; i < sizeof days / sizeof days[0]; i++) {
        char lines[512];
        folder = program_folder();
        snprintf(lines, sizeof lines, "hold 30s piece told=seen settle=2s\n%s", days[i].rating);
        day("2026-01-09T18:00:00Z", lines, 0);
        struct program_result text = ASK("progress", "R-07");
        ck_assert_msg(strstr(text.output, "none") != NULL, "%s", text.output);
        ck_assert_msg((strstr(text.output, "none of those") != NULL) == days[i].of_those, "%s",
                      text.output);
        program_free(&text);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("progress");
    TCase *tests = tcase_create("progress");
    suite_add_tcase(suite, tests);
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, a_rider_who_learnt_it_is_better);
    tcase_add_test(tests, what_is_left_out_says_why);
    tcase_add_test(tests, another_power_no_board_and_nothing_told_are_said);
    tcase_add_test(tests, a_board_that_reads_otherwise_afterwards_leaves_the_test_out);
    tcase_add_test(tests, what_speaks_against_a_ride_is_said);
    tcase_add_test(tests, a_sign_to_stop_stops);
    tcase_add_test(tests, discomfort_of_the_day_keeps_pieces_from_growing);
    tcase_add_test(tests, discomfort_is_none_only_of_what_was_asked);
    return test_main(suite);
}
