/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/virtual_day.h"

#include "measure/air.h"
#include "measure/drag_leg.h"
#include "measure/ride_cut.h"
#include "rig/ride_file.h"
#include "support/test_main.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static void add_leg(const struct ride *ride, const struct ride_leg *leg, struct drag_leg *made)
{
    struct ride_piece piece;
    ck_assert(ride_piece_take(ride, leg, &piece));
    const struct drag_samples samples = {piece.time_s, piece.speed_m_s, piece.power_w, piece.count};
    ck_assert_int_eq(drag_leg_make(&samples, 0, piece.count - 1, leg->begin_speed_m_s,
                                   leg->end_speed_m_s, 0.0, made),
                     MEASURE_OK);
    ride_piece_free(&piece);
}

/* What a run comes to: mean drag of its pairs or laps, and of the wind. */
struct found {
    int values;
    double drag_m2, wind_m_s;
};

static struct found find(const struct virtual_day *day, const struct ride *ride, int run,
                         const struct ride_course *course)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct virtual_day_truth truth;
    struct found found = {0};
    struct ride_cut cut;
    virtual_day_truth(day, &truth);
    struct drag_rider rider = drag_usual_rider(85.0);
    rider.rolling = truth.rolling[run];
    ck_assert_msg(ride_cut(ride, course, &cut, &problem), "%s", problem.sentence);
    for (size_t i = 0; i < cut.count; i++) {
        struct drag_leg one, other;
        struct drag_pair pair = {0};
        if (cut.leg[i].left_out != RIDE_KEPT) {
            continue;
        }
        add_leg(ride, &cut.leg[i], &one);
        one.work_j /= truth.power_scale;
        if (course->out_and_back) {
            size_t back = i + 1;
            while (back < cut.count && cut.leg[back].pair != cut.leg[i].pair) {
                back++;
            }
            if (cut.leg[i].pair < 0 || back == cut.count) {
                continue; /* the second of its pair */
            }
            add_leg(ride, &cut.leg[back], &other);
            other.work_j /= truth.power_scale;
            ck_assert_int_eq(drag_of_pair(&one, &other, &rider, truth.density_kg_m3[run], &pair),
                             MEASURE_OK);
        } else {
            ck_assert_int_eq(drag_of_lap(&one, &rider, truth.density_kg_m3[run], &pair.drag_m2),
                             MEASURE_OK);
        }
        found.drag_m2 += pair.drag_m2;
        found.wind_m_s += pair.wind_m_per_s;
        found.values++;
    }
    ride_cut_free(&cut);
    found.drag_m2 /= found.values;
    found.wind_m_s /= found.values;
    return found;
}

static struct virtual_day *calm_day(uint64_t seed, bool laps)
{
    struct virtual_day_settings settings;
    virtual_day_defaults(&settings, seed);
    settings.gust_sd_m_s = 0.0;
    settings.passer_share = 0.0;
    settings.grade_sd = 0.0;
    settings.laps = laps;
    settings.course_m = laps ? 250.0 : settings.course_m;
    settings.legs_a_run = laps ? 8 : settings.legs_a_run;
    struct virtual_day *day = virtual_day_create(&settings);
    ck_assert_ptr_nonnull(day);
    return day;
}

static const struct ride_course road = {
    .borders = RIDE_BORDERS_LAPS, .out_and_back = true, .length_m = 1000.0};

/* Rolling resistance, scale and density being known, a steady wind leaves only the noise of power
 * and speed: 2 W over 100 samples and 0.02 m/s are 0.1 % of drag. */
START_TEST(a_run_s_drag_and_wind_are_found_again)
{
    for (uint64_t seed = 1; seed <= 4; seed++) {
        struct virtual_day *day = calm_day(seed, false);
        struct virtual_day_truth truth;
        virtual_day_truth(day, &truth);
        for (int run = 0; run < 8; run += 3) {
            struct ride *ride = virtual_day_ride(day, run);
            ck_assert(ride_finish(ride));
            struct found found = find(day, ride, run, &road);
            ck_assert_int_eq(found.values, 2);
            ck_assert_double_eq_tol(found.drag_m2 / truth.drag_m2[run], 1.0, 0.006);
            ck_assert_double_eq_tol(found.wind_m_s, truth.wind_m_s, 0.05);
            ride_free(ride);
        }
        virtual_day_free(day);
    }
}
END_TEST

