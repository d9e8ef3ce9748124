/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/word_list.h"
#include "support/test_main.h"

WORD_LIST(colours, NULL, "red", "green");
WORD_LIST_FROM(sides, -1, "left", NULL, "right");

START_TEST(a_value_has_its_word)
{
    ck_assert_str_eq(word_of(&colours, 1), "red");
    ck_assert_str_eq(word_of(&sides, -1), "left");
    ck_assert_str_eq(word_of(&sides, 1), "right");
    ck_assert_ptr_null(word_of(&colours, 0));
    ck_assert_ptr_null(word_of(&colours, 3));
    ck_assert_ptr_null(word_of(&colours, -1));
    ck_assert_ptr_null(word_of(&sides, -2));
}
END_TEST

START_TEST(a_word_has_its_value)
{
    ck_assert_int_eq(word_find(&colours, "green", 7), 2);
    ck_assert_int_eq(word_find(&sides, "left", 0), -1);
    ck_assert_int_eq(word_find(&sides, "right", 0), 1);
    ck_assert_int_eq(word_find(&colours, "gree", 7), 7);
    ck_assert_int_eq(word_find(&colours, "", 7), 7);
    ck_assert_int_eq(word_find(&colours, NULL, 7), 7);
}
END_TEST

START_TEST(a_list_is_said_without_what_has_no_word)
{
    char text[32];
    word_list_text(text, sizeof text, &colours);
    ck_assert_str_eq(text, "red, green");
    word_list_text(text, sizeof text, &sides);
    ck_assert_str_eq(text, "left, right");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("word_list");
    TCase *tests = tcase_create("word_list");
    tcase_add_test(tests, a_value_has_its_word);
    tcase_add_test(tests, a_word_has_its_value);
    tcase_add_test(tests, a_list_is_said_without_what_has_no_word);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
