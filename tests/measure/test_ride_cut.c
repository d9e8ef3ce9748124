/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/ride_cut.h"
#include "support/test_main.h"

#include <math.h>
#include <string.h>

/* Rides made by hand, whose borders are known: what is expected is where they were put. */

#define RADIANS (3.14159265358979323846 / 180.0)
#define METRES_A_DEGREE 111195.08 /* 2 pi 6371.0088 km / 360 */

static struct ride *ride_with_laps_and_places(bool laps, bool places)
{
    bool has[RIDE_CHANNELS] = {false};
    has[RIDE_POWER] = has[RIDE_SPEED] = has[RIDE_DISTANCE] = true;
    has[RIDE_LAP] = laps;
    has[RIDE_LATITUDE] = has[RIDE_LONGITUDE] = places;
    struct ride *ride = ride_create(has);
    ck_assert_ptr_nonnull(ride);
    ride->speed_from = ride->distance_from = RIDE_SOURCE_WHEEL;
    return ride;
}

static void add(struct ride *ride, double time_s, double power_w, double speed_m_s,
                double distance_m, double lap)
{
    double values[RIDE_CHANNELS];
    for (int i = 0; i < RIDE_CHANNELS; i++) {
        values[i] = NAN;
    }
    values[RIDE_TIME] = time_s;
    values[RIDE_POWER] = power_w;
    values[RIDE_SPEED] = speed_m_s;
    values[RIDE_DISTANCE] = distance_m;
    values[RIDE_LAP] = lap;
    ck_assert_int_eq(ride_add(ride, values), RIDE_ADDED);
}

/* 10 m/s and 200 W for seconds, a lap mark every lap_s. */
static struct ride *even_ride(int seconds, int lap_s)
{
    struct ride *ride = ride_with_laps_and_places(true, false);
    for (int i = 0; i <= seconds; i++) {
        int lap = 1 + i / lap_s;
        add(ride, i, 200.0, 10.0, 500.0 + 10.0 * i, lap);
    }
    ck_assert(ride_finish(ride));
    return ride;
}

static struct ride_cut cut(const struct ride *ride, const struct ride_course *course)
{
    struct ride_cut found;
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert_msg(ride_cut(ride, course, &found, &problem), "%s", problem.sentence);
    return found;
}

static void refused(const struct ride *ride, const struct ride_course *course, const char *why)
{
    struct ride_cut found;
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert(!ride_cut(ride, course, &found, &problem));
    ck_assert_msg(strstr(problem.sentence, why) != NULL, "%s", problem.sentence);
    ride_cut_free(&found);
}

static const struct ride_course laps = {.borders = RIDE_BORDERS_LAPS};

START_TEST(lap_marks_are_borders)
{
    struct ride *ride = even_ride(150, 30);
    struct ride_cut found = cut(ride, &laps);
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
    struct ride *ride = ride_with_laps_and_places(true, false);
    for (int i = 0, lap = 0; i < 400; i++) {
        lap += i == marks_s[lap + 1] ? 1 : 0;
        add(ride, i, 200.0, 10.0, 10.0 * i, lap);
    }
    ck_assert(ride_finish(ride));
    struct ride_cut found = cut(ride, &laps);
    ck_assert_uint_eq(found.count, 4);
    ck_assert_uint_eq(found.kept, 4);
    ck_assert_uint_eq(found.beside, 2);
    ck_assert_int_eq(found.leg[0].lap, 1); /* the file's own numbers */
    ck_assert_int_eq(found.leg[3].lap, 4);
    ck_assert_uint_eq(found.left_out[RIDE_KEPT], 4);
    ride_cut_free(&found);
    struct ride_course part = laps;
    part.from_s = 120.0; /* within a lap's first sample */
    part.to_s = 212.0;
    found = cut(ride, &part);
    ck_assert_uint_eq(found.count, 3);
    ck_assert_uint_eq(found.kept, 3);
    ride_cut_free(&found);
    ride_free(ride);
}
END_TEST

