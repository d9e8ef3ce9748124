/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Steps in long holds: a sensor that was knocked, a body that tires. */
#include "summarised_hold.h"

#include "measure/hold_stream.h"

#include <math.h>

#define LENGTH_S 1200.0
#define HOLDS 12

static void ride(struct random_source *random, double step_mm, double rise_mm)
{
    simulate_hold(random, &quiet, 880, LENGTH_S, 10, &hold);
    for (size_t i = 0; i < hold.count; i++) {
        double t = hold.time_s[i];
        hold.height_mm[i] += (t >= 700 ? step_mm : 0) + rise_mm * fmin(1, fmax(0, (t - 480) / 300));
    }
}

static struct hold_summary summary_of_ride(void)
{
    struct hold_settings settings = {.has_target = false};
    struct hold_input input = simulated_input(&hold);
    struct hold_summary summary;
    ck_assert_int_eq(hold_summarise(&input, &settings, &summary), MEASURE_OK);
    return summary;
}

/* 10 mm at once, beside a rise of 12 mm within five minutes or without one. */
START_TEST(a_knock_is_found_where_and_as_large_as_it_was)
{
    struct random_source random;
    int found = 0;
    random_seed(&random, test_seed(71));
    for (int h = 0; h < HOLDS; h++) {
        ride(&random, -10, h % 2 == 0 ? 0 : 12);
        struct hold_summary summary = summary_of_ride();
        if (summary.stepped) {
            found++;
            ck_assert_double_eq_tol(summary.step_at_s, 700, 8);
            ck_assert_double_eq_tol(summary.step_mm, -10, 4);
        }
    }
    ck_assert_int_ge(found, HOLDS - 3); /* 90 in 100: 4 missed of 12, 1 in 40 */
}
END_TEST

/* 12 mm within five minutes: a line, not a step. */
START_TEST(who_tires_has_not_stepped)
{
    struct random_source random;
    int told = 0;
    random_seed(&random, test_seed(72));
    for (int h = 0; h < HOLDS; h++) {
        ride(&random, 0, 12);
        told += summary_of_ride().stepped;
    }
    ck_assert_int_le(told, 1); /* 1 in 100: 2 of 12, 1 in 160 */
}
END_TEST

/* A third channel's question: by how much did this one move at 700 s? Not by what it rose around.
 */
START_TEST(beside_a_rise_only_what_is_sudden_counts)
{
    struct random_source random;
    double sum_mm = 0, risen_mm = 0;
    random_seed(&random, test_seed(73));
    for (int h = 0; h < HOLDS; h++) {
        double step_mm = NAN;
        ride(&random, 9, 0);
        struct hold_input input = simulated_input(&hold);
        ck_assert_int_eq(hold_step_at(&input, 700, &step_mm), MEASURE_OK);
        sum_mm += step_mm / HOLDS;
        ride(&random, 0, 12);
        input = simulated_input(&hold);
        ck_assert_int_eq(hold_step_at(&input, 1000, &step_mm), MEASURE_OK);
        risen_mm += step_mm / HOLDS;
    }
    ck_assert_double_eq_tol(sum_mm, 9, 1.5);
    ck_assert_double_eq_tol(risen_mm, 0, 1.5); /* over by then: 780 s */
}
END_TEST

/* Readings of the first and the last 150 s of 900 s: where there are none no step is looked for,
 * and in what is too short none is said. */
START_TEST(stretches_without_readings)
{
    static double time_s[6000], height_mm[6000];
    static uint8_t valid[6000];
    struct hold_input input = {.time_s = time_s,
                               .height_mm = height_mm,
                               .valid = valid,
                               .duration_s = 900.0,
                               .rate_hz = 20.0};
    struct hold_settings settings = {.raw = false};
    struct hold_summary summary;
    struct random_source random;
    double step_mm = 7.0;
    random_seed(&random, test_seed(12));
    for (int i = 0; i < 18000; i++) {
        if (i < 3000 || i >= 15000) {
            time_s[input.count] = i / 20.0;
            height_mm[input.count] = 900.0 + random_normal(&random);
            valid[input.count++] = 1;
        }
    }
    ck_assert_int_eq(hold_summarise(&input, &settings, &summary), MEASURE_OK);
    ck_assert(!summary.stepped);
    ck_assert_double_eq_tol(summary.longest_gap_s, 600.0, 0.1);
    time_s[0] = -0.5; /* a reading before it began, and one behind its end, are none of it */
    time_s[input.count - 1] = 901.0;
    size_t all = summary.readings;
    ck_assert_int_eq(hold_summarise(&input, &settings, &summary), MEASURE_OK);
    ck_assert_uint_eq(summary.readings, all - 2);
    input.count = 100; /* 5 s */
    input.duration_s = 5.0;
    ck_assert_int_eq(hold_step_at(&input, 2.5, &step_mm), MEASURE_TOO_FEW);
    ck_assert_double_eq(step_mm, 7.0);
}
END_TEST

/* A piece of a hold with 10 s, a third of a second, or one reading missing in its middle: so long a
 * gap, in the piece as in all at once. Of 50 readings a second none is missing before 1.5 periods.
 */
START_TEST(a_gap_within_a_piece)
{
    static const double missing_s[] = {10.0, 0.3, 0.02, 0.0}, gaps_s[] = {10.02, 0.32, 0.04, 0.0};
    struct hold_settings settings = {.raw = true};
    for (size_t g = 0; g < 4; g++) {
        struct hold_summary at_once, streamed;
        simulate(77, &quiet, 60);
        for (size_t i = 1000; i < 1000 + (size_t)(missing_s[g] * 50.0 + 0.5); i++) {
            hold.valid[i] = 0;
        }
        struct hold_input input = simulated_input(&hold);
        ck_assert_int_eq(hold_summarise(&input, &settings, &at_once), MEASURE_OK);
        struct hold_stream *stream = hold_stream_create(&settings, 50, 600);
        ck_assert_int_eq(hold_stream_add(stream, &input, 0.0), MEASURE_OK);
        ck_assert_int_eq(hold_stream_summarise(stream, 60.0, &streamed), MEASURE_OK);
        ck_assert_double_eq_tol(at_once.longest_gap_s, gaps_s[g], 1e-6);
        ck_assert_double_eq_tol(streamed.longest_gap_s, fmax(gaps_s[g], 0.02), 1e-6);
        hold_stream_destroy(stream);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("hold_long");
    TCase *tests = tcase_create("hold_long");
    tcase_set_timeout(tests, 120);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, a_knock_is_found_where_and_as_large_as_it_was);
    tcase_add_test(tests, who_tires_has_not_stepped);
    tcase_add_test(tests, beside_a_rise_only_what_is_sudden_counts);
    tcase_add_test(tests, stretches_without_readings);
    tcase_add_test(tests, a_gap_within_a_piece);
    return test_main(suite);
}
