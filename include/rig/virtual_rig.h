/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_VIRTUAL_RIG_H
#define HOLDLINE_RIG_VIRTUAL_RIG_H

#include "base/problem.h"
#include "rig/sample.h"

#include <stddef.h>
#include <stdint.h>

/* A modelled rider on a modelled bike whose sensors ride on its bars: seeded, deterministic, sample
 * by sample. It prints bench lines; docs/scripts.md has the lines it understands. Amounts are of
 * the size measured on real sensors and bodies (standing, lying and out of the saddle: other
 * situations than a trainer). Its truth is for tests only: nothing else may include this header's
 * truth part. */
struct virtual_rig;

struct virtual_rig_settings {
    uint64_t seed;
    double rate_hz;           /* 50 */
    double announced_rate_hz; /* what the heading says; 0 = the true rate */
    int channel_count;        /* 2: head, chest; up to 8 */
    char channel_name[CHANNELS_MAX]
                     [CHANNEL_NAME_SIZE]; /* a name that begins with 'ref' looks at a fixed plate */
    double follow_share[CHANNELS_MAX]; /* how much of a pad or bar move the body follows: 0.6 head,
                                          0.5 chest */
    double hold_sd_mm;                 /* re-positioning at each hold: 4 */
    double build_sd_mm;  /* re-assembly at each build: 0.7, of posture and sensor together */
    double breathing_mm; /* peak to peak at the chest */
    double breathing_hz;
    double bob_mm; /* peak to peak of the movement at twice the cadence, at the head */
    double cadence_hz;
    double wander_mm;        /* RMS of the slow wander at the head */
    double wander_s;         /* its longest time constant */
    double creep_mm_per_min; /* head; goes on for some five minutes after a rider sat down */
    double settle_mm;        /* how much higher the rider begins; gone within some seconds */
    double glances_per_min;
    double noise_mm_at_300, quantum_mm;
    double missing_share, doubtful_share, outlier_share, lost_share;
    double warm_up_mm; /* by how much ranges read long at the start; gone in three minutes */
    double fatigue_mm_per_hold;
    double plate_mm; /* a plate in the beams from the start, over the bottom bracket; NAN = none */
    /* what checks are to find: */
    double scale;            /* of every range: 1 */
    double crosstalk_share;  /* of a disturbance in one beam that shows in the others */
    double hands_seen_share; /* of the time that waving hands are in the beams */
    double second_mm;        /* a second surface this much further off, */
    double second_share;     /* seen for this share of the time */
    /* what practice is to find (rig/virtual_practice.h): */
    double unlearnt_mm; /* how far over a height asked for the head is held when nothing is told, */
    double learns_sessions, practised_sessions; /* fewer by e in so many sessions; those behind */
    double tires_mm, tires_at_min;              /* higher after so long; within five minutes */
    double sits_up_per_h;
    double bump_mm, bump_at_min; /* the first sensor is knocked up by so much, for good */
    double props_mm, props_at_min,
        props_for_s; /* it is propped up by so much: its rider looks lower */
    double power_w,
        heart_per_min; /* of the rider, where channels are named so; cadence_hz is his */
};
void virtual_rig_defaults(struct virtual_rig_settings *settings, uint64_t seed);
/* The channel of that name, or -1. */
int virtual_rig_channel(const struct virtual_rig_settings *settings, const char *name);

/* name: 'winter' (the demo's rider), 'steady', 'restless', 'learner' (who practises),
 * 'rough' (a bad rig); parameters as in a
 * link
 * ('seed=7&rate=100&noise=0&channels=head/chest/hip&follow=0.6/0.5'). The link's own ones (speed,
 * seconds) are passed over; any other that is not known is wrong use. */
bool virtual_rig_settings_read(const char *name, const char *parameters,
                               struct virtual_rig_settings *settings, struct problem *problem);

/* NULL when there is no memory. */
struct virtual_rig *virtual_rig_create(const struct virtual_rig_settings *settings);
void virtual_rig_destroy(struct virtual_rig *rig);

/* A line to the rig; unknown lines are passed over. False: bad value in a line it knows, and then
 * nothing has changed. The first 'bike' line says which bike the rider has been sitting on all the
 * time. */
bool virtual_rig_tell(struct virtual_rig *rig, const char *line, struct problem *problem);

/* The bytes of the next sample (a line, at times a heading before it, or nothing where the line is
 * lost) and its rig time. Returns the length. size: at least VIRTUAL_RIG_BYTES. */
#define VIRTUAL_RIG_BYTES 768
size_t virtual_rig_next(struct virtual_rig *rig, char *bytes, size_t size, int64_t *rig_time_us);

/* The truth, for tests. */
struct virtual_truth {
    double body_height_mm[CHANNELS_MAX];    /* over the bottom bracket, at the last sample, all
                                               movement in it */
    double posture_height_mm[CHANNELS_MAX]; /* this hold's mean posture: setup, re-positioning */
    double setup_height_mm[CHANNELS_MAX];   /* what this setup does to this rider, on average */
    double sensor_height_mm[CHANNELS_MAX];  /* with this build's re-assembly error */
};
void virtual_rig_truth(const struct virtual_rig *rig, struct virtual_truth *truth);

#endif
