/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/ride.h"
#include "support/test_main.h"

#include <math.h>
#include <string.h>

/* A ride with time, power and what else is asked for. */
static struct ride *ride_with(enum ride_channel one, enum ride_channel other)
{
    bool has[RIDE_CHANNELS] = {false};
    has[RIDE_POWER] = has[one] = has[other] = true;
    struct ride *ride = ride_create(has);
    ck_assert_ptr_nonnull(ride);
    return ride;
}

static enum ride_added add(struct ride *ride, double time_s, enum ride_channel channel,
                           double value)
{
    double values[RIDE_CHANNELS];
    for (int i = 0; i < RIDE_CHANNELS; i++) {
        values[i] = NAN;
    }
    values[RIDE_TIME] = time_s;
    values[RIDE_POWER] = 200.0;
    if (channel != RIDE_TIME) {
        values[channel] = value;
    }
    return ride_add(ride, values);
}

START_TEST(channels_are_there_as_asked)
{
    struct ride *ride = ride_with(RIDE_SPEED, RIDE_HEART);
    for (int i = 0; i < RIDE_CHANNELS; i++) {
        bool wanted = i == RIDE_TIME || i == RIDE_POWER || i == RIDE_SPEED || i == RIDE_HEART;
        ck_assert_int_eq(ride_has(ride, (enum ride_channel)i), wanted);
    }
    ck_assert_ptr_null(ride->lap);
    ride_free(ride);
    ride_free(NULL);
}
END_TEST

/* Every channel by a value of its own, as its member of the ride has it. */
START_TEST(each_channel_is_kept_in_its_place)
{
    double value[RIDE_CHANNELS];
    bool has[RIDE_CHANNELS];
    memset(has, true, sizeof has);
    struct ride *ride = ride_create(has);
    ck_assert_ptr_nonnull(ride);
    for (int i = 0; i < RIDE_CHANNELS; i++) {
        value[i] = 40.0;
    }
    value[RIDE_POWER] = 251.0;
    value[RIDE_SPEED] = 12.0;
    value[RIDE_DISTANCE] = 1013.0;
    value[RIDE_LAP] = 4.0;
    value[RIDE_LATITUDE] = 51.0;
    value[RIDE_LONGITUDE] = 7.0;
    value[RIDE_ALTITUDE] = 133.0;
    value[RIDE_WIND] = -3.0;
    value[RIDE_AIR_TEMPERATURE] = 9.0;
    value[RIDE_PRESSURE] = 99000.0;
    value[RIDE_HUMIDITY] = 64.0;
    value[RIDE_CADENCE] = 88.0;
    value[RIDE_HEART] = 151.0;
    ck_assert_int_eq(ride_add(ride, value), RIDE_ADDED);
    ck_assert_double_eq(ride->time_s[0], 40.0);
    ck_assert_double_eq(ride->power_w[0], 251.0);
    ck_assert_double_eq(ride->speed_m_s[0], 12.0);
    ck_assert_double_eq(ride->distance_m[0], 1013.0);
    ck_assert_int_eq(ride->lap[0], 4);
    ck_assert_double_eq(ride->latitude_deg[0], 51.0);
    ck_assert_double_eq(ride->longitude_deg[0], 7.0);
    ck_assert_double_eq(ride->altitude_m[0], 133.0);
    ck_assert_double_eq(ride->wind_m_s[0], -3.0);
    ck_assert_float_eq(ride->air_temperature_c[0], 9.0F);
    ck_assert_float_eq(ride->pressure_pa[0], 99000.0F);
    ck_assert_float_eq(ride->humidity_percent[0], 64.0F);
    ck_assert_float_eq(ride->cadence_per_min[0], 88.0F);
    ck_assert_float_eq(ride->heart_per_min[0], 151.0F);
    ride_free(ride);
}
END_TEST

