/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/random.h"
#include "rig/health.h"
#include "support/test_main.h"
#include "support/test_seed.h"

#include <math.h>
#include <string.h>

static struct sample sample_at(int64_t time_us, double range_mm)
{
    struct sample sample;
    memset(&sample, 0, sizeof sample);
    sample.time_us = time_us;
    sample.range_tenth_mm[0] = (int32_t)lround(range_mm * 10);
    return sample;
}

static struct rig_health read_health(const struct health_monitor *monitor, double announced_hz)
{
    struct rig_health health;
    memset(&health, 0, sizeof health);
    health.announced_rate_hz = announced_hz;
    health_read(monitor, &health);
    return health;
}

START_TEST(rate_gap_and_lost_are_measured)
{
    struct health_monitor *monitor = health_create(1);
    struct rig_health health = read_health(monitor, 50);
    ck_assert_double_eq(health.rate_hz, 0);
    ck_assert(!health.rate_differs);
    for (int i = 0; i < 1000; i++) {
        struct sample sample = sample_at(i * 20000 + (i >= 300 ? 740000 : 0), 400);
        sample.lost_before = i == 300 ? 37 : 0;
        health_add(monitor, &sample);
    }
    health = read_health(monitor, 50);
    ck_assert_double_eq_tol(health.rate_hz, 50, 1e-9);
    ck_assert(!health.rate_differs);
    ck_assert_double_eq_tol(health.worst_gap_ms, 760, 1e-9);
    ck_assert_uint_eq(health.samples, 1000);
    ck_assert_uint_eq(health.lost, 37);
    ck_assert_int_eq(health.channel_count, 1);
    ck_assert(read_health(monitor, 45).rate_differs);  /* 11 % */
    ck_assert(!read_health(monitor, 48).rate_differs); /* 4 % */
    ck_assert(!read_health(monitor, 0).rate_differs);  /* nothing announced */
    health_destroy(monitor);
}
END_TEST

/* A rig of 50 a second of which every second or fifth sample is lost sends 50 a second. */
START_TEST(losses_are_no_other_rate)
{
    for (int every = 2; every <= 5; every += 3) {
        struct health_monitor *monitor = health_create(1);
        for (int i = 0; i < 1000; i++) {
            bool lost_one = every == 2 || i % 4 == 0;
            int64_t place = every == 2 ? 2 * i : i + i / 4;
            struct sample sample = sample_at(place * 20000, 400);
            sample.lost_before = i > 0 && lost_one ? 1 : 0;
            health_add(monitor, &sample);
        }
        struct rig_health health = read_health(monitor, 50);
        ck_assert_double_eq_tol(health.rate_hz, 50 - 50.0 / every, 0.25);
        ck_assert_double_eq_tol(health.sent_rate_hz, 50, 1e-9);
        ck_assert(!health.rate_differs);
        ck_assert(read_health(monitor, 25).rate_differs);
        health_destroy(monitor);
    }
    /* What was lost before the first sample of the window does not count. */
    struct health_monitor *monitor = health_create(1);
    for (int i = 0; i < 100; i++) {
        struct sample sample = sample_at(20000000 + i * 20000, 400);
        sample.lost_before = i == 0 ? 999 : 0;
        health_add(monitor, &sample);
    }
    ck_assert_double_eq_tol(read_health(monitor, 50).sent_rate_hz, 50, 1e-9);
    health_destroy(monitor);
}
END_TEST

START_TEST(noise_is_found_under_steps_of_the_sensor_and_movement)
{
    /* Normal noise of 2.1 mm SD in steps of 1 mm, on a body that moves 60 mm up and down in 4 s. */
    static const double quanta_mm[] = {0.1, 1, 2};
    for (size_t i = 0; i < 3; i++) {
        struct random_source source;
        random_seed(&source, test_seed(11));
        struct health_monitor *monitor = health_create(1);
        double sum = 0;
        int reads = 0;
        for (int n = 0; n < 6000; n++) {
            double moving_mm = 400 + 30 * sin(2 * 3.14159265358979 * n / 400.0);
            double noisy_mm = moving_mm + 2.1 * random_normal(&source);
            struct sample sample =
                sample_at(n * 10000, quanta_mm[i] * round(noisy_mm / quanta_mm[i]));
            health_add(monitor, &sample);
            if (n >= 500 && n % 500 == 0) {
                sum += read_health(monitor, 0).channel[0].noise_mm;
                reads++;
            }
        }
        /* 500 differences a window: the MAD's standard error is about 5 %, over 11 windows 1.6 %;
         * steps add their own variance of a twelfth, the movement a little. */
        double wanted_mm = sqrt(2.1 * 2.1 + quanta_mm[i] * quanta_mm[i] / 12);
        ck_assert_double_eq_tol(sum / reads, wanted_mm, 0.08 * wanted_mm);
        struct rig_health health = read_health(monitor, 0);
        ck_assert_double_eq_tol(health.channel[0].quantum_mm, quanta_mm[i], 1e-9);
        ck_assert(!health.channel[0].stuck && !health.channel[0].blocked);
        health_destroy(monitor);
    }
}
END_TEST

