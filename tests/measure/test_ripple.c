/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Lines in the spectrum of a still sensor, as they show through its rate of readings. */
#include "reference.h"

#include "base/angle.h"
#include "base/random.h"
#include "measure/ripple.h"
#include "measure/spectrum.h"
#include "support/test_seed.h"

#define COUNT 3000

static double range_mm[COUNT];

struct simulated {
    double rate_hz, noise_mm, walk_mm, quantum_mm, amplitude_mm, hz, missing_share;
};

static struct ripple simulate(struct random_source *random, const struct simulated *s)
{
    struct ripple ripple;
    double walk = 0, phase = 2 * PI * random_uniform(random);
    for (size_t i = 0; i < COUNT; i++) {
        double t = (double)i / s->rate_hz;
        walk += s->walk_mm * random_normal(random);
        double at = 400 + walk + s->noise_mm * random_normal(random) +
                    s->amplitude_mm * sin(2 * PI * s->hz * t + phase);
        bool missing = random_uniform(random) < s->missing_share;
        range_mm[i] = missing             ? (double)NAN
                      : s->quantum_mm > 0 ? s->quantum_mm * rint(at / s->quantum_mm)
                                          : at;
    }
    ck_assert_int_eq(ripple_find(range_mm, COUNT, s->rate_hz, &ripple), MEASURE_OK);
    return ripple;
}

START_TEST(a_line_is_found_where_it_shows)
{
    static const struct {
        struct simulated s;
        double shows_hz, mains_hz;
    } cases[] = {
        {{55, 1.8, 0, 1, 1.0, 100, 0.004}, 10, 100}, /* lamps on 50 Hz */
        {{50.2, 1.8, 0, 1, 1.0, 120, 0.004}, 19.6, 120},
        {{47, 1.8, 0.005, 1, 1.0, 50, 0.004}, 3, 50},
        {{47, 1.8, 0.005, 1, 1.0, 60, 0.004}, 13, 60}, /* a supply on 60 Hz; 120 would show at 21 */
        /* Where two of them show at the same place: lamps before supplies, the more usual grid. */
        {{70, 1.8, 0, 1, 1.0, 120, 0.004}, 20, 120},
        {{55, 1.8, 0, 1, 1.0, 50, 0.004}, 5, 50},
        {{50, 1.0, 0, 0.1, 0.6, 7.3, 0.04}, 7.3, 0}, /* a fan */
        {{25, 2.0, 0, 1, 1.5, 11.2, 0}, 11.2, 0},
    };
    struct random_source random;
    random_seed(&random, test_seed(61));
    for (size_t k = 0; k < sizeof cases / sizeof cases[0]; k++) {
        int found = 0;
        for (int run = 0; run < 20; run++) {
            struct ripple ripple = simulate(&random, &cases[k].s);
            if (!ripple.found) {
                continue;
            }
            found++;
            ck_assert_double_eq_tol(ripple.hz, cases[k].shows_hz, 0.12);
            ck_assert_double_eq_tol(ripple.amplitude_mm, cases[k].s.amplitude_mm, 0.35);
            ck_assert_double_eq(ripple.mains_hz, cases[k].mains_hz);
        }
        printf("  ripple %zu: found in %d of 20\n", k, found);
        ck_assert_int_ge(found, 19);
    }
}
END_TEST

START_TEST(none_is_made_up)
{
    static const struct simulated cases[] = {
        {.rate_hz = 50, .noise_mm = 1.8, .quantum_mm = 1},
        {.rate_hz = 50, .noise_mm = 1.8, .walk_mm = 0.05, .quantum_mm = 1},
        {.rate_hz = 50, .noise_mm = 0.5, .walk_mm = 0.2, .quantum_mm = 0.1, .missing_share = 0.04},
        {.rate_hz = 20, .noise_mm = 4},
    };
    struct random_source random;
    random_seed(&random, test_seed(62));
    int made_up = 0;
    for (int run = 0; run < 2000; run++) {
        made_up += simulate(&random, &cases[run % 4]).found ? 1 : 0;
    }
    printf("  ripple: %d made up of 2000\n", made_up);
    ck_assert_int_le(made_up, 10);
}
END_TEST

START_TEST(too_little_tells_nothing)
{
    struct ripple ripple;
    ck_assert_int_eq(ripple_find(range_mm, 60, 50, &ripple), MEASURE_TOO_FEW);
    ck_assert(!ripple.found);
    const double no_rate[] = {0.0, -50.0, (double)NAN, 1.0};
    for (size_t i = 0; i < sizeof no_rate / sizeof no_rate[0]; i++) {
        ck_assert_int_eq(ripple_find(range_mm, COUNT, no_rate[i], &ripple), MEASURE_TOO_FEW);
        ck_assert(!ripple.found);
    }
    for (int i = 0; i < COUNT; i++) {
        range_mm[i] = NAN;
    }
    ck_assert_int_eq(ripple_find(range_mm, COUNT, 50, &ripple), MEASURE_OK);
    ck_assert(!ripple.found);
    for (int i = 0; i < COUNT; i++) {
        range_mm[i] = 400;
    }
    ck_assert_int_eq(ripple_find(range_mm, COUNT, 50, &ripple), MEASURE_OK);
    ck_assert(!ripple.found);
}
END_TEST

