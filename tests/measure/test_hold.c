/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "reference.h"
#include "summarised_hold.h"
#include "support/test_seed.h"

/* The summary of one hold: known signals, what was cut and why, gaps, band. */

static const double pi = 3.14159265358979323846;

/* Sines of known size and whole numbers of turns: mean, SD, bands and RMS are closed forms. */
START_TEST(known_signal)
{
    hold.count = 3000;
    hold.duration_s = 60.0;
    hold.rate_hz = 50.0;
    for (size_t i = 0; i < hold.count; i++) {
        double t = hold.time_s[i] = 0.02 * (double)i;
        hold.height_mm[i] = 900.0 + 2.0 * sin(2 * pi * 0.1 * t) + 4.0 * sin(2 * pi * 0.4 * t) +
                            3.0 * sin(2 * pi * 1.5 * t) + 0.5 * sin(2 * pi * 12.0 * t);
        hold.valid[i] = 1;
    }
    struct hold_settings settings = with_band(895.0, 50.0, 50.0);
    settings.raw = true; /* the 12 Hz part would be thinned out by the outlier rule */
    struct hold_summary s = summarise(&settings);
    ck_assert_double_eq_tol(s.mean_mm, 900.0, 1e-9);
    reference_printed("RMS of four sines", s.sd_mm,
                      sqrt((4.0 + 16.0 + 9.0 + .25) / 2.0 * 3000 / 2999), 1e-9);
    reference_printed("steadiness without what is over 5 Hz", s.steadiness_mm, sqrt(29.0 / 2.0),
                      0.01);
    reference_printed("RMS about a target 5 mm lower", s.rms_target_mm, sqrt(29.0 / 2.0 + 25.0),
                      0.01);
    reference_printed("slow band, RMS", s.rms_slow_mm, sqrt(2.0), 0.03);
    reference_printed("breathing band, RMS", s.rms_breathing_mm, sqrt(8.0), 0.03);
    reference_printed("pedalling band, RMS", s.rms_pedalling_mm, sqrt(4.5), 0.03);
    ck_assert_double_eq_tol(s.offset_mm, 5.0, 1e-9);
    ck_assert_double_eq_tol(s.effective_rate_hz, 50.0, 1e-9);
    ck_assert_double_eq(s.valid_share, 1.0);
    ck_assert_double_eq(s.longest_gap_s, 0.0);
    ck_assert_double_eq(s.in_band_share, 1.0);
    ck_assert_double_eq_tol(s.longest_in_band_s, 60.0, 1e-6);
    ck_assert_uint_eq(s.readings, 3000);
    ck_assert_int_eq(s.blocks, 24);
    ck_assert(s.has_interval && s.has_creep && s.has_spectrum && s.has_band && !s.creep_flagged);
}
END_TEST

START_TEST(creep_is_found)
{
    int flagged = 0, covered = 0;
    double slopes = 0.0, robust = 0.0;
    for (unsigned seed = 1; seed <= 60; seed++) {
        struct rider rider = quiet;
        rider.creep_mm_per_min = 8.0;
        simulate(seed, &rider, 60.0);
        struct hold_settings settings = {.has_target = false};
        struct hold_summary s = summarise(&settings);
        flagged += s.creep_flagged;
        covered += fabs(s.creep_mm_per_min - 8.0) <= s.creep_half_width_mm_per_min;
        slopes += s.creep_mm_per_min / 60.0;
        robust += s.creep_robust_mm_per_min / 60.0;
    }
    printf("  creep of 8 mm a minute: flagged in %d of 60, interval covers it in %d\n", flagged,
           covered);
    ck_assert_int_ge(flagged, 35); /* its own interval is about as wide as the creep */
    ck_assert_int_ge(covered, 52);
    ck_assert_double_eq_tol(slopes, 8.0, 1.2); /* 2.5 mm a minute each: 0.3 of 60 */
    ck_assert_double_eq_tol(robust, 8.0, 1.2);
}
END_TEST

START_TEST(unsettled_beginning_is_cut)
{
    int limits = 0;
    for (unsigned seed = 1; seed <= 20; seed++) {
        struct rider rider = quiet;
        rider.unsettled_mm = 40.0;
        rider.unsettled_s = 3.0;
        simulate(seed, &rider, 60.0);
        struct hold_settings settings = {.has_target = false};
        struct hold_summary s = summarise(&settings);
        ck_assert_double_ge(s.cut_start_s, 5.0);
        ck_assert_double_eq_tol(s.kept_s, 60.0 - s.cut_start_s, 1e-9);
        ck_assert_double_eq_tol(s.mean_mm, 900.0, 3.0);
        limits += s.not_settled;
        settings.raw = true; /* as they are */
        s = summarise(&settings);
        ck_assert_double_eq(s.cut_start_s, 0.0);
        ck_assert_double_eq(s.kept_s, 60.0);
        ck_assert_uint_eq(s.outliers, 0);
    }
    ck_assert_int_le(limits, 3);
    struct rider rider = quiet; /* never settles */
    rider.unsettled_mm = 200.0;
    rider.unsettled_s = 40.0;
    simulate(5, &rider, 60.0);
    struct hold_settings settings = {.has_target = false};
    struct hold_summary s = summarise(&settings);
    ck_assert(s.not_settled);
    ck_assert_double_eq(s.cut_start_s, 20.0);
    ck_assert(s.drifting);
}
END_TEST

