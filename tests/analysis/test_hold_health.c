/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What is said of the sensors during a hold, on samples made for it. */

#include "analysis/hold_health.h"
#include "base/random.h"
#include "support/test_main.h"
#include "support/test_seed.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define COUNT 3000

/* 60 s at 50 samples/s: channel 0 white noise of 2 mm about 300, channel 1 the same number for 3 s
 * in the middle, channel 2 under 30 mm for 2 s, channel 3 sees what is 50 mm behind every third
 * second (too seldom a change for any 5 s). */
static void make(struct sample *samples)
{
    struct random_source random;
    random_seed(&random, test_seed(5));
    memset(samples, 0, COUNT * sizeof *samples);
    for (int i = 0; i < COUNT; i++) {
        samples[i].number = i + 1;
        samples[i].time_us = i * INT64_C(20000);
        samples[i].range_tenth_mm[0] =
            (int32_t)lround(10.0 * round(300.0 + 2.0 * random_normal(&random)));
        samples[i].range_tenth_mm[1] =
            i > 1000 && i < 1150 ? 2500
                                 : (int32_t)lround(10.0 * round(250.0 + random_normal(&random)));
        samples[i].range_tenth_mm[2] =
            i > 2000 && i < 2100 ? (int32_t)(100 + 10 * (i % 7)) : 2000 + (int32_t)(10 * (i % 5));
        samples[i].range_tenth_mm[3] =
            (i / 50 % 3 == 2 ? 2500 : 2000) + (int32_t)lround(10.0 * round(random_normal(&random)));
    }
    samples[100].quality[0] = READING_MISSING;
    samples[101].quality[0] = READING_WEAK;
    samples[500].lost_before = 4;
    samples[700].link_gap_before = true;
}

START_TEST(a_holds_sensors_are_described)
{
    struct sample *samples = calloc(COUNT, sizeof *samples);
    struct hold_health health;
    ck_assert_ptr_nonnull(samples);
    make(samples);
    hold_health_of(samples, COUNT, 4, &health);
    ck_assert(health.known);
    ck_assert_double_eq_tol(health.rate_hz, 50.0, 1e-9);
    ck_assert_double_eq_tol(health.worst_gap_ms, 20.0, 1e-9);
    ck_assert_uint_eq(health.lost, 4);
    ck_assert(health.link_gap);
    ck_assert_uint_eq(health.channel[0].missing, 1);
    ck_assert_uint_eq(health.channel[0].doubtful, 1);
    ck_assert_uint_eq(health.channel[0].readings, COUNT);
    ck_assert_double_eq_tol(health.channel[0].noise_mm, 2.0, 0.5);
    ck_assert_double_eq_tol(health.channel[0].quantum_mm, 1.0, 1e-9);
    ck_assert(!health.channel[0].stuck && !health.channel[0].blocked);
    ck_assert(health.channel[1].stuck && !health.channel[1].blocked);
    ck_assert(health.channel[2].blocked && !health.channel[2].stuck);
    ck_assert(health.channel[3].two_levels && !health.channel[3].blocked);
    for (int c = 0; c < 3; c++) {
        ck_assert(!health.channel[c].two_levels);
    }
    free(samples);
}
END_TEST

START_TEST(too_little_is_not_described)
{
    struct sample sample = {.number = 1};
    struct hold_health health;
    hold_health_of(&sample, 1, 2, &health);
    ck_assert(!health.known);
}
END_TEST

/* Members of JSON in their order, names of columns. */
START_TEST(rows_are_the_public_ones)
{
    static const struct {
        const char *key, *unit;
        size_t offset;
        int decimals;
    } rows[] = {
        {"missing", "", offsetof(struct sensor_health, missing), 0},
        {"doubtful", "", offsetof(struct sensor_health, doubtful), 0},
        {"noise_mm", "mm", offsetof(struct sensor_health, noise_mm), 2},
        {"quantum_mm", "mm", offsetof(struct sensor_health, quantum_mm), 2},
        {"stuck", "", offsetof(struct sensor_health, stuck), 0},
        {"blocked", "", offsetof(struct sensor_health, blocked), 0},
        {"two_levels", "", offsetof(struct sensor_health, two_levels), 0},
    };
    ck_assert_int_eq(sensor_measure_count, (int)(sizeof rows / sizeof rows[0]));
    for (int i = 0; i < sensor_measure_count; i++) {
        const struct hold_measure *measure = &sensor_measures[i];
        ck_assert_str_eq(measure->key, rows[i].key);
        ck_assert_str_eq(measure->heading, rows[i].key);
        ck_assert_str_eq(measure->unit, rows[i].unit);
        ck_assert_uint_eq(measure->member.offset, rows[i].offset);
        ck_assert_int_eq(measure->decimals, rows[i].decimals);
        ck_assert_int_eq(measure->group, HOLD_READINGS);
        ck_assert_int_eq(measure->needs, NEEDS_NOTHING);
    }
}
END_TEST

/* Three hours: what each half second had is thinned out, and its middle stays the noise. Nothing is
 * known of no watch. */
