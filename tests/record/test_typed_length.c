/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "record/typed.h"
#include "support/test_main.h"

#include <string.h>

/* How long a hold is to be, as people type it. */

START_TEST(lengths_are_read_as_people_type_them)
{
    static const struct {
        const char *text;
        double length_s;
    } rows[] = {{"60", 60},         {"60s", 60},          {"90 s", 90},    {"20min", 1200},
                {"20 min", 1200},   {"20m", 1200},        {"8h", 28800},   {"8 h", 28800},
                {"1h30min", 5400},  {"1 h 30 min", 5400}, {"1.5h", 5400},  {"1:30", 90},
                {"0:05", 5},        {"1:30:00", 5400},    {"1min30s", 90}, {" 45s ", 45},
                {"8:00:00", 28800}, {"7:59:59", 28799},   {"90:30", 5430}, {"60:00", 3600}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double length_s = 0.0;
        struct problem problem = {0};
        ck_assert_msg(typed_length(rows[i].text, &length_s, &problem), "'%s': %s", rows[i].text,
                      problem.sentence);
        ck_assert_double_eq_tol(length_s, rows[i].length_s, 1e-9);
    }
}
END_TEST

START_TEST(what_is_none_is_refused_and_changes_nothing)
{
    static const char *const none[] = {
        "",         " ",       "soon",    "s",
        "min",      "-60",     "60x",     "1:",
        ":30",      "1:60",    "1:2:3:4", "1::2",
        "60 60",    "nan",     "1e9s",    "9h",
        "4s",       "0",       "inf",     "8h1s",
        "1:30min",  "1,5h",    "20 km",   "1..5",
        "60s free", "1:60:00", "1:00:60", "000000000000000000000060s" /* 24 digits: 23 at most */};
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++) {
        double length_s = 7.0;
        struct problem problem = {0};
        ck_assert_msg(!typed_length(none[i], &length_s, &problem), "'%s' is %g s", none[i],
                      length_s);
        ck_assert_double_eq(length_s, 7.0);
        ck_assert_str_ne(problem.sentence, "");
    }
}
END_TEST

START_TEST(what_is_filled_in_reads_back)
{
    static const struct {
        double length_s;
        const char *text;
    } rows[] = {{60, "60 s"},     {30, "30 s"},     {90, "90 s"},      {120, "2 min"},
                {1200, "20 min"}, {5400, "90 min"}, {28800, "8 h"},    {61.5, "61.5 s"},
                {3600, "1 h"},    {121, "121 s"},   {28799, "28799 s"}};
    double long_s = 0.0;
    ck_assert(typed_length("00000000000000000000060s", &long_s, NULL)); /* 23 digits */
    ck_assert_double_eq(long_s, 60.0);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char text[24];
        double length_s = 0.0;
        typed_length_text(text, sizeof text, rows[i].length_s);
        ck_assert_str_eq(text, rows[i].text);
        ck_assert(typed_length(text, &length_s, NULL));
        ck_assert_double_eq(length_s, rows[i].length_s);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("typed lengths");
    TCase *tcase = tcase_create("lengths");
    tcase_add_test(tcase, lengths_are_read_as_people_type_them);
    tcase_add_test(tcase, what_is_none_is_refused_and_changes_nothing);
    tcase_add_test(tcase, what_is_filled_in_reads_back);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