/* A ride with one channel has that member and time, and none once the channel is dropped. */
START_TEST(each_channel_is_made_and_dropped_alone)
{
    for (int i = RIDE_POWER; i < RIDE_CHANNELS; i++) {
        bool has[RIDE_CHANNELS] = {false};
        has[i] = true;
        struct ride *ride = ride_create(has);
        ck_assert_ptr_nonnull(ride);
        for (int dropped = 0; dropped <= 1; dropped++) {
            const void *members[RIDE_CHANNELS] = {
                [RIDE_TIME] = ride->time_s,
                [RIDE_POWER] = ride->power_w,
                [RIDE_SPEED] = ride->speed_m_s,
                [RIDE_DISTANCE] = ride->distance_m,
                [RIDE_LAP] = ride->lap,
                [RIDE_LATITUDE] = ride->latitude_deg,
                [RIDE_LONGITUDE] = ride->longitude_deg,
                [RIDE_ALTITUDE] = ride->altitude_m,
                [RIDE_WIND] = ride->wind_m_s,
                [RIDE_AIR_TEMPERATURE] = ride->air_temperature_c,
                [RIDE_PRESSURE] = ride->pressure_pa,
                [RIDE_HUMIDITY] = ride->humidity_percent,
                [RIDE_CADENCE] = ride->cadence_per_min,
                [RIDE_HEART] = ride->heart_per_min,
            };
            for (int j = 0; j < RIDE_CHANNELS; j++) {
                bool wanted = j == RIDE_TIME || (j == i && dropped == 0);
                ck_assert_msg((members[j] != NULL) == wanted, "%s where only %s is, dropped %d",
                              ride_channel_kinds[j].name, ride_channel_kinds[i].name, dropped);
            }
            ride_drop(ride, (enum ride_channel)i);
        }
        ride_free(ride);
    }
}
END_TEST

START_TEST(samples_are_kept_as_they_are_and_time_begins_at_nought)
{
    struct ride *ride = ride_with(RIDE_SPEED, RIDE_LAP);
    for (int i = 0; i < 10000; i++) {
        int lap = i / 100;
        ck_assert_int_eq(add(ride, 1e9 + i, RIDE_LAP, lap), RIDE_ADDED);
    }
    ck_assert(ride_finish(ride));
    ck_assert_uint_eq(ride->count, 10000);
    for (int i = 0; i < 10000; i++) {
        ck_assert_double_eq(ride->time_s[i], i);
        ck_assert_double_eq(ride->power_w[i], 200.0);
        ck_assert_int_eq(ride->lap[i], i / 100);
        ck_assert(isnan(ride->speed_m_s[i]));
    }
    ride_free(ride);
}
END_TEST

START_TEST(a_sample_that_is_not_later_is_passed_over)
{
    struct ride *ride = ride_with(RIDE_SPEED, RIDE_SPEED);
    ck_assert_int_eq(add(ride, 5.0, RIDE_SPEED, 10.0), RIDE_ADDED);
    ck_assert_int_eq(add(ride, 5.0, RIDE_SPEED, 11.0), RIDE_ADDED_NOT_LATER);
    ck_assert_int_eq(add(ride, 4.0, RIDE_SPEED, 11.0), RIDE_ADDED_NOT_LATER);
    ck_assert_int_eq(add(ride, 6.0, RIDE_SPEED, 12.0), RIDE_ADDED);
    ck_assert_uint_eq(ride->count, 2);
    ck_assert_double_eq(ride->speed_m_s[1], 12.0);
    ck_assert_uint_eq(ride->passed[RIDE_PASSED_SAME_TIME], 2);
    ride_free(ride);
}
END_TEST

