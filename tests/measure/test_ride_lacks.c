/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Rides that lack single values where they are cut, and rides of more legs than anybody rides. */
#include "measure/ride_cut.h"
#include "support/made_ride.h"
#include "support/test_main.h"

#include <math.h>
#include <string.h>

static const struct ride_course length_100 = {.borders = RIDE_BORDERS_LENGTH, .length_m = 100.0};

/* 10 m/s from 500 m on, a mark every 60 s: the distance of a border follows from its neighbours. */
START_TEST(a_border_whose_own_distance_is_missing)
{
    struct ride_course length = {.borders = RIDE_BORDERS_LENGTH, .length_m = 250.0, .from_s = 60.0};
    struct ride *ride = made_ride_even(180, 60);
    ride->distance_m[60] = NAN;
    struct ride_cut cut = made_ride_cut(ride, &length);
    ck_assert_uint_eq(cut.count, 4);
    ck_assert_double_eq_tol(cut.leg[0].begin_s, 60.0, 1e-9);
    ck_assert_double_eq_tol(cut.leg[0].begin_m, 1100.0, 1e-9);
    ride_cut_free(&cut);
    /* Out and back, 10 m of each end left to the turn: 3 s, and 30 m, lie between what is known. */
    struct ride_course out_and_back = {
        .borders = RIDE_BORDERS_LAPS, .out_and_back = true, .turn_room_m = 10.0};
    ride->distance_m[61] = NAN;
    cut = made_ride_cut(ride, &out_and_back);
    ck_assert_int_eq(cut.leg[1].left_out, RIDE_KEPT);
    ck_assert_double_eq_tol(cut.leg[1].begin_s, 61.0, 1e-9);
    ck_assert_double_eq_tol(cut.leg[1].end_s, 119.0, 1e-9);
    ride_cut_free(&cut);
    ride_free(ride);
}
END_TEST

/* A mark that is not known here and there is none of its own. */
START_TEST(marks_that_are_not_known)
{
    struct ride *ride = made_ride_even(180, 60);
    struct ride_cut whole = made_ride_cut(ride, &made_ride_laps);
    for (int i = 5; i <= 180; i += 7) {
        ride->lap[i] = RIDE_LAP_NONE;
    }
    struct ride_cut cut = made_ride_cut(ride, &made_ride_laps);
    ck_assert_uint_eq(cut.count, whole.count);
    for (size_t i = 0; i < cut.count; i++) {
        ck_assert_double_eq(cut.leg[i].begin_s, whole.leg[i].begin_s);
    }
    ride_cut_free(&cut);
    ride_cut_free(&whole);
    ride_free(ride);
}
END_TEST

/* Power: not known for over 3 s up to the leg's begin; no power with a value missing in it; no
 * power in the last 2 s of a leg. */
START_TEST(power_that_is_missing_at_a_border)
{
    static const struct {
        int none_from, none_to; /* not known */
        int zero_from, zero_to; /* no power */
        enum ride_left_out left_out;
        double at_s;
    } rows[] = {{50, 62, -1, -1, RIDE_LEFT_GAP, 60.0},
                {73, 73, 70, 75, RIDE_LEFT_NO_POWER, 70.0},
                {-1, -1, 118, 120, RIDE_KEPT, 0.0}};
    for (size_t r = 0; r < sizeof rows / sizeof rows[0]; r++) {
        struct ride *ride = made_ride_even(180, 60);
        for (int i = 0; i <= 180; i++) {
            bool zero = i >= rows[r].zero_from && i <= rows[r].zero_to;
            bool none = i >= rows[r].none_from && i <= rows[r].none_to;
            ride->power_w[i] = none ? NAN : zero ? 0.0 : 200.0;
        }
        struct ride_cut cut = made_ride_cut(ride, &made_ride_laps);
        ck_assert_int_eq(cut.leg[1].left_out, rows[r].left_out);
        ck_assert_double_eq(cut.leg[1].left_out_at_s, rows[r].at_s);
        ride_cut_free(&cut);
        ride_free(ride);
    }
}
END_TEST

/* Two laps of 600 m, both north: a way whose heading is not known, for want of
 * one of its values at its end, goes with the one before it. */
