/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* A hold measured piece by piece against the same hold measured at once. */
#include "summarised_hold.h"

#include "measure/hold_stream.h"
#include "support/sanitized.h"

#include <dlfcn.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define PIECE_S 60.0
#define RATE_HZ 20.0
#define LENGTH_S 1450.0 /* near SIMULATED_MAX readings, and a piece that is not whole */

/* The piece of the whole hold that begins at from_s, its cuts with it. */
static void add_piece(struct hold_stream *stream, const struct hold_input *whole, double from_s,
                      double to_s)
{
    static double time_s[SIMULATED_MAX];
    struct hold_cut cuts[8];
    size_t first = 0;
    while (first < whole->count && whole->time_s[first] < from_s) {
        first++;
    }
    struct hold_input piece = {.time_s = time_s,
                               .height_mm = whole->height_mm + first,
                               .valid = whole->valid + first,
                               .duration_s = to_s - from_s,
                               .rate_hz = whole->rate_hz,
                               .cuts = cuts};
    while (first + piece.count < whole->count && whole->time_s[first + piece.count] < to_s) {
        time_s[piece.count] = whole->time_s[first + piece.count] - from_s;
        piece.count++;
    }
    for (size_t c = 0; c < whole->cut_count; c++) {
        cuts[piece.cut_count++] =
            (struct hold_cut){whole->cuts[c].from_s - from_s, whole->cuts[c].to_s - from_s};
    }
    ck_assert_int_le(hold_stream_add(stream, &piece, from_s), MEASURE_TOO_FEW);
}

static struct hold_stream *stream_of(const struct hold_input *whole,
                                     const struct hold_settings *settings, double *step_at_s)
{
    double step_mm, at_s;
    struct hold_stream *stream = hold_stream_create(settings, RATE_HZ, LENGTH_S);
    ck_assert_ptr_nonnull(stream);
    *step_at_s = NAN;
    for (double from_s = 0.0; from_s < whole->duration_s; from_s += PIECE_S) {
        double to_s = fmin(from_s + PIECE_S, whole->duration_s);
        add_piece(stream, whole, from_s, to_s);
        if (hold_stream_look(stream, to_s >= whole->duration_s, &step_mm, &at_s)) {
            *step_at_s = at_s;
        }
    }
    return stream;
}

/* A rider of 24 min who loses the band from minute 15 on, sits up twice and has a gap. */
static struct hold_input tiring(void)
{
    static const struct hold_cut up[] = {{300, 330}, {1000, 1009}};
    struct random_source random;
    struct rider rider = quiet;
    rider.outlier_share = 0.002;
    random_seed(&random, test_seed(61));
    simulate_hold(&random, &rider, 900, LENGTH_S, RATE_HZ, &hold);
    for (size_t i = 0; i < hold.count; i++) {
        double t = hold.time_s[i];
        hold.height_mm[i] += 14 * fmin(1, fmax(0, (t - 900) / 40));
        hold.height_mm[i] += t >= 300 && t < 330 ? 150 : 0;
        hold.valid[i] = (uint8_t)(hold.valid[i] && !(t >= 700 && t < 725));
    }
    struct hold_input input = simulated_input(&hold);
    input.cuts = up;
    input.cut_count = 2;
    return input;
}