/* The limits by value, and a value just beyond each. */
START_TEST(what_cannot_be_is_not_known_and_counted)
{
    static const struct {
        enum ride_channel channel;
        double least, most;
    } limits[] = {
        {RIDE_POWER, 0, 3000},          {RIDE_SPEED, 0, 40},      {RIDE_DISTANCE, 0, 1e8},
        {RIDE_LAP, -1e6, 1e6},          {RIDE_LATITUDE, -90, 90}, {RIDE_LONGITUDE, -180, 180},
        {RIDE_ALTITUDE, -500, 9000},    {RIDE_WIND, -40, 40},     {RIDE_AIR_TEMPERATURE, -40, 60},
        {RIDE_PRESSURE, 30000, 110000}, {RIDE_HUMIDITY, 0, 100},  {RIDE_CADENCE, 0, 300},
        {RIDE_HEART, 20, 260},
    };
    ck_assert_uint_eq(sizeof limits / sizeof limits[0], RIDE_CHANNELS - 1);
    bool has[RIDE_CHANNELS];
    memset(has, true, sizeof has);
    struct ride *ride = ride_create(has);
    ck_assert_ptr_nonnull(ride);
    for (int i = 0; i < RIDE_CHANNELS - 1; i++) {
        enum ride_channel channel = limits[i].channel;
        ck_assert_double_eq(ride_channel_kinds[channel].least, limits[i].least);
        ck_assert_double_eq(ride_channel_kinds[channel].most, limits[i].most);
        uint64_t before = ride->passed[RIDE_PASSED_OUT_OF_LIMITS];
        add(ride, 4.0 * i + 1, channel, limits[i].least);
        add(ride, 4.0 * i + 2, channel, limits[i].most);
        ck_assert_uint_eq(ride->passed[RIDE_PASSED_OUT_OF_LIMITS], before);
        add(ride, 4.0 * i + 3, channel, limits[i].least - 1);
        add(ride, 4.0 * i + 4, channel, limits[i].most + 1);
        ck_assert_uint_eq(ride->passed[RIDE_PASSED_OUT_OF_LIMITS], before + 2);
    }
    ck_assert(isnan(ride->power_w[2]) && isnan(ride->power_w[3]));
    ck_assert_double_eq(ride->power_w[1], 3000.0);
    ck_assert_int_eq(ride->lap[4 * 3 + 1], 1000000);
    ck_assert_int_eq(ride->lap[4 * 3 + 2], RIDE_LAP_NONE);
    ck_assert_float_eq(ride->heart_per_min[4 * 12], 20.0F);
    ck_assert(isnan(ride->heart_per_min[4 * 12 + 3]));
    ride_free(ride);
}
END_TEST

START_TEST(distance_comes_from_speed_by_trapezoids)
{
    struct ride *ride = ride_with(RIDE_SPEED, RIDE_SPEED);
    ride->speed_from = RIDE_SOURCE_WHEEL;
    for (int i = 0; i <= 100; i++) { /* v = 5 + 0.1 t: 500 + 0.05 * 100^2 = 1000 m in 100 s */
        add(ride, i, RIDE_SPEED, 5.0 + 0.1 * i);
    }
    ck_assert(ride_finish(ride));
    ck_assert(ride->distance_made && !ride->speed_made);
    ck_assert_int_eq(ride->distance_from, RIDE_SOURCE_WHEEL);
    ck_assert_double_eq_tol(ride->distance_m[100], 1000.0, 1e-9);
    ck_assert_double_eq_tol(ride->distance_m[10], 55.0, 1e-9);
    ride_free(ride);
}
END_TEST

START_TEST(speed_comes_from_distance)
{
    struct ride *ride = ride_with(RIDE_DISTANCE, RIDE_DISTANCE);
    for (int i = 0; i <= 100; i++) { /* s = 5 t + 0.05 t^2: v = 5 + 0.1 t, from 7 km on */
        add(ride, i, RIDE_DISTANCE, 7000.0 + 5.0 * i + 0.05 * i * i);
    }
    ck_assert(ride_finish(ride));
    ck_assert(ride->speed_made && !ride->distance_made);
    for (int i = 1; i < 100; i++) { /* the slope of a parabola between equal steps is exact */
        ck_assert_double_eq_tol(ride->speed_m_s[i], 5.0 + 0.1 * i, 1e-9);
    }
    ck_assert_double_eq_tol(ride->speed_m_s[0], 5.05, 1e-9);
    ride_free(ride);
}
END_TEST

/* Ten samples a second: the slope is taken over a second, so that steps of a metre stay small. */
START_TEST(speed_from_distance_takes_a_second)
{
    struct ride *ride = ride_with(RIDE_DISTANCE, RIDE_DISTANCE);
    for (int i = 0; i <= 300; i++) {
        add(ride, 0.1 * i, RIDE_DISTANCE, floor(12.0 * 0.1 * i)); /* whole metres, 12 m/s */
    }
    ck_assert(ride_finish(ride));
    for (int i = 10; i < 290; i++) {
        ck_assert_double_eq_tol(ride->speed_m_s[i], 12.0, 1.0 + 1e-6); /* a metre in a second */
    }
    ride_free(ride);
}
END_TEST

/* A metre more at once is spread over the window: from the latest sample that is half a second or
 * more before to the first that is so much behind, 4 of 0.125 s to either side, 2 of 0.46875 s. */