START_TEST(a_heading_that_is_not_known)
{
    static const struct ride_course ways = {
        .borders = RIDE_BORDERS_LAPS, .out_and_back = true, .turn_room_m = -1.0};
    for (int lacks = 0; lacks < 3; lacks++) {
        bool has[RIDE_CHANNELS] = {false};
        double value[RIDE_CHANNELS];
        has[RIDE_POWER] = has[RIDE_SPEED] = has[RIDE_DISTANCE] = has[RIDE_LAP] = true;
        has[RIDE_LATITUDE] = has[RIDE_LONGITUDE] = true;
        struct ride *ride = ride_create(has);
        ck_assert_ptr_nonnull(ride);
        for (int i = 0; i <= 120; i++) {
            int lap = 1 + i / 60;
            memset(value, 0, sizeof value);
            value[RIDE_TIME] = i;
            value[RIDE_POWER] = 200.0;
            value[RIDE_SPEED] = 10.0;
            value[RIDE_DISTANCE] = 10.0 * i;
            value[RIDE_LAP] = lap;
            value[RIDE_LATITUDE] = lacks == 1 && i > 110 ? NAN : 50.0 + 10.0 * i / METRES_A_DEGREE;
            value[RIDE_LONGITUDE] = lacks == 2 && i > 110 ? NAN : 8.0;
            ck_assert_int_eq(ride_add(ride, value), RIDE_ADDED);
        }
        ck_assert(ride_finish(ride));
        struct ride_cut cut = made_ride_cut(ride, &ways);
        ck_assert(cut.leg[0].has_heading);
        ck_assert_double_eq_tol(cut.leg[0].heading_deg, 0.0, 1e-6);
        ck_assert_int_eq(cut.leg[1].has_heading, lacks == 0);
        ck_assert_int_eq(cut.pairs, lacks > 0); /* both go north: no way back */
        ride_cut_free(&cut);
        ride_free(ride);
    }
}
END_TEST

/* A place lacks its longitude; time between two places; a time that ends before the ride does. */
START_TEST(lines_that_are_not_crossed)
{
    bool has[RIDE_CHANNELS] = {false};
    struct ride_course course = {.borders = RIDE_BORDERS_LINE,
                                 .line = {{50.0 + 500.0 / METRES_A_DEGREE, 8.0, 0.0}}};
    has[RIDE_POWER] = has[RIDE_SPEED] = has[RIDE_LATITUDE] = true;
    struct ride *half = ride_create(has);
    ck_assert_ptr_nonnull(half);
    for (int i = 0; i < 10; i++) {
        double value[RIDE_CHANNELS] = {0};
        value[RIDE_TIME] = i;
        value[RIDE_SPEED] = 10.0;
        ck_assert_int_eq(ride_add(half, value), RIDE_ADDED);
    }
    made_ride_refused(half, &made_ride_laps, "speed and distance"); /* it is not finished */
    ck_assert(ride_finish(half));
    made_ride_refused(half, &course, "no places");
    static const double times_s[] = {0.0, 9.0};
    const struct ride_course whole = {
        .borders = RIDE_BORDERS_TIMES, .time_s = times_s, .time_count = 2};
    struct ride_cut short_one = made_ride_cut(half, &whole);
    ck_assert(short_one.count == 1 && !short_one.leg[0].has_heading);
    ride_cut_free(&short_one);
    ride_free(half);
    /* 1 km north at 10 m/s again and again: over the line at 50 s, 150 s, 250 s, 350 s. */
    for (int stands = 0; stands < 2; stands++) {
        struct ride *ride = made_ride(false, true);
        for (int i = 0; i <= 400; i++) {
            double waits_s = stands && i >= 150 ? 4.0 : 0.0; /* just before the second crossing */
            made_ride_place(ride, i + waits_s, fmod(10.0 * i + 0.5, 1000.0), 0.0, 10.0 * i);
        }
        ck_assert(ride_finish(ride));
        struct ride_cut cut = made_ride_cut(ride, &course);
        ck_assert_uint_eq(cut.count, stands ? 2 : 3);
        ride_cut_free(&cut);
        course.to_s = 300.0;
        cut = made_ride_cut(ride, &course);
        ck_assert_uint_eq(cut.count, stands ? 1 : 2);
        ride_cut_free(&cut);
        course.to_s = 0.0;
        ride_free(ride);
    }
}
END_TEST