START_TEST(piece_by_piece_it_comes_to_the_same)
{
    struct hold_settings settings = with_band(900, 8, 10);
    struct hold_input input = tiring();
    struct hold_summary at_once, streamed;
    double step_at_s;
    ck_assert_int_eq(hold_summarise(&input, &settings, &at_once), MEASURE_OK);
    struct hold_stream *stream = stream_of(&input, &settings, &step_at_s);
    ck_assert_int_eq(hold_stream_summarise(stream, LENGTH_S, &streamed), MEASURE_OK);
    ck_assert_uint_eq(streamed.readings, at_once.readings);
    ck_assert_uint_eq(streamed.valid, at_once.valid);
    ck_assert_double_eq_tol((double)streamed.outliers, (double)at_once.outliers, 12);
    ck_assert_double_eq_tol(streamed.longest_gap_s, at_once.longest_gap_s, 0.06);
    ck_assert_double_eq_tol(streamed.cut_marked_s, 39, 1e-6);
    ck_assert_double_eq_tol(streamed.kept_s, LENGTH_S - 39, 0.1);
    ck_assert_double_eq_tol(streamed.valid_share, at_once.valid_share, 0.002);
    ck_assert_double_eq_tol(streamed.mean_mm, at_once.mean_mm, 0.01);
    ck_assert_double_eq_tol(streamed.sd_mm, at_once.sd_mm, 0.01);
    ck_assert_double_eq_tol(streamed.minimum_mm, at_once.minimum_mm, 0.5);
    ck_assert_double_eq_tol(streamed.maximum_mm, at_once.maximum_mm, 0.5);
    ck_assert_double_eq_tol(streamed.quantile_05_mm, at_once.quantile_05_mm, 0.1);
    ck_assert_double_eq_tol(streamed.quantile_50_mm, at_once.quantile_50_mm, 0.1);
    ck_assert_double_eq_tol(streamed.quantile_95_mm, at_once.quantile_95_mm, 0.1);
    ck_assert_int_eq(streamed.has_interval, at_once.has_interval);
    ck_assert_double_eq_tol(streamed.mean_se_mm, at_once.mean_se_mm, 0.02 * at_once.mean_se_mm);
    ck_assert_int_eq(streamed.blocks, at_once.blocks);
    ck_assert_double_eq_tol(streamed.offset_mm, at_once.offset_mm, 0.01);
    ck_assert_double_eq_tol(streamed.steadiness_mm, at_once.steadiness_mm, 0.02);
    ck_assert_double_eq_tol(streamed.rms_target_mm, at_once.rms_target_mm, 0.02);
    ck_assert(streamed.has_spectrum && at_once.has_spectrum);
    ck_assert_double_eq_tol(streamed.rms_breathing_mm, at_once.rms_breathing_mm, 0.1);
    ck_assert_double_eq_tol(streamed.in_band_share, at_once.in_band_share, 0.002);
    ck_assert_double_eq_tol(streamed.cues_per_min, at_once.cues_per_min, 0.1);
    ck_assert_double_eq_tol(streamed.excursion_peak_mm, at_once.excursion_peak_mm, 0.1);
    ck_assert_double_eq_tol(streamed.longest_in_band_s, at_once.longest_in_band_s, 0.2);
    ck_assert(streamed.sustain_reached && at_once.sustain_reached);
    ck_assert_double_eq_tol(streamed.sustain_s, at_once.sustain_s, 2);
    ck_assert_double_gt(streamed.sustain_s, 890);
    ck_assert_double_lt(streamed.sustain_s, 940);
    ck_assert(streamed.has_creep && at_once.has_creep);
    ck_assert_double_eq_tol(streamed.creep_mm_per_min, at_once.creep_mm_per_min,
                            at_once.creep_half_width_mm_per_min / 2);
    hold_stream_destroy(stream);
}
END_TEST

START_TEST(its_minutes_are_those_of_all_at_once)
{
    struct hold_settings settings = with_band(900, 8, 10);
    struct hold_input input = tiring();
    struct minute_row at_once[30], streamed[30];
    double step_at_s;
    struct hold_stream *stream = stream_of(&input, &settings, &step_at_s);
    ck_assert_uint_eq(minutes_make(&input, &settings, 60.0, at_once, 30), 25);
    ck_assert_uint_eq(hold_stream_minutes(stream, LENGTH_S, streamed, 30), 25);
    for (int r = 0; r < 25; r++) {
        ck_assert_double_eq_tol(streamed[r].from_s, 60.0 * r, 1e-9);
        ck_assert_double_eq_tol(streamed[r].to_s, at_once[r].to_s, 1e-9);
        ck_assert_double_eq_tol(streamed[r].seen_s, at_once[r].seen_s, 0.11);
        ck_assert_double_eq_tol(streamed[r].mean_mm, at_once[r].mean_mm, 0.05);
        ck_assert_double_eq_tol(streamed[r].in_band_share, at_once[r].in_band_share, 0.01);
        ck_assert_int_le(abs(streamed[r].cues - at_once[r].cues), 1);
    }
    hold_stream_destroy(stream);
}
END_TEST

