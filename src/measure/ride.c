/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/ride.h"

#include "base/angle.h"
#include "measure/rules.h"

#include <math.h>
#include <stdlib.h>

#define EARTH_RADIUS_M                                                                             \
    6371008.8 /* mean radius R1 (Moritz 2000, Geodetic Reference System 1980)                      \
               */
#define ROOM_FIRST 4096

const struct ride_channel_kind ride_channel_kinds[RIDE_CHANNELS] = {
    [RIDE_TIME] = {"time", "s", -1e12, 1e12},
    [RIDE_POWER] = {"power", "W", 0.0, 3000.0},
    [RIDE_SPEED] = {"speed", "m/s", 0.0, 40.0},
    [RIDE_DISTANCE] = {"distance", "m", 0.0, 1e8},
    [RIDE_LAP] = {"lap", "", -1e6, 1e6},
    [RIDE_LATITUDE] = {"latitude", "degrees", -90.0, 90.0},
    [RIDE_LONGITUDE] = {"longitude", "degrees", -180.0, 180.0},
    [RIDE_ALTITUDE] = {"altitude", "m", -500.0, 9000.0},
    [RIDE_WIND] = {"wind", "m/s", -40.0, 40.0},
    [RIDE_AIR_TEMPERATURE] = {"air temperature", "C", -40.0, 60.0},
    [RIDE_PRESSURE] = {"pressure", "Pa", 30000.0, 110000.0},
    [RIDE_HUMIDITY] = {"humidity", "%", 0.0, 100.0},
    [RIDE_CADENCE] = {"cadence", "1/min", 0.0, 300.0},
    [RIDE_HEART] = {"heart", "1/min", 20.0, 260.0},
};

/* Where the pointer to a channel's array stands: one of the three is set. */
struct array {
    double **wide;
    float **narrow;
    int32_t **whole;
};

static struct array array_of(struct ride *ride, enum ride_channel channel)
{
    const struct array arrays[RIDE_CHANNELS] = {
        [RIDE_TIME] = {.wide = &ride->time_s},
        [RIDE_POWER] = {.wide = &ride->power_w},
        [RIDE_SPEED] = {.wide = &ride->speed_m_s},
        [RIDE_DISTANCE] = {.wide = &ride->distance_m},
        [RIDE_LAP] = {.whole = &ride->lap},
        [RIDE_LATITUDE] = {.wide = &ride->latitude_deg},
        [RIDE_LONGITUDE] = {.wide = &ride->longitude_deg},
        [RIDE_ALTITUDE] = {.wide = &ride->altitude_m},
        [RIDE_WIND] = {.wide = &ride->wind_m_s},
        [RIDE_AIR_TEMPERATURE] = {.narrow = &ride->air_temperature_c},
        [RIDE_PRESSURE] = {.narrow = &ride->pressure_pa},
        [RIDE_HUMIDITY] = {.narrow = &ride->humidity_percent},
        [RIDE_CADENCE] = {.narrow = &ride->cadence_per_min},
        [RIDE_HEART] = {.narrow = &ride->heart_per_min},
    };
    return arrays[channel];
}

bool ride_has(const struct ride *ride, enum ride_channel channel)
{
    struct ride view = *ride;
    struct array array = array_of(&view, channel);
    return array.wide != NULL     ? *array.wide != NULL
           : array.narrow != NULL ? *array.narrow != NULL
                                  : *array.whole != NULL;
}

void ride_drop(struct ride *ride, enum ride_channel channel)
{
    struct array array = array_of(ride, channel);
    if (array.wide != NULL) {
        free(*array.wide);
        *array.wide = NULL;
    } else if (array.narrow != NULL) {
        free(*array.narrow);
        *array.narrow = NULL;
    } else {
        free(*array.whole);
        *array.whole = NULL;
    }
}

/* One array of room values, longer than before. */
static bool stretch(struct ride *ride, enum ride_channel channel, size_t room)
{
    struct array array = array_of(ride, channel);
    size_t values = room > ROOM_FIRST ? room : ROOM_FIRST;
    if (array.wide != NULL) {
        double *longer = realloc(*array.wide, values * sizeof *longer);
        if (longer == NULL) {
            return false;
        }
        *array.wide = longer;
        return true;
    }
    if (array.narrow != NULL) {
        float *longer = realloc(*array.narrow, values * sizeof *longer);
        if (longer == NULL) {
            return false;
        }
        *array.narrow = longer;
        return true;
    }
    int32_t *longer = realloc(*array.whole, values * sizeof *longer);
    if (longer == NULL) {
        return false;
    }
    *array.whole = longer;
    return true;
}

