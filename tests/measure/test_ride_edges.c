/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Rides that lack samples where a leg begins or ends, and courses that can't be laid on them. */
#include "measure/ride_cut.h"
#include "support/made_ride.h"
#include "support/test_main.h"

#include <math.h>
#include <string.h>

/* Without a channel that drag is worked out of. */
START_TEST(a_ride_without_power_or_speed_is_not_cut)
{
    for (int lacks = 0; lacks < 2; lacks++) {
        bool has[RIDE_CHANNELS] = {false};
        double value[RIDE_CHANNELS] = {0};
        struct ride_cut cut;
        struct problem problem = {PROBLEM_NONE, ""};
        has[RIDE_POWER] = lacks == 1;
        has[RIDE_SPEED] = has[RIDE_DISTANCE] = lacks == 0;
        has[RIDE_LAP] = true;
        struct ride *ride = ride_create(has);
        ck_assert_ptr_nonnull(ride);
        for (int i = 0; i <= 200; i++) {
            int lap = i / 60;
            value[RIDE_TIME] = i;
            value[RIDE_POWER] = 200.0;
            value[RIDE_SPEED] = 10.0;
            value[RIDE_DISTANCE] = 10.0 * i;
            value[RIDE_LAP] = lap;
            ck_assert_int_eq(ride_add(ride, value), RIDE_ADDED);
        }
        ck_assert(ride_finish(ride));
        ck_assert(!ride_cut(ride, &made_ride_laps, &cut, &problem));
        ck_assert_ptr_nonnull(
            strstr(problem.sentence, lacks == 0 ? "lacks power" : "lacks speed and distance"));
        ride_free(ride);
    }
}
END_TEST

/* What is added of a channel is in the array of that name. */
START_TEST(each_channel_has_its_own_array)
{
    bool has[RIDE_CHANNELS];
    double value[RIDE_CHANNELS];
    for (int i = 0; i < RIDE_CHANNELS; i++) {
        has[i] = true;
        value[i] = 10.0 + i;
    }
    value[RIDE_PRESSURE] = 100500.0; /* another would be none of air */
    struct ride *ride = ride_create(has);
    ck_assert_ptr_nonnull(ride);
    ck_assert_int_eq(ride_add(ride, value), RIDE_ADDED);
    ck_assert(ride_finish(ride));
    const struct {
        enum ride_channel channel;
        double found;
    } rows[] = {
        {RIDE_POWER, ride->power_w[0]},
        {RIDE_SPEED, ride->speed_m_s[0]},
        {RIDE_DISTANCE, ride->distance_m[0]},
        {RIDE_LAP, ride->lap[0]},
        {RIDE_LATITUDE, ride->latitude_deg[0]},
        {RIDE_LONGITUDE, ride->longitude_deg[0]},
        {RIDE_ALTITUDE, ride->altitude_m[0]},
        {RIDE_WIND, ride->wind_m_s[0]},
        {RIDE_PRESSURE, ride->pressure_pa[0]},
        {RIDE_AIR_TEMPERATURE, ride->air_temperature_c[0]},
        {RIDE_HUMIDITY, ride->humidity_percent[0]},
        {RIDE_CADENCE, ride->cadence_per_min[0]},
        {RIDE_HEART, ride->heart_per_min[0]},
    };
    ck_assert_int_eq(sizeof rows / sizeof rows[0], RIDE_CHANNELS - 1); /* its time begins at 0 */
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        ck_assert_msg(rows[i].found == value[rows[i].channel], "channel %d: %g", rows[i].channel,
                      rows[i].found);
    }
    ride_free(ride);
}
END_TEST