/* 1000 m each, but for the last of each: 4 % and 6 % longer. */
START_TEST(five_percent_of_length_are_forgiven)
{
    for (int more = 0; more < 2; more++) {
        static const int last_s[] = {104, 106};
        struct ride *ride = ride_with_laps_and_places(true, false);
        for (int i = 0; i <= 300 + last_s[more]; i++) {
            add(ride, i, 200.0, 10.0, 10.0 * i, i < 300 ? i / 100 : 3);
        }
        ck_assert(ride_finish(ride));
        struct ride_cut found = cut(ride, &laps);
        ck_assert_uint_eq(found.kept, more == 0 ? 4 : 3);
        ride_cut_free(&found);
        ride_free(ride);
    }
}
END_TEST

START_TEST(times_are_borders_and_turns_are_cut)
{
    struct ride *ride = even_ride(400, 1000);
    const double times_s[] = {10.5, 110.5, 130.0, 230.0, 250.0, 351.0, 352.0, 353.0};
    struct ride_course course = {
        .borders = RIDE_BORDERS_TIMES, .out_and_back = true, .time_s = times_s, .time_count = 8};
    struct ride_cut found = cut(ride, &course);
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
    ride_cut_free(&found);
    course.turn_room_m = -1.0;
    found = cut(ride, &course);
    ck_assert_double_eq_tol(found.leg[0].begin_s, 10.5, 1e-9);
    ck_assert_double_eq_tol(found.leg[0].length_m, 1000.0, 1e-9);
    ride_cut_free(&found);
    course.turn_room_m = 100.0;
    found = cut(ride, &course);
    ck_assert_double_eq_tol(found.leg[1].begin_s, 140.0, 1e-9);
    ride_cut_free(&found);
    course.time_count = 7;
    refused(ride, &course, "begin and the end of each leg");
    const double wrong_s[] = {10.0, 110.0, 100.0, 200.0};
    course.time_s = wrong_s;
    course.time_count = 4;
    refused(ride, &course, "one after the other");
    const double late_s[] = {10.0, 400.5};
    course.time_s = late_s;
    course.time_count = 2;
    refused(ride, &course, "within the 400.0 s");
    ride_free(ride);
}
END_TEST

START_TEST(a_track_s_length_is_laid_along_the_wheel_s_distance)
{
    struct ride *ride = ride_with_laps_and_places(false, false);
    for (int i = 0; i <= 200; i++) {
        add(ride, i, 250.0, 10.4, 33.0 + 10.4 * i, NAN);
    }
    ck_assert(ride_finish(ride));
    struct ride_course course = {.borders = RIDE_BORDERS_LENGTH, .length_m = 250.0, .from_s = 5.0};
    struct ride_cut found = cut(ride, &course);
    ck_assert_uint_eq(found.count, 8); /* 195 s * 10.4 m/s = 2028 m */
    for (int i = 0; i < 8; i++) {
        ck_assert_double_eq_tol(found.leg[i].begin_s, 5.0 + i * 250.0 / 10.4, 1e-9);
        ck_assert_double_eq_tol(found.leg[i].length_m, 250.0, 1e-9);
        ck_assert_int_eq(found.leg[i].lap, i + 1);
    }
    ride_cut_free(&found);
    course.to_s = 60.0;
    found = cut(ride, &course);
    ck_assert_uint_eq(found.count, 2);
    ride_cut_free(&found);
    course.length_m = 99.0;
    refused(ride, &course, "too short");
    course.length_m = 5000.0;
    refused(ride, &course, "shorter than one lap");
    course.length_m = 250.0;
    ride->distance_from = RIDE_SOURCE_SATELLITES;
    refused(ride, &course, "distance of a wheel");
    ride_free(ride);
}
END_TEST

static void add_place(struct ride *ride, double time_s, double north_m, double east_m,
                      double distance_m)
{
    double values[RIDE_CHANNELS];
    for (int i = 0; i < RIDE_CHANNELS; i++) {
        values[i] = NAN;
    }
    values[RIDE_TIME] = time_s;
    values[RIDE_POWER] = 200.0;
    values[RIDE_SPEED] = 10.0;
    values[RIDE_DISTANCE] = distance_m;
    values[RIDE_LATITUDE] = 50.0 + north_m / METRES_A_DEGREE;
    values[RIDE_LONGITUDE] = 8.0 + east_m / METRES_A_DEGREE / cos(50.0 * RADIANS);
    ck_assert_int_eq(ride_add(ride, values), RIDE_ADDED);
}

/* A circle of 400 m from its eastern point northwards at 10 m/s: the line's place is passed after
 * 40 s, 80 s, ... A tenth of a second is what the straight between two places leaves. */
