/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"
#include "support/ride_text.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Tables as bytes; what must come out stands beside them. */

START_TEST(a_plain_table_is_read)
{
    struct ride *ride = ride_text("time,power,speed,distance\n"
                                  "0,250,10,0\n"
                                  "1,251.5,10.1,10.05\n"
                                  "2,249,1.02e1,20.2\n");
    ck_assert_uint_eq(ride->count, 3);
    ck_assert_double_eq(ride->time_s[2], 2.0);
    ck_assert_double_eq(ride->power_w[1], 251.5);
    ck_assert_double_eq(ride->speed_m_s[2], 10.2);
    ck_assert_double_eq(ride->distance_m[1], 10.05);
    ck_assert_ptr_null(ride->lap);
    ck_assert_ptr_null(ride->wind_m_s);
    ck_assert(!ride->has_start && !ride->speed_made && !ride->distance_made);
    ck_assert_int_eq(ride->speed_from, RIDE_SOURCE_NOT_SAID);
    for (int i = 0; i < RIDE_PASSED_REASONS; i++) {
        ck_assert_uint_eq(ride->passed[i], 0);
    }
    ride_free(ride);
}
END_TEST

/* Every column with its unit: 36 km/h is 10 m/s, 1013.25 hPa 101325 Pa, 22.369362921 mph 10 m/s. */
START_TEST(columns_have_units)
{
    struct ride *ride = ride_text(
        "Time (s), Power [W], Speed (km/h), Distance (km), Lap, Latitude, Longitude, "
        "Altitude (m), Wind (mph), Air temperature (°C), Pressure (hPa), Humidity (%), "
        "Cadence (rpm), Heart rate (bpm), remark, power_left\n"
        "0,200,36,0.000,1,50.1,8.2,120.5,2.2369362921,18.5,1013.25,55,90,140,calm,99\n"
        "1,200,36,0.010,2,50.1,8.2,120.5,2.2369362921,18.5,1013.25,55,90,140,\"a, b\",99\n");
    ck_assert_double_eq_tol(ride->speed_m_s[0], 10.0, 1e-12);
    ck_assert_double_eq_tol(ride->distance_m[1], 10.0, 1e-12);
    ck_assert_int_eq(ride->lap[1], 2);
    ck_assert_double_eq(ride->latitude_deg[0], 50.1);
    ck_assert_double_eq(ride->longitude_deg[0], 8.2);
    ck_assert_double_eq(ride->altitude_m[0], 120.5);
    ck_assert_double_eq_tol(ride->wind_m_s[0], 1.0, 1e-9);
    ck_assert_float_eq(ride->air_temperature_c[0], 18.5F);
    ck_assert_float_eq(ride->pressure_pa[0], 101325.0F);
    ck_assert_float_eq(ride->humidity_percent[0], 55.0F);
    ck_assert_float_eq(ride->cadence_per_min[0], 90.0F);
    ck_assert_float_eq(ride->heart_per_min[0], 140.0F);
    ck_assert_double_eq(ride->power_w[1], 200.0);
    ride_free(ride);
}
END_TEST

START_TEST(units_stand_behind_names_as_well)
{
    static const char *const headings[] = {"time_s,power_w,speed_kmh", "TIME,POWER W,Speed km/h",
                                           "time [s],watts,power,speed [kmh]",
                                           "\"time\",\"power (W)\",\"speed (km/h)\""};
    for (size_t i = 0; i < sizeof headings / sizeof headings[0]; i++) {
        char table[200];
        const char *row = i == 2 ? ",1,200,36\n" : ",200,36\n";
        snprintf(table, sizeof table, "%s\n0%s1%s", headings[i], row, row);
        struct ride *ride = ride_text(table);
        ck_assert_double_eq_tol(ride->speed_m_s[1], 10.0, 1e-12);
        ck_assert_double_eq(ride->power_w[1], 200.0);
        ck_assert(ride->distance_made);
        ride_free(ride);
    }
    struct ride *ride = ride_text("time,power,speed,pressure\n0,1,9,1013.25\n1,1,9,101325\n");
    ck_assert_float_eq(ride->pressure_pa[0], 101325.0F);
    ck_assert_float_eq(ride->pressure_pa[1], 101325.0F);
    ride_free(ride);
}
END_TEST