START_TEST(laps_of_a_track_are_found_again)
{
    static const struct ride_course track = {.borders = RIDE_BORDERS_LAPS, .length_m = 250.0};
    struct virtual_day *day = calm_day(5, true);
    struct virtual_day_truth truth;
    virtual_day_truth(day, &truth);
    for (int run = 0; run < 8; run += 3) {
        struct ride *ride = virtual_day_ride(day, run);
        ck_assert(ride_finish(ride));
        ck_assert(!ride_has(ride, RIDE_LATITUDE));
        struct found found = find(day, ride, run, &track);
        ck_assert_int_ge(found.values, 8);
        ck_assert_double_eq_tol(found.drag_m2 / truth.drag_m2[run], 1.0, 0.01);
        ride_free(ride);
    }
    virtual_day_free(day);
}
END_TEST

/* A file has what the ride has; without lap marks the ends of the road are lines. */
START_TEST(files_are_read_back)
{
    struct virtual_day *day = calm_day(3, false);
    struct virtual_place ends[2];
    virtual_day_places(day, ends);
    struct ride *ride = virtual_day_ride(day, 1);
    ck_assert(ride_finish(ride));
    for (int gpx = 0; gpx < 2; gpx++) {
        struct problem problem = {PROBLEM_NONE, ""};
        char *bytes = NULL;
        size_t length = 0;
        FILE *stream = open_memstream(&bytes, &length);
        ck_assert_ptr_nonnull(stream);
        ck_assert(gpx ? virtual_day_write_gpx(day, 1, stream)
                      : virtual_day_write_table(day, 1, stream));
        fclose(stream);
        struct ride_reader *reader = ride_reader_create(&problem);
        ck_assert(ride_reader_feed(reader, bytes, length, &problem));
        struct ride *again = ride_reader_finish(reader, &problem);
        ck_assert_msg(again != NULL, "%s", problem.sentence);
        ride_reader_free(reader);
        free(bytes);
        ck_assert_uint_eq(again->count, ride->count);
        for (size_t i = 0; i < ride->count; i++) {
            ck_assert_double_eq(again->power_w[i], ride->power_w[i]);
            ck_assert_double_eq_tol(again->speed_m_s[i], ride->speed_m_s[i], 1e-9);
            ck_assert_double_eq(again->time_s[i], ride->time_s[i]);
        }
        for (int reason = 0; reason < RIDE_PASSED_REASONS; reason++) {
            ck_assert_uint_eq(again->passed[reason], 0);
        }
        struct virtual_day_truth truth;
        virtual_day_truth(day, &truth);
        struct ride_course course = road;
        if (gpx) {
            ck_assert_int_eq(again->start_unix_us / 1000000 % 86400, (510 + 14) * 60);
            course = (struct ride_course){.borders = RIDE_BORDERS_LINE, .out_and_back = true};
            for (int i = 0; i < 2; i++) {
                course.line[i] = (struct ride_line){ends[i].latitude_deg, ends[i].longitude_deg,
                                                    ends[i].heading_deg};
            }
        }
        struct found found = find(day, again, 1, &course);
        ck_assert_int_eq(found.values, 2);
        ck_assert_double_eq_tol(found.drag_m2 / truth.drag_m2[1], 1.0, 0.006);
        ride_free(again);
    }
    ride_free(ride);
    virtual_day_free(day);
}
END_TEST