/* 15 mm at once at 700 s; another channel that stayed says so. */
START_TEST(a_knock_is_found_on_the_way)
{
    struct hold_settings none = {.has_target = false};
    struct random_source random;
    double at_s, other_at_s, step_mm = NAN;
    random_seed(&random, test_seed(62));
    simulate_hold(&random, &quiet, 900, LENGTH_S, RATE_HZ, &hold);
    struct hold_input input = simulated_input(&hold);
    struct hold_stream *still = stream_of(&input, &none, &other_at_s);
    ck_assert(isnan(other_at_s));
    ck_assert_int_eq(hold_stream_step_at(still, LENGTH_S - 60, &step_mm), MEASURE_OK);
    ck_assert_double_eq_tol(step_mm, 0, 4);
    for (size_t i = 0; i < hold.count; i++) {
        hold.height_mm[i] += hold.time_s[i] >= 700 ? 15 : 0;
    }
    struct hold_stream *knocked = stream_of(&input, &none, &at_s);
    ck_assert_double_eq_tol(at_s, 700, 3);
    struct hold_summary summary;
    ck_assert_int_eq(hold_stream_summarise(knocked, LENGTH_S, &summary), MEASURE_OK);
    ck_assert(summary.stepped);
    ck_assert_double_eq_tol(summary.step_mm, 15, 4);
    ck_assert_double_eq_tol(summary.step_at_s, 700, 3);
    hold_stream_destroy(still);
    hold_stream_destroy(knocked);
}
END_TEST

/* Up for a minute is neither a loss nor too few readings to tell. */
START_TEST(who_sat_up_has_not_lost_it)
{
    static const struct hold_cut up[] = {{300, 360}, {900, 990}};
    struct hold_settings settings = with_band(900, 30, 30);
    struct random_source random;
    struct hold_summary at_once, streamed;
    double step_at_s;
    random_seed(&random, test_seed(65));
    simulate_hold(&random, &quiet, 900, LENGTH_S, RATE_HZ, &hold);
    struct hold_input input = simulated_input(&hold);
    input.cuts = up;
    input.cut_count = 2;
    ck_assert_int_eq(hold_summarise(&input, &settings, &at_once), MEASURE_OK);
    struct hold_stream *stream = stream_of(&input, &settings, &step_at_s);
    ck_assert_int_eq(hold_stream_summarise(stream, LENGTH_S, &streamed), MEASURE_OK);
    ck_assert(!at_once.sustain_reached && !streamed.sustain_reached);
    ck_assert_double_eq_tol(at_once.sustain_s, LENGTH_S, 0.1);
    ck_assert_double_eq_tol(streamed.sustain_s, LENGTH_S, 0.1);
    hold_stream_destroy(stream);
}
END_TEST

static double longest_gap_of(const struct hold_input *input)
{
    struct hold_settings settings = with_band(900, 8, 10);
    struct hold_summary summary;
    struct hold_stream *stream = hold_stream_create(&settings, 50, 28800);
    ck_assert_int_eq(hold_stream_add(stream, input, 0.0), MEASURE_OK);
    ck_assert_int_eq(hold_stream_summarise(stream, 300.0, &summary), MEASURE_OK);
    hold_stream_destroy(stream);
    return summary.longest_gap_s;
}

/* An hour without a reading is a gap, whatever is before and after it. */
START_TEST(an_hour_without_readings_is_a_gap)
{
    struct hold_settings settings = with_band(900, 8, 10);
    struct hold_summary summary;
    struct minute_row rows[80];
    simulate(63, &quiet, 300);
    struct hold_input input = simulated_input(&hold);
    struct hold_stream *stream = hold_stream_create(&settings, 50, 28800);
    ck_assert_int_eq(hold_stream_add(stream, &input, 0.0), MEASURE_OK);
    ck_assert_int_eq(hold_stream_add(stream, &input, 3900.0), MEASURE_OK);
    ck_assert_int_eq(hold_stream_summarise(stream, 4200.0, &summary), MEASURE_OK);
    ck_assert_double_eq_tol(summary.longest_gap_s, 3600, 0.1);
    for (size_t i = 0; i < hold.count; i++) { /* one that comes a third of a step late is none */
        hold.height_mm[i] = 900.0 + 3.0 * sin(2.0 * hold.time_s[i]);
        hold.valid[i] = 1;
    }
    hold.time_s[hold.count / 2] += 0.007;
    input = simulated_input(&hold);
    ck_assert_double_le(longest_gap_of(&input), 0.0201);
    ck_assert_double_eq_tol(summary.valid_share, 600.0 / 4200.0, 0.008);
    ck_assert(!summary.has_interval); /* too little of it was seen */
    ck_assert_uint_eq(hold_stream_minutes(stream, 4200.0, rows, 80), 70);
    ck_assert(isnan(rows[30].mean_mm) && rows[30].seen_s == 0.0);
    ck_assert_double_eq_tol(rows[66].seen_s, 60, 0.1);
    hold_stream_destroy(stream);
}
END_TEST

