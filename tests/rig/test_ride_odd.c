/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Files of rides with something odd in them: what is read of them, and what is refused with which
 * sentence. */
#include "base/text.h"
#include "support/ride_text.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define HEAD "<gpx version=\"1.1\"><trk><trkseg>"
#define TAIL "</trkseg></trk></gpx>"
#define POINT(time, inside)                                                                        \
    "<trkpt lat=\"50\" lon=\"8\"><time>" time "</time><extensions>" inside "</extensions></trkpt>"
#define AT(second) "2026-03-01T09:00:0" second "Z"
#define BOTH "<power>200</power><speed>10</speed>"

START_TEST(files_that_are_refused)
{
    static const struct {
        const char *text, *why;
    } files[] = {
        /* a table's heading */
        {"time,power,speed,lap (km)\n0,200,10,1\n", "lap is not read in this unit, but in numbers"},
        {"time,power\n0,200\n1,200\n", "no column is called speed or distance"},
        {"time,power,latitude\n0,200,50\n1,200,50\n", "no column is called speed or distance"},
        {"time,power,longitude\n0,200,8\n1,200,8\n", "no column is called speed or distance"},
        {"power,speed\n200,10\n", "no column is called time"},
        {"time,power,speed,speed\n0,200,10,10\n", "two columns are speed"},
        {"a,b\n1,2\n", "no heading"},
        {"a,b", "no heading"},
        {"power,a;b;speed\n1\n", "no column is called time"},
        /* its values */
        {"time,power,speed,lap\n0,200,10,2e6\n1,200,10,2e6\n",
         "no value of 'lap' can be lap in numbers"},
        {"time,power,speed\n0,9999,10\n1,9999,10\n", "no value of 'power' can be power in W"},
        {HEAD POINT(AT("0"), "<power>9999</power>") POINT(AT("1"), "<power>9999</power>") TAIL,
         "no value of 'power' can be power in W"},
        {"time,power,speed\n0,200,0\n1,200,0\n", "the bike never moves"},
        {"time,power,speed,distance\n0,200,10,0\n1,200,10,0.01\n2,200,10,0.02\n",
         "one of them is in another unit"},
        {"time,power,speed,distance\n0,200,10,0\n1,200,10,1000\n2,200,10,2000\n",
         "one of them is in another unit"},
        {"time,power,speed,distance\n0,200,10,100\n1,200,10,50\n2,200,10,0\n",
         "the bike never moves"},
        /* GPX that is not whole */
        {HEAD POINT(AT("0"), BOTH), "the file ends within an element"},
        {HEAD "<trkpt lat=\"50\" lon=\"8\"><time>" AT("0"), "the file ends within a track point"},
        {HEAD POINT(AT("0"), BOTH) "<trkpt lat=\"5", "the file ends within an element"},
        {HEAD POINT(AT("0"), BOTH) "<name><![CDATA[abc", "the file ends within an element"},
        {HEAD POINT(AT("0"), BOTH) "<name>\xC3", "the file ends within an element"},
        {HEAD TAIL, "no track points"},
        {HEAD POINT("9", BOTH) POINT("10", BOTH) TAIL, "no two samples with a time"},
        {HEAD POINT(AT("0"), "<speed>10</speed>") POINT(AT("1"), "<speed>10</speed>") TAIL,
         "no power is in it"},
    };
    for (size_t i = 0; i < sizeof files / sizeof files[0]; i++) {
        ride_text_refused(files[i].text, files[i].why);
    }
}
END_TEST

/* A cell in quotation marks may have anything in it; one that is longer than is kept is cut. */
START_TEST(odd_cells_of_a_table)
{
    char text[2000];
    char name[600];
    memset(name, 'x', sizeof name - 1);
    name[sizeof name - 1] = '\0';
    snprintf(text, sizeof text,
             "\"time\",\"re\"\"mark\",power,\"speed\",\"%s\"\n"
             "0,1,200,\"10\",\"a\nb\"\n1,1,1e300,10,\"a \"\"b\"\"\"\n2,1,200,10,\"c\"\n"
             "3,5\" tube,200,10,\"and no end\n",
             name);
    struct ride *ride = ride_text(text);
    ck_assert_uint_eq(ride->count, 4);
    ck_assert_double_eq(ride->power_w[0], 200);
    ck_assert(isnan(ride->power_w[1])); /* no power can be so large */
    ck_assert_double_eq(ride->speed_m_s[2], 10);
    ride_free(ride);
}
END_TEST

/* Times of tables: a moment with its zone, a date without one, a time of the day; and none. */
START_TEST(times_of_a_table)
{
    struct ride *ride =
        ride_text("time,power,speed\n2026-03-01T09:00:00Z,200,10\n"
                  "2026-03-01T09:00:01Z,200,10\n2026-03-01T09:00:02Z,200,10\n"
                  "2026-03-01T09:00:03 and then so much more that it is no time,1,1\n");
    ck_assert_uint_eq(ride->count, 3);
    ck_assert_int_eq(ride->start_unix_us, INT64_C(1772355600000000));
    ride_free(ride);
    ride = ride_text("time;power;speed\n09:00:00;200;10\n09:00:01;200;10\n09:00:0x;200;10\n"
                     "09:00:02;200;10"); /* and no end of the last line */
    ck_assert_uint_eq(ride->count, 3);
    ck_assert_double_eq(ride->time_s[2], 2);
    ride_free(ride);
}
END_TEST