START_TEST(marked_stretches_are_left_out)
{
    simulate(7, &quiet, 60.0);
    struct hold_settings settings = {.has_target = false};
    struct hold_summary before = summarise(&settings), cut, raw;
    for (size_t i = 0; i < hold.count; i++) {
        if (hold.time_s[i] >= 30.0 && hold.time_s[i] < 34.0) {
            hold.height_mm[i] += 60.0; /* drank */
        }
    }
    struct hold_cut cuts[] = {{32.0, 34.0}, {29.9, 33.0}, {70.0, 80.0}, {5.0, 5.0}};
    struct hold_input input = simulated_input(&hold);
    input.cuts = cuts;
    input.cut_count = 4;
    ck_assert_int_eq(hold_summarise(&input, &settings, &cut), MEASURE_OK);
    ck_assert_double_eq_tol(cut.cut_marked_s, 4.1, 1e-9);
    ck_assert_double_eq_tol(cut.kept_s, 60.0 - 4.1 - cut.cut_start_s, 1e-9);
    ck_assert_double_eq_tol(cut.mean_mm, before.mean_mm, 0.6);
    ck_assert_double_lt(cut.maximum_mm, 930.0);
    ck_assert_double_ge(cut.valid_share, 0.95);
    ck_assert_double_eq(cut.longest_gap_s, before.longest_gap_s);
    /* all but the very last reading, and all */
    input.duration_s = hold.time_s[hold.count - 1];
    for (int more = 0; more < 2; more++) {
        cuts[0] = (struct hold_cut){0.0, input.duration_s + more};
        input.cut_count = 1;
        ck_assert_int_eq(hold_summarise(&input, &settings, &cut), MEASURE_TOO_FEW);
        ck_assert_double_eq(cut.cut_marked_s, input.duration_s);
        input.duration_s += more;
    }
    settings.raw = true;
    ck_assert_int_eq(hold_summarise(&input, &settings, &raw), MEASURE_OK);
    ck_assert_double_eq(raw.cut_marked_s, 0.0);
    ck_assert_double_gt(raw.maximum_mm, 940.0);
}
END_TEST

START_TEST(missing_readings)
{
    simulate(11, &quiet, 60.0);
    struct hold_settings settings = with_band(900.0, 15.0, 15.0);
    struct hold_summary all = summarise(&settings);
    ck_assert(all.has_interval);
    for (size_t i = 1000; i < 1200; i++) {
        hold.valid[i] = 0; /* 4 s of 60 */
    }
    struct hold_summary some = summarise(&settings);
    ck_assert_double_eq_tol(some.longest_gap_s, 4.02, 1e-6);
    ck_assert_double_eq_tol(some.valid_share, all.valid_share - 200.0 / 3000.0, 2e-3);
    ck_assert(some.has_interval);
    for (size_t i = 1200; i < 1400; i++) {
        hold.valid[i] = 0; /* 8 s: under 90 % */
    }
    struct hold_summary few = summarise(&settings);
    ck_assert(!few.has_interval);
    ck_assert_double_gt(few.mean_mm, 890.0); /* numbers, but no interval */
    /* the same with the rows gone instead of marked, by time stamps alone */
    size_t n = 0;
    for (size_t i = 0; i < hold.count; i++) {
        if (!hold.valid[i]) {
            continue;
        }
        hold.time_s[n] = hold.time_s[i];
        hold.height_mm[n] = hold.height_mm[i];
        hold.valid[n++] = 1;
    }
    hold.count = n;
    struct hold_summary gone = summarise(&settings);
    ck_assert_double_eq(gone.mean_mm, few.mean_mm);
    ck_assert_double_eq(gone.steadiness_mm, few.steadiness_mm);
    ck_assert_double_eq(gone.in_band_share, few.in_band_share);
    ck_assert_double_eq(gone.valid_share, few.valid_share);
    ck_assert_double_lt(gone.effective_rate_hz, 46.0);
    /* under 20 s kept */
    hold.count = 950;
    hold.duration_s = 19.0;
    ck_assert(!summarise(&settings).has_interval);
}
END_TEST

