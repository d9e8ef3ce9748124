/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "rig/envelope.h"

#include <math.h>
#include <string.h>

/* How often the line is worked out anew where no point demands it. */
#define SETTLE_POINTS 16
/* A point this far under the line demands it (us): less is no harm until the next time. */
#define UNDER_LINE 10.0
/* The window's parts whose least delays tell how well the line is known. */
#define PARTS 16
/* The end of a line through the least delayed points of both halves: the halves' errors weigh 3/2
 * and 1/2 there, and each is twice a whole window's. sqrt(9/4 + 1/4) * 2 = 3.2. */
#define END_FACTOR 3.2

void envelope_start(struct envelope *envelope, int64_t bucket, double expected_slope,
                    size_t trusted_points)
{
    memset(envelope, 0, offsetof(struct envelope, point));
    envelope->bucket = bucket > 0 ? bucket : 1;
    envelope->expected_slope = expected_slope;
    envelope->slope = expected_slope;
    envelope->trusted_points =
        trusted_points > ENVELOPE_POINTS_MIN ? trusted_points : ENVELOPE_POINTS_MIN;
}

static struct envelope_point *point_at(struct envelope *envelope, size_t index)
{
    return &envelope->point[(envelope->first + index) % ENVELOPE_POINTS];
}

/* Twice the area of the triangle of three points; positive when the middle one is under the line
 * from the first to the last. */
static double turn(const struct envelope_point *a, const struct envelope_point *b,
                   const struct envelope_point *c)
{
    return (b->x - a->x) * (c->y - a->y) - (b->y - a->y) * (c->x - a->x);
}

/* The lower hull, leftmost first (Andrew 1979, the monotone chain). */
static size_t find_hull(struct envelope *envelope)
{
    size_t size = 0;
    for (size_t i = 0; i < envelope->count; i++) {
        const struct envelope_point *point = point_at(envelope, i);
        while (size >= 2 && turn(point_at(envelope, envelope->hull[size - 2]),
                                 point_at(envelope, envelope->hull[size - 1]), point) <= 0) {
            size--;
        }
        envelope->hull[size++] = (uint16_t)i;
    }
    return size;
}

static double mean_x(struct envelope *envelope)
{
    double sum = 0;
    for (size_t i = 0; i < envelope->count; i++) {
        sum += point_at(envelope, i)->x;
    }
    return sum / (double)envelope->count;
}

/* How well the line is known at its end: the least delay of a whole window's points is a PARTS-th
 * of the least ones in its parts, two of which are nothing since the line touches them. */
static double line_error(struct envelope *envelope)
{
    double sum = 0;
    for (size_t part = 0; part < PARTS; part++) {
        double least = INFINITY;
        size_t end = envelope->count * (part + 1) / PARTS;
        for (size_t i = envelope->count * part / PARTS; i < end; i++) {
            const struct envelope_point *point = point_at(envelope, i);
            least = fmin(least, point->y - envelope->line_y - envelope->slope * point->x);
        }
        sum += fmax(least, 0);
    }
    return END_FACTOR * sum / (PARTS - 2) / PARTS;
}

static void settle(struct envelope *envelope)
{
    envelope->unsettled = 0;
    if (envelope->count >= envelope->trusted_points) {
        size_t size = find_hull(envelope);
        double middle = mean_x(envelope);
        size_t right = 1;
        while (right + 1 < size && point_at(envelope, envelope->hull[right])->x < middle) {
            right++;
        }
        const struct envelope_point *a = point_at(envelope, envelope->hull[right - 1]);
        const struct envelope_point *b = point_at(envelope, envelope->hull[right]);
        envelope->slope = (b->y - a->y) / (b->x - a->x);
        envelope->line_y = a->y - envelope->slope * a->x;
        envelope->error = line_error(envelope);
        return;
    }
    envelope->slope = envelope->expected_slope;
    envelope->line_y = INFINITY;
    for (size_t i = 0; i < envelope->count; i++) {
        const struct envelope_point *point = point_at(envelope, i);
        envelope->line_y = fmin(envelope->line_y, point->y - envelope->slope * point->x);
    }
    envelope->error = envelope->count >= PARTS ? line_error(envelope) : 0;
}

double envelope_at(const struct envelope *envelope, int64_t x)
{
    return envelope->started ? (double)envelope->first_y + envelope->line_y +
                                   envelope->slope * (double)(x - envelope->first_x)
                             : 0;
}

double envelope_above(const struct envelope *envelope, int64_t x, int64_t y)
{
    return envelope->started ? (double)(y - envelope->first_y) - envelope->line_y -
                                   envelope->slope * (double)(x - envelope->first_x)
                             : 0;
}

bool envelope_is_known(const struct envelope *envelope)
{
    return envelope->count >= PARTS &&
           (envelope_is_settled(envelope) || envelope->expected_slope > 0);
}

bool envelope_is_settled(const struct envelope *envelope)
{
    return envelope->count >= envelope->trusted_points;
}

void envelope_add(struct envelope *envelope, int64_t x, int64_t y)
{
    if (!envelope->started) {
        envelope->started = true;
        envelope->first_x = x;
        envelope->first_y = y;
    }
    struct envelope_point point = {(double)(x - envelope->first_x),
                                   (double)(y - envelope->first_y)};
    double above = point.y - envelope->line_y - envelope->slope * point.x;
    double window = (double)envelope->bucket * ENVELOPE_POINTS;
    while (envelope->count > 0 &&
           (envelope->count == ENVELOPE_POINTS || point.x - point_at(envelope, 0)->x > window)) {
        envelope->first = (envelope->first + 1) % ENVELOPE_POINTS;
        envelope->count--;
    }
    struct envelope_point *last =
        envelope->count > 0 ? point_at(envelope, envelope->count - 1) : NULL;
    if (last != NULL &&
        floor(point.x / (double)envelope->bucket) <= floor(last->x / (double)envelope->bucket)) {
        if (point.y - envelope->slope * point.x >= last->y - envelope->slope * last->x) {
            return;
        }
        *last = point;
    } else {
        envelope->count++;
        *point_at(envelope, envelope->count - 1) = point;
        envelope->unsettled++;
    }
    if (envelope->count <= 2 * ENVELOPE_POINTS_MIN || envelope->unsettled >= SETTLE_POINTS ||
        above < -UNDER_LINE) {
        settle(envelope);
    }
}

bool stretch_add(struct stretch *stretch, int64_t arrival_us, double above_us, size_t lines_min,
                 int64_t length_min_us, double *least_us)
{
    if (stretch->lines == 0) {
        stretch->since_us = arrival_us;
        stretch->least_us = above_us;
    }
    stretch->lines++;
    stretch->least_us = fmin(stretch->least_us, above_us);
    if (stretch->lines < lines_min || arrival_us - stretch->since_us < length_min_us) {
        return false;
    }
    *least_us = stretch->least_us;
    stretch->lines = 0;
    return true;
}