START_TEST(missing_and_doubtful_readings_are_told_apart)
{
    struct health_monitor *monitor = health_create(2);
    for (int i = 0; i < 2000; i++) {
        struct sample sample = sample_at(i * 10000, 400 + i % 3);
        sample.range_tenth_mm[1] = 3000 + i % 7;
        sample.quality[0] = i % 10 == 0   ? READING_MISSING
                            : i % 10 == 1 ? READING_WEAK
                                          : READING_GOOD;
        sample.quality[1] = i >= 1750 ? READING_OUT_OF_RANGE : READING_GOOD;
        health_add(monitor, &sample);
    }
    struct rig_health health = read_health(monitor, 0);
    ck_assert_uint_eq(health.channel[0].readings, 2000);
    ck_assert_uint_eq(health.channel[0].missing, 200);
    ck_assert_uint_eq(health.channel[0].doubtful, 200);
    ck_assert_double_eq_tol(health.channel[0].recent_valid_share, 0.8, 0.005);
    ck_assert_double_eq_tol(health.channel[1].recent_valid_share, 0.5, 0.005);
    ck_assert_uint_eq(health.channel[1].doubtful, 250);
    health_destroy(monitor);
}
END_TEST

START_TEST(a_stuck_reading_needs_time_and_number)
{
    struct health_monitor *monitor = health_create(1);
    int64_t time_us = 0;
    for (int i = 0; i < 50; i++, time_us += 20000) {
        struct sample sample = sample_at(time_us, 400 + i % 2);
        health_add(monitor, &sample);
    }
    for (int i = 0; i < 99; i++, time_us += 20000) {
        struct sample sample = sample_at(time_us, 412);
        sample.quality[0] = i % 5 == 0 ? READING_MISSING : READING_GOOD; /* gaps don't free it */
        health_add(monitor, &sample);
    }
    ck_assert(!read_health(monitor, 0).channel[0].stuck); /* 1.96 s */
    for (int i = 0; i < 5; i++, time_us += 20000) {
        struct sample sample = sample_at(time_us, 412);
        health_add(monitor, &sample);
    }
    ck_assert(read_health(monitor, 0).channel[0].stuck);
    struct sample moved = sample_at(time_us, 413);
    health_add(monitor, &moved);
    ck_assert(!read_health(monitor, 0).channel[0].stuck);
    health_destroy(monitor);
    monitor = health_create(1);
    for (int i = 0; i < 15; i++) { /* 5 Hz: 15 equal readings in 3 s are not enough */
        struct sample sample = sample_at(i * 200000, 412);
        health_add(monitor, &sample);
    }
    ck_assert(!read_health(monitor, 0).channel[0].stuck);
    health_destroy(monitor);
}
END_TEST

START_TEST(a_blocked_window_gives_small_ranges_only)
{
    struct health_monitor *monitor = health_create(1);
    int64_t time_us = 0;
    for (int i = 0; i < 50; i++, time_us += 20000) {
        struct sample sample = sample_at(time_us, i % 10 == 9 ? 400 : 10 + i % 20);
        health_add(monitor, &sample);
    }
    ck_assert(!read_health(monitor, 0).channel[0].blocked); /* every tenth sees something else */
    for (int i = 0; i < 52; i++, time_us += 20000) {
        struct sample sample = sample_at(time_us, 10 + i % 20);
        sample.quality[0] = i % 4 == 0 ? READING_MISSING : READING_GOOD;
        health_add(monitor, &sample);
    }
    ck_assert(read_health(monitor, 0).channel[0].blocked);
    struct sample seen = sample_at(time_us, 35);
    health_add(monitor, &seen);
    ck_assert(!read_health(monitor, 0).channel[0].blocked);
    health_destroy(monitor);
}
END_TEST

/* Seconds of samples at 50/s: a range, its noise's SD, both in mm, rounded to 1 mm as sensors do.
 */
struct made {
    struct health_monitor *monitor;
    struct random_source source;
    int64_t time_us;
};

