/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "ride_intake.h"

#include "measure/rules.h"

#include <inttypes.h>
#include <math.h>

static bool clock_jumped(const struct ride_intake *intake, double time_s, uint64_t line,
                         struct problem *problem)
{
    double step_s = time_s - intake->last_time_s;
    if (step_s < -RIDE_CLOCK_BACK_S) {
        problem_set(problem,
                    "line %" PRIu64 ": the time goes back by %.0f s: a clock was set on the way, "
                    "or two rides are in one file; cut the file there",
                    line, -step_s);
        return true;
    }
    if (step_s > RIDE_CLOCK_AHEAD_S) {
        problem_set(problem,
                    "line %" PRIu64 ": the time leaps by %.1f h: a clock was set on the way, or "
                    "two rides are in one file; cut the file there",
                    line, step_s / 3600.0);
        return true;
    }
    return false;
}

bool ride_intake_add(struct ride_intake *intake, const double value[RIDE_CHANNELS], uint64_t line,
                     struct problem *problem)
{
    if (intake->offered > 0 && clock_jumped(intake, value[RIDE_TIME], line, problem)) {
        return false;
    }
    intake->offered++;
    for (int i = 0; i < RIDE_CHANNELS; i++) {
        const struct ride_channel_kind *kind = &ride_channel_kinds[i];
        intake->known[i] += isnan(value[i]) ? 0 : 1;
        intake->possible[i] += value[i] >= kind->least && value[i] <= kind->most ? 1 : 0;
    }
    switch (ride_add(intake->ride, value)) {
    case RIDE_ADDED:
        intake->last_time_s = value[RIDE_TIME];
        return true;
    case RIDE_ADDED_NOT_LATER:
        return true;
    case RIDE_ADDED_TOO_MANY:
        return problem_set(problem,
                           "line %" PRIu64 ": more than %d samples: no day's ride is so long; cut "
                           "the file",
                           line, RIDE_SAMPLES_MOST);
    case RIDE_ADDED_NO_MEMORY:
    default:
        return problem_set(problem, "line %" PRIu64 ": no memory for so many samples", line);
    }
}

static bool check_channels(struct ride_intake *intake, struct problem *problem)
{
    for (int i = RIDE_TIME + 1; i < RIDE_CHANNELS; i++) {
        const struct ride_channel_kind *kind = &ride_channel_kinds[i];
        if (intake->known[i] > 0 && intake->possible[i] == 0) {
            return problem_set(problem,
                               "no value of '%s' can be %s in %s (%g to %g): look at its unit in "
                               "the heading",
                               intake->label[i][0] != '\0' ? intake->label[i] : kind->name,
                               kind->name, kind->unit[0] != '\0' ? kind->unit : "numbers",
                               kind->least, kind->most);
        }
        if (intake->known[i] == 0) {
            ride_drop(intake->ride, (enum ride_channel)i);
        }
    }
    return true;
}

/* Speeds that are those of another unit, told by the distance beside them or by no bicycle being so
 * fast. */
static bool check_speed_unit(const struct ride *ride, struct problem *problem)
{
    double by_speed_m = 0.0, by_distance_m = 0.0, moving_s = 0.0;
    for (size_t i = 1; i < ride->count; i++) {
        double step_s = ride->time_s[i] - ride->time_s[i - 1];
        double step_m = ride->distance_m[i] - ride->distance_m[i - 1];
        double speed = 0.5 * (ride->speed_m_s[i] + ride->speed_m_s[i - 1]);
        if (step_s <= RIDE_GAP_S && speed > 0.0 && step_m >= 0.0) {
            by_speed_m += speed * step_s;
            by_distance_m += step_m;
            moving_s += step_s;
        }
    }
    if (moving_s <= 0.0) {
        return problem_set(problem, "the bike never moves: speed and distance tell of no ride");
    }
    if (by_speed_m / moving_s > RIDE_MEAN_SPEED_MOST_M_S) {
        return problem_set(problem,
                           "the mean speed would be %.1f m/s: look at the unit of speed or "
                           "distance in the heading",
                           by_speed_m / moving_s);
    }
    double times = by_speed_m / by_distance_m;
    if (!ride->speed_made && !ride->distance_made &&
        !(times <= RIDE_UNIT_TIMES && times >= 1.0 / RIDE_UNIT_TIMES)) {
        return problem_set(problem,
                           "speed makes %.0f m of what distance calls %.0f m: one of them is in "
                           "another unit than its heading says",
                           by_speed_m, by_distance_m);
    }
    return true;
}

bool ride_intake_finish(struct ride_intake *intake, struct problem *problem)
{
    struct ride *ride = intake->ride;
    if (ride->count < 2) {
        return problem_set(problem, "no two samples with a time are in it: this is no ride");
    }
    if (!check_channels(intake, problem)) {
        return false;
    }
    if (ride->power_w == NULL) {
        return problem_set(problem, "no power is in it: drag can't be worked out without a power "
                                    "meter's values");
    }
    bool has_places = ride->latitude_deg != NULL && ride->longitude_deg != NULL;
    if (ride->speed_m_s == NULL && ride->distance_m == NULL && !has_places) {
        return problem_set(problem, "neither speed nor distance is in it: drag needs one of them");
    }
    if (!ride_finish(ride)) {
        return problem_set(problem, "no memory for this ride");
    }
    return check_speed_unit(ride, problem);
}
