/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/fuzz_ride.h"

#include "measure/ride_cut.h"
#include "rig/ride_file.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void fail(const char *what)
{
    fprintf(stderr, "fuzz: %s\n", what);
    abort();
}

/* most: the most bytes at once; 0 = all. */
static struct ride *read_ride(const char *bytes, size_t length, size_t most,
                              struct problem *problem)
{
    struct ride_reader *reader = ride_reader_create(problem);
    if (reader == NULL) {
        fail("no memory for a reader");
    }
    bool going = true;
    size_t step = 1;
    for (size_t at = 0; at < length && going;) {
        size_t piece = most == 0 ? length : 1 + step++ * 7919 % most;
        piece = piece > length - at ? length - at : piece;
        going = ride_reader_feed(reader, bytes + at, piece, problem);
        at += piece;
    }
    struct ride *ride = going ? ride_reader_finish(reader, problem) : NULL;
    ride_reader_free(reader);
    if (ride == NULL && problem->sentence[0] == '\0') {
        fail("a ride is refused without a sentence");
    }
    return ride;
}

static bool can_be(double value, enum ride_channel channel)
{
    const struct ride_channel_kind *kind = &ride_channel_kinds[channel];
    return isnan(value) || (value >= kind->least && value <= kind->most);
}

static bool are_same(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

static void check_ride(const struct ride *ride)
{
    if (ride->count < 2 || ride->count > RIDE_SAMPLES_MOST || ride->power_w == NULL ||
        ride->speed_m_s == NULL || ride->distance_m == NULL) {
        fail("a ride that lacks what it needs");
    }
    for (size_t i = 0; i < ride->count; i++) {
        if (!isfinite(ride->time_s[i]) ||
            (i == 0 ? ride->time_s[i] != 0.0 : ride->time_s[i] <= ride->time_s[i - 1])) {
            fail("a ride's time that does not go on");
        }
        if (!can_be(ride->power_w[i], RIDE_POWER) || !can_be(ride->speed_m_s[i], RIDE_SPEED) ||
            (!ride->distance_made && !can_be(ride->distance_m[i], RIDE_DISTANCE)) ||
            (ride->heart_per_min != NULL && !can_be(ride->heart_per_min[i], RIDE_HEART)) ||
            (ride->latitude_deg != NULL && !can_be(ride->latitude_deg[i], RIDE_LATITUDE))) {
            fail("a value beyond its channel's limits");
        }
    }
}

static void check_same(const struct ride *whole, const struct ride *parts)
{
    if (whole->count != parts->count ||
        memcmp(whole->passed, parts->passed, sizeof whole->passed) != 0) {
        fail("other samples come out when the file is cut otherwise");
    }
    for (int i = 0; i < RIDE_CHANNELS; i++) {
        if (ride_has(whole, (enum ride_channel)i) != ride_has(parts, (enum ride_channel)i)) {
            fail("other channels come out when the file is cut otherwise");
        }
    }
    for (size_t i = 0; i < whole->count; i++) {
        if (!are_same(whole->time_s[i], parts->time_s[i]) ||
            !are_same(whole->power_w[i], parts->power_w[i]) ||
            !are_same(whole->speed_m_s[i], parts->speed_m_s[i]) ||
            !are_same(whole->distance_m[i], parts->distance_m[i])) {
            fail("other values come out when the file is cut otherwise");
        }
    }
}

static void check_cut(const struct ride *ride, const struct ride_course *course)
{
    struct problem problem = {PROBLEM_NONE, ""};
    struct ride_cut cut;
    if (!ride_cut(ride, course, &cut, &problem) && problem.sentence[0] == '\0') {
        fail("a ride is not cut, without a sentence");
    }
    size_t counted = 0;
    for (int i = 0; i < RIDE_LEFT_REASONS; i++) {
        counted += cut.left_out[i];
    }
    if (counted != cut.count || cut.kept != cut.left_out[RIDE_KEPT]) {
        fail("legs are miscounted");
    }
    for (size_t i = 0; i < cut.count; i++) {
        const struct ride_leg *leg = &cut.leg[i];
        struct ride_piece piece;
        if (leg->left_out != RIDE_KEPT) {
            continue;
        }
        if (!(leg->end_s > leg->begin_s && leg->length_m > 0.0 && leg->last < ride->count)) {
            fail("a leg that is kept and none");
        }
        if (!ride_piece_take(ride, leg, &piece)) {
            fail("a leg that is kept and has a gap");
        }
        ride_piece_free(&piece);
    }
    ride_cut_free(&cut);
}

static void cut_in_all_ways(const struct ride *ride)
{
    double last_s = ride->time_s[ride->count - 1];
    const double times_s[] = {0.1 * last_s, 0.5 * last_s, 0.5 * last_s, 0.9 * last_s};
    struct ride_course courses[] = {
        {.borders = RIDE_BORDERS_LAPS},
        {.borders = RIDE_BORDERS_LENGTH, .length_m = 150.0},
        {.borders = RIDE_BORDERS_TIMES, .out_and_back = true, .time_s = times_s, .time_count = 4},
        {.borders = RIDE_BORDERS_LINE, .line = {{50.0, 8.0, 0.0}}},
        {.borders = RIDE_BORDERS_LINE,
         .out_and_back = true,
         .turn_room_m = -1.0,
         .line = {{50.0, 8.0, 0.0}, {50.01, 8.0, 10.0}}},
    };
    for (size_t i = 0; i < sizeof courses / sizeof courses[0]; i++) {
        check_cut(ride, &courses[i]);
    }
}

/* Of XML that is not sound expat tells what it met first in what it had been given. */
static bool are_refused_alike(const char *of_whole, const char *of_parts)
{
    const char *unsound = "this is no sound XML";
    return strcmp(of_whole, of_parts) == 0 ||
           (strstr(of_whole, unsound) != NULL && strstr(of_parts, unsound) != NULL);
}

void fuzz_ride(const uint8_t *bytes, size_t length)
{
    struct problem of_whole = {PROBLEM_NONE, ""};
    struct problem of_parts = {PROBLEM_NONE, ""};
    struct ride *whole = read_ride((const char *)bytes, length, 0, &of_whole);
    struct ride *parts = read_ride((const char *)bytes, length, 23, &of_parts);
    if ((whole == NULL) != (parts == NULL) ||
        !are_refused_alike(of_whole.sentence, of_parts.sentence)) {
        fail("a file is refused otherwise when it is cut otherwise");
    }
    if (whole != NULL) {
        check_ride(whole);
        check_same(whole, parts);
        cut_in_all_ways(whole);
    }
    ride_free(whole);
    ride_free(parts);
}