/* A strong line between two frequencies of the spectrum, a tenth of a hertz apart, is placed
 * between them; its height is that of all it is spread over. */
START_TEST(a_line_between_two_bins_is_placed_between_them)
{
    struct random_source random;
    random_seed(&random, test_seed(63));
    for (int tenth = 0; tenth <= 10; tenth++) {
        struct simulated s = {.rate_hz = 50, .noise_mm = 0.2, .amplitude_mm = 3.0};
        s.hz = 7.0 + 0.01 * tenth;
        struct ripple ripple = simulate(&random, &s);
        ck_assert(ripple.found);
        ck_assert_double_eq_tol(ripple.hz, s.hz, 0.015);
        ck_assert_double_eq_tol(ripple.amplitude_mm, 3.0, 0.1);
    }
}
END_TEST

static struct ripple simulate_quiet(double rate_hz, double amplitude_mm, double hz)
{
    struct random_source random;
    struct simulated s = {rate_hz, 0.01, 0, 0, amplitude_mm, hz, 0};
    random_seed(&random, test_seed(64));
    return simulate(&random, &s);
}

/* 0.3 mm and half a hertz at the least: what is slower is the sensor's own wander. */
START_TEST(a_ripple_has_a_least_height_and_frequency)
{
    ck_assert(!simulate_quiet(50, 0.29, 7.3).found);
    ck_assert(simulate_quiet(50, 0.31, 7.3).found);
    ck_assert(!simulate_quiet(50, 3.0, 0.2).found);
    struct ripple ripple = simulate_quiet(50, 3.0, 0.5);
    ck_assert(ripple.found);
    ck_assert_double_eq_tol(ripple.hz, 0.5, 0.01);
    ck_assert_double_eq_tol(ripple.amplitude_mm, 3.0, 0.1);
}
END_TEST

/* Of 6.4 s frequencies are known to 0.16 Hz: 0.47 Hz are below what is looked at, and what they
 * leave beyond it is told as no slower. */
START_TEST(nothing_slower_is_told)
{
    struct ripple ripple;
    for (int i = 0; i < 64; i++) {
        range_mm[i] = 400.0 + 3.0 * sin(2 * PI * 3.0 * i / 64.0) + 0.001 * (i * 7 % 5);
    }
    ck_assert_int_eq(ripple_find(range_mm, 64, 10, &ripple), MEASURE_OK);
    ck_assert(!ripple.found || ripple.hz >= 0.499);
}
END_TEST

/* In pieces of 10 s: 64 readings, with which a piece must have so many, come from 6.4 a second on.
 */
START_TEST(a_piece_has_sixty_four_readings)
{
    struct ripple ripple;
    ck_assert_int_eq(ripple_find(range_mm, COUNT, 6.39, &ripple), MEASURE_TOO_FEW);
    ck_assert_int_eq(ripple_find(range_mm, COUNT, 6.41, &ripple), MEASURE_OK);
    ck_assert_int_eq(ripple_find(range_mm, 63, 50, &ripple), MEASURE_TOO_FEW);
    ck_assert_int_eq(ripple_find(range_mm, 64, 50, &ripple), MEASURE_OK);
}
END_TEST

/* The mains are off by 2 in 1000 at the most, 0.2 Hz of 100, beside the tenth of a hertz to which a
 * frequency is known. At 47 readings a second 100 Hz show at 6. */
START_TEST(the_mains_keep_to_their_frequency)
{
    for (int side = -1; side <= 1; side += 2) {
        ck_assert_double_eq(simulate_quiet(47, 3.0, 6.0 + 0.29 * side).mains_hz, 100);
        ck_assert_double_eq(simulate_quiet(47, 3.0, 6.0 + 0.31 * side).mains_hz, 0);
    }
}
END_TEST

/* Windows of 64 readings, half overlapped: one of 64, three more of 128, none of fewer. */
START_TEST(windows_are_counted)
{
    static const double values[128] = {1.0, 2.0};
    struct spectrum *spectrum = spectrum_create(64, 10.0);
    ck_assert_ptr_nonnull(spectrum);
    ck_assert_uint_eq(spectrum_windows(spectrum), 0);
    ck_assert_uint_eq(spectrum_add(spectrum, values, 64), 1);
    ck_assert_uint_eq(spectrum_add(spectrum, values, 128), 3);
    ck_assert_uint_eq(spectrum_add(spectrum, values, 63), 0);
    ck_assert_uint_eq(spectrum_windows(spectrum), 4);
    spectrum_destroy(spectrum);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ripple");
    TCase *tests = tcase_create("ripple");
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, a_line_is_found_where_it_shows);
    tcase_add_test(tests, none_is_made_up);
    tcase_add_test(tests, too_little_tells_nothing);
    tcase_add_test(tests, a_line_between_two_bins_is_placed_between_them);
    tcase_add_test(tests, a_ripple_has_a_least_height_and_frequency);
    tcase_add_test(tests, nothing_slower_is_told);
    tcase_add_test(tests, a_piece_has_sixty_four_readings);
    tcase_add_test(tests, the_mains_keep_to_their_frequency);
    tcase_add_test(tests, windows_are_counted);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
