/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/made_ride.h"
#include "support/test_main.h"

#include <math.h>

/* Where a ride is cut: by lap marks, times, lines and a track's length. */

START_TEST(lap_marks_are_borders)
{
    struct ride *ride = made_ride_even(150, 30);
    struct ride_cut found = made_ride_cut(ride, &made_ride_laps);
    ck_assert_uint_eq(found.count, 5);
    ck_assert_uint_eq(found.kept, 5);
    for (int i = 0; i < 5; i++) {
        const struct ride_leg *leg = &found.leg[i];
        ck_assert_double_eq(leg->begin_s, 30.0 * i);
        ck_assert_double_eq(leg->end_s, 30.0 * (i + 1));
        ck_assert_double_eq(leg->length_m, 300.0);
        ck_assert_double_eq(leg->begin_m, 500.0 + 300.0 * i);
        ck_assert_double_eq_tol(leg->begin_speed_m_s, 10.0, 1e-12);
        ck_assert_double_eq_tol(leg->end_speed_m_s, 10.0, 1e-12);
        ck_assert_uint_eq(leg->first, 30U * (unsigned)i);
        ck_assert_uint_eq(leg->last, 30U * (unsigned)(i + 1));
        ck_assert_int_eq(leg->lap, i + 1);
        ck_assert_int_eq(leg->pair, -1);
        ck_assert(!leg->has_heading);
    }
    ride_cut_free(&found);
    ride_free(ride);
}
END_TEST

/* The way to the track and home again are stretches between marks as well. */
START_TEST(ways_to_the_course_and_home_are_no_laps)
{
    static const int marks_s[] = {0, 90, 120, 150, 181, 212, 400};
    struct ride *ride = made_ride(true, false);
    for (int i = 0, lap = 0; i < 400; i++) {
        lap += i == marks_s[lap + 1] ? 1 : 0;
        made_ride_add(ride, i, 200.0, 10.0, 10.0 * i, lap);
    }
    ck_assert(ride_finish(ride));
    struct ride_cut found = made_ride_cut(ride, &made_ride_laps);
    ck_assert_uint_eq(found.count, 4);
    ck_assert_uint_eq(found.kept, 4);
    ck_assert_uint_eq(found.beside, 2);
    ck_assert_int_eq(found.leg[0].lap, 1); /* the file's own numbers */
    ck_assert_int_eq(found.leg[3].lap, 4);
    ck_assert_uint_eq(found.left_out[RIDE_KEPT], 4);
    ride_cut_free(&found);
    struct ride_course part = made_ride_laps;
    part.from_s = 120.0; /* within a lap's first sample */
    part.to_s = 212.0;
    found = made_ride_cut(ride, &part);
    ck_assert_uint_eq(found.count, 3);
    ck_assert_uint_eq(found.kept, 3);
    ride_cut_free(&found);
    ride_free(ride);
}
END_TEST

START_TEST(times_are_borders_and_turns_are_cut)
{
    struct ride *ride = made_ride_even(400, 1000);
    const double times_s[] = {10.5, 110.5, 130.0, 230.0, 250.0, 351.0, 352.0, 353.0};
    struct ride_course course = {
        .borders = RIDE_BORDERS_TIMES, .out_and_back = true, .time_s = times_s, .time_count = 8};
    struct ride_cut found = made_ride_cut(ride, &course);
    ck_assert_uint_eq(found.count, 4);
    ck_assert_uint_eq(found.kept, 3);
    ck_assert_double_eq_tol(found.leg[0].begin_s, 15.5, 1e-9); /* 50 m at 10 m/s */
    ck_assert_double_eq_tol(found.leg[0].end_s, 105.5, 1e-9);
    ck_assert_double_eq_tol(found.leg[0].length_m, 900.0, 1e-9);
    ck_assert_uint_eq(found.leg[0].first, 16);
    ck_assert_uint_eq(found.leg[0].last, 105);
    ck_assert_int_eq(found.leg[3].left_out, RIDE_LEFT_SHORT);
    ck_assert_int_eq(found.pairs, 1);
    ck_assert_int_eq(found.leg[0].pair, 0);
    ck_assert_int_eq(found.leg[1].pair, 0);
    ck_assert_int_eq(found.leg[2].pair, -1);
    for (int i = 0; i < 4; i++) {
        ck_assert_int_eq(found.leg[i].lap, i + 1); /* counted, so that laps=2..3 finds them */
    }
    ride_cut_free(&found);
    course.turn_room_m = -1.0;
    found = made_ride_cut(ride, &course);
    ck_assert_double_eq_tol(found.leg[0].begin_s, 10.5, 1e-9);
    ck_assert_double_eq_tol(found.leg[0].length_m, 1000.0, 1e-9);
    ride_cut_free(&found);
    course.turn_room_m = 100.0;
    found = made_ride_cut(ride, &course);
    ck_assert_double_eq_tol(found.leg[1].begin_s, 140.0, 1e-9);
    ride_cut_free(&found);
    course.time_count = 7;
    made_ride_refused(ride, &course, "begin and the end of each leg");
    const double wrong_s[] = {10.0, 110.0, 100.0, 200.0};
    course.time_s = wrong_s;
    course.time_count = 4;
    made_ride_refused(ride, &course,
                      "leg 2 is from 100.0 to 200.0 s: legs come one after the other");
    const double late_s[] = {10.0, 400.5};
    course.time_s = late_s;
    course.time_count = 2;
    made_ride_refused(ride, &course, "within the 400.0 s");
    ride_free(ride);
}
END_TEST

