/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "summarised_hold.h"

#include "base/random.h"
#include "support/test_seed.h"

#include <math.h>
#include <stdio.h>

/* What must not matter to a hold's summary (shifts, scales), bad input, garbage. */

START_TEST(shift_and_scale)
{
    unsigned seed = 515;
    struct random_source random;
    random_seed(&random, test_seed(seed));
    printf("  property: shift and scale of a hold, seed %u\n", seed);
    for (int run = 0; run < 30; run++) {
        simulate((unsigned)random_u64(&random), &quiet, 60.0);
        struct hold_settings settings = with_band(902.0, 9.0, 12.0);
        struct hold_summary a = summarise(&settings);
        double shift = 200.0 * random_normal(&random);
        for (size_t i = 0; i < hold.count; i++) {
            hold.height_mm[i] += shift;
        }
        settings.target_mm += shift;
        struct hold_summary b = summarise(&settings);
        ck_assert_double_eq_tol(b.mean_mm, a.mean_mm + shift, 1e-8);
        ck_assert_double_eq_tol(b.mean_half_width_mm, a.mean_half_width_mm, 1e-7);
        ck_assert_double_eq_tol(b.steadiness_mm, a.steadiness_mm, 1e-7);
        ck_assert_double_eq_tol(b.creep_mm_per_min, a.creep_mm_per_min, 1e-7);
        ck_assert_double_eq_tol(b.in_band_share, a.in_band_share, 1e-9);
        ck_assert_int_eq(b.excursions_high, a.excursions_high);
        ck_assert_int_eq(b.excursions_low, a.excursions_low);
        ck_assert_uint_eq(b.outliers, a.outliers);
        /* turned upside down: high becomes low */
        for (size_t i = 0; i < hold.count; i++) {
            hold.height_mm[i] = -hold.height_mm[i];
        }
        settings = with_band(-settings.target_mm, 12.0, 9.0);
        struct hold_summary c = summarise(&settings);
        ck_assert_double_eq_tol(c.mean_mm, -b.mean_mm, 1e-8);
        ck_assert_int_eq(c.excursions_high, b.excursions_low);
        ck_assert_int_eq(c.excursions_low, b.excursions_high);
        ck_assert_double_eq_tol(c.excursion_peak_mm, -b.excursion_peak_mm, 1e-7);
        ck_assert_double_eq_tol(c.mean_half_width_mm, b.mean_half_width_mm, 1e-7);
    }
}
END_TEST

static int all_finite(const struct hold_summary *s)
{
    const double values[] = {s->effective_rate_hz,
                             s->valid_share,
                             s->longest_gap_s,
                             s->cut_start_s,
                             s->cut_marked_s,
                             s->kept_s,
                             s->mean_mm,
                             s->sd_mm,
                             s->minimum_mm,
                             s->maximum_mm,
                             s->quantile_05_mm,
                             s->quantile_50_mm,
                             s->quantile_95_mm,
                             s->mean_half_width_mm,
                             s->mean_se_mm,
                             s->mean_df,
                             s->effective_n,
                             s->block_autocorrelation,
                             s->steadiness_mm,
                             s->offset_mm,
                             s->rms_target_mm,
                             s->rms_slow_mm,
                             s->rms_breathing_mm,
                             s->rms_pedalling_mm,
                             s->creep_mm_per_min,
                             s->creep_half_width_mm_per_min,
                             s->creep_robust_mm_per_min,
                             s->in_band_share,
                             s->excursion_total_s,
                             s->excursion_longest_s,
                             s->excursion_peak_mm,
                             s->longest_in_band_s,
                             s->cues_per_min,
                             s->sustain_s};
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
        if (!isfinite(values[i])) {
            return 0;
        }
    }
    return 1;
}

static enum measure_status status_of(const struct hold_input *input)
{
    struct hold_settings settings = with_band(900.0, 10.0, (double)INFINITY);
    struct hold_summary s;
    enum measure_status status = hold_summarise(input, &settings, &s);
    ck_assert_int_eq(status, s.status);
    ck_assert(all_finite(&s));
    if (status != MEASURE_OK) {
        ck_assert(!s.has_interval && !s.has_creep && !s.has_band && s.mean_mm == 0.0);
    }
    return status;
}

