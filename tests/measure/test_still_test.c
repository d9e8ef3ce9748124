/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A sensor that looks at a fixed plate. */
#include "reference.h"

#include "base/random.h"
#include "measure/still_test.h"
#include "support/test_seed.h"

#define MOST 40000

static double time_s[MOST], range_mm[MOST];
static uint8_t valid[MOST];

struct simulated_sensor {
    double seconds, rate_hz, at_mm, noise_mm, quantum_mm, drift_mm_per_min, walk_mm;
    double missing_share, outlier_share, second_mm, second_share;
};

static struct still_test simulate(struct random_source *random, const struct simulated_sensor *s)
{
    struct still_test test;
    size_t count = (size_t)(s->seconds * s->rate_hz);
    double walk = 0.0;
    ck_assert_uint_le(count, MOST);
    for (size_t i = 0; i < count; i++) {
        time_s[i] = (double)i / s->rate_hz;
        walk += s->walk_mm * random_normal(random);
        double at = s->at_mm + s->drift_mm_per_min * time_s[i] / 60 + walk +
                    s->noise_mm * random_normal(random);
        if (random_uniform(random) < s->second_share) {
            at += s->second_mm;
        }
        if (random_uniform(random) < s->outlier_share) {
            at += 300;
        }
        range_mm[i] = s->quantum_mm > 0 ? s->quantum_mm * rint(at / s->quantum_mm) : at;
        valid[i] = random_uniform(random) >= s->missing_share;
    }
    struct still_input input = {time_s, range_mm, valid, count};
    ck_assert_int_eq(still_test(&input, &test), MEASURE_OK);
    return test;
}

START_TEST(good_sensor)
{
    struct random_source random;
    const struct simulated_sensor s = {.seconds = 60,
                                       .rate_hz = 50,
                                       .at_mm = 400.3,
                                       .noise_mm = 1.8,
                                       .quantum_mm = 1,
                                       .missing_share = .004,
                                       .outlier_share = .002};
    random_seed(&random, test_seed(41));
    struct still_test test = simulate(&random, &s);
    ck_assert_uint_eq(test.reasons, 0);
    /* noise and rounding to whole millimetres: sqrt(1.8^2 + 1/12) = 1.823 */
    ck_assert_double_eq_tol(test.white_mm, 1.823, 0.09);
    ck_assert_double_eq_tol(test.mean_mm, 400.3, 0.15);
    ck_assert_double_eq(test.quantum_mm, 1);
    ck_assert_double_eq_tol(test.rate_hz, 50, 0.02);
    ck_assert_double_eq_tol(test.outlier_share, .002, .002);
    ck_assert(test.has_drift);
    ck_assert_double_le(fabs(test.drift_mm_per_min), 0.5);
    ck_assert(test.has_allan);
    /* white noise: the deviation falls as one over the square root of the averaging time */
    ck_assert_double_eq_tol(test.allan.point[4].deviation, 1.823 / 4, 0.06);
}
END_TEST

/* Ten seconds are ten seconds, whenever they begin. */
START_TEST(when_it_began_tells_nothing)
{
    struct random_source random;
    const struct simulated_sensor s = {.seconds = 20, .rate_hz = 50, .at_mm = 400, .noise_mm = 2};
    random_seed(&random, 42);
    struct still_test first = simulate(&random, &s), later;
    size_t count = (size_t)(s.seconds * s.rate_hz);
    for (size_t i = 0; i < count; i++) {
        time_s[i] += 100.0;
    }
    struct still_input input = {time_s, range_mm, valid, count};
    ck_assert_int_eq(still_test(&input, &later), MEASURE_OK);
    ck_assert_double_eq_tol(later.duration_s, 19.98, 1e-9); /* of 1000 readings, 20 ms apart */
    ck_assert_double_eq_tol(later.rate_hz, 50.0, 1e-9);
    ck_assert_double_eq_tol(later.drift_mm_per_min, first.drift_mm_per_min, 1e-6);
    ck_assert_double_eq_tol(later.white_mm, first.white_mm, 1e-9);
}
END_TEST

