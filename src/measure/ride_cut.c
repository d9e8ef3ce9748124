/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/ride_cut.h"

#include "base/angle.h"
#include "measure/rules.h"
#include "ride_borders.h"
#include "ride_walk.h"

#include <math.h>
#include <stdlib.h>

static void leave_out(struct ride_leg *leg, enum ride_left_out reason, double at_s)
{
    leg->left_out = reason;
    leg->left_out_at_s = at_s;
}

/* Mean speed of the 3 s about a moment, as much of them as the ride has. */
static double speed_about(const struct ride *ride, double at_s)
{
    double from_s = fmax(at_s - DRAG_BORDER_S / 2.0, 0.0);
    double to_s = fmin(at_s + DRAG_BORDER_S / 2.0, ride->time_s[ride->count - 1]);
    return ride_integral(ride, ride->speed_m_s, from_s, to_s) / (to_s - from_s);
}

/* What is cut off at either end of a leg. */
static double turn_room(const struct ride_course *course)
{
    double room_m = course->turn_room_m == 0.0 ? RIDE_TURN_ROOM_M : course->turn_room_m;
    return course->out_and_back && room_m > 0.0 ? room_m : 0.0;
}

/* Begin and end so far inside as turns take. False: nothing is left between them. */
static bool move_inside(const struct ride *ride, const struct ride_course *course,
                        struct ride_leg *leg)
{
    double room_m = turn_room(course);
    if (room_m == 0.0) {
        return true;
    }
    if (!(leg->end_m - leg->begin_m > 2.0 * room_m)) {
        return false;
    }
    double begin_m = leg->begin_m + room_m, end_m = leg->end_m - room_m;
    double begin_s = ride_moment_at(ride, ride_index_at(ride, leg->begin_s), begin_m);
    double end_s = ride_moment_at(ride, ride_index_at(ride, leg->begin_s), end_m);
    leg->begin_s = begin_s;
    leg->end_s = end_s;
    leg->begin_m = begin_m;
    leg->end_m = end_m;
    return true;
}

static void find_heading(const struct ride *ride, struct ride_leg *leg)
{
    if (ride->latitude_deg == NULL || ride->longitude_deg == NULL) {
        return;
    }
    double from = ride_value_at(ride, ride->latitude_deg, leg->begin_s);
    double to = ride_value_at(ride, ride->latitude_deg, leg->end_s);
    double east = ride_value_at(ride, ride->longitude_deg, leg->end_s) -
                  ride_value_at(ride, ride->longitude_deg, leg->begin_s);
    east = remainder(east, 360.0) * cos(0.5 * (from + to) * RADIANS_PER_DEGREE);
    if (isfinite(east) && hypot(east, to - from) > 0.0) { /* with no north no east is known */
        leg->has_heading = true;
        leg->heading_deg = fmod(atan2(east, to - from) / RADIANS_PER_DEGREE + 360.0, 360.0);
    }
}

static void place_leg(const struct ride *ride, const struct ride_course *course,
                      const struct ride_stretch *stretch, struct ride_leg *leg)
{
    *leg = (struct ride_leg){
        .begin_s = stretch->begin_s, .end_s = stretch->end_s, .lap = stretch->lap, .pair = -1};
    leg->begin_m = ride_value_at(ride, ride->distance_m, leg->begin_s);
    leg->end_m = ride_value_at(ride, ride->distance_m, leg->end_s);
    if (isnan(leg->begin_m) || isnan(leg->end_m)) {
        leave_out(leg, RIDE_LEFT_GAP, isnan(leg->begin_m) ? leg->begin_s : leg->end_s);
    } else if (!move_inside(ride, course, leg) || leg->end_m - leg->begin_m < RIDE_LEG_LEAST_M) {
        leave_out(leg, RIDE_LEFT_SHORT, leg->begin_s);
    }
    leg->length_m = leg->end_m - leg->begin_m;
    leg->first = ride_index_at(ride, leg->begin_s);
    leg->first += ride->time_s[leg->first] < leg->begin_s ? 1 : 0;
    leg->last = ride_index_at(ride, leg->end_s);
    leg->begin_speed_m_s = speed_about(ride, leg->begin_s);
    leg->end_speed_m_s = speed_about(ride, leg->end_s);
    find_heading(ride, leg);
}

