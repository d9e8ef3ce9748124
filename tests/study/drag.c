/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* `make study`: does a day of runs find what it says? Modelled days of two setups
 * (rig/virtual_day.h) go the whole way from rides by legs, pairs and runs to the comparison; the
 * truth is the drag area that the day was made with. Prints the table that docs/measures.md takes
 * over.
 *
 *     drag [DAYS [SEED]]      1500 a row, seed 20261128 */
#include "measure/air.h"
#include "measure/compare.h"
#include "measure/drag_run.h"
#include "measure/ride_cut.h"
#include "measure/rules.h"
#include "rig/virtual_day.h"

#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static const struct row {
    double gust_m_s, wind_sd_m_s;
    int runs_each, pairs;
} rows[] = {{.1, .8, 4, 2}, {.1, .8, 8, 2},  {.2, .8, 4, 1},  {.2, .8, 4, 2},
            {.2, .8, 8, 2}, {.5, 1.5, 4, 2}, {.5, 1.5, 8, 2}, {.05, 0, 8, 1}};
#define ROWS (sizeof rows / sizeof rows[0])
#define SAME_M2 .250
#define LOWER_M2 .244

struct counts {
    long days, lost, covered, lower, higher;
    double half_width, sd;
};

static void set_day(const struct row *row, bool same, uint64_t seed,
                    struct virtual_day_settings *settings)
{
    static const int block[] = {0, 1, 1, 0};
    virtual_day_defaults(settings, seed);
    settings->runs = 2 * row->runs_each;
    for (int r = 0; r < settings->runs; r++) {
        settings->setup_of_run[r] = block[r % 4];
    }
    settings->drag_m2[0] = SAME_M2;
    settings->drag_m2[1] = same ? SAME_M2 : LOWER_M2;
    settings->legs_a_run = 2 * row->pairs;
    settings->wind_sd_m_s = row->wind_sd_m_s;
    settings->gust_sd_m_s = row->gust_m_s;
    settings->passer_share = 0.0;
}

static bool make_leg(const struct ride *ride, const struct ride_leg *from, struct drag_leg *leg)
{
    struct ride_piece piece = {0};
    bool done = ride_piece_take(ride, from, &piece);
    if (done) {
        struct drag_samples samples = {piece.time_s, piece.speed_m_s, piece.power_w, piece.count};
        done = drag_leg_make(&samples, 0, piece.count - 1, from->begin_speed_m_s,
                             from->end_speed_m_s, 0.0, leg) == MEASURE_OK;
    }
    ride_piece_free(&piece);
    return done;
}

/* The mean of a run's pairs, as the program works it out; NAN: none can be. */
static double value_of(const struct virtual_day *day, int run, const struct drag_rider *rider,
                       double density)
{
    struct ride_course course = {.borders = RIDE_BORDERS_LAPS, .out_and_back = true};
    struct ride_cut cut = {0};
    struct drag_value values[DRAG_RUN_VALUES_MAX];
    struct drag_run_mean mean = {.drag_m2 = NAN};
    size_t count = 0;
    struct ride *ride = virtual_day_ride(day, run);
    if (ride != NULL && ride_cut(ride, &course, &cut, NULL)) {
        for (size_t i = 1; i < cut.count; i++) {
            struct drag_leg out, back;
            struct drag_pair pair;
            if (cut.leg[i].pair >= 0 && cut.leg[i].pair == cut.leg[i - 1].pair &&
                make_leg(ride, &cut.leg[i - 1], &out) && make_leg(ride, &cut.leg[i], &back) &&
                drag_of_pair(&out, &back, rider, density, &pair) == MEASURE_OK) {
                values[count++] = (struct drag_value){pair.drag_m2, out.length_m + back.length_m};
            }
        }
    }
    if (count == 0 || drag_run_mean_of(values, count, &mean) != MEASURE_OK) {
        mean.drag_m2 = NAN;
    }
    ride_cut_free(&cut);
    ride_free(ride);
    return mean.drag_m2;
}

static double density_of(const struct virtual_day *day, bool at_end)
{
    struct virtual_air told = virtual_day_air(day, at_end);
    const struct air air = {told.temperature_c, told.pressure_hpa * 100.0,
                            told.humidity_percent / 100.0};
    double density = NAN;
    air_density(&air, &density);
    return density;
}

