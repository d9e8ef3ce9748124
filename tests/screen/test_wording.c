/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "screen/wording.h"
#include "support/test_main.h"

#include <math.h>

/* Numbers and cues in words. */

START_TEST(numbers_in_words)
{
    char text[WORDING_SIZE];
    static const struct {
        double mm;
        const char *with_sign, *whole;
    } numbers[] = {{14.4, "+14", "14"},
                   {-3.5, "\u22124", "\u22124"},
                   {0.4, "0", "0"},
                   {-0.4, "0", "0"},
                   {NAN, "\u2013", "\u2013"}};
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
        wording_signed(text, sizeof text, numbers[i].mm);
        ck_assert_str_eq(text, numbers[i].with_sign);
        wording_whole(text, sizeof text, numbers[i].mm);
        ck_assert_str_eq(text, numbers[i].whole);
    }
    wording_tenth(text, sizeof text, -0.62);
    ck_assert_str_eq(text, "\u22120.6");
}
END_TEST

START_TEST(shapes_point_as_the_body_is)
{
    ck_assert_str_eq(wording_cue(CUE_HIGH), "\u25B2 HIGH");
    ck_assert_str_eq(wording_cue(CUE_LOW), "\u25BC LOW");
    ck_assert_str_eq(wording_cue(CUE_IN), "\u25C6 IN");
    ck_assert_str_eq(wording_cue(CUE_NO_READING), "\u25CB NO READING");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("wording");
    TCase *tcase = tcase_create("wording");
    tcase_add_test(tcase, numbers_in_words);
    tcase_add_test(tcase, shapes_point_as_the_body_is);
    suite_add_tcase(suite, tcase);
    return test_main(suite);
}