/* A piece between two samples has its ends alone; of a leg that is not in the ride there is none.
 */
START_TEST(pieces_without_samples)
{
    struct ride *ride = made_ride_even(180, 60);
    struct ride_leg between = {
        .begin_s = 10.2, .end_s = 10.8, .begin_m = 602.0, .end_m = 608.0, .first = 11, .last = 10};
    struct ride_leg outside[] = {{.begin_s = -5.0, .end_s = 20.0, .first = 0, .last = 20},
                                 {.begin_s = 170.0, .end_s = 185.0, .first = 170, .last = 180}};
    struct ride_piece piece;
    ck_assert(ride_piece_take(ride, &between, &piece));
    ck_assert_uint_eq(piece.count, 2);
    ck_assert_double_eq_tol(piece.distance_m[1], 6.0, 1e-9);
    ride_piece_free(&piece);
    for (int i = 0; i < 2; i++) {
        ck_assert(!ride_piece_take(ride, &outside[i], &piece));
        ck_assert_ptr_null(piece.time_s);
    }
    ride_free(ride);
}
END_TEST

/* Over 2000 of them: what counts them counts something else. One mark a second, whether the last is
 * found on the way or at the end; times; 100 m in each sample; a line every 12 s, from 30 m before
 * it to 30 m behind. */
START_TEST(more_legs_than_a_day_has)
{
    enum { MOST = 2000 };
    static double times_s[2 * (MOST + 1)];
    struct ride_course times = {
        .borders = RIDE_BORDERS_TIMES, .time_s = times_s, .time_count = 2 * (MOST + 1)};
    struct ride_course line = {.borders = RIDE_BORDERS_LINE, .line = {{50.0, 8.0, 0.0}}};
    for (int more = 0; more < 3; more++) {
        struct ride *ride = made_ride(true, false);
        for (int i = 0; i <= MOST + more; i++) {
            made_ride_add(ride, i, 200.0, 10.0, 100.0 * i, more == 1 && i > MOST ? MOST : i);
        }
        ck_assert(ride_finish(ride));
        if (more == 0) {
            struct ride_cut cut = made_ride_cut(ride, &made_ride_laps);
            ride_cut_free(&cut);
            cut = made_ride_cut(ride, &length_100);
            ck_assert_uint_eq(cut.count, MOST);
            ride_cut_free(&cut);
        } else {
            made_ride_refused(ride, &made_ride_laps, "more than 2000 legs");
            made_ride_refused(ride, &length_100, "more than 2000 legs");
        }
        ride_free(ride);
    }
    struct ride *ride = made_ride(true, false);
    for (int i = 0; i <= MOST + 1; i++) {
        made_ride_add(ride, i, 200.0, 10.0, 10.0 * i, 1.0);
    }
    ck_assert(ride_finish(ride));
    for (int i = 0; i <= MOST; i++) {
        times_s[2 * i] = i;
        times_s[2 * i + 1] = i + 0.5;
    }
    made_ride_refused(ride, &times, "more than 2000 legs");
    ride_free(ride);
    ride = made_ride(false, true);
    for (int i = 0; i <= 4 * (MOST + 2); i++) {
        static const double north_m[] = {-50.0, -30.0, 30.0, 50.0};
        made_ride_place(ride, 3.0 * i, north_m[i % 4], 0.0, 10.0 * i);
    }
    ck_assert(ride_finish(ride));
    made_ride_refused(ride, &line, "more than 2000 legs");
    ride_free(ride);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ride_lacks");
    TCase *tests = tcase_create("ride_lacks");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, a_border_whose_own_distance_is_missing);
    tcase_add_test(tests, marks_that_are_not_known);
    tcase_add_test(tests, power_that_is_missing_at_a_border);
    tcase_add_test(tests, a_heading_that_is_not_known);
    tcase_add_test(tests, lines_that_are_not_crossed);
    tcase_add_test(tests, pieces_without_samples);
    tcase_add_test(tests, more_legs_than_a_day_has);
    return test_main(suite);
}
