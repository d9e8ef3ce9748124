/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* How long a band was kept: signals made by hand, and a short form of tests/study/hours.c. */
#include "simulated_hours.h"

#include "support/test_main.h"
#include "support/test_seed.h"

#include <stdio.h>

static struct {
    double from_s, to_s;
} out[8];
static double every_s; /* and 3 s out again and again; 0 = not */

/* In the band but for those times; 10 readings a second, none of them in a gap. */
static struct hold_summary ride(double duration_s, double gap_from_s, double gap_to_s)
{
    static double time_s[SIMULATED_MAX], height_mm[SIMULATED_MAX];
    static uint8_t valid[SIMULATED_MAX];
    struct hold_input input = {.time_s = time_s,
                               .height_mm = height_mm,
                               .valid = valid,
                               .duration_s = duration_s,
                               .rate_hz = 10.0};
    struct hold_settings settings = {
        .raw = true, .has_target = true, .target_mm = 900.0, .has_band = true};
    struct hold_summary summary;
    settings.cue = cue_usual(false);
    settings.cue.filter_hz = 0.0;
    settings.cue.band_above_mm = settings.cue.band_below_mm = 10.0;
    for (int i = 0; (double)i / 10.0 < duration_s - 1e-9; i++) {
        double t = (double)i / 10.0;
        if (t >= gap_from_s - 1e-9 && t < gap_to_s - 1e-9) {
            continue;
        }
        size_t at = input.count++;
        time_s[at] = t;
        height_mm[at] = 900.0 + 0.1 * (i % 3);
        valid[at] = 1;
        height_mm[at] += every_s > 0.0 && fmod(t, every_s) < 3.0 ? 40.0 : 0.0;
        for (int o = 0; o < 8; o++) {
            height_mm[at] += t >= out[o].from_s - 1e-9 && t < out[o].to_s - 1e-9 ? 40.0 : 0.0;
        }
    }
    ck_assert_int_eq(hold_summarise(&input, &settings, &summary), MEASURE_OK);
    memset(out, 0, sizeof out);
    return summary;
}

static void leaves(int index, double from_s, double to_s)
{
    out[index].from_s = from_s;
    out[index].to_s = to_s;
}

/* The first 10 s that are mostly out begin 5 s before the rider leaves for good. */
START_TEST(a_loss_that_lasts)
{
    leaves(0, 300, 600);
    struct hold_summary s = ride(600, 0, 0);
    ck_assert(s.sustain_reached);
    ck_assert_double_eq_tol(s.sustain_s, 295.1, 0.06);
    /* a look up of 6 s a minute before does not begin it, one of 6 s in the window does (5.1 s of
     * 10 from 245.1 s on) */
    leaves(0, 300, 600);
    leaves(1, 190, 196);
    ck_assert_double_eq_tol(ride(600, 0, 0).sustain_s, 295.1, 0.06);
    leaves(0, 300, 600);
    leaves(1, 250, 256);
    ck_assert_double_eq_tol(ride(600, 0, 0).sustain_s, 245.1, 0.06);
}
END_TEST

/* A fifth of 2 min is 24 s, of the minute after them 12 s. */
START_TEST(what_is_no_loss)
{
    static const struct {
        double out_s, again_s;
        bool lost;
    } cases[] = {{200, 0, true}, {23.8, 13, false},   {24.2, 13, true},
                 {90, 0, false}, {24.2, 11.8, false}, {24.2, 12.2, true}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        /* out at the beginning of the only window of 2 min, and of the only minute after it */
        leaves(0, 0, cases[i].out_s);
        leaves(1, 120, 120 + cases[i].again_s);
        struct hold_summary s = ride(180, 0, 0);
        ck_assert_msg(s.sustain_reached == cases[i].lost, "case %zu", i);
    }
}
END_TEST

/* Out for the first 3 s of every 10 s and a little: no 10 s are mostly out, and it begins where the
 * window does, which is at the first reading. */
START_TEST(out_evenly)
{
    every_s = 10.2;
    struct hold_summary s = ride(300, 0, 0);
    every_s = 0.0;
    ck_assert(s.sustain_reached);
    ck_assert_double_eq_tol(s.sustain_s, 0.0, 1e-6);
}
END_TEST

/* Not lost by the end: so long at least; never 'lost' in the last three minutes alone, and not kept
 * where the rider was gone at the end, or where nothing tells. */
