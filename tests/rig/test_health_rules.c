/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What is told of a sensor's health, just below and just over its limits, on readings made by hand.
 */
#include "rig/health.h"
#include "support/test_main.h"

#include <string.h>

#define PERIOD_MS 20 /* 50 a second */

static struct health_monitor *monitor;
static int64_t time_ms;

static void begin(void)
{
    monitor = health_create(1);
    time_ms = 0;
}

static void end(void)
{
    health_destroy(monitor);
}

static void begin_anew(void)
{
    end();
    begin();
}

/* Good readings of one range, in tenths of a millimetre. */
static void read_often(int count, int32_t tenth_mm, int64_t period_ms)
{
    for (int i = 0; i < count; i++, time_ms += period_ms) {
        struct sample sample;
        memset(&sample, 0, sizeof sample);
        sample.time_us = time_ms * 1000;
        sample.range_tenth_mm[0] = tenth_mm;
        health_add(monitor, &sample);
    }
}

static struct channel_health told(void)
{
    struct rig_health health;
    memset(&health, 0, sizeof health);
    health_read(monitor, &health);
    return health.channel[0];
}

START_TEST(stuck_takes_more_than_twenty_readings)
{
    read_often(20, 4000, 125); /* over 2.375 s */
    ck_assert(!told().stuck);
    read_often(1, 4000, 125);
    ck_assert(told().stuck);
}
END_TEST

/* Steps of 3 mm are fine ones, and then 2 s are long; of coarser ones 4 s. */
START_TEST(steps_over_three_millimetres_are_coarse)
{
    read_often(1, 4000, PERIOD_MS);
    read_often(102, 4030, PERIOD_MS); /* over 2.02 s */
    ck_assert_double_eq(told().quantum_mm, 3.0);
    ck_assert(told().stuck);
    begin_anew();
    read_often(1, 4000, PERIOD_MS);
    read_often(102, 4031, PERIOD_MS);
    ck_assert_double_eq(told().quantum_mm, 3.1);
    ck_assert(!told().stuck);
    read_often(98, 4031, PERIOD_MS); /* 3.98 s */
    ck_assert(!told().stuck);
    read_often(2, 4031, PERIOD_MS); /* 4.02 s */
    ck_assert(told().stuck);
}
END_TEST

/* Steps of 0.1 mm, so that no larger one is taken for the sensor's finest; then the last reading
 * before something comes, and how long that was before. */
static void see(int32_t last_tenth_mm, int64_t before_ms)
{
    begin_anew();
    for (int i = 0; i < 10; i++) {
        read_often(1, last_tenth_mm + i % 2, PERIOD_MS);
    }
    read_often(1, last_tenth_mm, before_ms);
}

/* A hand comes at a bound of 6 cm, within half a second of the last reading, and stays a second. */
START_TEST(a_window_is_blocked_after_a_bound)
{
    see(949, PERIOD_MS);
    read_often(50, 349, PERIOD_MS);
    ck_assert(!told().blocked); /* 0.98 s */
    read_often(1, 349, PERIOD_MS);
    ck_assert(told().blocked); /* 1.00 s */
    see(948, PERIOD_MS);       /* 59.9 mm */
    read_often(60, 349, PERIOD_MS);
    ck_assert(!told().blocked);
    see(2000, 500);
    read_often(60, 349, PERIOD_MS);
    ck_assert(told().blocked);
    see(2000, 520);
    read_often(60, 349, PERIOD_MS);
    ck_assert(!told().blocked); /* who knows how it came there */
}
END_TEST

START_TEST(nearer_than_can_be_measured_is_blocked)
{
    read_often(60, 79, PERIOD_MS);
    ck_assert(told().blocked);
    begin_anew();
    read_often(60, 80, PERIOD_MS);
    ck_assert(!told().blocked);
}
END_TEST

/* Readings that go up and back by 0.1, 0.2, ... mm up to the most: half of the differences are
 * larger than half of that, and an SD is 1.4826 times it over the root of 2. */