/* Begin and end of each leg, one after the other, within the ride. */
START_TEST(times_that_are_no_legs)
{
    static const struct {
        double time_s[4];
        size_t count;
        const char *why;
    } cases[] = {
        {{10.0}, 1, "give the begin and the end of each leg"},
        {{0}, 0, "give the begin and the end of each leg"},
        {{10.0, 50.0, 60.0}, 3, "give the begin and the end of each leg"},
        {{50.0, 10.0}, 2, "leg 1 is from 50.0 to 10.0 s"},
        {{10.0, 10.0}, 2, "leg 1 is from"},
        {{-1.0, 50.0}, 2, "leg 1 is from"},
        {{10.0, 50.0, 40.0, 90.0}, 4, "leg 2 is from 40.0 to 90.0 s"},
        {{10.0, 181.0}, 2, "leg 1 is from"},
    };
    struct ride *ride = made_ride_even(180, 60);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct ride_course course = {
            .borders = RIDE_BORDERS_TIMES, .time_s = cases[i].time_s, .time_count = cases[i].count};
        made_ride_refused(ride, &course, cases[i].why);
    }
    ride_free(ride);
}
END_TEST

/* A length or a line needs what it is laid along. */
START_TEST(courses_that_need_what_is_not_there)
{
    struct ride_course length = {.borders = RIDE_BORDERS_LENGTH, .length_m = 250.0};
    struct ride_course line = {.borders = RIDE_BORDERS_LINE};
    struct ride *ride = made_ride_even(180, 60);
    made_ride_refused(ride, &line, "");
    ride->distance_from = RIDE_SOURCE_SATELLITES;
    made_ride_refused(ride, &length, "can only be laid along the distance of a wheel");
    ride->distance_from = RIDE_SOURCE_WHEEL;
    length.length_m = 99.0;
    made_ride_refused(ride, &length, "too short");
    length.length_m = NAN;
    made_ride_refused(ride, &length, "too short");
    length.length_m = 5000.0;
    made_ride_refused(ride, &length, "shorter than one lap");
    ride_free(ride);
}
END_TEST

/* Only what lies in the time that was said: laps that reach out of it are none. */
START_TEST(laps_within_the_time_said)
{
    struct ride *ride = made_ride_even(300, 60);
    struct ride_course course = made_ride_laps;
    struct ride_cut cut = made_ride_cut(ride, &course);
    size_t all = cut.kept;
    ride_cut_free(&cut);
    course.from_s = 61.0;
    cut = made_ride_cut(ride, &course);
    ck_assert_uint_lt(cut.kept, all);
    for (size_t i = 0; i < cut.count; i++) {
        ck_assert_double_ge(cut.leg[i].begin_s, 61.0);
    }
    ride_cut_free(&cut);
    course.from_s = 0.0;
    course.to_s = 185.0;
    cut = made_ride_cut(ride, &course);
    for (size_t i = 0; i < cut.count; i++) {
        ck_assert_double_le(cut.leg[i].end_s, 185.0 + 1e-9);
    }
    ride_cut_free(&cut);
    course.to_s = 1e6; /* beyond its end: to its end */
    cut = made_ride_cut(ride, &course);
    ck_assert_uint_eq(cut.kept, all);
    ride_cut_free(&cut);
    ride_free(ride);
}
END_TEST

/* The distance is not known at first, or where a lap ends. */
START_TEST(distances_that_are_not_known)
{
    struct ride_course length = {.borders = RIDE_BORDERS_LENGTH, .length_m = 250.0};
    struct ride *ride = made_ride_even(180, 60);
    for (int i = 0; i < 10; i++) {
        ride->distance_m[i] = NAN;
    }
    struct ride_cut cut = made_ride_cut(ride, &length);
    ck_assert_double_ge(cut.leg[0].begin_s, 10.0 - 1e-9); /* from where it is */
    ride_cut_free(&cut);
    for (int i = 55; i < 66; i++) {
        ride->distance_m[i] = NAN;
    }
    cut = made_ride_cut(ride, &made_ride_laps);
    ck_assert_uint_gt(cut.left_out[RIDE_LEFT_GAP], 0); /* whose end is nowhere */
    ride_cut_free(&cut);
    const double ends_s[] = {20.0, 60.0};
    struct ride_course times = {.borders = RIDE_BORDERS_TIMES, .time_s = ends_s, .time_count = 2};
    cut = made_ride_cut(ride, &times);
    ck_assert_int_eq(cut.leg[0].left_out, RIDE_LEFT_GAP);
    ck_assert_double_eq(cut.leg[0].left_out_at_s, 60.0);
    ride_cut_free(&cut);
    for (int i = 0; i <= 180; i++) {
        ride->distance_m[i] = NAN;
    }
    made_ride_refused(ride, &length, "shorter than one lap");
    ride_free(ride);
}
END_TEST

