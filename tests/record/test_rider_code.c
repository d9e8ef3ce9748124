/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Riders' codes that may be one typed in another way. */
#include "record/rider_code.h"
#include "support/test_main.h"

#include <string.h>

START_TEST(capitals_signs_and_leading_zeros_do_not_tell_codes_apart)
{
    static const char *const alike[][2] = {
        {"R-07", "R-07"},  {"R-07", "R-7"},   {"R-07", "r07"},    {"R-07", "R 007"},
        {"7", "07"},       {"7", "-07"},      {"0", "00"},        {"W3-004", "w3 4"},
        {"A-0", "A00"},    {"R-07", "R-07 "}, {"K10b", "k.10.B"}, {"Z\u00fc-1", "z\u00fc01"},
        {"R1-01", "r1.1"}, {"R_07", "R~07"},  {"@R[07", "`R{07"}, {"-7", "7"},
    };
    for (size_t i = 0; i < sizeof alike / sizeof alike[0]; i++) {
        ck_assert_msg(rider_codes_alike(alike[i][0], alike[i][1]), "%s %s", alike[i][0],
                      alike[i][1]);
        ck_assert_msg(rider_codes_alike(alike[i][1], alike[i][0]), "%s %s", alike[i][1],
                      alike[i][0]);
    }
}
END_TEST

START_TEST(other_letters_and_numbers_do)
{
    static const char *const apart[][2] = {
        {"R-07", "R-70"}, {"R-07", "R-17"}, {"R-07", "S-07"},  {"R-7", "R-77"},   {"R-1", "R-10"},
        {"R-07", "R"},    {"R-10", "R-1"},  {"R-100", "R-10"}, {"", ""},          {"-", "."},
        {"R-1", ""},      {"1-01", "101-"}, {"R1-1", "R11"},   {"\u00fc1", "u1"},
    };
    for (size_t i = 0; i < sizeof apart / sizeof apart[0]; i++) {
        ck_assert_msg(!rider_codes_alike(apart[i][0], apart[i][1]), "%s %s", apart[i][0],
                      apart[i][1]);
        ck_assert_msg(!rider_codes_alike(apart[i][1], apart[i][0]), "%s %s", apart[i][1],
                      apart[i][0]);
    }
}
END_TEST

/* A code may be pasted: it is looked at as far as two whole names go. */
START_TEST(codes_longer_than_any)
{
    char one[400], other[400];
    memset(one, 'a', sizeof one);
    memset(other, 'A', sizeof other);
    one[sizeof one - 1] = other[sizeof other - 1] = '\0';
    ck_assert(rider_codes_alike(one, other));
    other[3] = 'B';
    ck_assert(!rider_codes_alike(one, other));
}
END_TEST

/* 'a1-1-1...', each number with the sign before it: no more is looked at than there is room for,
 * wherever that ends. */
START_TEST(numbers_longer_than_any)
{
    for (size_t letters = 0; letters < 2; letters++) {
        char one[1000], other[1000];
        memset(one, '-', sizeof one);
        memset(one, 'a', letters);
        for (size_t i = letters; i < sizeof one; i += 2) {
            one[i] = '1';
        }
        one[sizeof one - 1] = '\0';
        memcpy(other, one, sizeof one);
        other[900] = 'x';
        ck_assert(rider_codes_alike(one, other)); /* it is far behind */
        other[letters] = '2';
        ck_assert(!rider_codes_alike(one, other));
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("rider codes");
    TCase *tests = tcase_create("alike");
    tcase_add_test(tests, capitals_signs_and_leading_zeros_do_not_tell_codes_apart);
    tcase_add_test(tests, other_letters_and_numbers_do);
    tcase_add_test(tests, codes_longer_than_any);
    tcase_add_test(tests, numbers_longer_than_any);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