START_TEST(speed_from_distance_reaches_half_a_second_to_either_side)
{
    static const struct {
        double step_s, lasts_s;
    } cases[] = {{0.125, 1.0}, {0.46875, 1.875}};
    for (size_t c = 0; c < sizeof cases / sizeof cases[0]; c++) {
        struct ride *ride = ride_with(RIDE_DISTANCE, RIDE_DISTANCE);
        for (int i = 0; i <= 40; i++) {
            add(ride, cases[c].step_s * i, RIDE_DISTANCE,
                12.0 * cases[c].step_s * i + (i >= 20 ? 1.0 : 0.0));
        }
        ck_assert(ride_finish(ride));
        ck_assert_double_eq_tol(ride->speed_m_s[20], 12.0 + 1.0 / cases[c].lasts_s, 1e-6);
        ck_assert_double_eq_tol(ride->speed_m_s[10], 12.0, 1e-6);
        ride_free(ride);
    }
}
END_TEST

/* A degree of a great circle of a ball of 6371.0088 km: 2 pi R / 360 = 111.19508 km. */
START_TEST(distance_comes_from_places_where_nothing_else_is)
{
    struct ride *ride = ride_with(RIDE_LATITUDE, RIDE_LONGITUDE);
    double values[RIDE_CHANNELS];
    for (int i = 0; i < RIDE_CHANNELS; i++) {
        values[i] = NAN;
    }
    for (int i = 0; i <= 100; i++) {
        values[RIDE_TIME] = i;
        values[RIDE_LATITUDE] = 0.0001 * i;
        values[RIDE_LONGITUDE] = 8.0;
        ck_assert_int_eq(ride_add(ride, values), RIDE_ADDED);
    }
    ck_assert(ride_finish(ride));
    ck_assert(ride->speed_made && ride->distance_made);
    ck_assert_int_eq(ride->speed_from, RIDE_SOURCE_SATELLITES);
    ck_assert_int_eq(ride->distance_from, RIDE_SOURCE_SATELLITES);
    ck_assert_double_eq_tol(ride->distance_m[100], 1111.9508, 1e-3);
    ck_assert_double_eq_tol(ride->speed_m_s[50], 11.119508, 1e-5);
    ride_free(ride);
    ck_assert_double_eq_tol(ride_metres_between(60.0, 8.0, 60.0, 9.0), 55597.0, 3.0);
    ck_assert_double_eq_tol(ride_metres_between(10.0, 20.0, -10.0, -160.0), 20015115.0, 10.0);
    ck_assert_double_eq(ride_metres_between(10.0, 20.0, 10.0, 20.0), 0.0);
}
END_TEST

START_TEST(channels_and_reasons_have_their_words)
{
    static const struct {
        enum ride_channel channel;
        const char *name, *unit;
    } kinds[] = {
        {RIDE_TIME, "time", "s"},
        {RIDE_POWER, "power", "W"},
        {RIDE_SPEED, "speed", "m/s"},
        {RIDE_DISTANCE, "distance", "m"},
        {RIDE_LAP, "lap", ""},
        {RIDE_LATITUDE, "latitude", "degrees"},
        {RIDE_LONGITUDE, "longitude", "degrees"},
        {RIDE_ALTITUDE, "altitude", "m"},
        {RIDE_WIND, "wind", "m/s"},
        {RIDE_AIR_TEMPERATURE, "air temperature", "C"},
        {RIDE_PRESSURE, "pressure", "Pa"},
        {RIDE_HUMIDITY, "humidity", "%"},
        {RIDE_CADENCE, "cadence", "1/min"},
        {RIDE_HEART, "heart", "1/min"},
    };
    for (int i = 0; i < RIDE_CHANNELS; i++) {
        ck_assert_str_eq(ride_channel_kinds[kinds[i].channel].name, kinds[i].name);
        ck_assert_str_eq(ride_channel_kinds[kinds[i].channel].unit, kinds[i].unit);
    }
    ck_assert_str_eq(ride_passed_text(RIDE_PASSED_NO_TIME), "samples without a time");
    ck_assert_str_eq(ride_passed_text(RIDE_PASSED_SAME_TIME),
                     "samples not later than the one before");
    ck_assert_str_eq(ride_passed_text(RIDE_PASSED_NO_NUMBER), "values that are no numbers");
    ck_assert_str_eq(ride_passed_text(RIDE_PASSED_OUT_OF_LIMITS), "values that can't be");
    ck_assert_str_eq(ride_passed_text(RIDE_PASSED_OTHER_CELLS),
                     "lines with other cells than the heading");
    ck_assert_str_eq(ride_passed_text(RIDE_PASSED_COMMENT), "lines without values");
}
END_TEST