START_TEST(bad_input)
{
    simulate(3, &quiet, 60.0);
    struct hold_input good = simulated_input(&hold), input = good;
    ck_assert_int_eq(status_of(&good), MEASURE_OK);
    input.count = 0;
    ck_assert_int_eq(status_of(&input), MEASURE_TOO_FEW);
    input.count = 1;
    ck_assert_int_eq(status_of(&input), MEASURE_TOO_FEW);
    input.count = 5;
    ck_assert_int_eq(status_of(&input), MEASURE_TOO_FEW);
    input = good;
    input.duration_s = NAN;
    ck_assert_int_eq(status_of(&input), MEASURE_BAD_SETTING);
    input.duration_s = -1.0;
    ck_assert_int_eq(status_of(&input), MEASURE_BAD_SETTING);
    input.duration_s = 0.0; /* not said: up to the last reading */
    ck_assert_int_eq(status_of(&input), MEASURE_OK);
    input = good;
    input.rate_hz = (double)INFINITY;
    ck_assert_int_eq(status_of(&input), MEASURE_BAD_SETTING);
    struct hold_cut cut = {NAN, 3.0};
    input = good;
    input.cuts = &cut;
    input.cut_count = 1;
    ck_assert_int_eq(status_of(&input), MEASURE_BAD_SETTING);
    cut = (struct hold_cut){0.0, 60.0};
    ck_assert_int_eq(status_of(&input), MEASURE_TOO_FEW);

    double kept = hold.time_s[100];
    hold.time_s[100] = hold.time_s[99];
    ck_assert_int_eq(status_of(&good), MEASURE_UNSORTED);
    hold.time_s[100] = 0.0;
    ck_assert_int_eq(status_of(&good), MEASURE_UNSORTED);
    hold.time_s[100] = NAN;
    ck_assert_int_eq(status_of(&good), MEASURE_NOT_FINITE);
    hold.time_s[100] = kept;
    hold.height_mm[100] = NAN;
    ck_assert_int_eq(status_of(&good), MEASURE_NOT_FINITE);
    hold.valid[100] = 0;
    ck_assert_int_eq(status_of(&good), MEASURE_OK);
    memset(hold.valid, 0, sizeof hold.valid);
    ck_assert_int_eq(status_of(&good), MEASURE_TOO_FEW);
    for (size_t i = 0; i < hold.count; i++) {
        hold.valid[i] = 1;
        hold.height_mm[i] = 900.0;
    }
    ck_assert_int_eq(status_of(&good), MEASURE_CONSTANT);
    struct hold_settings settings = with_band(NAN, 10.0, 10.0);
    struct hold_summary s;
    hold.height_mm[5] = 901.0;
    ck_assert_int_eq(hold_summarise(&good, &settings, &s), MEASURE_BAD_SETTING);
    ck_assert(all_finite(&s));
}
END_TEST

/* Garbage of every kind: never a NaN, never a crash. */
START_TEST(garbage)
{
    unsigned seed = 99;
    struct random_source random;
    random_seed(&random, test_seed(seed));
    for (int run = 0; run < 400; run++) {
        struct rider rider = quiet;
        rider.gap_share = random_uniform(&random);
        rider.outlier_share = 0.3 * random_uniform(&random);
        double rate = 1.0 + 99.0 * random_uniform(&random),
               duration = 60.0 * random_uniform(&random);
        simulate_hold(&random, &rider, 900.0, duration, rate, &hold);
        for (size_t i = 0; i < hold.count; i++) {
            if (random_uniform(&random) < 0.1 * (run % 5)) {
                hold.valid[i] = 0;
            }
            if (run % 3 == 0) {
                hold.height_mm[i] = floor(hold.height_mm[i] / 10.0) * 10.0;
            }
            if (run % 7 == 0) {
                hold.time_s[i] = (double)i * 1e-6 + (i > hold.count / 2 ? 50.0 : 0.0);
            }
            if (run % 11 == 0) {
                hold.height_mm[i] *= 1e12;
            }
        }
        struct hold_input input = simulated_input(&hold);
        if (run % 2) {
            input.rate_hz = 0.0;
        }
        status_of(&input);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("properties of a hold");
    TCase *tests = tcase_create("properties");
    tcase_set_timeout(tests, 60);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, shift_and_scale);
    tcase_add_test(tests, bad_input);
    tcase_add_test(tests, garbage);
    return test_main(suite);
}