/* From somewhere in a leg on nothing is known, to the ride's end. */
START_TEST(a_leg_that_is_not_known_to_its_end)
{
    struct ride *ride = made_ride_even(180, 60);
    for (int i = 150; i <= 180; i++) {
        ride->power_w[i] = NAN;
    }
    struct ride_cut cut = made_ride_cut(ride, &made_ride_laps);
    const struct ride_leg *last = &cut.leg[cut.count - 1];
    ck_assert_int_eq(last->left_out, RIDE_LEFT_GAP);
    ck_assert_double_eq(last->left_out_at_s, 149.0);
    ride_cut_free(&cut);
    for (int i = 0; i < 30; i++) {
        ride->power_w[i] = NAN;
    }
    cut = made_ride_cut(ride, &made_ride_laps);
    ck_assert_int_eq(cut.leg[0].left_out, RIDE_LEFT_GAP);
    ride_cut_free(&cut);
    ride_free(ride);
}
END_TEST

/* Places that lack here and there: a line is crossed between those that are known. */
START_TEST(a_line_is_crossed_between_known_places)
{
    struct ride *ride = made_ride(false, true);
    struct ride_course course = {.borders = RIDE_BORDERS_LINE,
                                 .line = {{50.0 + 500.0 / METRES_A_DEGREE, 8.0, 0.0}}};
    for (int i = 0; i <= 400; i++) {
        double round_m = fmod(10.0 * i, 1000.0); /* 1 km north, and again from its beginning */
        made_ride_place(ride, i, round_m, 0.0, 10.0 * i);
    }
    ck_assert(ride_finish(ride));
    struct ride_cut whole = made_ride_cut(ride, &course);
    ck_assert_uint_ge(whole.kept, 2);
    for (int i = 20; i <= 400; i += 7) {
        ride->latitude_deg[i] = NAN;
    }
    for (int i = 23; i <= 400; i += 7) {
        ride->longitude_deg[i] = NAN;
    }
    struct ride_cut cut = made_ride_cut(ride, &course);
    ck_assert_uint_eq(cut.kept, whole.kept);
    ride_cut_free(&cut);
    course.from_s = 100.0; /* the first crossing is before it */
    cut = made_ride_cut(ride, &course);
    ck_assert_uint_lt(cut.kept, whole.kept);
    ride_cut_free(&cut);
    ride_cut_free(&whole);
    course.line[0].heading_deg = 90.0; /* nobody crosses it that way */
    course.from_s = 0.0;
    made_ride_refused(ride, &course, "crosses the line 0 times");
    ride_free(ride);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ride_edges");
    TCase *tests = tcase_create("ride_edges");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, each_channel_has_its_own_array);
    tcase_add_test(tests, a_ride_without_power_or_speed_is_not_cut);
    tcase_add_test(tests, times_that_are_no_legs);
    tcase_add_test(tests, courses_that_need_what_is_not_there);
    tcase_add_test(tests, laps_within_the_time_said);
    tcase_add_test(tests, distances_that_are_not_known);
    tcase_add_test(tests, a_leg_that_is_not_known_to_its_end);
    tcase_add_test(tests, a_line_is_crossed_between_known_places);
    return test_main(suite);
}