/* 6 s of 90 s at 0.75 of the drag area: 1.7 % of it, and the fitter is told on which leg. */
START_TEST(passers_by_are_told_and_lower_drag)
{
    struct virtual_day_settings settings;
    virtual_day_defaults(&settings, 11);
    settings.gust_sd_m_s = settings.grade_sd = settings.wind_sd_m_s = 0.0;
    settings.passer_share = 1.0;
    struct virtual_day *day = virtual_day_create(&settings);
    struct virtual_day_truth truth;
    struct virtual_run told;
    virtual_day_truth(day, &truth);
    virtual_day_run(day, 2, &told);
    ck_assert_int_eq(told.passers, 4);
    ck_assert_int_eq(told.passer_leg[3], 4);
    ck_assert_int_eq(told.setup, 1);
    struct ride *ride = virtual_day_ride(day, 2);
    ck_assert(ride_finish(ride));
    struct found found = find(day, ride, 2, &road);
    ck_assert_double_eq_tol(found.drag_m2 / truth.drag_m2[2], 1.0 - 0.25 * 6.0 / 85.0, 0.006);
    ride_free(ride);
    virtual_day_free(day);
}
END_TEST

/* The same seed the same day; over many days what varies has the spread that was asked for. */
START_TEST(days_are_as_they_were_asked_for)
{
    enum { DAYS = 400 };
    double wind = 0.0, scale = 0.0, grade = 0.0, rider = 0.0;
    for (int i = 0; i < DAYS; i++) {
        struct virtual_day_settings settings;
        struct virtual_day_truth truth;
        virtual_day_defaults(&settings, (uint64_t)i);
        struct virtual_day *day = virtual_day_create(&settings);
        virtual_day_truth(day, &truth);
        wind += truth.wind_m_s * truth.wind_m_s / (double)DAYS;
        scale += pow(truth.power_scale - 1.0, 2) / (double)DAYS;
        grade += truth.grade * truth.grade / (double)DAYS;
        rider += pow(truth.drag_m2[0] / 0.250 - 1.0, 2) / (double)DAYS;
        ck_assert_double_eq_tol(truth.rolling[7] - truth.rolling[0], -7 * 0.00004, 1e-12);
        struct virtual_air first = virtual_day_air(day, false), last = virtual_day_air(day, true);
        ck_assert_double_eq_tol(last.temperature_c - first.temperature_c, 0.8, 1e-9);
        struct air air = {first.temperature_c, first.pressure_hpa * 100.0,
                          first.humidity_percent / 100.0};
        double density = 0.0;
        ck_assert_int_eq(air_density(&air, &density), MEASURE_OK);
        ck_assert_double_eq(density, truth.density_kg_m3[0]);
        virtual_day_free(day);
    }
    ck_assert_double_eq_tol(sqrt(wind), 0.8, 0.1); /* 400 days: 3.5 % is one standard error */
    ck_assert_double_eq_tol(sqrt(scale), 0.015, 0.002);
    ck_assert_double_eq_tol(sqrt(grade), 0.0003, 0.00004);
    ck_assert_double_eq_tol(sqrt(rider), 0.01, 0.0013);
    struct virtual_day *day = calm_day(8, false), *again = calm_day(8, false);
    struct ride *ride = virtual_day_ride(day, 4), *same = virtual_day_ride(again, 4);
    ck_assert_uint_eq(ride->count, same->count);
    ck_assert_mem_eq(ride->power_w, same->power_w, ride->count * sizeof(double));
    ride_free(ride);
    ride_free(same);
    virtual_day_free(day);
    virtual_day_free(again);
    struct virtual_day_settings settings;
    virtual_day_defaults(&settings, 1);
    settings.setup_of_run[3] = 5; /* has no drag area */
    ck_assert_ptr_null(virtual_day_create(&settings));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("virtual day");
    TCase *tests = tcase_create("virtual day");
    tcase_add_test(tests, a_run_s_drag_and_wind_are_found_again);
    tcase_add_test(tests, laps_of_a_track_are_found_again);
    tcase_add_test(tests, files_are_read_back);
    tcase_add_test(tests, passers_by_are_told_and_lower_drag);
    tcase_add_test(tests, days_are_as_they_were_asked_for);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
