/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "ride_borders.h"

#include "base/angle.h"
#include "measure/rules.h"
#include "ride_walk.h"

#include <math.h>
#include <stdlib.h>

#define LEGS_MOST 2000 /* more is no day's ride: a channel that counts something else */

static double end_of(const struct ride *ride, const struct ride_course *course)
{
    double last_s = ride->time_s[ride->count - 1];
    return course->to_s > 0.0 && course->to_s < last_s ? course->to_s : last_s;
}

static bool add(struct ride_stretches *stretches, double begin_s, double end_s, int lap,
                struct problem *problem)
{
    if (stretches->stretch == NULL) {
        stretches->stretch = calloc(LEGS_MOST, sizeof *stretches->stretch);
        if (stretches->stretch == NULL) {
            return problem_set(problem, "not enough memory for the legs of this ride");
        }
    }
    if (stretches->count == LEGS_MOST) {
        return problem_set(problem,
                           "this ride has more than %d legs: say where they begin and end in "
                           "another way",
                           LEGS_MOST);
    }
    stretches->stretch[stretches->count++] = (struct ride_stretch){begin_s, end_s, lap};
    return true;
}

static bool by_laps(const struct ride *ride, const struct ride_course *course,
                    struct ride_stretches *stretches, struct problem *problem)
{
    if (ride->lap == NULL) {
        return problem_set(problem,
                           "this ride has no lap marks: give the times of its legs, a line that "
                           "they cross or the track's length");
    }
    double end_s = end_of(ride, course);
    double begin_s = course->from_s;
    int32_t lap = RIDE_LAP_NONE;
    for (size_t i = 0; i < ride->count && ride->time_s[i] <= end_s; i++) {
        if (ride->time_s[i] < course->from_s || ride->lap[i] == RIDE_LAP_NONE ||
            ride->lap[i] == lap) {
            continue;
        }
        if (lap != RIDE_LAP_NONE && !add(stretches, begin_s, ride->time_s[i], lap, problem)) {
            return false;
        }
        begin_s = ride->time_s[i];
        lap = ride->lap[i];
    }
    if (stretches->count == 0) {
        return problem_set(problem, "the lap number of this ride never changes: no lap can be told "
                                    "from another");
    }
    return begin_s >= end_s || add(stretches, begin_s, end_s, lap, problem);
}

static bool by_times(const struct ride *ride, const struct ride_course *course,
                     struct ride_stretches *stretches, struct problem *problem)
{
    double last_s = ride->time_s[ride->count - 1];
    double before_s = 0.0;
    if (course->time_count < 2 || course->time_count % 2 != 0) {
        return problem_set(problem, "give the begin and the end of each leg: %zu times are there",
                           course->time_count);
    }
    for (size_t i = 0; i < course->time_count; i += 2) {
        double begin_s = course->time_s[i], end_s = course->time_s[i + 1];
        if (!(begin_s >= before_s && end_s > begin_s && end_s <= last_s)) {
            return problem_set(problem,
                               "leg %zu is from %.1f to %.1f s: legs come one after the other, "
                               "within the %.1f s of the ride",
                               i / 2 + 1, begin_s, end_s, last_s);
        }
        if (!add(stretches, begin_s, end_s, (int)(i / 2) + 1, problem)) {
            return false;
        }
        before_s = end_s;
    }
    return true;
}

static bool by_length(const struct ride *ride, const struct ride_course *course,
                      struct ride_stretches *stretches, struct problem *problem)
{
    if (ride->distance_from == RIDE_SOURCE_SATELLITES) { /* a distance it has (ride_cut) */
        return problem_set(problem, "a track's length can only be laid along the distance of a "
                                    "wheel, and this ride has none");
    }
    if (!(course->length_m >= RIDE_LEG_LEAST_M)) {
        return problem_set(problem, "a track of %.1f m is too short: at least %.0f m",
                           course->length_m, RIDE_LEG_LEAST_M);
    }
    double end_s = end_of(ride, course);
    size_t index = ride_index_at(ride, course->from_s);
    double from_m = ride_value_at(ride, ride->distance_m, course->from_s);
    while (isnan(from_m) && index < ride->count) { /* else from where it is known first */
        from_m = ride->distance_m[index];
        index += isnan(from_m) ? 1 : 0;
    }
    double begin_s = isnan(from_m) ? NAN : ride_moment_at(ride, index, from_m);
    for (int lap = 1; !isnan(begin_s); lap++) {
        double border_s = ride_moment_at(ride, index, from_m + lap * course->length_m);
        if (isnan(border_s) || border_s > end_s) {
            break;
        }
        if (!add(stretches, begin_s, border_s, lap, problem)) {
            return false;
        }
        begin_s = border_s;
        index = ride_index_at(ride, border_s);
    }
    return stretches->count > 0 ||
           problem_set(problem, "this ride is shorter than one lap of %.1f m", course->length_m);
}

