/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings made ready: where they are taken as even, and what lies between them else. */
#include "../../src/measure/series.h"
#include "support/test_main.h"

enum { COUNT = 5, READINGS = 21 };

static double read_s[READINGS], read_mm[READINGS];
static uint8_t valid[READINGS];

/* A reading a second from 0 to 20 s, of a hold of 20 s. */
static struct hold_input a_second_apart(void)
{
    for (int i = 0; i < READINGS; i++) {
        read_s[i] = i;
        read_mm[i] = 900.0 + i % 3;
        valid[i] = 1;
    }
    return (struct hold_input){.time_s = read_s,
                               .height_mm = read_mm,
                               .valid = valid,
                               .count = READINGS,
                               .duration_s = 20.0};
}

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

/* From the first moment to the last, both in it; invalid ones are counted as read. */
START_TEST(readings_from_beginning_to_end)
{
    struct series series;
    struct hold_input input = a_second_apart();
    valid[4] = 0;
    ck_assert_int_eq(series_make(&input, true, &series), MEASURE_OK);
    ck_assert_uint_eq(series.readings, READINGS);
    ck_assert_uint_eq(series.valid, READINGS - 1);
    ck_assert_uint_eq(series.count, READINGS - 1);
    ck_assert_double_eq(series.time_s[0], 0.0);
    ck_assert_double_eq(series.time_s[READINGS - 2], 20.0);
    series_free(&series);
    read_s[0] = -0.001;
    read_s[READINGS - 1] = 20.001;
    ck_assert_int_eq(series_make(&input, true, &series), MEASURE_OK);
    ck_assert_uint_eq(series.readings, READINGS - 2);
    series_free(&series);
}
END_TEST

/* A reading a second; where the sequence says that 7 of 28 were lost, four in three were expected,
 * where a rate was announced that one, if it is higher. */
START_TEST(the_rate_that_is_expected)
{
    static const struct {
        double announced_hz;
        uint64_t lost;
        double expected_hz;
    } rows[] = {{0.0, 0, 1.0}, {0.0, 7, 4.0 / 3.0}, {0.5, 7, 1.0}, {2.0, 7, 2.0}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct series series;
        struct hold_input input = a_second_apart();
        input.rate_hz = rows[i].announced_hz;
        input.lost = rows[i].lost;
        ck_assert_int_eq(series_make(&input, true, &series), MEASURE_OK);
        ck_assert_double_eq_tol(series.expected_rate_hz, rows[i].expected_hz, 1e-12);
        ck_assert_double_eq_tol(series.step_rate_hz, 1.0, 1e-12);
        ck_assert_double_eq_tol(series.effective_rate_hz, 1.0, 1e-12);
        series_free(&series);
    }
}
END_TEST

/* Cuts in any order, one in another, two that overlap, some beyond the hold: what is cut is cut
 * once. */
START_TEST(cuts_are_joined)
{
    static const struct hold_cut cuts[] = {{12, 14}, {3, 5}, {4, 7}, {12.5, 13}, {18, 30},
                                           {-4, 1},  {9, 9}, {7, 8}, {25, 26}};
    struct series series;
    struct hold_input input = a_second_apart();
    input.cuts = cuts;
    input.cut_count = sizeof cuts / sizeof cuts[0];
    ck_assert_int_eq(series_make(&input, false, &series), MEASURE_OK);
    ck_assert_double_eq_tol(series.cut_s, 1 + 5 + 2 + 2, 1e-12);
    ck_assert_double_eq_tol(series_kept_s(&series, 0, 20), 10, 1e-12);
    ck_assert_double_eq_tol(series_kept_s(&series, 2, 6), 1, 1e-12);
    ck_assert_double_eq_tol(series_kept_s(&series, 13, 17), 3, 1e-12);
    ck_assert_double_eq_tol(series_kept_s(&series, 4, 4.5), 0, 1e-12);
    ck_assert_double_eq_tol(series_kept_s(&series, 10, 9), 0, 1e-12);
    ck_assert_double_eq_tol(series_cut_s(&series, 6), 1 + 3, 1e-12);
    ck_assert_double_eq_tol(series_cut_s(&series, 20), 10, 1e-12);
    for (size_t i = 0; i < series.count; i++) {
        double t = series.time_s[i];
        ck_assert((t >= 1 && t < 3) || (t >= 8 && t < 12) || (t >= 14 && t < 18) || t == 20);
    }
    ck_assert_uint_eq(series.count, 2 + 4 + 4 + 1); /* a cut ends before its last moment */
    series_free(&series);
    ck_assert_int_eq(series_make(&input, true, &series), MEASURE_OK); /* raw: nothing is cut */
    ck_assert_uint_eq(series.count, READINGS);
    ck_assert_double_eq(series_cut_s(&series, 20), 0.0);
    series_free(&series);
}
END_TEST

/* A reading lasts to the next one, the last of a stretch as long as one does. */
START_TEST(how_long_a_reading_stands_for)
{
    double time_s[] = {0.0, 1.0, 2.5, 6.0}, height_mm[] = {1, 2, 3, 4};
    struct series series = {
        .count = 4, .time_s = time_s, .height_mm = height_mm, .step_rate_hz = 0.8, .gap_s = 1.5};
    ck_assert_double_eq_tol(series_lasts_s(&series, 0), 1.0, 1e-12);
    ck_assert_double_eq_tol(series_lasts_s(&series, 1), 1.5, 1e-12); /* just no gap */
    ck_assert_double_eq_tol(series_lasts_s(&series, 2), 1.25, 1e-12);
    ck_assert_double_eq_tol(series_lasts_s(&series, 3), 1.25, 1e-12);
    ck_assert_uint_eq(series_stretch_end(&series, 0), 3); /* and where a stretch ends */
    ck_assert_uint_eq(series_stretch_end(&series, 2), 3);
    ck_assert_uint_eq(series_stretch_end(&series, 3), 4);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("series");
    TCase *tests = tcase_create("series");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, readings_are_even_to_a_quarter_of_a_period);
    tcase_add_test(tests, a_lost_reading_is_made_up);
    tcase_add_test(tests, readings_from_beginning_to_end);
    tcase_add_test(tests, the_rate_that_is_expected);
    tcase_add_test(tests, cuts_are_joined);
    tcase_add_test(tests, how_long_a_reading_stands_for);
    return test_main(suite);
}