static void make(struct made *made, double seconds, double range_mm, double noise_mm)
{
    for (int i = 0; i < seconds * 50; i++, made->time_us += 20000) {
        double mm = round(range_mm + noise_mm * random_normal(&made->source));
        struct sample sample = sample_at(made->time_us, mm > 0 ? mm : 0);
        health_add(made->monitor, &sample);
    }
}

static struct made made_start(void)
{
    struct made made = {.monitor = health_create(1)};
    random_seed(&made.source, test_seed(21));
    return made;
}

/* A chin that comes as near as 25 mm is real: it comes there through what lies between, and is as
 * quiet there as a near surface is. */
START_TEST(a_near_body_is_no_blocked_window)
{
    struct made made = made_start();
    make(&made, 5, 25, 1); /* sits there from the start */
    ck_assert(!read_health(made.monitor, 0).channel[0].blocked);
    make(&made, 2, 60, 1);
    for (int mm = 60; mm > 25; mm--) { /* 60 to 25 mm in 0.7 s */
        make(&made, 0.02, mm, 1);
    }
    make(&made, 20, 25, 1);
    struct channel_health near = read_health(made.monitor, 0).channel[0];
    ck_assert(!near.blocked && !near.stuck && !near.two_levels);
    ck_assert_int_eq(health_trouble(&near), HEALTH_WELL);
    /* a hand on the window: at a bound */
    make(&made, 2, 200, 2);
    make(&made, 1.5, 25, 1);
    ck_assert(read_health(made.monitor, 0).channel[0].blocked);
    /* what a covered sensor invents (0 to 30 mm, without an error), from the start on */
    health_destroy(made.monitor);
    made = made_start();
    for (int i = 0; i < 100; i++) {
        make(&made, 0.02, 30 * random_uniform(&made.source), 0);
    }
    struct channel_health covered = read_health(made.monitor, 0).channel[0];
    ck_assert(covered.blocked);
    ck_assert_int_eq(health_trouble(&covered), HEALTH_BLOCKED);
    make(&made, 60, 200, 2);
    covered = read_health(made.monitor, 0).channel[0];
    ck_assert(!covered.blocked);
    ck_assert_double_ge(covered.blocked_s, 1); /* it is remembered */
    health_destroy(made.monitor);
}
END_TEST

START_TEST(two_levels_are_told_and_remembered)
{
    struct made made = made_start();
    make(&made, 10, 200, 2);
    ck_assert(!read_health(made.monitor, 0).channel[0].two_levels);
    for (int i = 0; i < 500; i++) { /* every third reading sees what is 60 mm behind */
        make(&made, 0.02, random_uniform(&made.source) < 0.33 ? 260 : 200, 2);
    }
    struct channel_health health = read_health(made.monitor, 0).channel[0];
    ck_assert(health.two_levels);
    ck_assert_double_eq_tol(health.levels_apart_mm, 60, 2);
    ck_assert_int_eq(health_trouble(&health), HEALTH_TWO_LEVELS);
    ck_assert_str_eq(health_trouble_word(HEALTH_TWO_LEVELS), "sees two things");
    make(&made, 10, 200, 2);
    health = read_health(made.monitor, 0).channel[0];
    ck_assert(!health.two_levels);
    ck_assert_double_ge(health.two_levels_s, 8);
    ck_assert_double_le(health.two_levels_s, 16); /* 10 s, and 5 s of the window behind them */
    /* a body that sits up and down by as much within 0.3 s, and outliers far and wide, are none */
    for (int i = 0; i < 40; i++) {
        for (int k = 0; k <= 15; k++) {
            make(&made, 0.02, 200 + 60 * (i % 2 ? k : 15 - k) / 15.0, 2);
        }
        make(&made, 0.5, i % 2 ? 260 : 200, 2);
    }
    for (int i = 0; i < 1000; i++) {
        bool outlier = random_uniform(&made.source) < 0.08;
        make(&made, 0.02, outlier ? 50 + 900 * random_uniform(&made.source) : 200, 2);
        ck_assert(!read_health(made.monitor, 0).channel[0].two_levels);
    }
    ck_assert_double_eq(read_health(made.monitor, 0).channel[0].two_levels_s, health.two_levels_s);
    health_destroy(made.monitor);
}
END_TEST

/* A sensor of whole centimetres gives one number for seconds: a posture is that still. */
START_TEST(coarse_readings_may_stand_longer)
{
    struct made made = made_start();
    make(&made, 1, 190, 0);
    make(&made, 3.5, 200, 0);
    struct channel_health health = read_health(made.monitor, 0).channel[0];
    ck_assert_double_eq(health.quantum_mm, 10);
    ck_assert(!health.stuck);
    make(&made, 2.5, 200, 0);
    health = read_health(made.monitor, 0).channel[0];
    ck_assert(health.stuck);
    ck_assert_int_eq(health_trouble(&health), HEALTH_STUCK);
    make(&made, 2, 210, 0);
    health = read_health(made.monitor, 0).channel[0];
    ck_assert(!health.stuck);
    ck_assert_double_ge(health.stuck_s, 1);
    health_destroy(made.monitor);
}
END_TEST