/* A leg of 98 m among others of 102 m. */
START_TEST(a_hundred_metres_are_a_leg)
{
    struct ride *ride = made_ride_even(100, 1000);
    const double times_s[] = {10.0, 19.8, 30.0, 40.2, 50.0, 60.2};
    struct ride_course course = {.borders = RIDE_BORDERS_TIMES, .time_s = times_s, .time_count = 6};
    struct ride_cut found = made_ride_cut(ride, &course);
    ck_assert_int_eq(found.leg[0].left_out, RIDE_LEFT_SHORT);
    ck_assert_int_eq(found.leg[1].left_out, RIDE_KEPT);
    ride_cut_free(&found);
    ride_free(ride);
}
END_TEST

START_TEST(a_track_s_length_is_laid_along_the_wheel_s_distance)
{
    struct ride *ride = made_ride(false, false);
    for (int i = 0; i <= 200; i++) {
        made_ride_add(ride, i, 250.0, 10.4, 33.0 + 10.4 * i, NAN);
    }
    ck_assert(ride_finish(ride));
    struct ride_course course = {.borders = RIDE_BORDERS_LENGTH, .length_m = 250.0, .from_s = 5.0};
    struct ride_cut found = made_ride_cut(ride, &course);
    ck_assert_uint_eq(found.count, 8); /* 195 s * 10.4 m/s = 2028 m */
    for (int i = 0; i < 8; i++) {
        ck_assert_double_eq_tol(found.leg[i].begin_s, 5.0 + i * 250.0 / 10.4, 1e-9);
        ck_assert_double_eq_tol(found.leg[i].length_m, 250.0, 1e-9);
        ck_assert_int_eq(found.leg[i].lap, i + 1);
    }
    ride_cut_free(&found);
    course.to_s = 60.0;
    found = made_ride_cut(ride, &course);
    ck_assert_uint_eq(found.count, 2);
    ride_cut_free(&found);
    course = (struct ride_course){.borders = RIDE_BORDERS_LENGTH, .length_m = 101.0};
    found = made_ride_cut(ride, &course);
    ck_assert_uint_eq(found.count, 20); /* of 2080 m */
    ride_cut_free(&found);
    course.length_m = 1500.0; /* one, and no second */
    found = made_ride_cut(ride, &course);
    ck_assert_uint_eq(found.count, 1);
    ride_cut_free(&found);
    course.length_m = 99.0;
    made_ride_refused(ride, &course, "too short");
    course.length_m = 5000.0;
    made_ride_refused(ride, &course, "shorter than one lap");
    course.length_m = 250.0;
    ride->distance_from = RIDE_SOURCE_SATELLITES;
    made_ride_refused(ride, &course, "distance of a wheel");
    ride_free(ride);
}
END_TEST

/* A circle of 400 m from its eastern point northwards at 10 m/s: the line's place is passed after
 * 40 s, 80 s, ... A tenth of a second is what the straight between two places leaves. */