static void count_day(const struct row *row, bool same, uint64_t seed, struct counts *counts)
{
    struct virtual_day_settings settings;
    struct compare_hold runs[VIRTUAL_RUNS_MAX];
    const struct compare_build builds[] = {{.setup = 0, .tied = true},
                                           {.setup = 1, .tied = true, .position_group = 1}};
    struct comparison made;
    set_day(row, same, seed, &settings);
    struct virtual_day *day = virtual_day_create(&settings);
    if (day == NULL) {
        return;
    }
    struct drag_rider rider = drag_usual_rider(settings.mass_kg);
    double at_start = density_of(day, false), at_end = density_of(day, true);
    struct compare_input input = {.holds = runs,
                                  .builds = builds,
                                  .build_count = 2,
                                  .setup_count = 2,
                                  .matters = DRAG_MATTERS_M2,
                                  .higher_is_up = true,
                                  .nothing_usual = true};
    for (int r = 0; r < settings.runs; r++) {
        double share = (r + 0.5) / settings.runs;
        double value = value_of(day, r, &rider, at_start + share * (at_end - at_start));
        if (isfinite(value)) {
            runs[input.hold_count++] = (struct compare_hold){.setup = settings.setup_of_run[r],
                                                             .build = settings.setup_of_run[r],
                                                             .order = r + 1,
                                                             .value = value};
        }
    }
    virtual_day_free(day);
    const struct setup_difference *d = &made.difference[1];
    counts->days++;
    if (compare_setups(&input, &made) != MEASURE_OK || !d->has_interval) {
        counts->lost++;
        return;
    }
    double truth = same ? 0.0 : LOWER_M2 - SAME_M2;
    counts->covered += d->low <= truth && truth <= d->high ? 1 : 0;
    counts->lower += d->high < 0.0 ? 1 : 0;
    counts->higher += d->low > 0.0 ? 1 : 0;
    counts->half_width += 0.5 * (d->high - d->low);
    counts->sd += made.repeatability / SAME_M2;
}

static double of_100(long part, const struct counts *counts)
{
    return 100.0 * (double)part /
           (double)(counts->days > counts->lost ? counts->days - counts->lost : 1);
}

static void cell(double value, int width, int decimals)
{
    char text[24];
    text_from_double(text, sizeof text, value, decimals);
    printf(" %*s |", width, text);
}

int main(int argc, char **argv)
{
    int64_t days = 1500, seed = 20261128;
    if ((argc > 1 && (!text_to_int64(argv[1], &days) || days < 1)) ||
        (argc > 2 && !text_to_int64(argv[2], &seed))) {
        fprintf(stderr, "usage: drag [DAYS [SEED]]\n");
        return 2;
    }
    printf(
        "%lld days a row and truth, seed %lld. Of 100: 95 %% intervals that hold the truth, for "
        "equal "
        "setups and for one\nlower by .006 m2; equal ones called different; the lower one called "
        "lower; and called higher.\n\n"
        "| gusts m/s | runs each | pairs a run | SD run %% | hold, equal | hold, lower | +- m2  | "
        "false | found | wrong way | lost |\n"
        "| --------- | --------- | ----------- | -------- | ----------- | ----------- | ------ | "
        "----- | ----- | --------- | ---- |\n",
        (long long)days, (long long)seed);
    for (size_t r = 0; r < ROWS; r++) {
        struct counts same = {0}, lower = {0};
        for (int64_t i = 0; i < days; i++) {
            uint64_t day = (uint64_t)(seed + 1000003 * (int64_t)r + i);
            count_day(&rows[r], true, day, &same);
            count_day(&rows[r], false, day + 500000, &lower);
        }
        long good = same.days - same.lost > 0 ? same.days - same.lost : 1;
        printf("|");
        cell(rows[r].gust_m_s, 9, 2);
        cell(rows[r].runs_each, 9, 0);
        cell(rows[r].pairs, 11, 0);
        cell(100.0 * same.sd / (double)good, 8, 2);
        cell(of_100(same.covered, &same), 11, 1);
        cell(of_100(lower.covered, &lower), 11, 1);
        cell(same.half_width / (double)good, 6, 4);
        cell(of_100(same.lower + same.higher, &same), 5, 1);
        cell(of_100(lower.lower, &lower), 5, 0);
        cell(of_100(lower.higher, &lower), 9, 2);
        cell((double)(same.lost + lower.lost), 4, 0);
        printf("\n");
        fflush(stdout);
    }
    return EXIT_SUCCESS;
}