START_TEST(a_line_that_is_crossed_is_a_border)
{
    struct ride *ride = ride_with_laps_and_places(false, true);
    double radius_m = 400.0 / (2.0 * 3.14159265358979323846);
    for (int i = 0; i <= 170; i++) {
        double turned = (10.0 * i + 5.0) / radius_m;
        add_place(ride, i, radius_m * sin(turned), radius_m * cos(turned), 10.0 * i + 5.0);
    }
    ck_assert(ride_finish(ride));
    struct ride_course course = {
        .borders = RIDE_BORDERS_LINE,
        .line = {{50.0, 8.0 + radius_m / METRES_A_DEGREE / cos(50.0 * RADIANS), 0.0}}};
    struct ride_cut found = cut(ride, &course);
    ck_assert_uint_eq(found.count, 3);
    ck_assert_uint_eq(found.kept, 3);
    for (int i = 0; i < 3; i++) {
        ck_assert_double_eq_tol(found.leg[i].begin_s, 39.5 + 40.0 * i, 0.1);
        ck_assert_double_eq_tol(found.leg[i].length_m, 400.0, 1.0);
    }
    ride_cut_free(&found);
    course.line[0].heading_deg = 180.0; /* nobody comes from there */
    refused(ride, &course, "0 times");
    course.line[0].heading_deg = 55.0; /* askew by less than 60 degrees: crossed all the same */
    found = cut(ride, &course);
    ck_assert_uint_eq(found.count, 3);
    ride_cut_free(&found);
    course.line[0].heading_deg = 70.0;
    refused(ride, &course, "0 times");
    course.line[0] = (struct ride_line){50.0, 8.0, 0.0}; /* the circle's middle: 64 m away */
    refused(ride, &course, "0 times");
    ride_free(ride);
    ride = even_ride(100, 50);
    refused(ride, &course, "no places");
    ride_free(ride);
}
END_TEST