START_TEST(a_long_ride_has_its_noise)
{
    enum { PIECE = 1000, PIECES = 216 };
    static struct sample samples[PIECE];
    struct random_source random;
    struct hold_health health;
    random_seed(&random, test_seed(6));
    struct hold_health_watch *watch = hold_health_begin(1);
    ck_assert_ptr_nonnull(watch);
    for (int p = 0; p < PIECES; p++) {
        for (int i = 0; i < PIECE; i++) {
            int64_t number = (int64_t)p * PIECE + i;
            samples[i] = (struct sample){.number = number + 1, .time_us = number * 50000};
            samples[i].range_tenth_mm[0] =
                (int32_t)lround(10.0 * (300.0 + 2.0 * random_normal(&random)));
        }
        hold_health_add(watch, samples, PIECE);
    }
    hold_health_end(watch, &health);
    ck_assert(health.known);
    ck_assert_double_eq_tol(health.channel[0].noise_mm, 2.0, 0.3);
    ck_assert_uint_eq(health.channel[0].readings, PIECE * PIECES);
    hold_health_end(NULL, &health);
    ck_assert(!health.known);
}
END_TEST

/* A beam that changes over in one minute of ten does so; in one of eleven it does not. */
static void check_minutes(struct sample *samples, int minutes)
{
    struct hold_health health;
    struct hold_health_watch *watch = hold_health_begin(4);
    ck_assert_ptr_nonnull(watch);
    make(samples);
    for (int piece = 0; piece < minutes; piece++) {
        for (int i = 0; i < COUNT; i++) {
            samples[i].time_us += piece > 0 ? INT64_C(60000000) : 0;
            samples[i].range_tenth_mm[3] = piece > 0 ? 2000 + i % 7 : samples[i].range_tenth_mm[3];
        }
        hold_health_add(watch, samples, COUNT);
    }
    hold_health_end(watch, &health);
    ck_assert(health.known && health.channel[3].two_levels == (minutes == 10));
    ck_assert_double_eq_tol(health.rate_hz, 50.0, 1e-6);
}

/* Two samples have a rate; those of one moment have none. */
START_TEST(moments_and_minutes)
{
    struct sample *samples = calloc(COUNT, sizeof *samples);
    struct hold_health health;
    ck_assert_ptr_nonnull(samples);
    hold_health_of(samples, 50, 2, &health);
    ck_assert(health.known && isnan(health.rate_hz));
    samples[1].time_us = 40000;
    hold_health_of(samples, 2, 2, &health);
    ck_assert(health.known);
    ck_assert_double_eq_tol(health.rate_hz, 25.0, 1e-9);
    ck_assert(isnan(health.channel[0].noise_mm)); /* of two nothing is known */
    ck_assert(isnan(health.channel[0].quantum_mm));
    ck_assert_double_eq(health.worst_gap_ms, 40.0);
    for (int i = 0; i < 20; i++) { /* from 20 readings on two levels are told */
        samples[i] = (struct sample){.number = i + 1, .time_us = 20000 * i};
        samples[i].range_tenth_mm[0] = i % 2 == 0 ? 2000 : 3000;
    }
    hold_health_of(samples, 19, 1, &health);
    ck_assert(!health.channel[0].two_levels);
    hold_health_of(samples, 20, 1, &health);
    ck_assert(health.channel[0].two_levels);
    check_minutes(samples, 10);
    check_minutes(samples, 11);
    hold_health_end(NULL, &health);
    ck_assert(!health.known);
    free(samples);
}
END_TEST

/* Twenty seconds of noise of 1 mm, of 4 mm, and of 2: the middle is 2, whatever came when. As many
 * sensors as there can be, each with its own. */
START_TEST(the_noise_is_the_middle_one)
{
    struct sample *samples = calloc(COUNT, sizeof *samples);
    struct random_source random;
    struct hold_health health;
    ck_assert_ptr_nonnull(samples);
    random_seed(&random, test_seed(8));
    for (int i = 0; i < COUNT; i++) {
        double sd_mm = i < COUNT / 3 ? 1.0 : i < 2 * COUNT / 3 ? 4.0 : 2.0;
        samples[i].number = i + 1;
        samples[i].time_us = i * INT64_C(20000);
        for (int c = 0; c < CHANNELS_MAX; c++) {
            samples[i].range_tenth_mm[c] =
                (int32_t)lround(10.0 * (300.0 + (c + 1) * sd_mm * random_normal(&random)));
        }
    }
    hold_health_of(samples, COUNT, CHANNELS_MAX, &health);
    for (int c = 0; c < CHANNELS_MAX; c++) {
        ck_assert_double_eq_tol(health.channel[c].noise_mm, 2.0 * (c + 1), 0.5 * (c + 1));
        ck_assert_uint_eq(health.channel[c].readings, COUNT);
    }
    free(samples);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("hold health");
    TCase *tests = tcase_create("health");
    tcase_add_test(tests, a_holds_sensors_are_described);
    tcase_add_test(tests, a_long_ride_has_its_noise);
    tcase_add_test(tests, rows_are_the_public_ones);
    tcase_add_test(tests, too_little_is_not_described);
    tcase_add_test(tests, moments_and_minutes);
    tcase_add_test(tests, the_noise_is_the_middle_one);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
