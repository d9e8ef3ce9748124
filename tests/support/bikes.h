/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_BIKES_H
#define HOLDLINE_TESTS_SUPPORT_BIKES_H

#include "base/random.h"
#include "bike/fields.h"

/* Bikes for tests: a whole one of ordinary measures, and random ones within what
 * may be typed. */
static inline double random_between(struct random_source *source, double low, double high)
{
    return low + (high - low) * random_uniform(source);
}

static inline struct bike_values random_bike(struct random_source *source)
{
    struct bike_values bike;
    for (int i = 0; i < BIKE_KEYS; i++) {
        bike.value[i] = random_between(source, bike_fields[i].minimum, bike_fields[i].maximum);
    }
    return bike;
}

static inline struct bike_values usual_bike(void)
{
    struct bike_values bike;
    bike_values_clear(&bike);
    bike.value[BIKE_STACK] = 540;
    bike.value[BIKE_REACH] = 400;
    bike.value[BIKE_HEAD_ANGLE] = 73;
    bike.value[BIKE_SPACERS] = 20;
    bike.value[BIKE_STEM_LENGTH] = 100;
    bike.value[BIKE_STEM_ANGLE] = -17;
    bike.value[BIKE_PAD_RISE] = 55;
    bike.value[BIKE_PAD_FORE_AFT] = -20;
    bike.value[BIKE_EXTENSION_LENGTH] = 320;
    bike.value[BIKE_EXTENSION_ANGLE] = 0;
    bike.value[BIKE_EXTENSION_RISE] = -30;
    return bike;
}

#endif