static void swing(int most_tenth_mm)
{
    for (int size = 1; size <= most_tenth_mm; size++) {
        read_often(1, 200, PERIOD_MS);
        read_often(1, 200 + size, PERIOD_MS);
    }
}

START_TEST(noisier_than_a_near_body_is_blocked)
{
    swing(54);
    ck_assert_double_eq_tol(told().noise_mm, 2.83, 0.06);
    ck_assert(!told().blocked);
    begin_anew();
    swing(61);
    ck_assert_double_eq_tol(told().noise_mm, 3.20, 0.06);
    ck_assert(told().blocked);
}
END_TEST

/* So many readings of what lies 6 cm behind, in groups with as many of the body between. */
static void jump(int groups, int each, int between)
{
    for (int g = 0; g < groups; g++) {
        read_often(each, 2600, PERIOD_MS);
        read_often(between, 2000, PERIOD_MS);
    }
}

START_TEST(two_levels_take_six_jumps_and_a_twentieth)
{
    read_often(40, 2000, PERIOD_MS);
    jump(3, 5, 30); /* 15 of 145, there and back three times */
    ck_assert(told().two_levels);
    begin_anew();
    jump(3, 5, 30); /* it began over there: five */
    ck_assert(!told().two_levels);
    begin_anew();
    read_often(30, 2000, PERIOD_MS);
    jump(5, 2, 30); /* 10 of 190: 0.0526 */
    ck_assert(told().two_levels);
    begin_anew();
    read_often(50, 2000, PERIOD_MS);
    jump(5, 2, 30); /* 10 of 210: 0.0476 */
    ck_assert(!told().two_levels);
}
END_TEST

/* Looked at once a second: from 0 to 10 s the same, which is stuck at 3, 4, ... 10 s. */
START_TEST(what_was_wrong_is_counted_by_the_second)
{
    read_often(501, 4000, PERIOD_MS);
    ck_assert_double_eq(told().stuck_s, 8.0);
}
END_TEST

static bool differs(int samples, double announced_hz)
{
    struct rig_health health;
    begin_anew();
    read_often(samples, 4000, PERIOD_MS);
    memset(&health, 0, sizeof health);
    health.announced_rate_hz = announced_hz;
    health_read(monitor, &health);
    return health.rate_differs;
}

START_TEST(a_rate_differs_by_a_twentieth)
{
    ck_assert(!differs(100, 47.7)); /* 4.8 % */
    ck_assert(differs(100, 47.5));  /* 5.3 % */
    ck_assert(!differs(100, 52.5)); /* 4.8 % */
    ck_assert(differs(100, 52.8));  /* 5.3 % */
    ck_assert(!differs(9, 40));
    ck_assert(differs(10, 40));
}
END_TEST

START_TEST(few_good_readings_have_their_limits)
{
    struct channel_health health = {.recent_valid_share = 0.91};
    ck_assert_int_eq(health_trouble(&health), HEALTH_WELL);
    health.recent_valid_share = 0.89;
    ck_assert_int_eq(health_trouble(&health), HEALTH_GAPS);
    health.recent_valid_share = 0.0105;
    ck_assert_int_eq(health_trouble(&health), HEALTH_GAPS);
    health.recent_valid_share = 0.0095;
    ck_assert_int_eq(health_trouble(&health), HEALTH_NO_READING);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("health_rules");
    TCase *tests = tcase_create("health_rules");
    tcase_add_checked_fixture(tests, begin, end);
    tcase_add_test(tests, stuck_takes_more_than_twenty_readings);
    tcase_add_test(tests, steps_over_three_millimetres_are_coarse);
    tcase_add_test(tests, a_window_is_blocked_after_a_bound);
    tcase_add_test(tests, nearer_than_can_be_measured_is_blocked);
    tcase_add_test(tests, noisier_than_a_near_body_is_blocked);
    tcase_add_test(tests, two_levels_take_six_jumps_and_a_twentieth);
    tcase_add_test(tests, what_was_wrong_is_counted_by_the_second);
    tcase_add_test(tests, a_rate_differs_by_a_twentieth);
    tcase_add_test(tests, few_good_readings_have_their_limits);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