/* Whatever stands inside a gap changes nothing. */
START_TEST(a_gap_changes_nothing_outside_it)
{
    unsigned seed = 20260;
    struct random_source random;
    random_seed(&random, test_seed(seed));
    printf("  property: gaps, seed %u\n", seed);
    for (int run = 0; run < 40; run++) {
        simulate((unsigned)random_u64(&random), &quiet, 60.0);
        size_t from = (size_t)(random_uniform(&random) * 2500.0),
               length = 20 + (size_t)(random_uniform(&random) * 200.0);
        for (size_t i = from; i < from + length; i++) {
            hold.valid[i] = 0;
        }
        struct hold_settings settings = with_band(900.0, 8.0, 8.0);
        struct hold_summary a = summarise(&settings);
        for (size_t i = from; i < from + length; i++) {
            hold.height_mm[i] = run % 2 ? NAN : 5000.0 * random_uniform(&random);
        }
        struct hold_summary b = summarise(&settings);
        ck_assert_mem_eq(&a, &b, sizeof a);
    }
}
END_TEST

START_TEST(outliers_are_rejected)
{
    struct rider rider = quiet;
    rider.outlier_share = 0.02;
    for (unsigned seed = 1; seed <= 20; seed++) {
        simulate(seed, &quiet, 60.0);
        struct hold_settings settings = {.has_target = false};
        struct hold_summary clean = summarise(&settings);
        simulate(seed, &rider, 60.0);
        struct hold_summary s = summarise(&settings);
        ck_assert_uint_ge(s.outliers, 40);
        ck_assert_double_eq_tol(s.mean_mm, 900.0, 3.0);
        ck_assert_double_lt(s.maximum_mm, clean.maximum_mm + 25.0);
        ck_assert_double_eq_tol(s.steadiness_mm, clean.steadiness_mm, 1.5);
        settings.raw = true;
        ck_assert_double_gt(summarise(&settings).sd_mm, s.sd_mm + 2.0);
    }
}
END_TEST

/* A posture made by hand, so that every count is known: target 900, band 10 above and 10 below. */
START_TEST(excursions_by_hand)
{
    const struct {
        double from_s, to_s, offset_mm;
    } out[] = {{10, 14, 20}, {20, 20.4, 20}, {30, 36, -25}, {45, 47, 30}};
    hold.count = 3000;
    hold.duration_s = 60.0;
    hold.rate_hz = 50.0;
    for (size_t i = 0; i < hold.count; i++) {
        double t = hold.time_s[i] = 0.02 * (double)i;
        hold.height_mm[i] = 900.0 + 0.5 * sin(2 * pi * 0.5 * t);
        hold.valid[i] = 1;
        for (size_t e = 0; e < 4; e++) {
            if (t >= out[e].from_s && t < out[e].to_s) {
                hold.height_mm[i] += out[e].offset_mm;
            }
        }
    }
    struct hold_settings settings = with_band(900.0, 10.0, 10.0);
    settings.cue.filter_hz = 0.0;
    settings.raw = true;
    struct hold_summary s = summarise(&settings);
    ck_assert_int_eq(s.excursions_high, 2);
    ck_assert_int_eq(s.excursions_low, 1);
    ck_assert_int_eq(s.glances, 1);
    ck_assert_double_eq_tol(s.excursion_total_s, 12.0, 0.05);
    ck_assert_double_eq_tol(s.excursion_longest_s, 6.0, 0.03);
    ck_assert_double_eq_tol(s.excursion_peak_mm, 30.5, 0.05);
    ck_assert_double_eq_tol(s.in_band_share, 1.0 - 12.4 / 60.0, 1e-3);
    ck_assert_double_eq_tol(s.cues_per_min, 3.0, 1e-6);
    ck_assert_double_eq_tol(s.longest_in_band_s, 16.0,
                            0.05); /* 14 to 30: the glance does not end it */
    /* 'a glance ahead is wanted': with 5 s on-delay only the long one is an excursion */
    settings.cue.on_delay_s = 5.0;
    s = summarise(&settings);
    ck_assert_int_eq(s.excursions_high, 0);
    ck_assert_int_eq(s.excursions_low, 1);
    ck_assert_int_eq(s.glances, 3);
    ck_assert_double_eq_tol(s.excursion_peak_mm, -25.5, 0.05);
    /* from one side to the other within the delay: one glance, seen when it ends */
    static double before_mm[3000];
    settings.cue.on_delay_s = 0.7;
    for (size_t i = 0; i < hold.count; i++) {
        double t = hold.time_s[i];
        double was_mm = hold.height_mm[i];
        hold.height_mm[i] = 900.0 + (t >= 50.0 && t < 50.4   ? 20.0
                                     : t >= 50.4 && t < 50.8 ? -20.0
                                                             : 0.1 * (double)(i % 2));
        before_mm[i] = was_mm;
    }
    s = summarise(&settings);
    ck_assert_int_eq(s.glances, 1);
    ck_assert_int_eq(s.excursions_high + s.excursions_low, 0);
    for (size_t i = 0; i < hold.count; i++) {
        hold.height_mm[i] = before_mm[i];
    }
    settings.cue.on_delay_s = 5.0;
    /* still out at the end, and a gap within an excursion that goes on is one excursion */
    for (size_t i = 0; i < hold.count; i++) {
        if (hold.time_s[i] >= 52.0) {
            hold.height_mm[i] += 20.0;
        }
        if (hold.time_s[i] >= 32.0 && hold.time_s[i] < 34.0) {
            hold.valid[i] = 0;
        }
    }
    settings.cue.on_delay_s = 0.7;
    s = summarise(&settings);
    ck_assert_int_eq(s.excursions_high, 3);
    ck_assert_int_eq(s.excursions_low, 1);
    ck_assert_double_eq_tol(s.excursion_total_s, 4 + 4 + 2 + 8, 0.08);
}
END_TEST