static bool is_known(const struct ride *ride, size_t i)
{
    return !isnan(ride->power_w[i]) && !isnan(ride->speed_m_s[i]);
}

/* Where the leg goes on without a sample for too long; NAN: nowhere. */
static double gap_in(const struct ride *ride, const struct ride_leg *leg)
{
    size_t i = ride_index_at(ride, leg->begin_s);
    while (i > 0 && !is_known(ride, i) && leg->begin_s - ride->time_s[i] <= RIDE_GAP_S) {
        i--;
    }
    double known_s = is_known(ride, i) ? ride->time_s[i] : -INFINITY;
    for (i++; i < ride->count; i++) {
        if (!is_known(ride, i)) {
            continue;
        }
        if (ride->time_s[i] - known_s > RIDE_GAP_S) {
            return fmax(known_s, leg->begin_s);
        }
        known_s = ride->time_s[i];
        if (known_s >= leg->end_s) {
            return NAN;
        }
    }
    return fmax(known_s, leg->begin_s);
}

/* Where no power was given for too long; NAN: nowhere. A sample holds until the next. */
static double no_power_in(const struct ride *ride, const struct ride_leg *leg)
{
    double since_s = NAN;
    for (size_t i = leg->first; i <= leg->last; i++) {
        if (isnan(since_s) && ride->power_w[i] == 0.0) {
            since_s = ride->time_s[i];
        }
        if (!isnan(since_s)) {
            bool goes_on = ride->power_w[i] == 0.0 || isnan(ride->power_w[i]);
            double until_s = i < leg->last && goes_on ? ride->time_s[i + 1] : ride->time_s[i];
            if (until_s - since_s > RIDE_NO_POWER_S) {
                return since_s;
            }
            since_s = goes_on ? since_s : NAN;
        }
    }
    return NAN;
}

/* Where the bike got slower than without power it would; NAN: nowhere. */
static double braked_in(const struct ride *ride, const struct ride_leg *leg)
{
    size_t to = leg->first;
    for (size_t from = leg->first; from <= leg->last; from++) {
        while (to < leg->last && ride->time_s[to] < ride->time_s[from] + RIDE_BRAKE_S) {
            to++;
        }
        if (ride->time_s[to] < ride->time_s[from] + RIDE_BRAKE_S) {
            return NAN; /* the leg ends */
        }
        double lasts_s = ride->time_s[to] - ride->time_s[from];
        double slower = (ride->speed_m_s[from] - ride->speed_m_s[to]) / lasts_s;
        double power = ride_integral(ride, ride->power_w, ride->time_s[from], ride->time_s[to]);
        if (slower > RIDE_BRAKE_M_S2 && power / lasts_s < RIDE_BRAKE_POWER_W) {
            return ride->time_s[from];
        }
    }
    return NAN;
}

/* Where distance and speed, both recorded, don't go together; NAN: nowhere. */
static double disagrees_in(const struct ride *ride, const struct ride_leg *leg)
{
    if (ride->speed_made || ride->distance_made) {
        return NAN;
    }
    double lasts_s = leg->end_s - leg->begin_s;
    int blocks =
        lasts_s >= 2.0 * RIDE_DISTANCE_BLOCK_S ? (int)(lasts_s / RIDE_DISTANCE_BLOCK_S) : 1;
    for (int i = 0; i < blocks; i++) {
        double from_s = leg->begin_s + lasts_s * i / blocks;
        double to_s = leg->begin_s + lasts_s * (i + 1) / blocks;
        double metres = ride_value_at(ride, ride->distance_m, to_s) -
                        ride_value_at(ride, ride->distance_m, from_s);
        double by_speed = ride_integral(ride, ride->speed_m_s, from_s, to_s);
        if (!(fabs(by_speed - metres) <= RIDE_DISTANCE_SHARE * fabs(metres))) {
            return from_s;
        }
    }
    return NAN;
}

