/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/angle.h"
#include "readings_inside.h"

#include <math.h>
#include <stdlib.h>

/* Which line gave the heights of a table of readings? Each height is rounded to 0.01 mm, so each
 * pair bounds level and slope from both sides; the slope with the most room in all builds is taken,
 * and round numbers before others. */

static int compare_pairs(const void *a, const void *b)
{
    const struct height_pair *x = a, *y = b;
    int order = (x->range_tenth_mm > y->range_tenth_mm) - (x->range_tenth_mm < y->range_tenth_mm);
    return order != 0 ? order
                      : (x->height_hundredth_mm > y->height_hundredth_mm) -
                            (x->height_hundredth_mm < y->height_hundredth_mm);
}

static void sort_pairs(struct height_pairs *pairs)
{
    size_t kept = 0;
    qsort(pairs->pair, pairs->count, sizeof *pairs->pair, compare_pairs);
    for (size_t i = 0; i < pairs->count; i++) {
        if (kept == 0 || compare_pairs(&pairs->pair[kept - 1], &pairs->pair[i]) != 0) {
            pairs->pair[kept++] = pairs->pair[i];
        }
    }
    pairs->count = kept;
}

bool height_pairs_add(struct height_pairs *pairs, int32_t range_tenth_mm,
                      int64_t height_hundredth_mm)
{
    if (pairs->count == pairs->capacity) {
        if (pairs->count > 0) {
            sort_pairs(pairs);
        }
        if (pairs->count * 2 >= pairs->capacity) {
            size_t capacity = pairs->capacity == 0 ? 4096 : pairs->capacity * 2;
            struct height_pair *larger = realloc(pairs->pair, capacity * sizeof *larger);
            if (larger == NULL) {
                return false;
            }
            pairs->pair = larger;
            pairs->capacity = capacity;
        }
    }
    pairs->pair[pairs->count++] = (struct height_pair){range_tenth_mm, height_hundredth_mm};
    return true;
}

#define HALF_STEP_MM 0.005
/* Of the half step: closer to its edge a number could be rounded the other way elsewhere. */
#define ROOM_LEAST_MM 1e-7

/* Between which levels every height of a build comes out; the room between them. */
static double room_of(const struct height_pairs *pairs, double slope, double *level_mm)
{
    double least = -(double)INFINITY, most = (double)INFINITY;
    for (size_t i = 0; i < pairs->count; i++) {
        double rest_mm = (double)pairs->pair[i].height_hundredth_mm / 100.0 -
                         slope * (double)pairs->pair[i].range_tenth_mm / 10.0;
        least = fmax(least, rest_mm - HALF_STEP_MM);
        most = fmin(most, rest_mm + HALF_STEP_MM);
    }
    *level_mm = (least + most) / 2.0;
    return most - least;
}

static double room(const struct readings_file *file, int channel, double slope)
{
    double least = (double)INFINITY, level_mm;
    for (int b = 0; b < file->builds; b++) {
        if (file->build[b].pairs[channel].count > 0) {
            least = fmin(least, room_of(&file->build[b].pairs[channel], slope, &level_mm));
        }
    }
    return least;
}

#define SLOPE_MOST 1.5
#define HALVINGS 90 /* golden section: 0.618^90 of the span is left */

/* The room is concave in the slope. */
static double widest_slope(const struct readings_file *file, int channel)
{
    static const double golden = 0.61803398874989484820;
    double from = -SLOPE_MOST, to = SLOPE_MOST;
    double a = to - golden * (to - from), b = from + golden * (to - from);
    double room_a = room(file, channel, a), room_b = room(file, channel, b);
    for (int i = 0; i < HALVINGS; i++) {
        if (room_a < room_b) {
            from = a;
            a = b;
            room_a = room_b;
            b = from + golden * (to - from);
            room_b = room(file, channel, b);
        } else {
            to = b;
            b = a;
            room_b = room_a;
            a = to - golden * (to - from);
            room_a = room(file, channel, a);
        }
    }
    return (from + to) / 2.0;
}

static double slope_of(const struct height_line *line)
{
    return line->direction * line->gain * cos(line->tilt_deg * RADIANS_PER_DEGREE);
}

static double rounded(double value, int decimals)
{
    double unit = pow(10.0, decimals);
    return round(value * unit) / unit;
}

/* With as few decimals as do. */
static bool set_tilt_or_gain(const struct readings_file *file, int channel, double slope,
                             struct height_line *line)
{
    line->direction = slope < 0.0 ? -1 : 1;
    double size = fabs(slope);
    for (int decimals = 0; decimals <= 12; decimals++) {
        line->gain = size > 1.0 ? rounded(size, decimals) : 1.0;
        line->tilt_deg =
            size > 1.0 ? 0.0 : rounded(acos(fmin(size, 1.0)) / RADIANS_PER_DEGREE, decimals);
        if (room(file, channel, slope_of(line)) > ROOM_LEAST_MM) {
            return true;
        }
    }
    return false;
}

bool height_line_find(const struct readings_file *file, int channel, struct height_line *line)
{
    *line = (struct height_line){.direction = 1, .gain = 1.0};
    if (room(file, channel, 1.0) <= ROOM_LEAST_MM) {
        line->direction = -1;
        if (room(file, channel, -1.0) <= ROOM_LEAST_MM &&
            !set_tilt_or_gain(file, channel, widest_slope(file, channel), line)) {
            return false;
        }
    }
    for (int b = 0; b < file->builds; b++) {
        const struct height_pairs *pairs = &file->build[b].pairs[channel];
        double level_mm = 0.0;
        if (pairs->count == 0) {
            continue;
        }
        double half_mm = room_of(pairs, slope_of(line), &level_mm) / 2.0;
        line->has_level[b] = true;
        line->level_mm[b] = level_mm;
        for (int decimals = 1; decimals <= 6; decimals++) {
            if (fabs(rounded(level_mm, decimals) - level_mm) < half_mm - ROOM_LEAST_MM) {
                line->level_mm[b] = rounded(level_mm, decimals);
                break;
            }
        }
    }
    return true;
}
