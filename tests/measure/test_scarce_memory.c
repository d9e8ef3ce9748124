/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Each call for memory of each measure fails once: nothing breaks, nothing is kept, no number comes
 * out of what was lacking, and the next time all is as ever. */
#include "summarised_hold.h"

#include "measure/band.h"
#include "measure/compare.h"
#include "measure/exact_tests.h"
#include "measure/follow.h"
#include "measure/hampel.h"
#include "measure/hold_stream.h"
#include "measure/least_squares.h"
#include "measure/minutes.h"
#include "measure/plan.h"
#include "measure/practice_change.h"
#include "measure/residual_force.h"
#include "measure/ride_cut.h"
#include "measure/ripple.h"
#include "measure/spectrum.h"
#include "measure/still_test.h"
#include "support/made_ride.h"
#include "support/scarce_memory.h"

#include <math.h>
#include <stdio.h>

/* What came of one, in one number that tells results apart; NAN: it said that it could not. Check
 * asks for memory itself, so nothing is asserted here. */
typedef double measure_run(void);

static enum measure_status worst; /* OK, or another reason than memory */

static double of_status(enum measure_status status, const double *value)
{
    worst = status == MEASURE_OK || status == MEASURE_NO_MEMORY ? worst : status;
    return status == MEASURE_OK ? *value : (double)NAN;
}

static double run_hold(void)
{
    struct hold_settings settings = with_band(900, 8, 10);
    struct hold_input input = simulated_input(&hold);
    struct hold_summary summary;
    enum measure_status status = hold_summarise(&input, &settings, &summary);
    worst = status == summary.status ? worst : MEASURE_BAD_SETTING;
    return of_status(status, &summary.mean_mm);
}

static double run_stream(void)
{
    struct hold_settings settings = with_band(900, 8, 10);
    struct hold_input input = simulated_input(&hold);
    struct hold_summary summary;
    struct hold_stream *stream = hold_stream_create(&settings, 50, 600);
    if (stream == NULL) {
        return (double)NAN;
    }
    enum measure_status status = hold_stream_add(stream, &input, 0.0);
    status = status == MEASURE_OK ? hold_stream_summarise(stream, 60.0, &summary) : status;
    hold_stream_destroy(stream);
    return of_status(status, &summary.mean_mm);
}

/* A hold long enough to be looked through for steps stretch by stretch, with one in it. */
static struct hold_input long_input(void)
{
    static double height_mm[3000], time_of[3000];
    static uint8_t all[3000];
    struct random_source random;
    random_seed(&random, test_seed(9));
    for (int i = 0; i < 3000; i++) {
        time_of[i] = i / 10.0;
        all[i] = 1;
        height_mm[i] = 900.0 + (i > 2000 ? 12.0 : 0.0) + 2.0 * random_normal(&random);
    }
    return (struct hold_input){.time_s = time_of,
                               .height_mm = height_mm,
                               .valid = all,
                               .count = 3000,
                               .duration_s = 300.0,
                               .rate_hz = 10.0};
}

static double run_step_at(void)
{
    struct hold_input input = long_input();
    double step_mm = 0.0;
    enum measure_status status = hold_step_at(&input, 200.0, &step_mm);
    return of_status(status, &step_mm);
}

/* Three setups, two builds of each, two holds of each; two of the holds are short, so that the
 * second opinion on holds of unequal length is asked, too. */
static double run_compare(void)
{
    struct compare_hold holds[12];
    struct compare_build builds[6];
    struct comparison comparison;
    for (int i = 0; i < 12; i++) {
        int setup = i / 4;
        holds[i] = (struct compare_hold){.setup = setup,
                                         .build = i / 2,
                                         .order = i + 1,
                                         .value = 900.0 - 15.0 * setup + (i * 7) % 5,
                                         .mean_se = i % 5 == 0 ? 3.0 : 0.5,
                                         .kept_s = i % 5 == 0 ? 15.0 : 60.0};
        builds[i / 2] = (struct compare_build){.setup = setup, .tied = true, .u_build = 1.0};
    }
    struct compare_input input = {.holds = holds,
                                  .hold_count = 12,
                                  .builds = builds,
                                  .build_count = 6,
                                  .setup_count = 3,
                                  .matters = 8.0,
                                  .higher_is_up = true};
    compare_setups(&input, &comparison);
    const struct setup_difference *difference = &comparison.difference[2];
    return difference->has_interval ? difference->difference + difference->low : (double)NAN;
}

static double run_plan(void)
{
    struct plan_input input = {.setups = 3,
                               .order = PLAN_ROWS,
                               .hold_sd_mm = 4.0,
                               .tie_mm = 1.0,
                               .difference_mm = 15.0,
                               .times = {5.0, 2.0, 1.0, 0.5, 0.75},
                               .minutes_left = 60.0};
    struct plan plan;
    return of_status(plan_make(&input, 2, &plan), &plan.power);
}