#ifndef SANITIZED
static int fails_at; /* the call of realloc that fails; 0: none does, or it has */

void *realloc(void *memory, size_t size)
{
    void *(*own)(void *, size_t);
    *(void **)&own = dlsym(RTLD_NEXT, "realloc");
    bool fails = fails_at == 1;
    fails_at -= fails_at > 0;
    return fails ? NULL : own(memory, size);
}
#endif

/* More readings than were announced want more room. What finds none is not left out silently. */
START_TEST(memory_that_is_missing_is_told)
{
#ifdef SANITIZED
    printf("skipped: the sanitizers have their own memory\n");
#else
    struct hold_settings settings = with_band(900, 8, 10);
    simulate(65, &quiet, 300);
    struct hold_input input = simulated_input(&hold);
    int failed = 0;
    for (bool has_failed = true; has_failed; failed += has_failed) {
        struct hold_stream *stream = hold_stream_create(&settings, 1, 28800);
        fails_at = failed + 1;
        enum measure_status status = hold_stream_add(stream, &input, 0.0);
        has_failed = fails_at == 0;
        fails_at = 0;
        hold_stream_destroy(stream);
        ck_assert_int_eq(status, has_failed ? MEASURE_NO_MEMORY : MEASURE_OK);
    }
    ck_assert_int_gt(failed, 8); /* four arrays more than once, and two */
#endif
}
END_TEST

START_TEST(nothing_comes_to_nothing)
{
    struct hold_settings settings = with_band(900, 8, 10);
    struct hold_summary summary;
    double step_mm, at_s;
    struct hold_stream *stream = hold_stream_create(&settings, 50, 28800);
    ck_assert(!hold_stream_look(stream, true, &step_mm, &at_s));
    ck_assert_int_eq(hold_stream_summarise(stream, 0.0, &summary), MEASURE_TOO_FEW);
    ck_assert_int_eq(hold_stream_summarise(stream, 600.0, &summary), MEASURE_TOO_FEW);
    ck_assert_double_eq_tol(summary.longest_gap_s, 600, 1e-9);
    struct hold_input none = {.duration_s = 600.0};
    ck_assert_int_eq(hold_stream_add(stream, &none, 0.0), MEASURE_TOO_FEW);
    ck_assert(!hold_stream_look(stream, true, &step_mm, &at_s));
    ck_assert(!summary.has_band);
    hold_stream_destroy(stream);
    hold_stream_destroy(NULL);
}
END_TEST

/* Past the longest there may be the last rows take what comes. */
START_TEST(longer_than_the_longest_is_no_harm)
{
    struct hold_settings settings = with_band(900, 8, 10);
    struct hold_summary summary;
    simulate(64, &quiet, 300);
    struct hold_input input = simulated_input(&hold);
    struct hold_stream *stream = hold_stream_create(&settings, 50, 120.0);
    ck_assert_int_eq(hold_stream_add(stream, &input, 0.0), MEASURE_OK);
    ck_assert_int_eq(hold_stream_summarise(stream, 300.0, &summary), MEASURE_OK);
    ck_assert_uint_eq(summary.valid, hold.count);
    hold_stream_destroy(stream);
}
END_TEST

/* Nothing moves; a third is far beyond what is counted tenth by tenth; a piece has nothing in it;
 * no time has gone by. */