START_TEST(a_line_that_is_crossed_is_a_border)
{
    struct ride *ride = made_ride(false, true);
    double radius_m = 400.0 / (2.0 * 3.14159265358979323846);
    for (int i = 0; i <= 170; i++) {
        double turned = (10.0 * i + 5.0) / radius_m;
        made_ride_place(ride, i, radius_m * sin(turned), radius_m * cos(turned), 10.0 * i + 5.0);
    }
    ck_assert(ride_finish(ride));
    struct ride_course course = {
        .borders = RIDE_BORDERS_LINE,
        .line = {{50.0, 8.0 + radius_m / METRES_A_DEGREE / cos(50.0 * RADIANS), 0.0}}};
    struct ride_cut found = made_ride_cut(ride, &course);
    ck_assert_uint_eq(found.count, 3);
    ck_assert_uint_eq(found.kept, 3);
    for (int i = 0; i < 3; i++) {
        ck_assert_double_eq_tol(found.leg[i].begin_s, 39.5 + 40.0 * i, 0.1);
        ck_assert_double_eq_tol(found.leg[i].length_m, 400.0, 1.0);
    }
    ride_cut_free(&found);
    double shift_deg = 180.0 - course.line[0].longitude_deg;
    for (size_t i = 0; i < ride->count; i++) {
        ride->longitude_deg[i] += shift_deg;
    }
    course.line[0].longitude_deg = -180.0; /* the same meridian as 180, by its other name */
    found = made_ride_cut(ride, &course);
    ck_assert_uint_eq(found.count, 3);
    ride_cut_free(&found);
    for (size_t i = 0; i < ride->count; i++) {
        ride->longitude_deg[i] -= shift_deg;
    }
    course.line[0].longitude_deg = 180.0 - shift_deg;
    course.line[0].heading_deg = 180.0; /* nobody comes from there */
    made_ride_refused(ride, &course, "crosses the line 0 times");
    course.line[0].heading_deg = 55.0; /* askew by less than 60 degrees: crossed all the same */
    found = made_ride_cut(ride, &course);
    ck_assert_uint_eq(found.count, 3);
    ride_cut_free(&found);
    course.line[0].heading_deg = 70.0;
    made_ride_refused(ride, &course, "0 times");
    course.line[0] = (struct ride_line){50.0, 8.0, 0.0}; /* the circle's middle: 64 m away */
    made_ride_refused(ride, &course, "0 times");
    ride_free(ride);
    ride = made_ride_even(100, 50);
    made_ride_refused(ride, &course, "no places");
    ride_free(ride);
}
END_TEST

/* Straight north over the line, round by another way, and over it again: a lap, where the line
 * reaches so far, and lies no more askew. */
START_TEST(a_line_reaches_15_m_and_may_lie_60_degrees_askew)
{
    static const struct {
        double east_m, heading_deg;
        bool crossed;
    } tried[] = {{14.5, 0.0, true}, {15.5, 0.0, false}, {0.0, 59.0, true}, {0.0, 61.0, false}};
    struct ride *ride = made_ride(false, true);
    for (int i = 0; i <= 120; i++) {
        made_ride_place(ride, i, -300.0 + 10.0 * (i % 60), 0.0, 10.0 * i);
    }
    ck_assert(ride_finish(ride));
    for (size_t t = 0; t < sizeof tried / sizeof tried[0]; t++) {
        double east_deg = tried[t].east_m / METRES_A_DEGREE / cos(50.0 * RADIANS);
        struct ride_course course = {.borders = RIDE_BORDERS_LINE,
                                     .line = {{50.0, 8.0 + east_deg, tried[t].heading_deg}}};
        if (tried[t].crossed) {
            struct ride_cut found = made_ride_cut(ride, &course);
            ck_assert_uint_eq(found.count, 1);
            ride_cut_free(&found);
        } else {
            made_ride_refused(ride, &course, "0 times");
        }
    }
    ride_free(ride);
}
END_TEST

