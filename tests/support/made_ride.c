/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "made_ride.h"

#include "test_main.h"

#include <math.h>
#include <string.h>

const struct ride_course made_ride_laps = {.borders = RIDE_BORDERS_LAPS};

struct ride *made_ride(bool laps, bool places)
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
                double distance_m, double *values)
{
    values[RIDE_TIME] = time_s;
    values[RIDE_POWER] = power_w;
    values[RIDE_SPEED] = speed_m_s;
    values[RIDE_DISTANCE] = distance_m;
    ck_assert_int_eq(ride_add(ride, values), RIDE_ADDED);
}

static void clear(double values[RIDE_CHANNELS])
{
    for (int i = 0; i < RIDE_CHANNELS; i++) {
        values[i] = NAN;
    }
}

void made_ride_add(struct ride *ride, double time_s, double power_w, double speed_m_s,
                   double distance_m, double lap)
{
    double values[RIDE_CHANNELS];
    clear(values);
    values[RIDE_LAP] = lap;
    add(ride, time_s, power_w, speed_m_s, distance_m, values);
}

void made_ride_place(struct ride *ride, double time_s, double north_m, double east_m,
                     double distance_m)
{
    double values[RIDE_CHANNELS];
    clear(values);
    values[RIDE_LATITUDE] = 50.0 + north_m / METRES_A_DEGREE;
    values[RIDE_LONGITUDE] = 8.0 + east_m / METRES_A_DEGREE / cos(50.0 * RADIANS);
    add(ride, time_s, 200.0, 10.0, distance_m, values);
}

struct ride *made_ride_even(int seconds, int lap_s)
{
    struct ride *ride = made_ride(true, false);
    for (int i = 0; i <= seconds; i++) {
        int lap = 1 + i / lap_s;
        made_ride_add(ride, i, 200.0, 10.0, 500.0 + 10.0 * i, lap);
    }
    ck_assert(ride_finish(ride));
    return ride;
}

struct ride_cut made_ride_cut(const struct ride *ride, const struct ride_course *course)
{
    struct ride_cut found;
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert_msg(ride_cut(ride, course, &found, &problem), "%s", problem.sentence);
    return found;
}

void made_ride_refused(const struct ride *ride, const struct ride_course *course, const char *why)
{
    struct ride_cut found;
    struct problem problem = {PROBLEM_NONE, ""};
    ck_assert(!ride_cut(ride, course, &found, &problem));
    ck_assert_msg(strstr(problem.sentence, why) != NULL, "%s", problem.sentence);
    ride_cut_free(&found);
}