struct ride *ride_create(const bool has[RIDE_CHANNELS])
{
    struct ride *ride = calloc(1, sizeof *ride);
    if (ride == NULL) {
        return NULL;
    }
    for (int i = 0; i < RIDE_CHANNELS; i++) {
        if ((i == RIDE_TIME || has[i]) && !stretch(ride, (enum ride_channel)i, ROOM_FIRST)) {
            ride_free(ride);
            return NULL;
        }
    }
    ride->room = ROOM_FIRST;
    return ride;
}

void ride_free(struct ride *ride)
{
    for (int i = 0; ride != NULL && i < RIDE_CHANNELS; i++) {
        ride_drop(ride, (enum ride_channel)i);
    }
    free(ride);
}

static bool make_room(struct ride *ride)
{
    size_t room = ride->room + ride->room / 2;
    room = room > RIDE_SAMPLES_MOST ? RIDE_SAMPLES_MOST : room;
    for (int i = 0; i < RIDE_CHANNELS; i++) {
        if (ride_has(ride, (enum ride_channel)i) && !stretch(ride, (enum ride_channel)i, room)) {
            return false;
        }
    }
    ride->room = room;
    return true;
}

/* Lets through what a channel can be. */
static double limited(struct ride *ride, enum ride_channel channel, double value)
{
    const struct ride_channel_kind *kind = &ride_channel_kinds[channel];
    if (isnan(value) || (value >= kind->least && value <= kind->most)) {
        return value;
    }
    ride->passed[RIDE_PASSED_OUT_OF_LIMITS]++;
    return NAN;
}

static void put_wide(struct ride *ride, double *array, enum ride_channel channel,
                     const double value[RIDE_CHANNELS])
{
    if (array != NULL) {
        array[ride->count] = limited(ride, channel, value[channel]);
    }
}

static void put_narrow(struct ride *ride, float *array, enum ride_channel channel,
                       const double value[RIDE_CHANNELS])
{
    if (array != NULL) {
        array[ride->count] = (float)limited(ride, channel, value[channel]);
    }
}

enum ride_added ride_add(struct ride *ride, const double value[RIDE_CHANNELS])
{
    size_t at = ride->count;
    if (at > 0 && value[RIDE_TIME] <= ride->time_s[at - 1]) {
        ride->passed[RIDE_PASSED_SAME_TIME]++;
        return RIDE_ADDED_NOT_LATER;
    }
    if (at == RIDE_SAMPLES_MOST) {
        return RIDE_ADDED_TOO_MANY;
    }
    if (at == ride->room && !make_room(ride)) {
        return RIDE_ADDED_NO_MEMORY;
    }
    ride->time_s[at] = value[RIDE_TIME];
    put_wide(ride, ride->power_w, RIDE_POWER, value);
    put_wide(ride, ride->speed_m_s, RIDE_SPEED, value);
    put_wide(ride, ride->distance_m, RIDE_DISTANCE, value);
    put_wide(ride, ride->latitude_deg, RIDE_LATITUDE, value);
    put_wide(ride, ride->longitude_deg, RIDE_LONGITUDE, value);
    put_wide(ride, ride->altitude_m, RIDE_ALTITUDE, value);
    put_wide(ride, ride->wind_m_s, RIDE_WIND, value);
    put_narrow(ride, ride->air_temperature_c, RIDE_AIR_TEMPERATURE, value);
    put_narrow(ride, ride->pressure_pa, RIDE_PRESSURE, value);
    put_narrow(ride, ride->humidity_percent, RIDE_HUMIDITY, value);
    put_narrow(ride, ride->cadence_per_min, RIDE_CADENCE, value);
    put_narrow(ride, ride->heart_per_min, RIDE_HEART, value);
    if (ride->lap != NULL) {
        double lap = limited(ride, RIDE_LAP, value[RIDE_LAP]);
        ride->lap[at] = isnan(lap) ? RIDE_LAP_NONE : (int32_t)floor(lap);
    }
    ride->count++;
    return RIDE_ADDED;
}

