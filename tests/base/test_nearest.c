/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/nearest.h"

#include "support/test_main.h"

#include <string.h>

static const char *meant_by(const char *asked)
{
    static const char *const words[] = {"hold", "sound", "spacers", "reach"};
    static char text[NEAREST_TEXT_SIZE];
    struct nearest nearest = nearest_to(asked);
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        nearest_try(&nearest, words[i]);
    }
    return nearest_text(&nearest, "", text, sizeof text);
}

/* Counted by hand. */
START_TEST(slips_are_counted)
{
    ck_assert_int_eq(slips_between("hold", "hold"), 0);
    ck_assert_int_eq(slips_between("hodl", "hold"), 1);  /* two changed over */
    ck_assert_int_eq(slips_between("hol", "hold"), 1);   /* one too few */
    ck_assert_int_eq(slips_between("holds", "hold"), 1); /* one too many */
    ck_assert_int_eq(slips_between("bolt", "hold"), 2);  /* two others */
    ck_assert_int_eq(slips_between("", "hold"), 4);
    ck_assert_int_eq(slips_between("hold", "abcdefghijklmnopqrstuvwxy"), 24); /* of 25 letters */
    ck_assert_int_eq(slips_between("abcdefghijklmnopqrstuvwxy", "hold"), 24);
}
END_TEST

START_TEST(the_nearest_word_is_meant)
{
    ck_assert_str_eq(meant_by("hodl"), "; did you mean 'hold'?");
    ck_assert_str_eq(meant_by("spaecrs"), "; did you mean 'spacers'?");
    ck_assert_str_eq(meant_by("bolt"), "; did you mean 'hold'?"); /* two slips */
    ck_assert_str_eq(meant_by("spacing"), "");                    /* three */
    ck_assert_str_eq(meant_by("ho"), "");                         /* as many slips as letters */
    ck_assert_str_eq(meant_by(""), "");
    ck_assert_str_eq(meant_by("hold"), ""); /* it is the word itself, in a wrong place */
    struct nearest nearest = nearest_to("jsno");
    char text[NEAREST_TEXT_SIZE];
    nearest_try(&nearest, "json");
    ck_assert_str_eq(nearest_text(&nearest, "--", text, sizeof text), "; did you mean '--json'?");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("nearest");
    TCase *tests = tcase_create("nearest");
    tcase_add_test(tests, slips_are_counted);
    tcase_add_test(tests, the_nearest_word_is_meant);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