/* The length of this course: that which was given, or else one that several legs share within 5 %,
 * many of them and long ones before few and short ones: stretches between marks are turns and the
 * ways to and from the course as well. 0: no two share one. */
static double common_length(const struct ride_cut *cut, const struct ride_course *course)
{
    double common_m = 0.0;
    double most = 0.0;
    if (course->borders == RIDE_BORDERS_LAPS && course->length_m > 0.0) {
        return course->length_m - 2.0 * turn_room(course);
    }
    for (size_t i = 0; i < cut->count; i++) {
        double length_m = cut->leg[i].length_m;
        double sum_m = 0.0;
        double alike = 0.0;
        for (size_t j = 0; cut->leg[i].left_out == RIDE_KEPT && j < cut->count; j++) {
            double other_m = cut->leg[j].length_m;
            if (cut->leg[j].left_out == RIDE_KEPT &&
                fabs(other_m - length_m) <= RIDE_LENGTH_SHARE * length_m) {
                sum_m += other_m;
                alike += 1.0;
            }
        }
        if (alike > 1.0 && alike * sum_m > most) {
            most = alike * sum_m;
            common_m = sum_m / alike;
        }
    }
    return common_m;
}

static void look_at(const struct ride *ride, struct ride_leg *leg)
{
    static const struct {
        enum ride_left_out reason;
        double (*find)(const struct ride *ride, const struct ride_leg *leg);
    } looks[] = {
        {RIDE_LEFT_NO_POWER, no_power_in},
        {RIDE_LEFT_BRAKED, braked_in},
        {RIDE_LEFT_DISTANCE, disagrees_in},
    };
    for (size_t i = 0; i < sizeof looks / sizeof looks[0] && leg->left_out == RIDE_KEPT; i++) {
        double at_s = looks[i].find(ride, leg);
        if (!isnan(at_s)) {
            leave_out(leg, looks[i].reason, at_s);
        }
    }
}

static bool are_opposite(const struct ride_leg *one, const struct ride_leg *other)
{
    double turned = remainder(other->heading_deg - one->heading_deg, 360.0);
    return !one->has_heading || !other->has_heading || fabs(turned) >= RIDE_OPPOSITE_DEG;
}

static void find_pairs(struct ride_cut *cut)
{
    for (size_t i = 1; i < cut->count; i++) {
        struct ride_leg *before = &cut->leg[i - 1], *leg = &cut->leg[i];
        if (before->pair < 0 && before->left_out == RIDE_KEPT && leg->left_out == RIDE_KEPT &&
            are_opposite(before, leg)) {
            before->pair = leg->pair = cut->pairs++;
        }
    }
}

void ride_cut_count(struct ride_cut *cut, bool out_and_back)
{
    cut->kept = 0;
    cut->pairs = 0;
    for (int i = 0; i < RIDE_LEFT_REASONS; i++) {
        cut->left_out[i] = 0;
    }
    for (size_t i = 0; i < cut->count; i++) {
        cut->leg[i].pair = -1;
        cut->kept += cut->leg[i].left_out == RIDE_KEPT ? 1 : 0;
        cut->left_out[cut->leg[i].left_out]++;
    }
    if (out_and_back) {
        find_pairs(cut);
    }
}

static bool is_of_course(const struct ride_leg *leg, double common_m)
{
    return fabs(leg->length_m - common_m) <= RIDE_LENGTH_SHARE * common_m;
}

/* Takes away what lies between lap marks and is no leg: turns, and the ways to and from the course.
 * One leg at least is of it. */
