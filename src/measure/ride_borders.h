/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_RIDE_BORDERS_H
#define HOLDLINE_MEASURE_RIDE_BORDERS_H

#include "measure/ride_cut.h"

/* The moments between which a course's legs lie, before anything is looked at. */
struct ride_stretch {
    double begin_s, end_s;
    int lap;
};
struct ride_stretches {
    struct ride_stretch *stretch;
    size_t count;
};
/* False with a sentence. The caller frees ->stretch either way. */
bool ride_borders_find(const struct ride *ride, const struct ride_course *course,
                       struct ride_stretches *stretches, struct problem *problem);

#endif