/* What is a pair by the directions of its ways, however they lie to the north. */
START_TEST(ways_of_opposite_directions_are_a_pair)
{
    static const struct {
        double one_deg, other_deg;
        int pairs;
    } cases[] = {{80, 260, 1}, {350, 170, 1}, {170, 350, 1}, {300, 30, 0},
                 {30, 300, 0}, {10, 132, 1},  {10, 128, 0},  {20, 20, 0}};
    static const double time_s[] = {0, 100, 100, 200};
    const struct ride_course course = {.borders = RIDE_BORDERS_TIMES,
                                       .out_and_back = true,
                                       .turn_room_m = -1.0,
                                       .time_s = time_s,
                                       .time_count = 4};
    for (size_t c = 0; c < sizeof cases / sizeof cases[0]; c++) {
        struct ride *ride = made_ride(false, true);
        double north_m = 0.0, east_m = 0.0;
        for (int i = 0; i <= 200; i++) {
            double heading = (i < 100 ? cases[c].one_deg : cases[c].other_deg) * RADIANS;
            made_ride_place(ride, i, north_m, east_m, 10.0 * i);
            north_m += 10.0 * cos(heading);
            east_m += 10.0 * sin(heading);
        }
        ck_assert(ride_finish(ride));
        struct ride_cut found = made_ride_cut(ride, &course);
        ck_assert_uint_eq(found.count, 2);
        ck_assert_msg(found.pairs == cases[c].pairs, "%g and %g degrees", cases[c].one_deg,
                      cases[c].other_deg);
        ck_assert_double_eq_tol(remainder(found.leg[0].heading_deg - cases[c].one_deg, 360.0), 0.0,
                                .1);
        ride_cut_free(&found);
        ride_free(ride);
    }
}
END_TEST

/* North for 1200 m, back, and again, at 10 m/s; lines at 100 m and 1100 m. */
START_TEST(two_lines_bound_legs_out_and_back)
{
    struct ride *ride = made_ride(false, true);
    for (int i = 0; i <= 480; i++) {
        int along = i % 240 <= 120 ? i % 240 : 240 - i % 240;
        made_ride_place(ride, i, 10.0 * along, 0.0, 10.0 * i);
    }
    ck_assert(ride_finish(ride));
    struct ride_course course = {.borders = RIDE_BORDERS_LINE,
                                 .out_and_back = true,
                                 .turn_room_m = -1.0,
                                 .line = {{50.0 + 100.0 / METRES_A_DEGREE, 8.0, 0.0},
                                          {50.0 + 1100.0 / METRES_A_DEGREE, 8.0, 0.0}}};
    struct ride_cut found = made_ride_cut(ride, &course);
    static const double begin_s[] = {10, 130, 250, 370};
    ck_assert_uint_eq(found.count, 4);
    ck_assert_int_eq(found.pairs, 2);
    for (int i = 0; i < 4; i++) {
        ck_assert_double_eq_tol(found.leg[i].begin_s, begin_s[i], 1e-3);
        ck_assert_double_eq_tol(found.leg[i].length_m, 1000.0, 1e-2);
        ck_assert(found.leg[i].has_heading);
        ck_assert_double_eq_tol(cos(found.leg[i].heading_deg * RADIANS), i % 2 == 0 ? 1.0 : -1.0,
                                1e-9);
        ck_assert_int_eq(found.leg[i].pair, i / 2);
    }
    /* between times the way itself tells where it goes: north, and south again */
    static const double time_s[] = {20, 110, 130, 230};
    struct ride_course timed = {.borders = RIDE_BORDERS_TIMES,
                                .out_and_back = true,
                                .turn_room_m = -1.0,
                                .time_s = time_s,
                                .time_count = 4};
    struct ride_cut ways = made_ride_cut(ride, &timed);
    ck_assert_uint_eq(ways.count, 2);
    ck_assert(ways.leg[0].has_heading && ways.leg[1].has_heading);
    ck_assert_double_eq_tol(cos(ways.leg[0].heading_deg * RADIANS), 1.0, 1e-6);
    ck_assert_double_eq_tol(cos(ways.leg[1].heading_deg * RADIANS), -1.0, 1e-6);
    ride_cut_free(&ways);
    found.leg[1].left_out = RIDE_LEFT_BRAKED; /* by hand: the next two make a pair */
    ride_cut_count(&found, true);
    ck_assert_int_eq(found.pairs, 1);
    ck_assert_int_eq(found.leg[0].pair, -1);
    ck_assert_int_eq(found.leg[2].pair, 0);
    ck_assert_int_eq(found.leg[3].pair, 0);
    found.leg[1].left_out = RIDE_KEPT;
    found.leg[1].heading_deg = 0.0; /* the same way as the first, and opposite to none */
    found.leg[2].heading_deg = 119.0;
    ride_cut_count(&found, true);
    ck_assert_int_eq(found.leg[1].pair, -1);
    ride_cut_free(&found);
    ride_free(ride);
}
END_TEST