START_TEST(drift_covers)
{
    struct random_source random;
    struct simulated_sensor s = {.seconds = 60,
                                 .rate_hz = 50,
                                 .at_mm = 400,
                                 .noise_mm = 2,
                                 .quantum_mm = .1,
                                 .drift_mm_per_min = 0.4};
    int covered = 0, runs = 1000;
    random_seed(&random, test_seed(42));
    for (int r = 0; r < runs; r++) {
        struct still_test test = simulate(&random, &s);
        covered += fabs(test.drift_mm_per_min - 0.4) <= test.drift_half_width_mm_per_min;
    }
    printf("  still test: drift's 95 %% interval covers in %.3f of %d\n", (double)covered / runs,
           runs);
    ck_assert_double_ge((double)covered / runs, 0.93);
    s.drift_mm_per_min = 2.5;
    ck_assert_uint_eq(simulate(&random, &s).reasons, STILL_DRIFTS);
}
END_TEST

START_TEST(averaging_has_a_best)
{
    /* White noise of 2 mm and a random walk of 0.02 mm a reading: avar = 4/m + 0.0004 m/3 is least
     * at m = sqrt(3 * 4 / 0.0004) = 173 readings, 3.5 s, and is 0.215 mm there. (NIST SP 1065,
     * table 3: white and random walk noise.) */
    struct random_source random;
    const struct simulated_sensor s = {
        .seconds = 600, .rate_hz = 50, .at_mm = 400, .noise_mm = 2, .walk_mm = 0.02};
    random_seed(&random, test_seed(43));
    struct still_test test = simulate(&random, &s);
    printf("  still test: best averaging %.1f s, %.3f mm\n", test.best_s, test.best_mm);
    ck_assert(test.has_allan);
    ck_assert(!test.best_is_longest);
    ck_assert_double_ge(test.best_s, 1.2);
    ck_assert_double_le(test.best_s, 10.3);
    ck_assert_double_eq_tol(test.best_mm, 0.215, 0.04);
}
END_TEST

START_TEST(bad_sensors)
{
    struct random_source random;
    const struct simulated_sensor good = {
        .seconds = 30, .rate_hz = 50, .at_mm = 400, .noise_mm = 2, .quantum_mm = 1};
    struct simulated_sensor s;
    random_seed(&random, test_seed(44));
    s = good, s.noise_mm = 0;
    ck_assert_uint_eq(simulate(&random, &s).reasons, STILL_STUCK);
    s = good, s.at_mm = 20;
    ck_assert_uint_eq(simulate(&random, &s).reasons, STILL_BLOCKED);
    s = good, s.noise_mm = 8;
    ck_assert_uint_eq(simulate(&random, &s).reasons, STILL_NOISY);
    s = good, s.missing_share = .12;
    struct still_test test = simulate(&random, &s);
    ck_assert_uint_eq(test.reasons, STILL_DROPS);
    ck_assert(!test.has_allan);
    s = good, s.second_mm = 60, s.second_share = .25;
    ck_assert(simulate(&random, &s).reasons & STILL_TWO_LEVELS);
}
END_TEST

START_TEST(a_body_is_not_still)
{
    /* breathing of 3 mm and nothing else wrong; and how often a good sensor is said to wander */
    struct random_source random;
    const struct simulated_sensor good = {
        .seconds = 60, .rate_hz = 50, .at_mm = 400, .noise_mm = 2, .quantum_mm = 1};
    struct still_test test;
    int imagined = 0;
    random_seed(&random, test_seed(45));
    for (int i = 0; i < 300; i++) {
        imagined += simulate(&random, &good).reasons != 0;
    }
    printf("  still test: good sensors doubted %d of 300\n", imagined);
    ck_assert_int_le(imagined, 3);
    simulate(&random, &good);
    for (size_t i = 0; i < 3000; i++) {
        range_mm[i] = rint(range_mm[i] + 3 * sin(6.2832 * 0.3 * time_s[i]));
    }
    struct still_input input = {time_s, range_mm, valid, 3000};
    ck_assert_int_eq(still_test(&input, &test), MEASURE_OK);
    ck_assert_uint_eq(test.reasons, STILL_WANDERS);
}
END_TEST