/* North for 1200 m, back, and again, at 10 m/s; lines at 100 m and 1100 m. */
START_TEST(two_lines_bound_legs_out_and_back)
{
    struct ride *ride = ride_with_laps_and_places(false, true);
    for (int i = 0; i <= 480; i++) {
        int along = i % 240 <= 120 ? i % 240 : 240 - i % 240;
        add_place(ride, i, 10.0 * along, 0.0, 10.0 * i);
    }
    ck_assert(ride_finish(ride));
    struct ride_course course = {.borders = RIDE_BORDERS_LINE,
                                 .out_and_back = true,
                                 .turn_room_m = -1.0,
                                 .line = {{50.0 + 100.0 / METRES_A_DEGREE, 8.0, 0.0},
                                          {50.0 + 1100.0 / METRES_A_DEGREE, 8.0, 0.0}}};
    struct ride_cut found = cut(ride, &course);
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
    struct ride_cut ways = cut(ride, &timed);
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

/* Marks at both ends of each leg: stretches of 1000 m, and turns of 300 m between them, which are
 * more. A leg that was ridden too far is no turn: those beside it are no pair. */
START_TEST(turns_between_marks_are_passed_over)
{
    static const int lasts_s[] = {40, 100, 30, 100, 30, 100, 30, 110, 30, 100, 30, 100, 40};
    static const int pairs[] = {0, 0, -1, -1, 1, 1};
    enum { STRETCHES = sizeof lasts_s / sizeof lasts_s[0], LEGS = sizeof pairs / sizeof pairs[0] };
    struct ride *ride = ride_with_laps_and_places(true, false);
    int at_s = 0;
    for (int i = 0; i < STRETCHES; i++) {
        for (int j = 0; j < lasts_s[i]; j++, at_s++) {
            add(ride, at_s, 200.0, 10.0, 10.0 * at_s, i);
        }
    }
    ck_assert(ride_finish(ride));
    struct ride_course course = {.borders = RIDE_BORDERS_LAPS, .out_and_back = true};
    struct ride_cut found = cut(ride, &course);
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
    found = cut(ride, &course);
    ck_assert_uint_eq(found.kept, 5);
    ck_assert_double_eq_tol(found.leg[0].length_m, 900.0, 1e-9);
    ride_cut_free(&found);
    course.turn_room_m = -1.0;
    found = cut(ride, &course);
    ck_assert_uint_eq(found.kept, 5);
    ride_cut_free(&found);
    course.length_m = 300.0; /* what was taken for turns are the legs now */
    found = cut(ride, &course);
    ck_assert_uint_eq(found.kept, 5);
    ck_assert_int_eq(found.leg[0].lap, 2);
    ck_assert_int_eq(found.leg[1].left_out, RIDE_LEFT_OTHER_LENGTH);
    ride_cut_free(&found);
    course.length_m = 2000.0; /* nothing is as long: told, each of them */
    found = cut(ride, &course);
    ck_assert_uint_eq(found.count, STRETCHES);
    ck_assert_uint_eq(found.left_out[RIDE_LEFT_OTHER_LENGTH], STRETCHES);
    ride_cut_free(&found);
    ride_free(ride);
}
END_TEST

/* v = 8 + 0.05 t: the mean of 3 s about a moment is the speed there. */
START_TEST(speed_at_a_border_is_a_mean)
{
    struct ride *ride = ride_with_laps_and_places(false, false);
    for (int i = 0; i <= 60; i++) {
        add(ride, i, 300.0, 8.0 + 0.05 * i, 8.0 * i + 0.025 * i * i, NAN);
    }
    ck_assert(ride_finish(ride));
    ride->speed_m_s[20] += 0.6; /* weighs 1 of 3 s */
    const double times_s[] = {20.0, 50.25};
    struct ride_course course = {.borders = RIDE_BORDERS_TIMES, .time_s = times_s, .time_count = 2};
    struct ride_cut found = cut(ride, &course);
    ck_assert_double_eq_tol(found.leg[0].begin_speed_m_s, 9.0 + 0.2, 1e-9);
    ck_assert_double_eq_tol(found.leg[0].end_speed_m_s, 10.5125, 1e-9);
    ride_cut_free(&found);
    ride_free(ride);
}
END_TEST

/* The middle one of three laps is changed between two of its samples; what becomes of it. */
struct change {
    int from, to; /* samples, both within */
    double power_w, speed_m_s;
    enum ride_left_out expected;
};

static struct ride *changed_ride(const struct change *change)
{
    struct ride *ride = even_ride(180, 60);
    for (int i = change->from; i <= change->to; i++) {
        ride->power_w[i] = change->power_w;
        ride->speed_m_s[i] = change->speed_m_s;
    }
    ride->speed_made = true; /* so that distance is not held against it here */
    return ride;
}

START_TEST(no_power_and_gaps_leave_a_leg_out)
{
    static const struct change changes[] = {
        {80, 82, 0.0, 10.0, RIDE_KEPT},          /* 0 W for 3 s */
        {80, 83, 0.0, 10.0, RIDE_LEFT_NO_POWER}, /* for 4 s */
        {80, 90, 1.0, 10.0, RIDE_KEPT},          /* little is not none */
        {80, 81, NAN, 10.0, RIDE_KEPT},          /* known 3 s later */
        {80, 82, NAN, 10.0, RIDE_LEFT_GAP},      /* 4 s later */
        {80, 82, 200.0, NAN, RIDE_LEFT_GAP},     /* the same of speed */
        {117, 119, NAN, 10.0, RIDE_LEFT_GAP},    /* at its end */
        {40, 44, 0.0, 10.0, RIDE_KEPT},          /* in the lap before */
    };
    for (size_t i = 0; i < sizeof changes / sizeof changes[0]; i++) {
        struct ride *ride = changed_ride(&changes[i]);
        struct ride_cut found = cut(ride, &laps);
        ck_assert_msg(found.leg[1].left_out == changes[i].expected, "%zu: %s", i,
                      ride_left_out_text(found.leg[1].left_out));
        ck_assert_uint_eq(found.left_out[changes[i].expected] > 0, 1);
        if (changes[i].expected == RIDE_LEFT_NO_POWER) {
            ck_assert_double_eq(found.leg[1].left_out_at_s, 80.0);
        }
        if (changes[i].expected == RIDE_LEFT_GAP) {
            ck_assert_double_eq(found.leg[1].left_out_at_s, changes[i].from - 1.0);
        }
        ride_cut_free(&found);
        ride_free(ride);
    }
}
END_TEST

/* Samples that are missing altogether: between two of them 3 s, and 4 s. */
START_TEST(missing_samples_are_a_gap)
{
    for (int missing = 2; missing <= 3; missing++) {
        struct ride *ride = ride_with_laps_and_places(true, false);
        for (int i = 0; i <= 180; i++) {
            if (i < 80 || i >= 80 + missing) {
                int lap = i / 60;
                add(ride, i, 200.0, 10.0, 10.0 * i, lap);
            }
        }
        ck_assert(ride_finish(ride));
        struct ride_cut found = cut(ride, &laps);
        ck_assert_int_eq(found.leg[1].left_out, missing == 2 ? RIDE_KEPT : RIDE_LEFT_GAP);
        ck_assert_uint_eq(found.kept, missing == 2 ? 3 : 2);
        ride_cut_free(&found);
        ride_free(ride);
    }
}
END_TEST

/* Five seconds in which the bike gets slower by so much each second, with so much power. */
START_TEST(brakes_leave_a_leg_out)
{
    static const struct {
        double slower_m_s2, power_w;
        enum ride_left_out expected;
    } tried[] = {
        {0.35, 40.0, RIDE_LEFT_BRAKED},
        {0.35, 60.0, RIDE_KEPT}, /* a hill, a gust */
        {0.28, 40.0, RIDE_KEPT}, /* rolling out */
        {2.0, 10.0, RIDE_LEFT_BRAKED},
    };
    for (size_t i = 0; i < sizeof tried / sizeof tried[0]; i++) {
        struct ride *ride = even_ride(180, 60);
        for (int j = 80; j <= 85; j++) {
            ride->speed_m_s[j] = 10.0 - tried[i].slower_m_s2 * (j - 80);
            ride->power_w[j] = tried[i].power_w;
        }
        for (int j = 86; j <= 100; j++) {
            ride->speed_m_s[j] = ride->speed_m_s[85];
        }
        ride->speed_made = true;
        struct ride_cut found = cut(ride, &laps);
        ck_assert_int_eq(found.leg[1].left_out, tried[i].expected);
        ck_assert_int_eq(found.leg[0].left_out, RIDE_KEPT);
        ride_cut_free(&found);
        ride_free(ride);
    }
}
END_TEST

/* A wheel that is set 4 % and 6 % too large. */
START_TEST(distance_and_speed_go_together)
{
    for (int more = 0; more < 2; more++) {
        struct ride *ride = even_ride(180, 60);
        for (size_t i = 60; i <= 120; i++) {
            ride->speed_m_s[i] = more == 0 ? 10.4 : 10.6;
        }
        struct ride_cut found = cut(ride, &laps);
        ck_assert_int_eq(found.leg[1].left_out, more == 0 ? RIDE_KEPT : RIDE_LEFT_DISTANCE);
        ride_cut_free(&found);
        ride->distance_made = true; /* one worked out from the other proves nothing */
        found = cut(ride, &laps);
        ck_assert_int_eq(found.leg[1].left_out, RIDE_KEPT);
        ride_cut_free(&found);
        ride_free(ride);
    }
}
END_TEST

START_TEST(what_cannot_be_cut_is_told)
{
    struct ride *ride = even_ride(100, 1000);
    refused(ride, &laps, "never changes");
    double *power_w = ride->power_w;
    ride->power_w = NULL;
    refused(ride, &laps, "lacks power");
    ride->power_w = power_w;
    ride_free(ride);
    ride = ride_with_laps_and_places(false, false);
    refused(ride, &laps, "no two samples");
    add(ride, 0.0, 200.0, 10.0, 0.0, NAN);
    add(ride, 1.0, 200.0, 10.0, 10.0, NAN);
    refused(ride, &laps, "no lap marks");
    ride_free(ride);
    ride = even_ride(3000, 1); /* a 'lap' that counts seconds */
    refused(ride, &laps, "more than 2000 legs");
    ride_free(ride);
}
END_TEST

START_TEST(reasons_have_their_words)
{
    ck_assert_str_eq(ride_left_out_text(RIDE_KEPT), "kept");
    ck_assert_str_eq(ride_left_out_text(RIDE_LEFT_SHORT), "too short");
    ck_assert_str_eq(ride_left_out_text(RIDE_LEFT_GAP), "no power or no speed for over 3 s");
    ck_assert_str_eq(ride_left_out_text(RIDE_LEFT_OTHER_LENGTH), "not as long as the others");
    ck_assert_str_eq(ride_left_out_text(RIDE_LEFT_NO_POWER), "power was 0 for over 3 s");
    ck_assert_str_eq(ride_left_out_text(RIDE_LEFT_BRAKED), "the brakes were used");
    ck_assert_str_eq(ride_left_out_text(RIDE_LEFT_DISTANCE),
                     "speed and distance differ by over 5 %");
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
        struct ride *ride = ride_with_laps_and_places(false, true);
        double north_m = -305.0, metres = 0.0;
        bool jolted = false;
        for (int i = 0; i <= 200; i++) {
            /* once over the line: back by 20 m at once, and over it again some seconds later */
            bool jolt = !jolted && north_m > 10.0;
            bool rolls = jolted && i < 60 && north_m < 0.0;
            double step_m = jolt ? -20.0 : rolls ? 5.0 / tried[t].stop_s : 10.0;
            jolted = jolted || jolt;
            add_place(ride, i, north_m, 0.0, metres);
            north_m = i == 150 ? -300.0 : north_m + step_m; /* round, by another way */
            metres += fabs(step_m);
        }
        ck_assert(ride_finish(ride));
        struct ride_course course = {.borders = RIDE_BORDERS_LINE, .line = {{50.0, 8.0, 0.0}}};
        struct ride_cut found = cut(ride, &course);
        ck_assert_uint_eq(found.count, tried[t].legs);
        ride_cut_free(&found);
        ride_free(ride);
    }
}
END_TEST