static double run_plan_of_holds(void)
{
    struct plan_input input = {.setups = 3,
                               .order = PLAN_ROWS,
                               .hold_sd_mm = 4.0,
                               .difference_mm = 15.0,
                               .times = {5.0, 2.0, 1.0, 0.5, 0.75},
                               .minutes_left = 60.0,
                               .only_chance = true};
    struct plan_holds chosen;
    struct plan plan;
    return of_status(plan_choose_holds(&input, plan_usual_holds(), &chosen, &plan), &plan.power);
}

static double run_mann_whitney(void)
{
    static const double later[] = {3.1, 4.7, 5.2, 6.0}, base[] = {1.0, 2.2, 2.9, 4.0};
    double u, p = NAN;
    return of_status(mann_whitney(later, 4, base, 4, &u, &p), &p);
}

static double run_trend(void)
{
    static const double x[] = {1, 2, 3, 4, 5}, y[] = {2.0, 2.1, 2.9, 3.3, 4.8};
    struct trend trend;
    return of_status(trend_of(x, y, 5, &trend), &trend.rising_p);
}

static double values[3000], times_s[3000];
static uint8_t valid[3000];

static double run_still(void)
{
    struct still_input input = {times_s, values, valid, 3000};
    struct still_test test;
    enum measure_status status = still_test(&input, &test);
    return of_status(status, &test.sd_mm);
}

static double run_ripple(void)
{
    struct ripple ripple;
    return of_status(ripple_find(values, 3000, 50.0, &ripple), &ripple.amplitude_mm);
}

static double run_hampel(void)
{
    static uint8_t reject[3000];
    struct hampel_settings settings = hampel_of_sensor();
    settings.half_window = 400; /* more than it has at hand */
    double medians[3000];
    return of_status(hampel_reject(values, 3000, &settings, reject, medians, NULL), &medians[17]);
}

static double run_follow(void)
{
    struct excursion excursion;
    return of_status(excursion_find(values, 500, values + 500, 500, &excursion),
                     &excursion.shift_mm);
}

static double run_two_levels(void)
{
    struct two_levels levels;
    return of_status(two_levels_find(values, 500, &levels), &levels.low_mm);
}

static double run_least_squares(void)
{
    static const double x[] = {1, 0, 1, 1, 1, 2, 1, 3}, y[] = {1, 3, 5, 7};
    struct least_squares fit;
    return of_status(least_squares_fit(x, y, NULL, 4, 2, &fit), &fit.coefficient[1]);
}

static double run_residual(void)
{
    const double *residual[] = {values, values + 50};
    static const size_t count[] = {50, 50};
    double sd_n = 0.0;
    return of_status(drag_residual_sd(residual, count, 2, &sd_n), &sd_n);
}

/* A ride by lap marks, cut, and a leg of it taken out. Its sentence says why when it is refused. */
static double run_ride(void)
{
    bool has[RIDE_CHANNELS] = {false};
    has[RIDE_POWER] = has[RIDE_SPEED] = has[RIDE_DISTANCE] = has[RIDE_LAP] = true;
    has[RIDE_WIND] = true;
    struct ride *ride = ride_create(has);
    struct ride_cut cut = {0};
    struct ride_piece piece = {0};
    struct problem problem = {0};
    enum ride_added added = ride != NULL ? RIDE_ADDED : RIDE_ADDED_NO_MEMORY;
    for (int i = 0; i <= 180 && added == RIDE_ADDED; i++) {
        double value[RIDE_CHANNELS] = {0};
        int lap = i / 60;
        value[RIDE_TIME] = i;
        value[RIDE_POWER] = 200.0;
        value[RIDE_SPEED] = 10.0;
        value[RIDE_DISTANCE] = 10.0 * i;
        value[RIDE_LAP] = lap;
        added = ride_add(ride, value);
    }
    bool done =
        added == RIDE_ADDED && ride_finish(ride) && ride_cut(ride, &made_ride_laps, &cut, &problem);
    double result = done && ride_piece_take(ride, &cut.leg[1], &piece)
                        ? (double)piece.count + (double)cut.kept
                        : (double)NAN;
    ride_piece_free(&piece);
    ride_cut_free(&cut);
    ride_free(ride);
    return result;
}

/* More samples than the first arrays of a ride hold. */
static double run_long_ride(void)
{
    bool has[RIDE_CHANNELS] = {false};
    has[RIDE_POWER] = has[RIDE_SPEED] = has[RIDE_LAP] = has[RIDE_HEART] = true;
    struct ride *ride = ride_create(has);
    enum ride_added added = ride != NULL ? RIDE_ADDED : RIDE_ADDED_NO_MEMORY;
    for (int i = 0; i < 5000 && added == RIDE_ADDED; i++) {
        double value[RIDE_CHANNELS] = {0};
        value[RIDE_TIME] = i;
        value[RIDE_POWER] = i % 300;
        added = ride_add(ride, value);
    }
    double result = added == RIDE_ADDED ? ride->power_w[4999] : (double)NAN;
    worst = added == RIDE_ADDED || added == RIDE_ADDED_NO_MEMORY ? worst : MEASURE_BAD_SETTING;
    ride_free(ride);
    return result;
}