START_TEST(what_a_stream_is_told_at_its_ends)
{
    struct hold_settings settings = with_band(900, 8, 10);
    struct hold_summary summary;
    struct minute_row rows[4];
    settings.raw = true;
    for (int far = 0; far < 2; far++) {
        simulate(65, &quiet, 60);
        for (size_t i = 0; i < hold.count; i++) {
            hold.height_mm[i] = far && i % 3 == 2 ? 2000.0 : 900.0;
        }
        struct hold_input input = simulated_input(&hold), none = {.duration_s = 10.0};
        struct hold_stream *stream = hold_stream_create(&settings, 50, 600);
        ck_assert_int_eq(hold_stream_add(stream, &none, 0.0), MEASURE_TOO_FEW);
        ck_assert_int_eq(hold_stream_add(stream, &input, 10.0), MEASURE_OK);
        ck_assert_int_eq(hold_stream_summarise(stream, 70.0, &summary),
                         far ? MEASURE_OK : MEASURE_CONSTANT);
        ck_assert_double_eq_tol(summary.longest_gap_s, 10.0, 0.1);
        if (far) {
            ck_assert_double_gt(summary.quantile_95_mm, 1399.9); /* 500 mm off, or more */
            ck_assert_double_eq(summary.maximum_mm, 2000.0);
            ck_assert_double_eq_tol(summary.quantile_50_mm, 900.0, 0.1);
        }
        ck_assert_uint_eq(hold_stream_minutes(stream, 0.0, rows, 4), 0);
        ck_assert_uint_eq(hold_stream_minutes(stream, 70.0, rows, 4), 2);
        hold_stream_destroy(stream);
    }
}
END_TEST

/* A stream of a piece, then an hour without a reading, looked at minute by minute: no step. */
static struct hold_stream *after_an_hour(const struct hold_input *piece)
{
    struct hold_settings settings = with_band(900, 8, 10);
    struct hold_input none = {.duration_s = 60.0};
    double step_mm, at_s;
    struct hold_stream *stream = hold_stream_create(&settings, 50, 28800);
    ck_assert_int_eq(hold_stream_add(stream, piece, 0.0), MEASURE_OK);
    ck_assert(!hold_stream_look(stream, false, &step_mm, &at_s));
    for (int minute = 5; minute < 65; minute++) {
        ck_assert_int_eq(hold_stream_add(stream, &none, 60.0 * minute), MEASURE_TOO_FEW);
        ck_assert(!hold_stream_look(stream, false, &step_mm, &at_s));
    }
    return stream;
}

/* Looked at for steps piece by piece, with an hour in between: what came before it is dropped, and
 * a step from before to behind it is no step that anybody saw. */
START_TEST(an_hour_without_readings_has_no_step)
{
    double step_mm, at_s;
    simulate(66, &quiet, 300);
    struct hold_input input = simulated_input(&hold);
    struct hold_stream *stream = after_an_hour(&input);
    for (size_t i = 0; i < hold.count; i++) {
        hold.height_mm[i] += 40.0;
    }
    ck_assert_int_eq(hold_stream_add(stream, &input, 3900.0), MEASURE_OK);
    ck_assert(!hold_stream_look(stream, true, &step_mm, &at_s));
    hold_stream_destroy(stream);
}
END_TEST

/* The first readings after an hour come when the piece is nearly over: the stretch looked at before
 * them has nothing in it. */
START_TEST(late_readings_after_an_hour)
{
    double step_mm, at_s;
    simulate(66, &quiet, 300);
    struct hold_input input = simulated_input(&hold);
    struct hold_stream *stream = after_an_hour(&input);
    for (size_t i = 0; i < hold.count; i++) {
        hold.valid[i] = hold.time_s[i] > 250.0;
        hold.height_mm[i] += 40.0;
    }
    ck_assert_int_eq(hold_stream_add(stream, &input, 3900.0), MEASURE_OK);
    ck_assert(!hold_stream_look(stream, true, &step_mm, &at_s));
    hold_stream_destroy(stream);
}
END_TEST

/* 15 mm at once at 700 s are told when 180 s about it are over, not at the end. */
START_TEST(a_knock_is_told_while_the_hold_goes_on)
{
    struct hold_settings none = {.has_target = false};
    struct random_source random;
    double step_mm, at_s, told_s = NAN, told_mm = 0.0;
    random_seed(&random, test_seed(67));
    simulate_hold(&random, &quiet, 900, LENGTH_S, RATE_HZ, &hold);
    for (size_t i = 0; i < hold.count; i++) {
        hold.height_mm[i] += hold.time_s[i] >= 700 ? 15 : 0;
    }
    struct hold_input input = simulated_input(&hold);
    struct hold_stream *stream = hold_stream_create(&none, RATE_HZ, LENGTH_S);
    for (double from_s = 0.0; from_s < 1200.0; from_s += PIECE_S) {
        add_piece(stream, &input, from_s, from_s + PIECE_S);
        if (hold_stream_look(stream, false, &step_mm, &at_s)) {
            told_s = isnan(told_s) ? from_s + PIECE_S : told_s;
            ck_assert_double_gt(step_mm, told_mm); /* the same is not told again */
            told_mm = step_mm;
            ck_assert_double_eq_tol(at_s, 700, 3);
        }
    }
    ck_assert_double_gt(told_s, 700);
    ck_assert_double_le(told_s, 840); /* that from 630 to 810 s has it in its middle */
    hold_stream_destroy(stream);
}
END_TEST