double ride_metres_between(double latitude_a_deg, double longitude_a_deg, double latitude_b_deg,
                           double longitude_b_deg)
{
    double up = sin((latitude_b_deg - latitude_a_deg) * RADIANS_PER_DEGREE / 2.0);
    double across = sin((longitude_b_deg - longitude_a_deg) * RADIANS_PER_DEGREE / 2.0);
    double chord = up * up + cos(latitude_a_deg * RADIANS_PER_DEGREE) *
                                 cos(latitude_b_deg * RADIANS_PER_DEGREE) * across * across;
    return 2.0 * EARTH_RADIUS_M * asin(sqrt(chord > 1.0 ? 1.0 : chord));
}

/* Trapezoids over known speeds; where one is not known the distance stands still, and its samples
 * are left out of every leg as they are. */
static void distance_from_speed(struct ride *ride)
{
    double metres = 0.0;
    for (size_t i = 0; i < ride->count; i++) {
        if (i > 0) {
            double mean = 0.5 * (ride->speed_m_s[i - 1] + ride->speed_m_s[i]);
            metres += isnan(mean) ? 0.0 : mean * (ride->time_s[i] - ride->time_s[i - 1]);
        }
        ride->distance_m[i] = metres;
    }
}

static void distance_from_places(struct ride *ride)
{
    double metres = 0.0;
    size_t before = SIZE_MAX;
    for (size_t i = 0; i < ride->count; i++) {
        if (isnan(ride->latitude_deg[i]) || isnan(ride->longitude_deg[i])) {
            ride->distance_m[i] = NAN;
            continue;
        }
        if (before != SIZE_MAX) {
            metres += ride_metres_between(ride->latitude_deg[before], ride->longitude_deg[before],
                                          ride->latitude_deg[i], ride->longitude_deg[i]);
        }
        ride->distance_m[i] = metres;
        before = i;
    }
}

/* The slope of distance between the samples half a second or more to either side. */
static void speed_from_distance(struct ride *ride)
{
    size_t from = 0, to = 0;
    for (size_t i = 0; i < ride->count; i++) {
        double now_s = ride->time_s[i];
        while (from + 1 < i && ride->time_s[from + 1] <= now_s - RIDE_SPEED_HALF_WINDOW_S) {
            from++;
        }
        to = to < i ? i : to;
        while (to + 1 < ride->count && ride->time_s[to] < now_s + RIDE_SPEED_HALF_WINDOW_S) {
            to++;
        }
        double lasts_s = ride->time_s[to] - ride->time_s[from];
        double speed = (ride->distance_m[to] - ride->distance_m[from]) / lasts_s;
        const struct ride_channel_kind *kind = &ride_channel_kinds[RIDE_SPEED];
        bool can_be = lasts_s > 0.0 && speed >= kind->least && speed <= kind->most;
        ride->speed_m_s[i] = can_be ? speed : NAN;
    }
}

bool ride_finish(struct ride *ride)
{
    double first_s = ride->count > 0 ? ride->time_s[0] : 0.0;
    for (size_t i = 0; i < ride->count; i++) {
        ride->time_s[i] -= first_s;
    }
    if (ride->distance_m == NULL &&
        (ride->speed_m_s != NULL || (ride->latitude_deg != NULL && ride->longitude_deg != NULL))) {
        if (!stretch(ride, RIDE_DISTANCE, ride->room)) {
            return false;
        }
        ride->distance_made = true;
        if (ride->speed_m_s != NULL) {
            distance_from_speed(ride);
            ride->distance_from = ride->speed_from;
        } else {
            distance_from_places(ride);
            ride->distance_from = RIDE_SOURCE_SATELLITES;
        }
    }
    if (ride->speed_m_s == NULL && ride->distance_m != NULL) {
        if (!stretch(ride, RIDE_SPEED, ride->room)) {
            return false;
        }
        ride->speed_made = true;
        speed_from_distance(ride);
        ride->speed_from = ride->distance_from;
    }
    return true;
}

const char *ride_passed_text(enum ride_passed reason)
{
    static const char *const texts[RIDE_PASSED_REASONS] = {
        [RIDE_PASSED_NO_TIME] = "samples without a time",
        [RIDE_PASSED_SAME_TIME] = "samples not later than the one before",
        [RIDE_PASSED_NO_NUMBER] = "values that are no numbers",
        [RIDE_PASSED_OUT_OF_LIMITS] = "values that can't be",
        [RIDE_PASSED_OTHER_CELLS] = "lines with other cells than the heading",
        [RIDE_PASSED_COMMENT] = "lines without values",
    };
    return texts[reason];
}