/* The ride as one line sees it. */
struct crossing_watch {
    double along_m, across_m; /* of the place before */
    double last_s;            /* crossed last, either way; < 0: never */
};

/* Crosses a line between the samples before and at: the share of the way; < 0: it does not. */
static double crosses(const struct ride *ride, size_t before, size_t at,
                      const struct ride_line *line, bool either_way, struct crossing_watch *watch)
{
    double metres_a_degree = ride_metres_between(0.0, 0.0, 1.0, 0.0);
    double north_m = (ride->latitude_deg[at] - line->latitude_deg) * metres_a_degree;
    double east_deg = remainder(ride->longitude_deg[at] - line->longitude_deg, 360.0);
    double east_m = east_deg * metres_a_degree * cos(line->latitude_deg * RADIANS_PER_DEGREE);
    double ahead_north = cos(line->heading_deg * RADIANS_PER_DEGREE);
    double ahead_east = sin(line->heading_deg * RADIANS_PER_DEGREE);
    double along_m = north_m * ahead_north + east_m * ahead_east;
    double across_m = east_m * ahead_north - north_m * ahead_east;
    double step_along_m = along_m - watch->along_m;
    double step_across_m = across_m - watch->across_m;
    double from_m = watch->along_m;
    double from_across_m = watch->across_m;
    watch->along_m = along_m;
    watch->across_m = across_m;
    if (before == SIZE_MAX || ride->time_s[at] - ride->time_s[before] > RIDE_GAP_S) {
        return -1.0;
    }
    bool over = from_m < 0.0 && along_m >= 0.0;
    bool back = from_m >= 0.0 && along_m < 0.0;
    if (!over && !(back && either_way)) {
        return -1.0;
    }
    double share = -from_m / step_along_m;
    double steep = fabs(step_along_m) / hypot(step_along_m, step_across_m);
    bool within = fabs(from_across_m + share * step_across_m) <= RIDE_LINE_REACH_M;
    return within && steep >= cos(RIDE_LINE_ANGLE_DEG * RADIANS_PER_DEGREE) ? share : -1.0;
}

static bool by_line(const struct ride *ride, const struct ride_course *course,
                    struct ride_stretches *stretches, struct problem *problem)
{
    if (ride->latitude_deg == NULL || ride->longitude_deg == NULL) {
        return problem_set(problem, "this ride has no places: no line can be crossed. Give lap "
                                    "marks, times or the track's length");
    }
    int lines = course->out_and_back ? 2 : 1;
    struct crossing_watch watch[2] = {{0.0, 0.0, -1.0}, {0.0, 0.0, -1.0}};
    double end_s = end_of(ride, course);
    double last_s = -1.0;
    int last_line = -1, crossings = 0;
    size_t before = SIZE_MAX;
    for (size_t i = 0; i < ride->count && ride->time_s[i] <= end_s; i++) {
        if (isnan(ride->latitude_deg[i]) || isnan(ride->longitude_deg[i])) {
            continue;
        }
        for (int l = 0; l < lines; l++) {
            double share =
                crosses(ride, before, i, &course->line[l], course->out_and_back, &watch[l]);
            if (share < 0.0) {
                continue;
            }
            double at_s = ride->time_s[before] + share * (ride->time_s[i] - ride->time_s[before]);
            bool again = watch[l].last_s >= 0.0 && at_s - watch[l].last_s < RIDE_LINE_AGAIN_S;
            watch[l].last_s = at_s;
            if (again || at_s < course->from_s) {
                continue;
            }
            crossings++;
            bool is_leg = last_line >= 0 && (!course->out_and_back || l != last_line);
            if (is_leg && !add(stretches, last_s, at_s, (int)stretches->count + 1, problem)) {
                return false;
            }
            last_line = l;
            last_s = at_s;
        }
        before = i;
    }
    return stretches->count > 0 ||
           problem_set(problem,
                       "the ride crosses the %s %d times in the direction given: no leg lies "
                       "between. Look at latitude, longitude and heading",
                       lines == 2 ? "two lines" : "line", crossings);
}

bool ride_borders_find(const struct ride *ride, const struct ride_course *course,
                       struct ride_stretches *stretches, struct problem *problem)
{
    *stretches = (struct ride_stretches){NULL, 0};
    if (ride->count < 2) {
        return problem_set(problem, "this ride has no two samples");
    }
    switch (course->borders) {
    case RIDE_BORDERS_LAPS:
        return by_laps(ride, course, stretches, problem);
    case RIDE_BORDERS_TIMES:
        return by_times(ride, course, stretches, problem);
    case RIDE_BORDERS_LINE:
        return by_line(ride, course, stretches, problem);
    case RIDE_BORDERS_LENGTH:
        break;
    }
    return by_length(ride, course, stretches, problem);
}