/* Lamps at 100 Hz through 55.2 readings a second show at 10.4 Hz. No fault of the sensor's. */
START_TEST(a_ripple_is_told)
{
    struct random_source random;
    const struct simulated_sensor good = {.seconds = 60,
                                          .rate_hz = 55.2,
                                          .at_mm = 400,
                                          .noise_mm = 1.8,
                                          .quantum_mm = 1,
                                          .missing_share = .01,
                                          .outlier_share = .002};
    struct still_test test;
    random_seed(&random, test_seed(46));
    ck_assert(!simulate(&random, &good).ripple.found);
    for (size_t i = 0; i < 3312; i++) {
        range_mm[i] = rint(range_mm[i] + 1.2 * sin(6.283185 * 100 * time_s[i]));
    }
    struct still_input input = {time_s, range_mm, valid, 3312};
    ck_assert_int_eq(still_test(&input, &test), MEASURE_OK);
    ck_assert(test.ripple.found);
    ck_assert_double_eq_tol(test.ripple.hz, 10.4, 0.1);
    ck_assert_double_eq(test.ripple.mains_hz, 100);
    ck_assert_uint_eq(test.reasons, 0);
}
END_TEST

/* 16 mm that go away by exp(-t / 3 min): after 5 min it drifts by 1.0 mm a minute, and by half of
 * that 3 ln 2 = 2.1 min later. */
START_TEST(what_warms_up_is_told_from_a_steady_drift)
{
    struct random_source random;
    struct simulated_sensor s = {
        .seconds = 300, .rate_hz = 50, .at_mm = 400, .noise_mm = 2, .drift_mm_per_min = 1.5};
    struct still_test test;
    int warms = 0;
    random_seed(&random, test_seed(47));
    for (int i = 0; i < 50; i++) {
        warms += simulate(&random, &s).warms_minutes > 0;
    }
    ck_assert_int_le(warms, 1);
    s.drift_mm_per_min = 0;
    simulate(&random, &s);
    for (size_t i = 0; i < 15000; i++) {
        range_mm[i] += 16 * exp(-time_s[i] / 180);
    }
    struct still_input input = {time_s, range_mm, valid, 15000};
    ck_assert_int_eq(still_test(&input, &test), MEASURE_OK);
    ck_assert(test.reasons & STILL_DRIFTS);
    printf("  still test: warms up for %.1f min more\n", test.warms_minutes);
    ck_assert_double_ge(test.warms_minutes, 1.2);
    ck_assert_double_le(test.warms_minutes, 3.2);
}
END_TEST

START_TEST(guards)
{
    struct still_test test;
    struct still_input input = {time_s, range_mm, valid, 19};
    for (size_t i = 0; i < 100; i++) {
        time_s[i] = (double)i * .02;
        range_mm[i] = 400 + (double)(i % 3);
        valid[i] = 1;
    }
    ck_assert_int_eq(still_test(&input, &test), MEASURE_TOO_FEW);
    input.count = 20;
    ck_assert_int_eq(still_test(&input, &test), MEASURE_OK);
    input.count = 100;
    ck_assert_int_eq(still_test(&input, &test), MEASURE_OK);
    ck_assert(!test.has_drift); /* two seconds */
    range_mm[50] = NAN;
    ck_assert_int_eq(still_test(&input, &test), MEASURE_NOT_FINITE);
    valid[50] = 0; /* what a missing reading holds does not matter */
    ck_assert_int_eq(still_test(&input, &test), MEASURE_OK);
    time_s[60] = time_s[59];
    ck_assert_int_eq(still_test(&input, &test), MEASURE_UNSORTED);
    time_s[60] = 1.2;
    memset(valid, 0, sizeof valid);
    ck_assert_int_eq(still_test(&input, &test), MEASURE_TOO_FEW);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("still_test");
    TCase *tests = tcase_create("still_test");
    tcase_set_timeout(tests, 60);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, good_sensor);
    tcase_add_test(tests, when_it_began_tells_nothing);
    tcase_add_test(tests, drift_covers);
    tcase_add_test(tests, averaging_has_a_best);
    tcase_add_test(tests, bad_sensors);
    tcase_add_test(tests, a_body_is_not_still);
    tcase_add_test(tests, a_ripple_is_told);
    tcase_add_test(tests, what_warms_up_is_told_from_a_steady_drift);
    tcase_add_test(tests, guards);
    return test_main(suite);
}