/* The widest band that is proposed of a capture. */
static double run_bands(void)
{
    struct band_proposal proposals[BAND_PROPOSALS_MAX];
    struct hold_input input = simulated_input(&hold);
    struct cue_settings cue = cue_usual(false);
    int count = band_propose(&input, 900.0, 8.0, &cue, proposals);
    return count > 0 ? proposals[count - 1].above_mm : (double)NAN;
}

/* An hour by its minutes. */
static double run_minutes(void)
{
    struct minute_row rows[8];
    struct hold_settings settings = with_band(900, 8, 10);
    struct hold_input input = long_input();
    size_t count = minutes_make(&input, &settings, 30.0, rows, 8);
    double sum = 0.0;
    for (size_t r = 0; r < count; r++) {
        sum += rows[r].mean_mm;
    }
    return sum;
}

static double run_course(void)
{
    struct minute_row rows[12];
    struct minutes_course course;
    for (int r = 0; r < 12; r++) {
        rows[r] = (struct minute_row){
            .from_s = 60.0 * r, .to_s = 60.0 * r + 60.0, .seen_s = 60.0, .mean_mm = 900.0 + r};
    }
    minutes_course(rows, 12, &course);
    return course.has_trend ? course.trend_mm_per_h : (double)NAN;
}

/* Tests of practice before and after: of either way of the comparison. */
static double run_practice(void)
{
    static const struct practice_test base[] = {
        {.52, 20, 60, false}, {.58, 20, 70, false}, {.55, 20, 80, false}};
    static const struct practice_test later[] = {
        {.70, 20, 90, false}, {.69, 20, 95, false}, {.78, 20, 99, false}};
    struct practice_change change;
    return of_status(practice_change_of(base, 3, later, 3, &change), &change.worse_p);
}

static double run_spectrum(void)
{
    struct spectrum *spectrum = spectrum_create(256, 50.0);
    double power = NAN;
    if (spectrum != NULL) {
        spectrum_add(spectrum, values, 3000);
        power = spectrum_power(spectrum, 1.0, 5.0);
    }
    spectrum_destroy(spectrum);
    return power;
}

static const struct {
    const char *words;
    measure_run *run;
    int least;         /* calls for memory at least */
    bool goes_without; /* may give a result that lacks something (base/memory.h tells of it) */
    int kept; /* blocks at most: GSL 2.7 keeps a matrix, vector or spline of which a part finds none
               */
} measures[] = {
    {"hold", run_hold, 6, true, 1},
    {"stream", run_stream, 12, true, 1},
    {"step at", run_step_at, 4, false, 1},
    {"comparison", run_compare, 6, true, 3},
    {"plan", run_plan, 5, false, 3},
    {"plan of holds", run_plan_of_holds, 5, true, 3},
    {"mann_whitney", run_mann_whitney, 1, false, 0},
    {"trend", run_trend, 1, false, 0},
    {"still", run_still, 6, true, 0},
    {"ripple", run_ripple, 4, false, 0},
    {"hampel", run_hampel, 1, false, 0},
    {"follow", run_follow, 1, false, 0},
    {"two levels", run_two_levels, 1, false, 0},
    {"least squares", run_least_squares, 3, false, 1},
    {"residual", run_residual, 1, false, 0},
    {"ride", run_ride, 8, false, 0},
    {"long ride", run_long_ride, 10, false, 0},
    {"bands", run_bands, 6, true, 1},
    {"minutes", run_minutes, 1, false, 0},
    {"course", run_course, 1, false, 0},
    {"practice", run_practice, 2, false, 0},
    {"spectrum", run_spectrum, 5, false, 0},
};

static void make_values(void)
{
    struct random_source random;
    random_seed(&random, test_seed(5));
    for (int i = 0; i < 3000; i++) {
        times_s[i] = i / 50.0;
        values[i] = 900.0 + 2.0 * random_normal(&random);
        valid[i] = 1;
    }
    simulate(3, &quiet, 60);
}

START_TEST(what_lacks_memory_says_so_and_keeps_none)
{
    if (!scarce_memory_is_here()) {
        printf("skipped: the sanitizers have their own memory\n");
        return;
    }
    make_values();
    bool failed = true;
    long calls = 0;
    for (long call = 1; failed; call++) {
        long before = scarce_memory_blocks();
        scarce_memory_begin(call);
        double result = measures[_i].run();
        failed = scarce_memory_end();
        long kept = scarce_memory_blocks() - before;
        ck_assert_int_eq(worst, MEASURE_OK);
        ck_assert_msg(kept <= measures[_i].kept, "%s, call %ld: %ld blocks kept",
                      measures[_i].words, call, kept);
        ck_assert_msg(failed ? isnan(result) || measures[_i].goes_without
                             : result == measures[_i].run(),
                      "%s, call %ld: %g", measures[_i].words, call, result);
        calls += failed;
    }
    ck_assert_msg(calls >= measures[_i].least, "%s: %ld calls", measures[_i].words, calls);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("scarce_memory");
    TCase *tests = tcase_create("scarce_memory");
    suite_add_tcase(suite, tests);
    tcase_add_loop_test(tests, what_lacks_memory_says_so_and_keeps_none, 0,
                        sizeof measures / sizeof measures[0]);
    return test_main(suite);
}