/* 0.0001 degrees of latitude a second are 11.119508 m; where a place lacks its distance does, and
 * what lies between its neighbours is counted. */
START_TEST(places_that_are_not_known_are_passed_over)
{
    struct ride *ride = ride_with(RIDE_LATITUDE, RIDE_LONGITUDE);
    double values[RIDE_CHANNELS];
    for (int i = 0; i < RIDE_CHANNELS; i++) {
        values[i] = NAN;
    }
    for (int i = 0; i <= 10; i++) {
        values[RIDE_TIME] = i;
        values[RIDE_LATITUDE] = i == 4 ? NAN : 0.0001 * i;
        values[RIDE_LONGITUDE] = i == 6 ? NAN : 8.0;
        ck_assert_int_eq(ride_add(ride, values), RIDE_ADDED);
    }
    ck_assert(ride_finish(ride));
    ck_assert(isnan(ride->distance_m[4]) && isnan(ride->distance_m[6]));
    ck_assert_double_eq_tol(ride->distance_m[10], 111.19508, 1e-4);
    ride_free(ride);
    /* Half a place is none: nothing comes of it, and of no sample nothing. */
    ride = ride_with(RIDE_LATITUDE, RIDE_LATITUDE);
    ck_assert_int_eq(add(ride, 0.0, RIDE_LATITUDE, 50.0), RIDE_ADDED);
    ck_assert(ride_finish(ride));
    ck_assert(!ride_has(ride, RIDE_DISTANCE) && !ride_has(ride, RIDE_SPEED));
    ride_free(ride);
    ride = ride_with(RIDE_DISTANCE, RIDE_DISTANCE);
    ck_assert(ride_finish(ride));
    ck_assert_uint_eq(ride->count, 0);
    ride_free(ride);
}
END_TEST

/* A wheel's distance that stands still, goes back or leaps (docs: 0 to 40 m/s can be): only what
 * can be is a speed. One sample alone has none. */
START_TEST(a_speed_that_cannot_be_is_not_known)
{
    static const double metres[] = {0, 10, 20, 30, 20, 10, 0, 500, 1000, 1500, 1500, 1500, 1500};
    struct ride *ride = ride_with(RIDE_DISTANCE, RIDE_DISTANCE);
    for (int i = 0; i < 13; i++) {
        ck_assert_int_eq(add(ride, i, RIDE_DISTANCE, metres[i]), RIDE_ADDED);
    }
    ck_assert(ride_finish(ride));
    ck_assert_double_eq_tol(ride->speed_m_s[1], 10.0, 1e-9);
    ck_assert(isnan(ride->speed_m_s[5]) && isnan(ride->speed_m_s[8]));
    ck_assert_double_eq(ride->speed_m_s[11], 0.0);
    ride_free(ride);
    ride = ride_with(RIDE_DISTANCE, RIDE_DISTANCE);
    ck_assert_int_eq(add(ride, 0.0, RIDE_DISTANCE, 5.0), RIDE_ADDED);
    ck_assert(ride_finish(ride));
    ck_assert(isnan(ride->speed_m_s[0]));
    ride_free(ride);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ride");
    TCase *tests = tcase_create("ride");
    tcase_add_test(tests, channels_are_there_as_asked);
    tcase_add_test(tests, each_channel_is_kept_in_its_place);
    tcase_add_test(tests, each_channel_is_made_and_dropped_alone);
    tcase_add_test(tests, samples_are_kept_as_they_are_and_time_begins_at_nought);
    tcase_add_test(tests, a_sample_that_is_not_later_is_passed_over);
    tcase_add_test(tests, what_cannot_be_is_not_known_and_counted);
    tcase_add_test(tests, distance_comes_from_speed_by_trapezoids);
    tcase_add_test(tests, speed_comes_from_distance);
    tcase_add_test(tests, speed_from_distance_takes_a_second);
    tcase_add_test(tests, speed_from_distance_reaches_half_a_second_to_either_side);
    tcase_add_test(tests, distance_comes_from_places_where_nothing_else_is);
    tcase_add_test(tests, channels_and_reasons_have_their_words);
    tcase_add_test(tests, places_that_are_not_known_are_passed_over);
    tcase_add_test(tests, a_speed_that_cannot_be_is_not_known);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
