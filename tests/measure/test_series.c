/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings made ready: where they are taken as even, and what lies between them else. */
#include "../../src/measure/series.h"
#include "support/test_main.h"

enum { COUNT = 5 };

/* A reading a second, of 10 times its time; the third later by late_s. */
static size_t evened(double late_s, double values[COUNT + 1])
{
    double time_s[COUNT], height_mm[COUNT];
    for (int i = 0; i < COUNT; i++) {
        time_s[i] = i + (i == 2 ? late_s : 0.0);
        height_mm[i] = 10.0 * time_s[i];
    }
    struct series series = {
        .count = COUNT, .time_s = time_s, .height_mm = height_mm, .step_rate_hz = 1.0};
    return series_even(&series, 0, COUNT, values);
}

/* A quarter of a period is jitter that no spectrum sees: taken as even. Further off, what lies
 * between two readings is a line. */
START_TEST(readings_are_even_to_a_quarter_of_a_period)
{
    double values[COUNT + 1];
    for (int side = -1; side <= 1; side += 2) {
        ck_assert_uint_eq(evened(0.24 * side, values), COUNT);
        ck_assert_double_eq_tol(values[2], 20.0 + 2.4 * side, 1e-9);
        ck_assert_uint_eq(evened(0.25 * side, values), COUNT);
        ck_assert_double_eq_tol(values[2], 20.0 + 2.5 * side, 1e-9);
        ck_assert_uint_eq(evened(0.26 * side, values), COUNT);
        for (int i = 0; i < COUNT; i++) {
            ck_assert_double_eq_tol(values[i], 10.0 * i, 1e-9);
        }
    }
}
END_TEST

/* A lost reading is made up on the line, the last one is not gone beyond; a part of the series is
 * evened by itself. */
START_TEST(a_lost_reading_is_made_up)
{
    double time_s[] = {0.0, 1.0, 3.0, 4.0}, height_mm[] = {5.0, 6.0, 10.0, 7.0};
    static const double expected[] = {5.0, 6.0, 8.0, 10.0, 7.0};
    struct series series = {
        .count = 4, .time_s = time_s, .height_mm = height_mm, .step_rate_hz = 1.0};
    double values[6] = {0};
    ck_assert_uint_eq(series_even(&series, 0, 4, values), 5);
    for (int i = 0; i < 5; i++) {
        ck_assert_double_eq_tol(values[i], expected[i], 1e-9);
    }
    ck_assert_double_eq(values[5], 0.0);
    ck_assert_uint_eq(series_even(&series, 1, 3, values), 3);
    ck_assert_double_eq_tol(values[1], 8.0, 1e-9);
    ck_assert_uint_eq(series_even(&series, 2, 4, values), 2);
    ck_assert_double_eq(values[0], 10.0);
    ck_assert_double_eq(values[1], 7.0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("series");
    TCase *tests = tcase_create("series");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, readings_are_even_to_a_quarter_of_a_period);
    tcase_add_test(tests, a_lost_reading_is_made_up);
    return test_main(suite);
}