START_TEST(at_least)
{
    struct hold_summary s = ride(60, 0, 0);
    ck_assert(!s.sustain_reached);
    ck_assert_double_eq_tol(s.sustain_s, 60.0, 1e-6);
    leaves(0, 530, 600);
    s = ride(600, 0, 0);
    ck_assert(!s.sustain_reached);
    ck_assert_double_eq_tol(s.sustain_s, 525.1, 0.06);
    leaves(0, 530, 536); /* and back */
    s = ride(600, 0, 0);
    ck_assert(!s.sustain_reached);
    ck_assert_double_eq_tol(s.sustain_s, 600.0, 1e-6);
    leaves(0, 0, 60); /* never in it */
    s = ride(60, 0, 0);
    ck_assert(!s.sustain_reached);
    ck_assert_double_eq_tol(s.sustain_s, 0.0, 1e-6);
    /* with 8 of 10 s read a stretch still tells */
    s = ride(600, 300, 500);
    ck_assert(!s.sustain_reached);
    ck_assert_double_eq_tol(s.sustain_s, 292.1, 0.06);
    s = ride(600, 500, 600); /* nothing after that */
    ck_assert(!s.sustain_reached);
    ck_assert_double_eq_tol(s.sustain_s, 500.0, 0.06);
}
END_TEST

#define HOURS 12

/* The design's own figures for riders who only sway, and who rise: medians of 22:34 and 21:17 for
 * 8 and 20 mm in a band of 7 mm (200 hours, C); half a minute is four standard errors of 12. */
START_TEST(hours)
{
    static const struct {
        struct hour_row row;
        double median_s;
    } rows[] = {
        {{"sways, band of 6 mm", HOUR_SWAYS, 6.0, 0.0}, 0},
        {{"first model, chest", HOUR_FIRST_MODEL, 0.0, 0.0}, 0},
        {{"second model, head", HOUR_SECOND_HEAD, 0.0, 0.0}, 0},
        {{"rises by 8 mm", HOUR_SWAYS, 7.0, 8.0}, 1354},
        {{"rises by 20 mm", HOUR_SWAYS, 7.0, 20.0}, 1277},
    };
    for (size_t r = 0; r < sizeof rows / sizeof rows[0]; r++) {
        struct random_source random;
        double sum = 0.0;
        int lost = 0;
        random_seed(&random, test_seed(80 + r));
        for (int i = 0; i < HOURS; i++) {
            struct hold_summary s;
            if (hour_ride(&random, &rows[r].row, &s) && s.sustain_reached) {
                lost++;
                sum += s.sustain_s;
            }
        }
        printf("  %s: lost in %d of %d hours, after %.0f s\n", rows[r].row.name, lost, HOURS,
               lost > 0 ? sum / lost : 0.0);
        ck_assert_int_eq(lost, rows[r].median_s > 0.0 ? HOURS : 0);
        if (lost > 0) {
            ck_assert_double_eq_tol(sum / lost, rows[r].median_s, 45.0);
        }
    }
}
END_TEST

/* As slow as that, the stretch behind the last reading is as long as any that is looked at. */
START_TEST(a_reading_every_twelve_seconds)
{
    double time_s[50], height_mm[50];
    uint8_t valid[50];
    struct hold_input input = {.time_s = time_s,
                               .height_mm = height_mm,
                               .valid = valid,
                               .count = 50,
                               .duration_s = 600.0,
                               .rate_hz = 1.0 / 12.0};
    struct hold_settings settings = {
        .raw = true, .has_target = true, .target_mm = 900.0, .has_band = true};
    struct hold_summary summary;
    settings.cue = cue_usual(false);
    settings.cue.filter_hz = 0.0;
    settings.cue.band_above_mm = settings.cue.band_below_mm = 10.0;
    for (int i = 0; i < 50; i++) {
        time_s[i] = 12.0 * i;
        height_mm[i] = 900.0 + i % 3;
        valid[i] = 1;
    }
    ck_assert_int_eq(hold_summarise(&input, &settings, &summary), MEASURE_OK);
    ck_assert(!summary.sustain_reached);
    ck_assert_double_eq_tol(summary.sustain_s, 600.0, 1e-9);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("how long it lasts");
    TCase *tests = tcase_create("how long it lasts");
    tcase_set_timeout(tests, 120);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, a_loss_that_lasts);
    tcase_add_test(tests, what_is_no_loss);
    tcase_add_test(tests, out_evenly);
    tcase_add_test(tests, at_least);
    tcase_add_test(tests, hours);
    tcase_add_test(tests, a_reading_every_twelve_seconds);
    return test_main(suite);
}