/* Every name and unit that a heading may have, and what a cell of 2 (of pressure 1013) comes to. */
static const struct {
    const char *heading;
    enum ride_channel channel;
    double cell, value;
} headings[] = {
    {"latitude", RIDE_LATITUDE, 2, 2},
    {"latitude (degrees)", RIDE_LATITUDE, 2, 2},
    {"lat (deg)", RIDE_LATITUDE, 2, 2},
    {"longitude (deg)", RIDE_LONGITUDE, 2, 2},
    {"lon", RIDE_LONGITUDE, 2, 2},
    {"lon (degrees)", RIDE_LONGITUDE, 2, 2},
    {"altitude m", RIDE_ALTITUDE, 2, 2},
    {"lap", RIDE_LAP, 2, 2},
    {"wind", RIDE_WIND, 2, 2},
    {"wind (ms)", RIDE_WIND, 2, 2},
    {"wind km/h", RIDE_WIND, 2, 2 / 3.6},
    {"wind_kmh", RIDE_WIND, 2, 2 / 3.6},
    {"wind [mph]", RIDE_WIND, 2, 0.89408},
    {"temperature", RIDE_AIR_TEMPERATURE, 2, 2},
    {"air temperature (C)", RIDE_AIR_TEMPERATURE, 2, 2},
    {"air_temperature (degC)", RIDE_AIR_TEMPERATURE, 2, 2},
    {"temperature (celsius)", RIDE_AIR_TEMPERATURE, 2, 2},
    {"pressure", RIDE_PRESSURE, 1013, 101300},
    {"pressure (hPa)", RIDE_PRESSURE, 1013, 101300},
    {"pressure (mbar)", RIDE_PRESSURE, 1013, 101300},
    {"pressure (Pa)", RIDE_PRESSURE, 101300, 101300},
    {"humidity", RIDE_HUMIDITY, 2, 2},
    {"humidity (percent)", RIDE_HUMIDITY, 2, 2},
    {"humidity %", RIDE_HUMIDITY, 2, 2},
    {"cadence (1/min)", RIDE_CADENCE, 2, 2},
    {"cadence (/min)", RIDE_CADENCE, 2, 2},
    {"cadence rpm", RIDE_CADENCE, 2, 2},
    {"heart", RIDE_HEART, 99, 99},
    {"heart (1/min)", RIDE_HEART, 99, 99},
    {"heart rate (/min)", RIDE_HEART, 99, 99},
    {"heartrate bpm", RIDE_HEART, 99, 99},
};

static double value_of(const struct ride *ride, enum ride_channel channel)
{
    const double *wide[RIDE_CHANNELS] = {[RIDE_LATITUDE] = ride->latitude_deg,
                                         [RIDE_LONGITUDE] = ride->longitude_deg,
                                         [RIDE_ALTITUDE] = ride->altitude_m,
                                         [RIDE_WIND] = ride->wind_m_s};
    const float *narrow[RIDE_CHANNELS] = {[RIDE_AIR_TEMPERATURE] = ride->air_temperature_c,
                                          [RIDE_PRESSURE] = ride->pressure_pa,
                                          [RIDE_HUMIDITY] = ride->humidity_percent,
                                          [RIDE_CADENCE] = ride->cadence_per_min,
                                          [RIDE_HEART] = ride->heart_per_min};
    ck_assert(ride_has(ride, channel));
    return wide[channel] != NULL     ? wide[channel][0]
           : narrow[channel] != NULL ? (double)narrow[channel][0]
                                     : (double)ride->lap[0];
}

START_TEST(every_name_and_unit_of_a_heading_is_known)
{
    for (size_t i = 0; i < sizeof headings / sizeof headings[0]; i++) {
        char table[256];
        snprintf(table, sizeof table, "time,power,speed,%s\n0,200,9,%g\n1,200,9,%g\n",
                 headings[i].heading, headings[i].cell, headings[i].cell);
        struct ride *ride = ride_text(table);
        ck_assert_double_eq_tol(value_of(ride, headings[i].channel), headings[i].value, 1e-5);
        ride_free(ride);
    }
    static const char *const needed[] = {
        "time (s),power (W),speed (m/s)", "time sec,power watt,speed ms",
        "time (seconds),power_watts,speed", "time (ISO 8601),power,speed_m_s",
        "time (UTC),power (watts),speed m/s"};
    for (size_t i = 0; i < sizeof needed / sizeof needed[0]; i++) {
        char table[256];
        snprintf(table, sizeof table, "%s\n0,200,9\n1,200,9\n", needed[i]);
        struct ride *ride = ride_text(table);
        ck_assert_double_eq(ride->speed_m_s[1], 9.0);
        ck_assert_double_eq(ride->power_w[1], 200.0);
        ride_free(ride);
    }
    static const struct {
        const char *speed;
        double factor;
    } speeds[] = {{"speed (km/h)", 1 / 3.6}, {"speed_kmh", 1 / 3.6}, {"speed (mph)", 0.44704}};
    for (size_t i = 0; i < 3; i++) {
        char table[256];
        snprintf(table, sizeof table, "time,power,%s\n0,200,20\n1,200,20\n", speeds[i].speed);
        struct ride *ride = ride_text(table);
        ck_assert_double_eq_tol(ride->speed_m_s[1], 20.0 * speeds[i].factor, 1e-12);
        ride_free(ride);
    }
    struct ride *ride = ride_text("time,power,distance (m)\n0,200,0\n1,200,9\n2,200,18\n");
    ck_assert_double_eq(ride->distance_m[2], 18.0);
    ck_assert(ride->speed_made);
    ride_free(ride);
}
END_TEST

