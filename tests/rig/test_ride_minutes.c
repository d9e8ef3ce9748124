/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* What one open ride knows of drag: its odd minutes against its even ones. They agree within their
 * own errors, which are a tenth of drag and more: no verdict can come from such a ride. */
#include "measure/drag_leg.h"
#include "rig/ride_file.h"
#include "support/test_main.h"

#include <math.h>

#define MINUTES_MOST 40
#define DENSITY 1.2

struct minutes {
    double air_j[MINUTES_MOST], per_m2_j[MINUTES_MOST]; /* work of the air, and of it for 1 m2 */
    int count;
};

/* Work over work for 1 m2, with the standard error of a ratio of sums. */
static double drag_of(const struct minutes *minutes, double *error)
{
    double air_j = 0.0, per_m2_j = 0.0, squares = 0.0;
    for (int i = 0; i < minutes->count; i++) {
        air_j += minutes->air_j[i];
        per_m2_j += minutes->per_m2_j[i];
    }
    for (int i = 0; i < minutes->count; i++) {
        squares += pow(minutes->air_j[i] - air_j / per_m2_j * minutes->per_m2_j[i], 2.0);
    }
    *error = sqrt(squares * minutes->count / (minutes->count - 1.0)) / per_m2_j;
    return air_j / per_m2_j;
}

static void take_minute(const struct ride *ride, const struct drag_samples *samples, size_t first,
                        size_t last, struct minutes *to)
{
    struct drag_rider rider = drag_usual_rider(80.0);
    struct drag_leg leg;
    double climb_m = ride->altitude_m[last] - ride->altitude_m[first];
    ck_assert_int_lt(to->count, MINUTES_MOST);
    ck_assert_int_eq(drag_leg_make(samples, first, last, NAN, NAN, climb_m, &leg), MEASURE_OK);
    to->air_j[to->count] = drag_leg_force_n(&leg, &rider) * leg.length_m;
    to->per_m2_j[to->count++] = 0.5 * DENSITY * leg.speed_squared * leg.length_m;
}

/* Whole minutes from the ride's beginning, in turns. */
static void take_minutes(const struct ride *ride, struct minutes sides[2])
{
    const struct drag_samples samples = {ride->time_s, ride->speed_m_s, ride->power_w, ride->count};
    size_t first = 0;
    for (int minute = 0;; minute++) {
        size_t last = first;
        while (last < ride->count && ride->time_s[last] < 60.0 * (minute + 1)) {
            last++;
        }
        if (last == ride->count) {
            return;
        }
        take_minute(ride, &samples, first, last, &sides[minute % 2]);
        first = last;
    }
}

/* 80 kg, .004 and still air at 1.2 kg/m3 are made up. The figures of each were computed apart
 * (Python) to three decimals. */
START_TEST(odd_minutes_agree_with_even_ones)
{
    static const struct {
        const char *file;
        double even_m2, even_error, odd_m2, odd_error;
    } rides[] = {
        {"recordings/rides/ride-003.csv", .362, .089, .348, .064},
        {"recordings/rides/ride-040.csv", .383, .037, .396, .056},
        {"recordings/rides/ride-077.csv", .711, .075, .583, .041},
        {"recordings/rides/ride-118.csv", .548, .079, .428, .042},
        {"recordings/rides/ride-160.csv", .433, .070, .418, .066},
        {"recordings/rides/ride-201.csv", .616, .101, .686, .058},
    };
    for (size_t i = 0; i < sizeof rides / sizeof rides[0]; i++) {
        const char *path = shared_path_or_skip(rides[i].file);
        struct minutes sides[2] = {{.count = 0}, {.count = 0}};
        struct problem problem = {PROBLEM_NONE, ""};
        double even_error, odd_error;
        if (path == NULL) {
            return;
        }
        struct ride *ride = ride_file_read(path, NULL, NULL, &problem);
        ck_assert_msg(ride != NULL, "%s", problem.sentence);
        take_minutes(ride, sides);
        double even = drag_of(&sides[0], &even_error), odd = drag_of(&sides[1], &odd_error);
        ck_assert_double_eq_tol(even, rides[i].even_m2, 6e-4);
        ck_assert_double_eq_tol(even_error, rides[i].even_error, 6e-4);
        ck_assert_double_eq_tol(odd, rides[i].odd_m2, 6e-4);
        ck_assert_double_eq_tol(odd_error, rides[i].odd_error, 6e-4);
        ck_assert_double_le(fabs(even - odd), 2.0 * hypot(even_error, odd_error));
        ck_assert_double_gt(hypot(even_error, odd_error), .1 * even); /* D is .005 m2 */
        ride_free(ride);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ride minutes");
    TCase *tests = tcase_create("ride minutes");
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, odd_minutes_agree_with_even_ones);
    return test_main(suite);
}
