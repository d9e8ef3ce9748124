/* The summary of one hold: known signals, what was cut and why, gaps, band, and bad input. */
#include "reference.h"
#include "simulated_hold.h"

#include "measure/hold.h"

#include <time.h>

static const double pi = 3.14159265358979323846;
static struct simulated hold; /* big: each test runs in a process of its own */

static const struct rider quiet = {.breathing_mm = 4,
                                   .breathing_hz = 0.4,
                                   .bob_mm = 3,
                                   .bob_hz = 1.5,
                                   .wander_mm = 2,
                                   .wander_s = 2,
                                   .noise_mm = 2};

static struct hold_settings with_band(double target_mm, double above_mm, double below_mm)
{
    return (struct hold_settings){.has_target = true,
                                  .target_mm = target_mm,
                                  .has_band = true,
                                  .cue = {above_mm, below_mm, 1.0, 0.2, 0.7, 0.5, 0.5}};
}

static struct hold_summary summarise(const struct hold_settings *settings)
{
    struct hold_input input = simulated_input(&hold);
    struct hold_summary summary;
    ck_assert_int_eq(hold_summarise(&input, settings, &summary), MEASURE_OK);
    ck_assert_int_eq(summary.status, MEASURE_OK);
    return summary;
}

static void simulate(unsigned seed, const struct rider *rider, double duration_s)
{
    struct random_source random;
    random_seed(&random, seed);
    simulate_hold(&random, rider, 900.0, duration_s, 50.0, &hold);
}

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
    for (unsigned seed = 1; seed <= 60; seed++) {
        struct rider rider = quiet;
        rider.creep_mm_per_min = 8.0;
        simulate(seed, &rider, 60.0);
        struct hold_settings settings = {.has_target = false};
        struct hold_summary s = summarise(&settings);
        flagged += s.creep_flagged;
        covered += fabs(s.creep_mm_per_min - 8.0) <= s.creep_half_width_mm_per_min;
        ck_assert_double_eq_tol(s.creep_robust_mm_per_min, s.creep_mm_per_min, 3.0);
    }
    printf("  creep of 8 mm a minute: flagged in %d of 60, interval covers it in %d\n", flagged,
           covered);
    ck_assert_int_ge(flagged, 35); /* its own interval is about as wide as the creep */
    ck_assert_int_ge(covered, 52);
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
        ck_assert_uint_eq(s.rejected, 0);
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
    for (size_t i = 0; i < hold.count; i++)
        if (hold.time_s[i] >= 30.0 && hold.time_s[i] < 34.0)
            hold.height_mm[i] += 60.0; /* drank */
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
    for (size_t i = 1000; i < 1200; i++)
        hold.valid[i] = 0; /* 4 s of 60 */
    struct hold_summary some = summarise(&settings);
    ck_assert_double_eq_tol(some.longest_gap_s, 4.02, 1e-6);
    ck_assert_double_eq_tol(some.valid_share, all.valid_share - 200.0 / 3000.0, 2e-3);
    ck_assert(some.has_interval);
    for (size_t i = 1200; i < 1400; i++)
        hold.valid[i] = 0; /* 8 s: under 90 % */
    struct hold_summary few = summarise(&settings);
    ck_assert(!few.has_interval);
    ck_assert_double_gt(few.mean_mm, 890.0); /* numbers, but no interval */
    /* the same with the rows gone instead of marked, by time stamps alone */
    size_t n = 0;
    for (size_t i = 0; i < hold.count; i++) {
        if (!hold.valid[i])
            continue;
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
    random_seed(&random, seed);
    printf("  property: gaps, seed %u\n", seed);
    for (int run = 0; run < 40; run++) {
        simulate((unsigned)random_u64(&random), &quiet, 60.0);
        size_t from = (size_t)(random_uniform(&random) * 2500.0),
               length = 20 + (size_t)(random_uniform(&random) * 200.0);
        for (size_t i = from; i < from + length; i++)
            hold.valid[i] = 0;
        struct hold_settings settings = with_band(900.0, 8.0, 8.0);
        struct hold_summary a = summarise(&settings);
        for (size_t i = from; i < from + length; i++)
            hold.height_mm[i] = run % 2 ? NAN : 5000.0 * random_uniform(&random);
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
        ck_assert_uint_ge(s.rejected, 40);
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
        for (size_t e = 0; e < 4; e++)
            if (t >= out[e].from_s && t < out[e].to_s)
                hold.height_mm[i] += out[e].offset_mm;
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
    ck_assert(s.sustain_reached == true);
    /* 30 s windows: outside time passes 6 s at 36 - 30 s window [6, 36]: 4 + 0.4 + 6 = 10.4 of 30;
     * the first one under 80 % is where 4.4 s and 1.6 s of the third are in it: at 31.62 s */
    ck_assert_double_eq_tol(s.sustain_s, 31.6, 0.05);
    /* 'a glance ahead is wanted': with 5 s on-delay only the long one is an excursion */
    settings.cue.on_delay_s = 5.0;
    s = summarise(&settings);
    ck_assert_int_eq(s.excursions_high, 0);
    ck_assert_int_eq(s.excursions_low, 1);
    ck_assert_int_eq(s.glances, 3);
    ck_assert_double_eq_tol(s.excursion_peak_mm, -25.5, 0.05);
    /* still out at the end, and a gap within an excursion that goes on is one excursion */
    for (size_t i = 0; i < hold.count; i++) {
        if (hold.time_s[i] >= 52.0)
            hold.height_mm[i] += 20.0;
        if (hold.time_s[i] >= 32.0 && hold.time_s[i] < 34.0)
            hold.valid[i] = 0;
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
    random_seed(&random, 22);
    struct hold_settings settings = with_band(900.0, 15.0, 15.0);
    struct hold_summary even = summarise(&settings);
    for (size_t i = 1; i + 1 < hold.count; i++)
        hold.time_s[i] += 0.008 * (random_uniform(&random) - 0.5);
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
    random_seed(&random, 9);
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

START_TEST(shift_and_scale)
{
    unsigned seed = 515;
    struct random_source random;
    random_seed(&random, seed);
    printf("  property: shift and scale of a hold, seed %u\n", seed);
    for (int run = 0; run < 30; run++) {
        simulate((unsigned)random_u64(&random), &quiet, 60.0);
        struct hold_settings settings = with_band(902.0, 9.0, 12.0);
        struct hold_summary a = summarise(&settings);
        double shift = 200.0 * random_normal(&random);
        for (size_t i = 0; i < hold.count; i++)
            hold.height_mm[i] += shift;
        settings.target_mm += shift;
        struct hold_summary b = summarise(&settings);
        ck_assert_double_eq_tol(b.mean_mm, a.mean_mm + shift, 1e-8);
        ck_assert_double_eq_tol(b.mean_half_width_mm, a.mean_half_width_mm, 1e-7);
        ck_assert_double_eq_tol(b.steadiness_mm, a.steadiness_mm, 1e-7);
        ck_assert_double_eq_tol(b.creep_mm_per_min, a.creep_mm_per_min, 1e-7);
        ck_assert_double_eq_tol(b.in_band_share, a.in_band_share, 1e-9);
        ck_assert_int_eq(b.excursions_high, a.excursions_high);
        ck_assert_int_eq(b.excursions_low, a.excursions_low);
        ck_assert_uint_eq(b.rejected, a.rejected);
        /* turned upside down: high becomes low */
        for (size_t i = 0; i < hold.count; i++)
            hold.height_mm[i] = -hold.height_mm[i];
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
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++)
        if (!isfinite(values[i]))
            return 0;
    return 1;
}

static enum measure_status status_of(const struct hold_input *input)
{
    struct hold_settings settings = with_band(900.0, 10.0, (double)INFINITY);
    struct hold_summary s;
    enum measure_status status = hold_summarise(input, &settings, &s);
    ck_assert_int_eq(status, s.status);
    ck_assert(all_finite(&s));
    if (status != MEASURE_OK)
        ck_assert(!s.has_interval && !s.has_creep && !s.has_band && s.mean_mm == 0.0);
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
    random_seed(&random, seed);
    for (int run = 0; run < 400; run++) {
        struct rider rider = quiet;
        rider.gap_share = random_uniform(&random);
        rider.outlier_share = 0.3 * random_uniform(&random);
        double rate = 1.0 + 99.0 * random_uniform(&random),
               duration = 60.0 * random_uniform(&random);
        simulate_hold(&random, &rider, 900.0, duration, rate, &hold);
        for (size_t i = 0; i < hold.count; i++) {
            if (random_uniform(&random) < 0.1 * (run % 5))
                hold.valid[i] = 0;
            if (run % 3 == 0)
                hold.height_mm[i] = floor(hold.height_mm[i] / 10.0) * 10.0;
            if (run % 7 == 0)
                hold.time_s[i] = (double)i * 1e-6 + (i > hold.count / 2 ? 50.0 : 0.0);
            if (run % 11 == 0)
                hold.height_mm[i] *= 1e12;
        }
        struct hold_input input = simulated_input(&hold);
        if (run % 2)
            input.rate_hz = 0.0;
        status_of(&input);
    }
}
END_TEST

static double milliseconds(size_t count, double rate_hz, int runs)
{
    double *time_s = malloc(count * sizeof(double)), *height = malloc(count * sizeof(double));
    uint8_t *valid = malloc(count);
    struct random_source random;
    struct hold_settings settings = with_band(900.0, 8.0, 12.0);
    struct hold_summary s;
    random_seed(&random, 8);
    for (size_t i = 0; i < count; i++) {
        time_s[i] = (double)i / rate_hz;
        height[i] = 900.0 + 4.0 * sin(2 * pi * 0.4 * time_s[i]) + 3.0 * random_normal(&random);
        valid[i] = 1;
    }
    struct hold_input input = {.time_s = time_s,
                               .height_mm = height,
                               .valid = valid,
                               .count = count,
                               .duration_s = (double)count / rate_hz,
                               .rate_hz = rate_hz};
    double best = (double)INFINITY;
    for (int run = 0; run < runs; run++) {
        struct timespec a, b;
        clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &a);
        ck_assert_int_eq(hold_summarise(&input, &settings, &s), MEASURE_OK);
        clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &b);
        best = fmin(best,
                    1e3 * (double)(b.tv_sec - a.tv_sec) + 1e-6 * (double)(b.tv_nsec - a.tv_nsec));
    }
    free(time_s);
    free(height);
    free(valid);
    return best;
}

START_TEST(speed)
{
    double minute = milliseconds(3000, 50.0, 20), long_1 = milliseconds(300000, 1000.0, 3);
    double long_4 = milliseconds(1200000, 1000.0, 2);
    printf("  speed: 60 s at 50: %.3f ms; 5 min at 1000: %.1f ms; 20 min at 1000: %.1f ms (CPU "
           "time)\n",
           minute, long_1, long_4);
#if !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__) && defined(__OPTIMIZE__)
    ck_assert_double_lt(minute, 0.7);
    ck_assert_double_lt(long_4, 8.0 * long_1); /* linear, with room for caches and noise */
    ck_assert_double_lt(long_4, 500.0);
#endif
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
    tcase_add_test(tests, shift_and_scale);
    tcase_add_test(tests, bad_input);
    tcase_add_test(tests, garbage);
    tcase_add_test(tests, speed);
    return test_main(suite);
}
