/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers as screens and printed pages set them. */
#include "base/numbers.h"
#include "support/test_main.h"

#include <math.h>

START_TEST(a_number_below_nought_has_a_minus_sign)
{
    static const struct {
        const char *source, *typeset;
    } texts[] = {
        {"-35", "\u221235"},
        {"Winkel -6\u00B0, L\u00E4nge -20 mm", "Winkel \u22126\u00B0, L\u00E4nge \u221220 mm"},
        {"(-3 to -1)", "(\u22123 to \u22121)"},
        {"head +12/-20 mm, /-1, a/-2", "head +12/\u221220 mm, /-1, a/-2"},
        {"R-07, 2026-01-10, 12-20", "R-07, 2026-01-10, 12-20"},
        {"a - b, -x, --5", "a - b, -x, --5"},
        {"-", "\u2013"},
        {"", ""},
        {"ends in -", "ends in -"},
    };
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        char text[100];
        say_typeset(text, sizeof text, texts[i].source);
        ck_assert_str_eq(text, texts[i].typeset);
    }
}
END_TEST

START_TEST(what_does_not_fit_is_cut_behind_a_character)
{
    char text[6];
    say_typeset(text, sizeof text, "1 -23");
    ck_assert_str_eq(text, "1 \u2212");
    say_typeset(text, 4, "1 -23");
    ck_assert_str_eq(text, "1 ");
}
END_TEST

/* base/numbers.h: rounded up, never shown as 0; the last digits of rounding are none of it. */
START_TEST(a_half_width_is_never_nought)
{
    static const struct {
        double half;
        const char *text;
    } rows[] = {{0.0, "884 ±1"}, {1e-9, "884 ±1"},      {0.4, "884 ±1"},
                {2.2, "884 ±3"}, {3.0000001, "884 ±3"}, {(double)INFINITY, "884"}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char text[SAY_SIZE];
        say_mean(text, sizeof text, 884.2, true, rows[i].half);
        ck_assert_str_eq(text, rows[i].text);
    }
}
END_TEST

/* Before 0, and beyond what a clock shows, it stands at 0. */
START_TEST(a_clock_that_is_none)
{
    static const double none[] = {0.0, -5.0, 1e9, 1e300, (double)INFINITY, (double)NAN};
    char text[SAY_SIZE];
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++) {
        say_minutes(text, sizeof text, none[i]);
        ck_assert_str_eq(text, "0:00");
        say_hours(text, sizeof text, none[i]);
        ck_assert_str_eq(text, "0:00:00");
    }
    say_minutes(text, sizeof text, 3729.9);
    ck_assert_str_eq(text, "62:09");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("numbers");
    TCase *tests = tcase_create("typeset");
    tcase_add_test(tests, a_number_below_nought_has_a_minus_sign);
    tcase_add_test(tests, what_does_not_fit_is_cut_behind_a_character);
    tcase_add_test(tests, a_half_width_is_never_nought);
    tcase_add_test(tests, a_clock_that_is_none);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
