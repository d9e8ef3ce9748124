/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_VIRTUAL_RIDER_H
#define HOLDLINE_RIG_VIRTUAL_RIDER_H

#include "base/random.h"
#include "rig/virtual_rig.h"
#include "virtual_practice.h"

/* The virtual rig's rider: heights of the body over the bottom bracket. A part of the virtual rig;
 * nothing else uses it. Heights in mm, times in s, no allocation. */

#define RIDER_WANDERS 3

/* Slow wander: three first-order processes of spaced time constants under one more low pass, worked
 * out ten times a second and joined by straight lines. */
struct rider_wander {
    double process_mm[RIDER_WANDERS];
    double last_mm, next_mm;
};

struct rider_channel {
    double offset_mm; /* of this body part over the pads on the first bike */
    double setup_mm;  /* height this setup gives on average */
    double hold_mm;   /* this hold's re-positioning */
    double build_mm;  /* this build's share of posture */
    double told_mm;   /* guided: the height to hold; NAN = free */
    double aimed_mm;  /* by memory: the height that is aimed at; NAN = as it comes */
    double creep_mm_per_min;
    double breathing_share, bob_share, bob_phase, wander_share, creep_share, glance_share;
    double body_mm; /* now */
    struct rider_wander wander;
};

struct virtual_rider {
    const struct virtual_rig_settings *settings;
    struct random_source postures; /* holds and builds: the same whatever moves in between */
    struct random_source movement;
    struct rider_channel channel[CHANNELS_MAX];
    struct virtual_practice practice;
    double first_support_mm;
    int holds;
    double since_sit_s, since_wander_s, creep_minutes;
    double wander_keep[RIDER_WANDERS], wander_drive_mm[RIDER_WANDERS], wander_pass;
    double breath_phase, breath_per_s, breath_size;
    double crank_phase, crank_per_s;
    double glance_left_s, glance_length_s, glance_mm;
};

/* settings stay the caller's and must outlive the rider; support_mm: height of what the arms rest
 * on. */
void virtual_rider_start(struct virtual_rider *rider, const struct virtual_rig_settings *settings,
                         double support_mm);
/* The bike has been this one all the time: everything sits on it as before. */
void virtual_rider_on_first_bike(struct virtual_rider *rider, double support_mm);
/* The support was moved: each body part follows by its share. */
void virtual_rider_support(struct virtual_rider *rider, double support_mm);
/* Sits down anew. told_mm: a height for each channel to steer to, NAN = as it comes. */
void virtual_rider_sit(struct virtual_rider *rider, const double told_mm[CHANNELS_MAX]);
/* Sits down to hold these heights from memory, as well as they were learnt; NAN as above. */
void virtual_rider_recall(struct virtual_rider *rider, const double aimed_mm[CHANNELS_MAX]);
/* Parts were taken apart and put together. */
void virtual_rider_build(struct virtual_rider *rider);
/* Goes on by step_s; channel[].body_mm is where the body is then. */
void virtual_rider_step(struct virtual_rider *rider, double step_s);
/* This hold's mean posture. */
double virtual_rider_posture_mm(const struct virtual_rider *rider, int channel);

#endif
