/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_VIRTUAL_BIKE_H
#define HOLDLINE_RIG_VIRTUAL_BIKE_H

#include "base/random.h"
#include "base/words.h"
#include "bike/carrier.h"
#include "rig/virtual_rig.h"

/* The virtual rig's bike: where the arms rest and where the sensors are. A part of the virtual rig;
 * nothing else uses it. */

struct virtual_mount {
    struct sensor_mount mount;
    struct bike_values first; /* the bike when it was fixed */
    bool sees_reference;      /* looks at a fixed plate, not at the rider */
    double reference_mm;      /* that plate's height over the bottom bracket */
    struct sensor_position position;
    double along;    /* height per range: direction and tilt */
    double error_mm; /* of this build */
};

struct virtual_bike {
    struct bike_values values; /* whole: what was not told is the default bike's */
    bool told;
    double support_mm; /* height of the pads over the bottom bracket */
    int channel_count;
    struct virtual_mount mount[CHANNELS_MAX];
    struct random_source builds;
};

/* channel_name: count names, as the settings have them. */
void virtual_bike_start(struct virtual_bike *bike, const struct virtual_rig_settings *settings);
/* 'bike key=value ...' and 'mount NAME key=value ...', split. False leaves everything as it was. */
bool virtual_bike_tell(struct virtual_bike *bike, const struct words *words,
                       struct problem *problem);
bool virtual_bike_mount(struct virtual_bike *bike, const struct virtual_rig_settings *settings,
                        const double body_mm[CHANNELS_MAX], const struct words *words,
                        struct problem *problem);
/* Taken apart and put together: a fresh error, the same for all sensors of one carrier. */
void virtual_bike_build(struct virtual_bike *bike, double build_sd_mm);

double virtual_bike_sensor_mm(const struct virtual_bike *bike, int channel);
/* Range along the beam to something at height_mm; not positive when it is not in the beam. */
double virtual_bike_range_mm(const struct virtual_bike *bike, int channel, double height_mm);

#endif
