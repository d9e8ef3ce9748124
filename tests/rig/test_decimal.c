/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/random.h"
#include "rig/decimal.h"
#include "support/test_main.h"
#include "support/test_seed.h"

#include <stdio.h>
#include <string.h>

static int64_t scaled(const char *text, uint32_t factor)
{
    struct decimal number;
    int64_t result = -77;
    const char *end = decimal_read(text, text + strlen(text), false, &number);
    ck_assert_msg(end != NULL && *end == '\0', "'%s'", text);
    ck_assert_msg(decimal_scale(&number, factor, INT64_C(1000000000000), &result), "'%s'", text);
    return result;
}

START_TEST(numbers_are_scaled_and_rounded_to_the_nearest)
{
    ck_assert_int_eq(scaled("412.5", 10), 4125);
    ck_assert_int_eq(scaled("412.54", 10), 4125);
    ck_assert_int_eq(scaled("412.55", 10), 4126); /* half away from zero */
    ck_assert_int_eq(scaled("-412.55", 10), -4126);
    ck_assert_int_eq(scaled("412.549999999999999999", 10), 4125);
    ck_assert_int_eq(scaled("0.4125", 10000), 4125);
    ck_assert_int_eq(scaled("41.25", 100), 4125);
    ck_assert_int_eq(scaled("16.24", 254), 4125); /* 412.496 mm */
    ck_assert_int_eq(scaled("1", 254), 254);
    ck_assert_int_eq(scaled("000000000000000000000412.5", 10), 4125);
    ck_assert_int_eq(scaled("4.125e2", 10), 4125);
    ck_assert_int_eq(scaled("41250e-2", 10), 4125);
    ck_assert_int_eq(scaled("+.05", 10), 1);
    ck_assert_int_eq(scaled("5.", 10), 50);
    ck_assert_int_eq(scaled("0", 10), 0);
    ck_assert_int_eq(scaled("1762084241.073744", 1), 1762084241);
}
END_TEST

START_TEST(long_times_keep_their_microseconds)
{
    struct decimal number;
    int64_t us = 0;
    const char *text = "1762084241.073744";
    ck_assert_ptr_nonnull(decimal_read(text, text + strlen(text), false, &number));
    ck_assert(decimal_scale(&number, 1000000, INT64_MAX / 4, &us));
    ck_assert(us == INT64_C(1762084241073744));
}
END_TEST

START_TEST(what_is_no_number_is_refused)
{
    static const char *const none[] = {"", "-", ".", "-.", "x", " 1", "e5", ","};
    struct decimal number;
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++) {
        ck_assert_ptr_null(decimal_read(none[i], none[i] + strlen(none[i]), false, &number));
    }
    /* It ends where the number ends. */
    static const struct {
        const char *text;
        size_t length;
    } ends[] = {{"12.5.3", 4}, {"12e", 2}, {"12e+", 2}, {"12,5", 2}, {"1-2", 1}, {"4mm", 1}};
    for (size_t i = 0; i < sizeof ends / sizeof ends[0]; i++) {
        const char *text = ends[i].text;
        ck_assert_ptr_eq(decimal_read(text, text + strlen(text), false, &number),
                         text + ends[i].length);
    }
    const char *comma = "12,5";
    ck_assert_ptr_eq(decimal_read(comma, comma + 4, true, &number), comma + 4);
}
END_TEST

START_TEST(what_is_too_large_is_refused)
{
    static const char *const large[] = {"1e30", "99999999999999999999", "1e999999999",
                                        "100000000.1"};
    for (size_t i = 0; i < sizeof large / sizeof large[0]; i++) {
        struct decimal number;
        int64_t result;
        ck_assert_ptr_nonnull(decimal_read(large[i], large[i] + strlen(large[i]), false, &number));
        ck_assert_msg(!decimal_scale(&number, 10, 1000000000, &result), "%s", large[i]);
    }
    ck_assert_int_eq(scaled("1e-30", 10), 0);
    ck_assert_int_eq(scaled("0.0000000000000000000001", 10), 0);
    struct decimal small = {.mantissa = 1999, .decimals = 20}; /* as of micrometres */
    int64_t nothing = 7;
    ck_assert(decimal_scale(&small, 10, INT64_MAX, &nothing));
    ck_assert_int_eq(nothing, 0);
    struct decimal number; /* 18 figures, whose product has no room in 64 bits */
    int64_t result;
    static const char parts[] = "123456789012.345678", whole[] = "999999999999999999";
    decimal_read(parts, parts + strlen(parts), false, &number);
    ck_assert(decimal_scale(&number, 254, INT64_MAX, &result));
    ck_assert_int_eq(result, INT64_C(31358024409136)); /* 31 358 024 409 135.802 */
    decimal_read(whole, whole + strlen(whole), false, &number);
    ck_assert(!decimal_scale(&number, 254, INT64_MAX, &result));
    ck_assert_int_eq(scaled("0e999", 10), 0);
}
END_TEST

START_TEST(any_number_of_tenths_comes_back)
{
    struct random_source source;
    random_seed(&source, test_seed(3));
    for (int i = 0; i < 20000; i++) {
        int64_t tenths = (int64_t)(random_u64(&source) % 20000000) - 10000000;
        char text[64];
        long long size = tenths < 0 ? -tenths : tenths;
        const char *sign = tenths < 0 ? "-" : "";
        snprintf(text, sizeof text, "%s%lld.%lld", sign, size / 10, size % 10);
        ck_assert_int_eq(scaled(text, 10), tenths);
        snprintf(text, sizeof text, "%s%lld.%04lld", sign, size / 10000, size % 10000);
        ck_assert_int_eq(scaled(text, 10000), tenths);
        snprintf(text, sizeof text, "%s%lld.%lld49", sign, size / 10, size % 10);
        ck_assert_int_eq(scaled(text, 10), tenths);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("decimal");
    TCase *one = tcase_create("decimal");
    tcase_add_test(one, numbers_are_scaled_and_rounded_to_the_nearest);
    tcase_add_test(one, long_times_keep_their_microseconds);
    tcase_add_test(one, what_is_no_number_is_refused);
    tcase_add_test(one, what_is_too_large_is_refused);
    tcase_add_test(one, any_number_of_tenths_comes_back);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