/* Lines end in CR LF, a note goes over three of them, one has blanks only: counted as an editor
 * counts them. */
START_TEST(lines_are_counted_through_notes_and_blanks)
{
    static const char head[] = "time,power,note,speed\r\n0,200,\"a\nb\nc\",10\r\n \t \r\n"
                               "1,200,x,11.5\r\n";
    char text[160];
    struct ride *ride = ride_text(head);
    ck_assert_uint_eq(ride->count, 2);
    ck_assert_double_eq(ride->speed_m_s[1], 11.5);
    for (int reason = 0; reason < RIDE_PASSED_REASONS; reason++) {
        ck_assert_uint_eq(ride->passed[reason], 0);
    }
    ride_free(ride);
    snprintf(text, sizeof text, "%s-9,200,y,10\r\n", head);
    ride_text_refused(text, "line 7: the time goes back by 10 s");
}
END_TEST

/* Names in quotes, with quotes and the divider in them; units that are read are all named. */
START_TEST(names_in_quotes_and_the_units_that_are_read)
{
    struct ride *ride = ride_text("\"time\",\"a \"\"b\"\", c\",\"power (W)\",\"Speed (KM/H)\"\n"
                                  "0,\"x, \"\"y\"\"\",200,36\n1,z,201,36\n");
    ck_assert_double_eq(ride->power_w[0], 200.0);
    ck_assert_double_eq(ride->power_w[1], 201.0);
    ck_assert_double_eq_tol(ride->speed_m_s[0], 10.0, 1e-12);
    ride_free(ride);
    ride_text_refused("time,power,speed (kn)\n0,200,20\n",
                      "column 'speed (kn)': speed is not read in this unit, but in m/s, ms, km/h, "
                      "kmh, mph");
    ride_text_refused("time,power,distance (mi)\n0,200,20\n",
                      "distance is not read in this unit, but in m, km");
}
END_TEST

/* 2.5 with 1 to 18 decimals is the same number to the last bit; with more it is not taken for
 * another. */
START_TEST(decimals_are_read_to_the_last)
{
    for (int decimals = 1; decimals <= 18; decimals++) {
        char text[160];
        snprintf(text, sizeof text, "time,power,speed\n0,200,2.5%.*s\n1,200,2.5\n", decimals - 1,
                 "00000000000000000");
        struct ride *ride = ride_text(text);
        ck_assert_msg(ride->speed_m_s[0] == 2.5, "%d decimals: %.17g", decimals,
                      ride->speed_m_s[0]);
        ride_free(ride);
    }
    struct ride *ride =
        ride_text("time,power,speed\n0,200,2.50000000000000000000000001\n1,200,3\n");
    ck_assert(isnan(ride->speed_m_s[0]) || fabs(ride->speed_m_s[0] - 2.5) < 1e-12);
    ride_free(ride);
}
END_TEST

START_TEST(other_delimiters_have_decimal_commas)
{
    static const char *const tables[] = {
        "time;power;speed\n0;200,5;10,25\n1,5;200.5;10,25\n",
        "time\tpower\tspeed\n0\t200,5\t10.25\n1,5\t200,5\t10,25\n",
        "\xEF\xBB\xBFtime;power (W, mean of both);speed\r\n0;200,5;10,25\r\n1,5;200,5;10,25\r\n",
    };
    for (size_t i = 0; i < 2; i++) {
        struct ride *ride = ride_text(tables[i]);
        ck_assert_double_eq(ride->power_w[1], 200.5);
        ck_assert_double_eq(ride->speed_m_s[0], 10.25);
        ck_assert_double_eq(ride->time_s[1], 1.5);
        ride_free(ride);
    }
    ride_text_refused(tables[2], "line 1: column 'power (W, mean of both)'");
}
END_TEST