static void drop_beside(struct ride_cut *cut, double common_m)
{
    size_t first = 0, end = cut->count, kept = 0;
    while (!is_of_course(&cut->leg[first], common_m)) {
        first++;
    }
    while (!is_of_course(&cut->leg[end - 1], common_m)) {
        end--;
    }
    for (size_t i = 0; i < cut->count; i++) {
        const struct ride_leg *leg = &cut->leg[i];
        bool is_other = leg->left_out == RIDE_LEFT_SHORT || leg->left_out == RIDE_LEFT_OTHER_LENGTH;
        bool is_turn = leg->length_m < RIDE_TURN_SHARE * common_m;
        if (i >= end || i < first || (is_other && is_turn)) {
            cut->beside++;
        } else {
            cut->leg[kept++] = *leg;
        }
    }
    cut->count = kept;
}

bool ride_cut(const struct ride *ride, const struct ride_course *course, struct ride_cut *cut,
              struct problem *problem)
{
    struct ride_stretches stretches;
    *cut = (struct ride_cut){.leg = NULL};
    if (ride->power_w == NULL || ride->speed_m_s == NULL || ride->distance_m == NULL) {
        return problem_set(problem, "drag needs power, and speed or distance: this ride lacks %s",
                           ride->power_w == NULL ? "power" : "speed and distance");
    }
    if (!ride_borders_find(ride, course, &stretches, problem)) {
        free(stretches.stretch);
        return false;
    }
    cut->leg = calloc(stretches.count, sizeof *cut->leg);
    if (cut->leg == NULL) {
        free(stretches.stretch);
        return problem_set(problem, "not enough memory for the legs of this ride");
    }
    cut->count = stretches.count;
    for (size_t i = 0; i < cut->count; i++) {
        struct ride_leg *leg = &cut->leg[i];
        place_leg(ride, course, &stretches.stretch[i], leg);
        double gap_s = leg->left_out == RIDE_KEPT ? gap_in(ride, leg) : NAN;
        if (!isnan(gap_s)) {
            leave_out(leg, RIDE_LEFT_GAP, gap_s);
        }
    }
    free(stretches.stretch);
    double common_m = common_length(cut, course);
    for (size_t i = 0; i < cut->count; i++) {
        struct ride_leg *leg = &cut->leg[i];
        bool is_alone = cut->count == 1 && course->length_m == 0.0;
        if (leg->left_out == RIDE_KEPT && !is_alone && !is_of_course(leg, common_m)) {
            leave_out(leg, RIDE_LEFT_OTHER_LENGTH, leg->begin_s);
        }
        look_at(ride, leg);
    }
    bool has_course = false;
    for (size_t i = 0; i < cut->count; i++) {
        has_course = has_course || is_of_course(&cut->leg[i], common_m);
    }
    if (course->borders == RIDE_BORDERS_LAPS && common_m > 0.0 && has_course) {
        drop_beside(cut, common_m);
    }
    ride_cut_count(cut, course->out_and_back);
    return true;
}

void ride_cut_free(struct ride_cut *cut)
{
    free(cut->leg);
    *cut = (struct ride_cut){.leg = NULL};
}

const char *ride_left_out_text(enum ride_left_out reason)
{
    static const char *const texts[RIDE_LEFT_REASONS] = {
        [RIDE_KEPT] = "kept",
        [RIDE_LEFT_SHORT] = "too short",
        [RIDE_LEFT_GAP] = "no power or no speed for over 3 s",
        [RIDE_LEFT_OTHER_LENGTH] = "not as long as the others",
        [RIDE_LEFT_NO_POWER] = "power was 0 for over 3 s",
        [RIDE_LEFT_BRAKED] = "the brakes were used",
        [RIDE_LEFT_DISTANCE] = "speed and distance differ by over 5 %",
    };
    return texts[reason];
}
