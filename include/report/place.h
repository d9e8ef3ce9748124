/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_REPORT_PLACE_H
#define HOLDLINE_REPORT_PLACE_H

#include "bike/position.h"
#include "bike/search.h"
#include "bike/side_view.h"
#include "bike/uncertainty.h"
#include "bike/wrench.h"

#include <stdio.h>

/* What 'holdline place' says: where parts put the points, which combinations of parts come nearest
 * to coordinates, what to turn, what that does to sensors. */
#define PLACE_SENSORS_MAX 8

struct place_report {
    const char *name; /* 'training bike, setup 2: spacers out' */
    const struct bike_values *bike;
    const char *before_name; /* NULL: nothing to compare with, before is not looked at */
    const struct bike_values *before;
    const struct bike_values *first; /* the bike on which the sensors were placed; NULL = bike */
    int sensor_count;
    const struct side_sensor *sensors;
    const struct bike_limits *limits; /* never NULL; may be empty */
    const struct place_goal *goal;    /* NULL: no coordinates were asked for */
    const struct place_search *search;
    const char *target_name; /* whose position is wanted, or NULL when it was typed */
    const char *carry_note;  /* what could not be carried over, or NULL */
};

/* drawing_rows: about so many rows for the side view; 0 = none. */
bool place_text(FILE *stream, const struct place_report *report, int width, int drawing_rows,
                bool ascii, struct problem *problem);
bool place_json(FILE *stream, const struct place_report *report, struct problem *problem);
bool place_svg(FILE *stream, const struct place_report *report, struct problem *problem);

#endif
