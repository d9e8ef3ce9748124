/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/fnv.h"
#include "measure/ride_cut.h"
#include "rig/ride_file.h"
#include "support/test_main.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* Six ordinary rides of public data (DEVELOPERS.md, 'Testing'): 1,800 lines each, told in km/h and
 * km. What stands in their last lines, and in how many the heart rate is 0, was looked up with
 * another reader (Python's csv). */
START_TEST(public_rides_are_read)
{
    static const struct {
        const char *file;
        double last_s, last_m;
        unsigned no_heart;
    } rides[] = {
        {"recordings/rides/ride-003.csv", 1799, 12015.5, 10},
        {"recordings/rides/ride-040.csv", 1799, 12947.3, 6},
        {"recordings/rides/ride-077.csv", 1799, 11811.7, 4},
        {"recordings/rides/ride-118.csv", 1825, 12671.3, 0},
        {"recordings/rides/ride-160.csv", 1799, 12219.1, 0},
        {"recordings/rides/ride-201.csv", 1849, 10607.7, 3},
    };
    for (size_t i = 0; i < sizeof rides / sizeof rides[0]; i++) {
        const char *path = shared_path_or_skip(rides[i].file);
        if (path == NULL) {
            return;
        }
        struct problem problem = {PROBLEM_NONE, ""};
        struct ride *ride = ride_file_read(path, NULL, NULL, &problem);
        ck_assert_msg(ride != NULL, "%s", problem.sentence);
        ck_assert_uint_eq(ride->count, 1800);
        ck_assert_double_eq(ride->time_s[1799], rides[i].last_s);
        ck_assert_double_eq_tol(ride->distance_m[1799], rides[i].last_m, 1e-9);
        for (int reason = 0; reason < RIDE_PASSED_REASONS; reason++) {
            bool heart = reason == RIDE_PASSED_OUT_OF_LIMITS;
            ck_assert_uint_eq(ride->passed[reason], heart ? rides[i].no_heart : 0);
        }
        ck_assert(ride_has(ride, RIDE_ALTITUDE) && ride_has(ride, RIDE_HEART));
        ck_assert(!ride_has(ride, RIDE_LAP) && !ride_has(ride, RIDE_LATITUDE));
        if (i == 0) {
            ck_assert_double_eq_tol(ride->speed_m_s[0], 16.69 / 3.6, 1e-12);
            ck_assert_double_eq(ride->power_w[3], 80.0);
            ck_assert_double_eq_tol(ride->distance_m[1], 4.53, 1e-9);
            ck_assert_double_eq(ride->altitude_m[1], 220.8);
            ck_assert_float_eq(ride->heart_per_min[0], 82.0F);
            ck_assert_float_eq(ride->cadence_per_min[0], 74.0F);
        }
        /* No course was ridden twice: nothing can be cut from it. */
        struct ride_course course = {.borders = RIDE_BORDERS_LAPS};
        struct ride_cut cut;
        ck_assert(!ride_cut(ride, &course, &cut, &problem));
        ck_assert_ptr_nonnull(strstr(problem.sentence, "no lap marks"));
        ride_free(ride);
    }
}
END_TEST

#define STOPS (-1.0)

static bool goes_on(void *context, double share)
{
    double *last = context;
    bool on = *last != STOPS;
    *last = share;
    return on;
}

START_TEST(what_cannot_be_read_is_named)
{
    static const char table[] = "time,power,speed\n0,200,10\n1,200,10\n";
    struct problem problem = {PROBLEM_NONE, ""};
    char folder[] = "/tmp/holdline-ride-XXXXXX";
    char path[64];
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/a", folder);
    ck_assert_ptr_null(ride_file_read(path, NULL, NULL, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, path));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "cannot be opened"));
    ck_assert_ptr_null(ride_file_read(folder, NULL, NULL, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "is no file"));
    ck_assert_int_eq(mkfifo(path, 0600), 0); /* waits for nobody */
    ck_assert_ptr_null(ride_file_read(path, NULL, NULL, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "is no file"));
    unlink(path);
    FILE *file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    fputs("time,speed\n0,10\n", file);
    fclose(file);
    ck_assert_ptr_null(ride_file_read(path, NULL, NULL, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, path));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "line 1: no column is called power"));
    file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    fputs(table, file);
    fclose(file);
    uint64_t sum = 0;
    double share = 0.0;
    struct ride *ride = ride_file_read(path, &(struct ride_watch){goes_on, &share}, &sum, &problem);
    ck_assert_msg(ride != NULL, "%s", problem.sentence);
    ck_assert_uint_eq(ride->count, 2);
    ck_assert_double_eq(share, 1.0);
    ck_assert_uint_eq(sum, fnv_add(FNV_START, table, strlen(table)));
    ride_free(ride);
    share = STOPS;
    ck_assert_ptr_null(ride_file_read(path, &(struct ride_watch){goes_on, &share}, NULL, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "stopped"));
    unlink(path);
    rmdir(folder);
}
END_TEST

/* The first bytes tell which of the two it is, however few come at a time. */
START_TEST(table_and_gpx_are_told_apart)
{
    static const char *const xml = "\xEF\xBB\xBF  \n<nothing/>";
    struct problem problem = {PROBLEM_NONE, ""};
    struct ride_reader *reader = ride_reader_create(&problem);
    for (const char *at = xml; *at != '\0'; at++) {
        ck_assert(ride_reader_feed(reader, at, 1, &problem));
    }
    ck_assert_ptr_null(ride_reader_finish(reader, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "no GPX file"));
    ride_reader_free(reader);
    reader = ride_reader_create(&problem);
    ck_assert(ride_reader_feed(reader, "time", 4, &problem));
    ck_assert_ptr_null(ride_reader_finish(reader, &problem));
    ck_assert_ptr_nonnull(strstr(problem.sentence, "no column is called power"));
    ride_reader_free(reader);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ride file");
    TCase *tests = tcase_create("ride file");
    tcase_add_test(tests, public_rides_are_read);
    tcase_add_test(tests, what_cannot_be_read_is_named);
    tcase_add_test(tests, table_and_gpx_are_told_apart);
    suite_add_tcase(suite, tests);
    return test_main(suite);
}
