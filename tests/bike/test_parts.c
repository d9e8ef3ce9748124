/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Lists of parts as they are typed, and what is wrong in them. */
#include "bike/limits.h"
#include "bike/parts.h"
#include "bike/position.h"
#include "bike/wrench.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

START_TEST(what_is_wrong_in_a_line_is_named)
{
    static const struct {
        const char *line, *why;
    } cases[] = {
        {"stem length=90", "say its angle="},
        {"stem angle=-17", "say its length="},
        {"stem length=x angle=-17", "stem: "},
        {"stem length=90 angle=x", "stem: "},
        {"stem length=90 angle=-17 clamp_height=x", "stem: "},
        {"stem length=90 angle=-17 clamp_height=900", "stem: "},
        {"stem length=9000 angle=-17", "stem: "},
        {"stem length=90 angle=-170", "stem: "},
        {"stem length=90 angle=-17 clamp_height=40,42", "one clamp_height a line"},
        {"stem length=90 angle=-17 colour=1", "'colour' is not known"},
        {"spacers 5..x/5", "spacers: "},
        {"spacers x..30/5", "spacers: "},
        {"spacers 5..30/x", "spacers: "},
        {"spacers 5..30/0", "spacers: "},
        {"spacers 30..5/5", "spacers: "},
        {"spacers 5..30", "spacers: "},
        {"spacers 0..1000/1", "spacers: "},
        {"spacers mm=5", "'mm=' is not a number"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct parts_at_hand parts;
        struct problem problem = {PROBLEM_NONE, ""};
        parts_clear(&parts);
        ck_assert_msg(!parts_read_line(&parts, cases[i].line, &problem), "%s", cases[i].line);
        ck_assert_msg(strstr(problem.sentence, cases[i].why) != NULL, "%s: %s", cases[i].line,
                      problem.sentence);
    }
}
END_TEST

/* So many of each as there is room for: in one number list, and over the words of a line. */
START_TEST(there_are_only_so_many)
{
    char line[2000] = "pad_fore_aft 0,1";
    struct parts_at_hand parts;
    struct problem problem = {PROBLEM_NONE, ""};
    size_t used = strlen(line);
    for (int i = 2; i < PARTS_VALUES_MAX; i++) {
        used += (size_t)snprintf(line + used, sizeof line - used, "%s%d", i == 2 ? " " : ",", i);
    }
    parts_clear(&parts);
    ck_assert_msg(parts_read_line(&parts, line, &problem), "%s", problem.sentence);
    ck_assert_int_eq(parts.pad_fore_aft.count, PARTS_VALUES_MAX);
    ck_assert(!parts_read_line(&parts, "pad_fore_aft 20", &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "pad_fore_aft: more than"));
    strcat(line, ",21,22,23"); /* one more than a list may have */
    parts_clear(&parts);
    ck_assert(!parts_read_line(&parts, line, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "numbers"));
    snprintf(line, sizeof line, "pad_fore_aft 0,0..%d/1", PARTS_VALUES_MAX - 1);
    parts_clear(&parts);
    ck_assert(!parts_read_line(&parts, line, &problem));
}
END_TEST

/* A list has lines; one that is longer than any is named by its number. */
START_TEST(a_line_is_only_so_long)
{
    static char text[6000];
    struct parts_at_hand parts;
    struct problem problem = {PROBLEM_NONE, ""};
    parts_clear(&parts);
    ck_assert_msg(parts_read(&parts, "box", "spacers 5\n\npad_rise 30,40\n", &problem), "%s",
                  problem.sentence);
    strcpy(text, "spacers 5\n");
    memset(text + strlen(text), ' ', 5000);
    ck_assert(!parts_read(&parts, "box", text, &problem));
    ck_assert_ptr_eq(strstr(problem.sentence, "box, line 2: longer than 4095 letters"),
                     problem.sentence);
    for (size_t length = 4095; length <= 4096; length++) { /* with or without an end of the line */
        snprintf(text, sizeof text, "%-*s%s", (int)length, "spacers 5", length % 2 ? "" : "\n");
        ck_assert(parts_read(&parts, "box", text, &problem) == (length == 4095));
    }
}
END_TEST

START_TEST(limits_are_one_number_or_two)
{
    static const struct {
        const char *word;
        bool good;
    } cases[] = {{"spacers=30", true},
                 {"spacers=5..30", true},
                 {"spacers=30..30", true},
                 {"spacers=5..", true},
                 {"spacers=..30", false},
                 {"spacers=30..5", false},
                 {"spacers", false},
                 {"=30", false},
                 {"spacers=5..x", false},
                 {"spacers=x..5", false},
                 {"a_key_that_is_longer_than_any_other=3", false},
                 {"spacers=00000000000000000000000000000005..30", false}, /* 32 of them: no room */
                 {"spacers=0000000000000000000000000000005..30", true},
                 {"spacers=0000000000000000000000000000000000000000000000005..30", false}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct bike_limits limits;
        struct problem problem = {PROBLEM_NONE, ""};
        bike_limits_clear(&limits);
        ck_assert_msg(bike_limits_read_word(&limits, cases[i].word, &problem) == cases[i].good,
                      "%s: %s", cases[i].word, problem.sentence);
        ck_assert((strstr(problem.sentence, "say KEY=VALUE") != NULL) ==
                  (cases[i].word[0] == '=' || strchr(cases[i].word, '=') == NULL ||
                   strncmp(cases[i].word, "a_key", 5) == 0));
    }
}
END_TEST

START_TEST(a_move_is_told_both_ways)
{
    static const struct {
        double x, y;
        const char *text;
    } cases[] = {{0, 0, "not at all"},   {12, 0, "forward 12"},     {-12, 0, "back 12"},
                 {0, 8, "up 8"},         {0.4, -0.4, "not at all"}, {3, -8, "down 8, forward 3"},
                 {-3, 8, "up 8, back 3"}};
    char text[64];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        move_text(text, sizeof text, (struct point){cases[i].x, cases[i].y});
        ck_assert_str_eq(text, cases[i].text);
    }
    strcpy(text, "before");
    move_text(text, 0, (struct point){1.0, 1.0});
    ck_assert_str_eq(text, "before");
}
END_TEST