/* Who stops on the line and rolls to and fro over it crosses it once; after 10 s again. */
START_TEST(a_line_is_not_crossed_twice_at_once)
{
    static const struct {
        int stop_s;
        size_t legs;
    } tried[] = {{4, 1}, {12, 2}};
    for (size_t t = 0; t < 2; t++) {
        struct ride *ride = made_ride(false, true);
        double north_m = -305.0, metres = 0.0;
        bool jolted = false;
        for (int i = 0; i <= 200; i++) {
            /* once over the line: back by 20 m at once, and over it again some seconds later */
            bool jolt = !jolted && north_m > 10.0;
            bool rolls = jolted && i < 60 && north_m < 0.0;
            double step_m = jolt ? -20.0 : rolls ? 5.0 / tried[t].stop_s : 10.0;
            jolted = jolted || jolt;
            made_ride_place(ride, i, north_m, 0.0, metres);
            north_m = i == 150 ? -300.0 : north_m + step_m; /* round, by another way */
            metres += fabs(step_m);
        }
        ck_assert(ride_finish(ride));
        struct ride_course course = {.borders = RIDE_BORDERS_LINE, .line = {{50.0, 8.0, 0.0}}};
        struct ride_cut found = made_ride_cut(ride, &course);
        ck_assert_uint_eq(found.count, tried[t].legs);
        ride_cut_free(&found);
        ride_free(ride);
    }
}
END_TEST

/* Marks at both ends of each leg: stretches of 1000 m, and turns of 300 m between them, which are
 * more. A leg that was ridden too far is no turn: those beside it are no pair. */
START_TEST(turns_between_marks_are_passed_over)
{
    static const int lasts_s[] = {40, 100, 30, 100, 30, 100, 30, 110, 30, 100, 30, 100, 40};
    static const int pairs[] = {0, 0, -1, -1, 1, 1};
    enum { STRETCHES = sizeof lasts_s / sizeof lasts_s[0], LEGS = sizeof pairs / sizeof pairs[0] };
    struct ride *ride = made_ride(true, false);
    int at_s = 0;
    for (int i = 0; i < STRETCHES; i++) {
        for (int j = 0; j < lasts_s[i]; j++, at_s++) {
            made_ride_add(ride, at_s, 200.0, 10.0, 10.0 * at_s, i);
        }
    }
    ck_assert(ride_finish(ride));
    struct ride_course course = {.borders = RIDE_BORDERS_LAPS, .out_and_back = true};
    struct ride_cut found = made_ride_cut(ride, &course);
    ck_assert_uint_eq(found.count, LEGS);
    ck_assert_uint_eq(found.beside, STRETCHES - LEGS);
    ck_assert_uint_eq(found.kept, 5);
    ck_assert_int_eq(found.pairs, 2);
    ck_assert_int_eq(found.leg[3].left_out, RIDE_LEFT_OTHER_LENGTH);
    for (int i = 0; i < LEGS; i++) {
        ck_assert_int_eq(found.leg[i].pair, pairs[i]);
        ck_assert_int_eq(found.leg[i].lap, 2 * i + 1);
    }
    ride_cut_free(&found);
    course.length_m = 1000.0; /* from turn to turn: 50 m at either end are left out of it */
    found = made_ride_cut(ride, &course);
    ck_assert_uint_eq(found.kept, 5);
    ck_assert_double_eq_tol(found.leg[0].length_m, 900.0, 1e-9);
    ride_cut_free(&found);
    course.turn_room_m = -1.0;
    found = made_ride_cut(ride, &course);
    ck_assert_uint_eq(found.kept, 5);
    ride_cut_free(&found);
    course.length_m = 300.0; /* what was taken for turns are the legs now */
    found = made_ride_cut(ride, &course);
    ck_assert_uint_eq(found.kept, 5);
    ck_assert_int_eq(found.leg[0].lap, 2);
    ck_assert_int_eq(found.leg[1].left_out, RIDE_LEFT_OTHER_LENGTH);
    ride_cut_free(&found);
    course.length_m = 2000.0; /* nothing is as long: told, each of them */
    found = made_ride_cut(ride, &course);
    ck_assert_uint_eq(found.count, STRETCHES);
    ck_assert_uint_eq(found.left_out[RIDE_LEFT_OTHER_LENGTH], STRETCHES);
    ride_cut_free(&found);
    ride_free(ride);
}
END_TEST