/* 2026-03-01T10:00:00+01:00 is 1772355600 s after 1970. */
START_TEST(times_may_be_dates)
{
    struct ride *ride = ride_text("time,power,speed\n"
                                  "2026-03-01T10:00:00+01:00,200,10\n"
                                  "2026-03-01T09:00:01.500Z,200,10\n");
    ck_assert(ride->has_start && !ride->zone_assumed);
    ck_assert_int_eq(ride->start_unix_us, INT64_C(1772355600000000));
    ck_assert_double_eq(ride->time_s[1], 1.5);
    ride_free(ride);
    ride = ride_text("time,power,speed\n2026-03-01 10:00:00,200,10\n2026-03-01 10:00:02,200,10\n");
    ck_assert(ride->has_start && ride->zone_assumed);
    ck_assert_double_eq(ride->time_s[1], 2.0);
    ride_free(ride);
    ride = ride_text("time,power,speed\n10:00:59,200,10\n10:01:00.25,200,10\n");
    ck_assert(!ride->has_start);
    ck_assert_double_eq(ride->time_s[1], 1.25);
    ride_free(ride);
}
END_TEST

START_TEST(what_is_passed_over_is_counted)
{
    struct ride *ride = ride_text("# from the shed's computer\n"
                                  "time,power,speed\n"
                                  "\n"
                                  "0,200,10\n"
                                  "# stopped here\n"
                                  "0,200,10\n"   /* the same time */
                                  "1,n/a,10\n"   /* no number */
                                  "2,200\n"      /* too few cells */
                                  "3,200,10,5\n" /* too many */
                                  ",200,10\n"    /* no time */
                                  "4,9999,10\n"  /* no power */
                                  "5,,10\n"      /* nothing said, and nothing to count */
                                  "6,200,10\n");
    ck_assert_uint_eq(ride->count, 5);
    ck_assert_uint_eq(ride->passed[RIDE_PASSED_COMMENT], 2);
    ck_assert_uint_eq(ride->passed[RIDE_PASSED_SAME_TIME], 1);
    ck_assert_uint_eq(ride->passed[RIDE_PASSED_NO_NUMBER], 1);
    ck_assert_uint_eq(ride->passed[RIDE_PASSED_OTHER_CELLS], 2);
    ck_assert_uint_eq(ride->passed[RIDE_PASSED_NO_TIME], 1);
    ck_assert_uint_eq(ride->passed[RIDE_PASSED_OUT_OF_LIMITS], 1);
    ck_assert(isnan(ride->power_w[1]) && isnan(ride->power_w[2]) && isnan(ride->power_w[3]));
    ride_free(ride);
}
END_TEST

START_TEST(quotation_marks_hold_delimiters_and_lines)
{
    struct ride *ride = ride_text("time,remark,power,speed\n"
                                  "0,\"one, two\",200,10\n"
                                  "1,\"say \"\"when\"\"\r\nand go\",201,10\n"
                                  "\"2\",,\"202\",10\n");
    ck_assert_uint_eq(ride->count, 3);
    ck_assert_double_eq(ride->power_w[1], 201.0);
    ck_assert_double_eq(ride->power_w[2], 202.0);
    ride_free(ride);
    ride_text_refused("time,power,speed\n0,200,10\n1,200,\"10\n2,200,10\n",
                      "line 3: a quotation mark");
}
END_TEST

