/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_BIKE_TIE_BUILDS_H
#define HOLDLINE_TESTS_BIKE_TIE_BUILDS_H

#include "bike/tie.h"
#include "support/bikes.h"

#include <math.h>

/* Builds of a usual bike, and what was read on them. */
static const struct sensor_mount on_base_bar = {CARRIER_BASE_BAR, 120, 40, 0, +1};

static inline struct tie_build build_of(struct bike_values bike)
{
    return (struct tie_build){.bike = bike,
                              .plate_range_mm = NAN,
                              .plate_height_mm = NAN,
                              .tape_height_mm = NAN,
                              .reference_range_mm = NAN,
                              .reference_direction = -1};
}

/* Setup 1, spacers 10 out, spacers 20 out and another stem. */
static inline struct tie_build usual(void)
{
    return build_of(usual_bike());
}

static inline struct tie_build with(struct tie_build build, enum bike_key key, double value)
{
    build.bike.value[key] = value;
    return build;
}

static inline struct tie_build plate(struct tie_build build, double range_mm, double height_mm)
{
    build.plate_range_mm = range_mm;
    build.plate_height_mm = height_mm;
    return build;
}

static inline struct tie_build tape(struct tie_build build, double height_mm)
{
    build.tape_height_mm = height_mm;
    return build;
}

/* What is unknown of the difference between two builds (GUM 5.2.2): at one place what is common to
 * both cancels. */
static inline double between_mm(const struct tie *a, const struct tie *b)
{
    double own = hypot(a->u_build_mm, b->u_build_mm);
    bool same = a->position_group == b->position_group;
    return hypot(own,
                 same ? a->u_common_mm - b->u_common_mm : hypot(a->u_common_mm, b->u_common_mm));
}

#endif