/* What a saddle's height means along another seat tube: the same point over the bottom bracket. */
START_TEST(a_saddles_height_follows_the_seat_tube)
{
    struct bike_values from, to;
    char note[200];
    bike_values_clear(&from);
    bike_values_clear(&to);
    position_carry(&from, &to, note, sizeof note);
    ck_assert_str_eq(note, "no saddle height to carry over");
    from.value[BIKE_SADDLE_HEIGHT] = 740.0;
    position_carry(&from, &to, note, sizeof note);
    ck_assert_double_eq(to.value[BIKE_SADDLE_HEIGHT], 740.0);
    ck_assert_ptr_nonnull(strstr(note, "a seat angle is not given"));
    from.value[BIKE_SEAT_ANGLE] = 74.0;
    position_carry(&from, &to, note, sizeof note);
    ck_assert_ptr_nonnull(strstr(note, "a seat angle is not given"));
    to.value[BIKE_SEAT_ANGLE] = 78.0; /* 740 sin(74) / sin(78) = 727.2 */
    position_carry(&from, &to, note, sizeof note);
    ck_assert_double_eq_tol(to.value[BIKE_SADDLE_HEIGHT], 727.2, 0.051);
    ck_assert_str_eq(note, "");
}
END_TEST

START_TEST(changes_of_no_part_are_said)
{
    struct bike_values before, after;
    char text[100] = "before";
    bike_values_clear(&before);
    bike_values_clear(&after);
    bike_changes_text(text, 0, &before, &after);
    ck_assert_str_eq(text, "before");
    bike_changes_text(text, sizeof text, &before, &after);
    ck_assert_str_eq(text, "no part entered");
    before.value[BIKE_SPACERS] = after.value[BIKE_SPACERS] = 10.0;
    bike_changes_text(text, sizeof text, &before, &after);
    ck_assert_str_eq(text, "nothing changed");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("parts");
    TCase *tests = tcase_create("parts");
    tcase_add_test(tests, what_is_wrong_in_a_line_is_named);
    tcase_add_test(tests, there_are_only_so_many);
    tcase_add_test(tests, a_line_is_only_so_long);
    tcase_add_test(tests, limits_are_one_number_or_two);
    tcase_add_test(tests, a_move_is_told_both_ways);
    tcase_add_test(tests, a_saddles_height_follows_the_seat_tube);
    tcase_add_test(tests, changes_of_no_part_are_said);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