START_TEST(jitter_and_rates)
{
    /* time stamps rule: jitter, an announced rate that is too high or too low, none announced */
    simulate(21, &quiet, 60.0);
    struct random_source random;
    random_seed(&random, test_seed(22));
    struct hold_settings settings = with_band(900.0, 15.0, 15.0);
    struct hold_summary even = summarise(&settings);
    for (size_t i = 1; i + 1 < hold.count; i++) {
        hold.time_s[i] += 0.008 * (random_uniform(&random) - 0.5);
    }
    struct hold_summary jittered = summarise(&settings);
    ck_assert_double_eq_tol(jittered.mean_mm, even.mean_mm, 0.1);
    ck_assert_double_eq_tol(jittered.steadiness_mm, even.steadiness_mm, 0.1);
    ck_assert_double_eq_tol(jittered.rms_breathing_mm, even.rms_breathing_mm, 0.1);
    ck_assert_double_eq_tol(jittered.rms_pedalling_mm, even.rms_pedalling_mm, 0.1);
    ck_assert(jittered.has_interval);
    hold.rate_hz = 0.0;
    ck_assert_double_ge(summarise(&settings).valid_share, 0.9);
    hold.rate_hz = 30.0; /* announced too low: losses can't hide behind it */
    ck_assert_double_eq_tol(summarise(&settings).valid_share, jittered.valid_share, 0.01);
    hold.rate_hz = 100.0; /* half of what was announced came */
    ck_assert_double_lt(summarise(&settings).valid_share, 0.51);
    hold.rate_hz = 0.0; /* nothing announced, a fifth lost by sequence */
    struct hold_input input = simulated_input(&hold);
    struct hold_summary lossy;
    input.lost = 750;
    ck_assert_int_eq(hold_summarise(&input, &settings, &lossy), MEASURE_OK);
    ck_assert_double_lt(lossy.valid_share, 0.81);
    ck_assert(!lossy.has_interval);
}
END_TEST

START_TEST(slow_rigs)
{
    /* 9 and 4 readings a second: a mean, but nothing that they can't carry */
    struct random_source random;
    random_seed(&random, test_seed(9));
    simulate_hold(&random, &quiet, 900.0, 60.0, 9.0, &hold);
    struct hold_settings settings = with_band(900.0, 15.0, 15.0);
    struct hold_summary s = summarise(&settings);
    ck_assert(s.has_interval && s.has_spectrum);
    ck_assert_double_eq_tol(s.effective_rate_hz, 9.0, 1e-6);
    simulate_hold(&random, &quiet, 900.0, 60.0, 4.0, &hold);
    s = summarise(&settings);
    ck_assert(s.has_interval && !s.has_spectrum);
    ck_assert_double_le(s.longest_gap_s, 0.5 + 1e-9); /* a rejected reading, at most */
    simulate_hold(&random, &quiet, 900.0, 60.0, 1.0, &hold);
    s = summarise(&settings);
    ck_assert(s.has_band);
    ck_assert_double_eq_tol(s.mean_mm, 900.0, 5.0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("hold");
    TCase *tests = tcase_create("hold");
    tcase_set_timeout(tests, 60);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, known_signal);
    tcase_add_test(tests, creep_is_found);
    tcase_add_test(tests, unsettled_beginning_is_cut);
    tcase_add_test(tests, marked_stretches_are_left_out);
    tcase_add_test(tests, missing_readings);
    tcase_add_test(tests, a_gap_changes_nothing_outside_it);
    tcase_add_test(tests, outliers_are_rejected);
    tcase_add_test(tests, excursions_by_hand);
    tcase_add_test(tests, jitter_and_rates);
    tcase_add_test(tests, slow_rigs);
    return test_main(suite);
}
