/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_BIKE_ASSEMBLY_H
#define HOLDLINE_BIKE_ASSEMBLY_H

#include "bike/tie.h"

/* Builds as a sensor sees them: what was put together once and what was read on it. A part of
 * tie.c; nothing else uses it. */

/* Means of measuring, worst first. Heights of each are from a level of their own that never
 * changes. */
enum means { MEANS_TAPE, MEANS_PLATE_UNKNOWN, MEANS_PLATE, MEANS_REFERENCE, MEANS };
#define COMPUTED (-1)

struct means_row {
    enum tie_kind kind;
    bool absolute; /* its level is the bottom bracket */
};
extern const struct means_row means_table[MEANS];
/* Standard uncertainty of one reading. */
double means_u_mm(int means);

/* What was put together once and not touched until the next: one or more builds. */
struct assembly {
    int position; /* assemblies with the same parts under the sensor */
    int builds;   /* in it */
    int reading_count[MEANS];
    double reading_mm[MEANS]; /* sum while builds are gone through, then mean; NAN = none */
    double lowest_mm[MEANS], highest_mm[MEANS];
    bool computed; /* from the parts */
    double computed_mm, computed_x_mm, computed_u_mm, turned_deg;
    char missing[160];
    /* the tie, as far as it is resolved */
    bool tied;
    int means;  /* the means it is tied by, or COMPUTED */
    int anchor; /* the assembly whose reading that is; itself when read or computed */
    double shift_mm;
    double u_level_mm;   /* L's reading with L's own error; for COMPUTED the parts' */
    double u_reading_mm; /* of the anchor's own reading */
    double u_rebuild_mm;
    int level_of; /* >= 0: this is L for that means */
};

struct resolver {
    const struct sensor_mount *mount;
    const struct tie_build *builds;
    int count;
    int assembly_of[TIE_BUILDS_MAX];
    int position_build[TIE_BUILDS_MAX]; /* a build at each position */
    int position_count;
    int position_from; /* the first position since the sensor itself moved */
    bool moved;        /* it has */
    int assembly_count;
    struct assembly assembly[TIE_BUILDS_MAX];
};

/* From builds to assemblies with their readings and the shift that the parts alone give. The
 * resolver's mount, builds and count are set, the rest is empty. */
void assemble(struct resolver *resolver);

#endif