START_TEST(a_piece_has_the_leg_s_ends)
{
    struct ride *ride = even_ride(180, 1000);
    ride->power_w[30] = NAN;
    ride->power_w[31] = 230.0;
    ride->power_w[29] = 210.0;
    const double times_s[] = {25.25, 60.75};
    struct ride_course course = {.borders = RIDE_BORDERS_TIMES, .time_s = times_s, .time_count = 2};
    struct ride_cut found = cut(ride, &course);
    struct ride_piece piece;
    ck_assert(ride_piece_take(ride, &found.leg[0], &piece));
    ck_assert_uint_eq(piece.count, 35 + 2); /* 26 s to 60 s, and both ends */
    ck_assert_double_eq(piece.time_s[0], 0.0);
    ck_assert_double_eq(piece.time_s[1], 0.75);
    ck_assert_double_eq(piece.time_s[36], 35.5);
    ck_assert_double_eq_tol(piece.distance_m[36], 355.0, 1e-9);
    ck_assert_double_eq_tol(piece.power_w[5], 220.0, 1e-9); /* 30 s: between its neighbours */
    ck_assert_ptr_null(piece.wind_m_s);
    ride_piece_free(&piece);
    for (int i = 28; i < 34; i++) {
        ride->power_w[i] = NAN;
    }
    ck_assert(!ride_piece_take(ride, &found.leg[0], &piece));
    ride_cut_free(&found);
    ride_free(ride);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ride cut");
    TCase *tests = tcase_create("ride cut");
    tcase_add_test(tests, lap_marks_are_borders);
    tcase_add_test(tests, ways_to_the_course_and_home_are_no_laps);
    tcase_add_test(tests, five_percent_of_length_are_forgiven);
    tcase_add_test(tests, times_are_borders_and_turns_are_cut);
    tcase_add_test(tests, a_track_s_length_is_laid_along_the_wheel_s_distance);
    tcase_add_test(tests, a_line_that_is_crossed_is_a_border);
    tcase_add_test(tests, two_lines_bound_legs_out_and_back);
    tcase_add_test(tests, turns_between_marks_are_passed_over);
    tcase_add_test(tests, speed_at_a_border_is_a_mean);
    tcase_add_test(tests, no_power_and_gaps_leave_a_leg_out);
    tcase_add_test(tests, missing_samples_are_a_gap);
    tcase_add_test(tests, brakes_leave_a_leg_out);
    tcase_add_test(tests, distance_and_speed_go_together);
    tcase_add_test(tests, what_cannot_be_cut_is_told);
    tcase_add_test(tests, reasons_have_their_words);
    tcase_add_test(tests, a_line_is_not_crossed_twice_at_once);
    tcase_add_test(tests, a_piece_has_the_leg_s_ends);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