START_TEST(what_is_no_ride_is_refused_with_its_reason)
{
    static const struct {
        const char *table, *why;
    } tables[] = {
        {"", "nothing in it"},
        {"\n\n", "nothing in it"},
        {"0,200,10\n1,200,10\n", "line 1: no heading"},
        {"time,speed\n0,10\n1,10\n", "line 1: no column is called power"},
        {"power,speed\n0,10\n1,10\n", "no column is called time"},
        {"time,power,cadence\n0,10,90\n", "no column is called speed or distance"},
        {"time,power,speed\n", "no two samples"},
        {"time,power,speed\n0,200,10\n", "no two samples"},
        {"time,power,speed\n0,,10\n1,,10\n", "no power is in it"},
        {"time,power,speed\n0,200,\n1,200,\n", "neither speed nor distance"},
        {"time,power,speed\n0,200,0\n1,0,0\n", "never moves"},
        {"time,power,speed (kn)\n0,200,20\n", "line 1: column 'speed (kn)': speed is not read in "
                                              "this unit, but in m/s, ms, km/h, kmh, mph"},
        {"time (ms),power,speed\n0,200,20\n", "time is not read in this unit"},
        {"time,power,speed,altitude (ft)\n0,200,20,9\n", "altitude is not read in this unit"},
        {"time,power,speed,speed (km/h)\n0,200,10,36\n", "two columns are speed"},
        {"time,power,speed\n0,200,25.1\n1,200,25.1\n2,200,25.1\n",
         "the mean speed would be 25.1 m/s"},
        {"time,power,speed (m/s),distance (m)\n0,200,20,0\n1,200,20,13\n2,200,20,26\n",
         "speed makes 40 m of what distance calls 26 m"},
        {"time,power,speed,distance\n0,200,10,0\n1,200,10,0.01\n2,200,10,0.02\n",
         "speed makes 20 m of what distance calls 0 m"},
        {"time,power,speed,pressure (Pa)\n0,200,10,1013\n1,200,10,1013\n",
         "no value of 'pressure (Pa)' can be pressure in Pa"},
        {"time,power,speed\n0,200,10\n1,200,10\n-3600,200,10\n",
         "line 4: the time goes back by 3601 s"},
        {"time,power,speed\n0,200,10\n1,200,10\n21602,200,10\n", "line 4: the time leaps by 6.0 h"},
        {"time,power,speed\n2026-03-01T10:00:00Z,200,10\n2026-03-01T09:00:01Z,200,10\n",
         "goes back by 3599 s"},
        {"time,power,speed\nx\ny\n0,200,10\n1,2,3\n", "2 of 4 lines"},
        {"time,power,speed\n0,200,10\n1,2\x01", "line 3: bytes that are no text"},
    };
    for (size_t i = 0; i < sizeof tables / sizeof tables[0]; i++) {
        ride_text_refused(tables[i].table, tables[i].why);
    }
}
END_TEST

/* A clock that goes back a little tells a sample twice; one that goes back for good is refused. */
START_TEST(small_steps_back_are_forgiven)
{
    struct ride *ride = ride_text("time,power,speed\n0,200,10\n5,200,10\n3.1,200,10\n6,200,10\n");
    ck_assert_uint_eq(ride->count, 3);
    ck_assert_uint_eq(ride->passed[RIDE_PASSED_SAME_TIME], 1);
    ride_free(ride);
    ride_text_refused("time,power,speed\n0,200,10\n5,200,10\n2.9,200,10\n6,200,10\n",
                      "goes back by 2 s");
}
END_TEST

/* Six hours of nothing, 25 m/s, and speed that makes 1.49 times the distance are a ride yet. */
START_TEST(what_is_just_within_the_limits_is_read)
{
    static const char *const tables[] = {
        "time,power,speed\n0,200,10\n1,200,10\n21600,200,10\n21601,200,10\n",
        "time,power,speed\n0,200,24.9\n1,200,24.9\n2,200,24.9\n",
        "time,power,speed,distance\n0,200,14.9,0\n1,200,14.9,10\n2,200,14.9,20\n",
    };
    for (size_t i = 0; i < sizeof tables / sizeof tables[0]; i++) {
        ride_free(ride_text(tables[i]));
    }
}
END_TEST

START_TEST(long_lines_and_binary_rubbish_are_refused)
{
    struct problem problem = {PROBLEM_NONE, ""};
    char *bytes = malloc(200000);
    ck_assert_ptr_nonnull(bytes);
    memset(bytes, 'a', 200000);
    ck_assert_ptr_null(ride_text_in(bytes, 200000, 4096, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "line 1: longer than 65536 bytes"));
    for (int i = 0; i < 200000; i++) { /* noise */
        bytes[i] = (char)(i * 7919 % 251);
    }
    ck_assert_ptr_null(ride_text_in(bytes, 200000, 4096, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "bytes that are no text"));
    free(bytes);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ride csv");
    TCase *tests = tcase_create("ride csv");
    tcase_add_test(tests, a_plain_table_is_read);
    tcase_add_test(tests, columns_have_units);
    tcase_add_test(tests, units_stand_behind_names_as_well);
    tcase_add_test(tests, every_name_and_unit_of_a_heading_is_known);
    tcase_add_test(tests, lines_are_counted_through_notes_and_blanks);
    tcase_add_test(tests, names_in_quotes_and_the_units_that_are_read);
    tcase_add_test(tests, decimals_are_read_to_the_last);
    tcase_add_test(tests, other_delimiters_have_decimal_commas);
    tcase_add_test(tests, times_may_be_dates);
    tcase_add_test(tests, what_is_passed_over_is_counted);
    tcase_add_test(tests, quotation_marks_hold_delimiters_and_lines);
    tcase_add_test(tests, what_is_no_ride_is_refused_with_its_reason);
    tcase_add_test(tests, small_steps_back_are_forgiven);
    tcase_add_test(tests, what_is_just_within_the_limits_is_read);
    tcase_add_test(tests, long_lines_and_binary_rubbish_are_refused);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