/* Two seconds, or three readings' time of a slow rig. */
START_TEST(overdue_samples_are_silence)
{
    static const struct {
        double rate_hz, since_s;
        bool silent;
    } cases[] = {
        {50.0, 2.0, false}, {50.0, 2.01, true}, {1.5, 2.01, true}, {1.0, 3.0, false},
        {1.0, 3.01, true},  {0.5, 6.0, false},  {0.5, 6.01, true}, {0.0, 60.0, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const struct rig_health health = {.rate_hz = cases[i].rate_hz};
        ck_assert_int_eq(health_is_silent(&health, cases[i].since_s), cases[i].silent);
    }
    ck_assert(!health_is_mute(&(struct rig_health){.samples = 9}));
    ck_assert(health_is_mute(&(struct rig_health){.silent = true}));
    ck_assert(health_is_mute(&(struct rig_health){.link_down = true}));
}
END_TEST

START_TEST(what_is_wrong_has_words)
{
    struct channel_health health = {.recent_valid_share = 1};
    ck_assert_int_eq(health_trouble(&health), HEALTH_WELL);
    health.recent_valid_share = 0.8;
    ck_assert_int_eq(health_trouble(&health), HEALTH_GAPS);
    health.two_levels = true;
    ck_assert_int_eq(health_trouble(&health), HEALTH_TWO_LEVELS);
    health.recent_valid_share = 0;
    ck_assert_int_eq(health_trouble(&health), HEALTH_NO_READING);
    health.stuck = true;
    ck_assert_int_eq(health_trouble(&health), HEALTH_STUCK);
    health.blocked = true;
    ck_assert_int_eq(health_trouble(&health), HEALTH_BLOCKED);
    for (int i = 0; i < HEALTH_TROUBLES; i++) {
        ck_assert_uint_gt(strlen(health_trouble_word((enum health_trouble)i)), 1);
        ck_assert_uint_gt(strlen(health_trouble_sentence((enum health_trouble)i)), 10);
    }
}
END_TEST

START_TEST(jitter_is_that_of_the_arrival)
{
    struct health_monitor *monitor = health_create(1);
    struct random_source source;
    random_seed(&source, test_seed(4));
    for (int i = 0; i < 1000; i++) {
        struct sample sample = sample_at(i * 10000, 400);
        sample.delay_us = 5000 + (int64_t)(3000 * random_normal(&source));
        health_add(monitor, &sample);
    }
    /* 500 samples: standard error of an SD is 1 / sqrt(2 * 499) = 3.2 %. */
    ck_assert_double_eq_tol(read_health(monitor, 0).arrival_jitter_ms, 3, 3 * 0.032 * 4);
    health_destroy(monitor);
}
END_TEST

START_TEST(a_fast_rig_fills_a_shorter_window)
{
    struct health_monitor *monitor = health_create(8);
    for (int i = 0; i < 50000; i++) {
        struct sample sample = sample_at(i * 100, 400 + i % 2);
        health_add(monitor, &sample);
    }
    struct rig_health health = read_health(monitor, 10000);
    ck_assert_double_eq_tol(health.rate_hz, 10000, 1e-6);
    ck_assert_double_eq(health.channel[0].recent_valid_share, 1);
    health_destroy(monitor);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("health");
    TCase *one = tcase_create("health");
    tcase_add_test(one, rate_gap_and_lost_are_measured);
    tcase_add_test(one, losses_are_no_other_rate);
    tcase_add_test(one, noise_is_found_under_steps_of_the_sensor_and_movement);
    tcase_add_test(one, missing_and_doubtful_readings_are_told_apart);
    tcase_add_test(one, a_stuck_reading_needs_time_and_number);
    tcase_add_test(one, a_blocked_window_gives_small_ranges_only);
    tcase_add_test(one, a_near_body_is_no_blocked_window);
    tcase_add_test(one, two_levels_are_told_and_remembered);
    tcase_add_test(one, coarse_readings_may_stand_longer);
    tcase_add_test(one, overdue_samples_are_silence);
    tcase_add_test(one, what_is_wrong_has_words);
    tcase_add_test(one, jitter_is_that_of_the_arrival);
    tcase_add_test(one, a_fast_rig_fills_a_shorter_window);
    suite_add_tcase(suite, one);
    return test_main(suite);
}
