/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BIKE_SIDE_VIEW_H
#define HOLDLINE_BIKE_SIDE_VIEW_H

#include "bike/carrier.h"

/* A bike from its right side as strokes and marked points in millimetres, to be drawn to scale by
 * whoever draws. The same origin as everywhere: bottom bracket, x forward, y up. */
enum side_part {
    SIDE_FRAME, /* frame lines for orientation: drawn, not measured */
    SIDE_SPACERS,
    SIDE_STEM, /* its clamp on the steerer and its arm */
    SIDE_PADS, /* pads and what carries them */
    SIDE_EXTENSION,
    SIDE_SADDLE,
    SIDE_CRANK,
    SIDE_BEAM, /* a sensor's beam, 200 mm of it */
    SIDE_PARTS,
};
const char *side_part_key(enum side_part part); /* 'frame' */

struct side_stroke {
    enum side_part part;
    struct point from, to;
};

struct side_mark {
    char letter;       /* as in a drawing of letters */
    const char *key;   /* 'bar_clamp' */
    const char *words; /* 'bar clamp' */
    struct point at;
};

/* The seat tube of a drawing in which none is known (ours: nothing is worked out from it). */
#define SIDE_SEAT_ANGLE_DEG 74.0

#define SIDE_STROKES_MAX 40
#define SIDE_MARKS_MAX 24

struct side_sensor {
    const char *name;
    struct sensor_mount mount;
};

struct side_view {
    int stroke_count, mark_count;
    struct side_stroke stroke[SIDE_STROKES_MAX];
    struct side_mark mark[SIDE_MARKS_MAX];
    struct point low, high; /* corners of all strokes and marks */
};

/* first: the bike on which the sensors were placed (may be bike itself); sensors whose height is
 * not known are left out. At most SIDE_MARKS_MAX - 8 sensors. False as bike_forward. */
bool side_view_make(const struct bike_values *bike, const struct bike_values *first,
                    const struct side_sensor *sensors, int sensor_count, struct side_view *view,
                    struct problem *problem);

#endif