/* 0.0001 degrees of a great circle are 11.12 m. */
START_TEST(places_of_a_table_give_speed)
{
    struct ride *ride = ride_text("time,power,latitude,longitude\n0,200,50.0000,8\n"
                                  "1,200,50.0001,8\n2,200,50.0002,8\n");
    ck_assert_double_eq_tol(ride->speed_m_s[1], 11.12, 0.005);
    ck_assert_int_eq(ride->speed_from, RIDE_SOURCE_SATELLITES);
    ride_free(ride);
}
END_TEST

/* GPX: what is no number, no time, or comes twice; texts with other elements, comments and entities
 * in them. */
START_TEST(odd_points_of_gpx)
{
    struct ride *ride = ride_text(
        HEAD POINT("2026-03-01T09:00:00", BOTH) /* no zone */
        POINT(AT("1"), "<power>2<b>5</b>01</power><speed>10</speed>") POINT(
            AT("2"), "<power><!-- not --><![CDATA[202]]></power><speed>1&#48;</speed>")
            POINT("12345", BOTH) POINT("2026-03-01T09:00:0xZZ", BOTH) POINT(
                "2026-03-01T09:00:03Z0000000000000000000000000000000000000000000000000000000000000"
                "00000000000000000000000000000000000000000000000000000000000000000000000000000000",
                BOTH) POINT(AT("4"), "<power>204</power><power>x</power><speed>10</speed>") TAIL);
    ck_assert_uint_eq(ride->count, 4);
    ck_assert(ride->zone_assumed);
    ck_assert_double_eq(ride->power_w[1], 201);
    ck_assert_double_eq(ride->power_w[2], 202);
    ck_assert_double_eq(ride->speed_m_s[2], 10);
    ck_assert_double_eq(ride->power_w[3], 204);
    ck_assert_uint_eq(ride->passed[RIDE_PASSED_NO_TIME], 3);
    ck_assert_uint_eq(ride->passed[RIDE_PASSED_NO_NUMBER], 1);
    ride_free(ride);
}
END_TEST

/* What was begun with is still told when a file is refused in the middle of a piece: nothing of it
 * counts. */
START_TEST(what_comes_behind_a_refusal)
{
    ride_text_refused("<route version=\"1.1\"><a>1</a><!-- c --></route>", "this is no GPX file");
    ride_text_refused("<gpx version=\"1.0\"/>", "version '1.0' of GPX is not read");
    ride_text_refused("<!DOCTYPE gpx><gpx version=\"1.1\"/>", "declarations and entities");
    char text[4000] = HEAD;
    size_t used = strlen(text);
    for (int i = 0; i < 200; i++) {
        text_append(text, sizeof text, &used, "<a>");
    }
    for (int i = 0; i < 200; i++) {
        text_append(text, sizeof text, &used, "</a>");
    }
    ride_text_refused(text, "elements within one another");
}
END_TEST

static void refused_at_once(const char *text, const char *why)
{
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert_ptr_null(ride_text_in(text, strlen(text), 4096, &problem));
    ck_assert_msg(strstr(problem.sentence, why) != NULL, "%s", problem.sentence);
}

/* One tag or text of more than is ever needed: refused, whether it is whole or not. */
START_TEST(pieces_that_are_too_long)
{
    enum { LONG = 70000 };
    char *text = malloc(LONG + 200);
    ck_assert_ptr_nonnull(text);
    for (int whole = 0; whole < 2; whole++) {
        size_t used = (size_t)snprintf(text, 200, HEAD "<a b=\"");
        memset(text + used, 'x', LONG);
        snprintf(text + used + LONG, 100, whole == 1 ? "\"/>" TAIL : "");
        refused_at_once(text, "this is no ride");
    }
    size_t used = (size_t)snprintf(text, 200, "time,power,speed\n");
    memset(text + used, 'x', LONG);
    text[used + LONG] = '\0';
    refused_at_once(text, "this is no table");
    text[used] = '"';
    refused_at_once(text, "a quotation mark is not closed");
    free(text);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ride odd");
    TCase *tests = tcase_create("ride odd");
    tcase_add_test(tests, files_that_are_refused);
    tcase_add_test(tests, odd_cells_of_a_table);
    tcase_add_test(tests, times_of_a_table);
    tcase_add_test(tests, places_of_a_table_give_speed);
    tcase_add_test(tests, odd_points_of_gpx);
    tcase_add_test(tests, what_comes_behind_a_refusal);
    tcase_add_test(tests, pieces_that_are_too_long);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