/* A block with half of its readings counts, one with fewer does not, nor one that is not over. */
START_TEST(whole_blocks_with_half_of_their_readings_count)
{
    struct hold_settings settings = with_band(900, 8, 10);
    settings.raw = true;
    for (size_t kept = 24; kept <= 25; kept++) {
        struct random_source random;
        struct hold_summary summary;
        random_seed(&random, test_seed(68));
        simulate_hold(&random, &quiet, 900, 62.4, RATE_HZ, &hold); /* 24 blocks of 50, 48 more */
        for (size_t i = 500 + kept; i < 550; i++) {
            hold.valid[i] = 0;
        }
        struct hold_input input = simulated_input(&hold);
        struct hold_stream *stream = hold_stream_create(&settings, RATE_HZ, 600);
        ck_assert_int_eq(hold_stream_add(stream, &input, 0.0), MEASURE_OK);
        ck_assert_int_eq(hold_stream_summarise(stream, 62.4, &summary), MEASURE_OK);
        ck_assert(summary.has_interval);
        ck_assert_int_eq(summary.blocks, kept < 25 ? 23 : 24);
        ck_assert_int_eq(hold_stream_summarise(stream, 62.5, &summary), MEASURE_OK);
        ck_assert_int_eq(summary.blocks, kept < 25 ? 24 : 25);
        hold_stream_destroy(stream);
    }
}
END_TEST

/* A hold of one piece, and not a long one, has the model of all at once to the last reading. */
START_TEST(a_short_hold_has_the_same_model)
{
    struct hold_settings none = {.has_target = false};
    struct hold_summary at_once, streamed;
    double step_mm, at_s;
    simulate(69, &quiet, 120);
    for (size_t i = 0; i < hold.count; i++) {
        hold.height_mm[i] += hold.time_s[i] >= 50 ? 15 : 0;
    }
    struct hold_input input = simulated_input(&hold);
    ck_assert_int_eq(hold_summarise(&input, &none, &at_once), MEASURE_OK);
    struct hold_stream *stream = hold_stream_create(&none, 50, 600);
    ck_assert_int_eq(hold_stream_add(stream, &input, 0.0), MEASURE_OK);
    ck_assert(!hold_stream_look(stream, true, &step_mm, &at_s)); /* it is looked at as a whole */
    ck_assert_int_eq(hold_stream_summarise(stream, 120.0, &streamed), MEASURE_OK);
    ck_assert(at_once.stepped && streamed.stepped);
    ck_assert_double_eq(streamed.step_mm, at_once.step_mm);
    ck_assert_double_eq(streamed.step_at_s, at_once.step_at_s);
    hold_stream_destroy(stream);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("hold_stream");
    TCase *tests = tcase_create("hold_stream");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, piece_by_piece_it_comes_to_the_same);
    tcase_add_test(tests, its_minutes_are_those_of_all_at_once);
    tcase_add_test(tests, a_knock_is_found_on_the_way);
    tcase_add_test(tests, who_sat_up_has_not_lost_it);
    tcase_add_test(tests, an_hour_without_readings_is_a_gap);
    tcase_add_test(tests, memory_that_is_missing_is_told);
    tcase_add_test(tests, nothing_comes_to_nothing);
    tcase_add_test(tests, longer_than_the_longest_is_no_harm);
    tcase_add_test(tests, what_a_stream_is_told_at_its_ends);
    tcase_add_test(tests, an_hour_without_readings_has_no_step);
    tcase_add_test(tests, late_readings_after_an_hour);
    tcase_add_test(tests, a_knock_is_told_while_the_hold_goes_on);
    tcase_add_test(tests, whole_blocks_with_half_of_their_readings_count);
    tcase_add_test(tests, a_short_hold_has_the_same_model);
    return test_main(suite);
}