/* Between legs of 1000 m stretches of 480 m are turns; of 520 m they are told as of another length.
 */
START_TEST(half_a_leg_is_the_longest_turn)
{
    for (int more = 0; more < 2; more++) {
        int turn_s = more == 0 ? 48 : 52, every_s = 100 + turn_s;
        struct ride *ride = made_ride(true, false);
        for (int i = 0; i <= 3 * every_s + 100; i++) {
            int lap = 2 * (i / every_s) + (i % every_s >= 100 ? 1 : 0);
            made_ride_add(ride, i, 200.0, 10.0, 10.0 * i, lap);
        }
        ck_assert(ride_finish(ride));
        struct ride_cut found = made_ride_cut(ride, &made_ride_laps);
        ck_assert_uint_eq(found.kept, 4);
        ck_assert_uint_eq(found.beside, more == 0 ? 3 : 0);
        ck_assert_uint_eq(found.left_out[RIDE_LEFT_OTHER_LENGTH], more == 0 ? 0 : 3);
        ride_cut_free(&found);
        ride_free(ride);
    }
}
END_TEST

/* v = 8 + 0.05 t: the mean of 3 s about a moment is the speed there. */
START_TEST(speed_at_a_border_is_a_mean)
{
    struct ride *ride = made_ride(false, false);
    for (int i = 0; i <= 60; i++) {
        made_ride_add(ride, i, 300.0, 8.0 + 0.05 * i, 8.0 * i + 0.025 * i * i, NAN);
    }
    ck_assert(ride_finish(ride));
    ride->speed_m_s[20] += 0.6; /* weighs 1 of 3 s */
    const double times_s[] = {20.0, 50.25};
    struct ride_course course = {.borders = RIDE_BORDERS_TIMES, .time_s = times_s, .time_count = 2};
    struct ride_cut found = made_ride_cut(ride, &course);
    ck_assert_double_eq_tol(found.leg[0].begin_speed_m_s, 9.0 + 0.2, 1e-9);
    ck_assert_double_eq_tol(found.leg[0].end_speed_m_s, 10.5125, 1e-9);
    ride_cut_free(&found);
    ride_free(ride);
}
END_TEST

START_TEST(what_cannot_be_cut_is_told)
{
    struct ride *ride = made_ride_even(100, 1000);
    made_ride_refused(ride, &made_ride_laps, "never changes");
    double *power_w = ride->power_w;
    ride->power_w = NULL;
    made_ride_refused(ride, &made_ride_laps, "lacks power");
    ride->power_w = power_w;
    ride_free(ride);
    ride = made_ride(false, false);
    made_ride_refused(ride, &made_ride_laps, "no two samples");
    made_ride_add(ride, 0.0, 200.0, 10.0, 0.0, NAN);
    made_ride_add(ride, 1.0, 200.0, 10.0, 10.0, NAN);
    made_ride_refused(ride, &made_ride_laps, "no lap marks");
    ride_free(ride);
    ride = made_ride_even(3000, 1); /* a 'lap' that counts seconds */
    made_ride_refused(ride, &made_ride_laps, "more than 2000 legs");
    ride_free(ride);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("borders of a ride");
    TCase *tests = tcase_create("borders of a ride");
    tcase_add_test(tests, lap_marks_are_borders);
    tcase_add_test(tests, ways_to_the_course_and_home_are_no_laps);
    tcase_add_test(tests, times_are_borders_and_turns_are_cut);
    tcase_add_test(tests, a_hundred_metres_are_a_leg);
    tcase_add_test(tests, half_a_leg_is_the_longest_turn);
    tcase_add_test(tests, a_line_reaches_15_m_and_may_lie_60_degrees_askew);
    tcase_add_test(tests, a_track_s_length_is_laid_along_the_wheel_s_distance);
    tcase_add_test(tests, a_line_that_is_crossed_is_a_border);
    tcase_add_test(tests, ways_of_opposite_directions_are_a_pair);
    tcase_add_test(tests, two_lines_bound_legs_out_and_back);
    tcase_add_test(tests, a_line_is_not_crossed_twice_at_once);
    tcase_add_test(tests, turns_between_marks_are_passed_over);
    tcase_add_test(tests, speed_at_a_border_is_a_mean);
    tcase_add_test(tests, what_cannot_be_cut_is_told);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
