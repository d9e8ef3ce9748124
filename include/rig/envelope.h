/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_ENVELOPE_H
#define HOLDLINE_RIG_ENVELOPE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* The straight line under arrivals. A line of the rig is made at x (its own time or its place in
 * the stream) and arrives at y on the host's clock, later by a delay that only ever adds. So the
 * line that lies below all points and as close to them as it can be (the least sum of distances)
 * runs through the least delayed ones: the edge of the points' lower convex hull over their mean x.
 * Moon, Skelly and Towsley (1999), Estimation and removal of clock skew from network delay
 * measurements, IEEE INFOCOM, section IV. Over a sliding window; memory of fixed size. */
#define ENVELOPE_POINTS 1024
/* Points that make a line of their own; with fewer it has the slope that was expected. */
#define ENVELOPE_POINTS_MIN 16

struct envelope_point {
    double x, y; /* from the first ones */
};

struct envelope {
    int64_t bucket; /* of x: of all points in one only the least delayed is kept */
    double expected_slope;
    size_t trusted_points; /* the expected slope holds until there are so many */
    bool started;
    int64_t first_x, first_y;
    size_t first, count; /* of the ring */
    size_t unsettled;    /* points since the line was worked out */
    double line_y, slope;
    double error; /* of the line at its end, in y's unit: what the least delays in its parts say */
    struct envelope_point point[ENVELOPE_POINTS];
    uint16_t hull[ENVELOPE_POINTS]; /* while it is worked out */
};

/* bucket: over 0. expected_slope: of y over x, believed until trusted_points are there. */
void envelope_start(struct envelope *envelope, int64_t bucket, double expected_slope,
                    size_t trusted_points);

/* x never below the one before it. A point under the line moves the line at once. */
void envelope_add(struct envelope *envelope, int64_t x, int64_t y);

/* The line at x, and how far y at x lies above it; 0 before the first point. */
double envelope_at(const struct envelope *envelope, int64_t x);
double envelope_above(const struct envelope *envelope, int64_t x, int64_t y);
/* Whether the line's slope is that of the points. */
bool envelope_is_settled(const struct envelope *envelope);
/* Whether there is a line, of that slope or the expected one, whose error is known. */
bool envelope_is_known(const struct envelope *envelope);

/* The least delay of stretches, one after the other: when even the least delayed line of a stretch
 * comes far too late, something else than delay has happened. */
struct stretch {
    size_t lines;
    int64_t since_us;
    double least_us;
};

/* Adds a line that came above_us later than expected. True at the end of a stretch, which is over
 * after lines_min lines and length_min_us; *least_us: the least of it. */
bool stretch_add(struct stretch *stretch, int64_t arrival_us, double above_us, size_t lines_min,
                 int64_t length_min_us, double *least_us);

#endif
