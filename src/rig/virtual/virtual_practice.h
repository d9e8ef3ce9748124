/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_VIRTUAL_PRACTICE_H
#define HOLDLINE_RIG_VIRTUAL_PRACTICE_H

#include "base/random.h"
#include "rig/virtual_rig.h"

/* What the virtual rig's rider does over a practice: learns the posture, tires, sits up, and what
 * becomes of the first sensor: bumped, or propped up by one who wants to look lower. A part of the
 * virtual rig; nothing else uses it. Heights in mm, times in s. */
struct virtual_practice {
    const struct virtual_rig_settings *settings;
    struct random_source random;
    double sessions; /* of practice so far, this one's pieces with it */
    double up_left_s, up_mm;
};

void virtual_practice_start(struct virtual_practice *practice,
                            const struct virtual_rig_settings *settings);
/* A piece is ridden of which something is told while it is. */
void virtual_practice_piece(struct virtual_practice *practice);
/* How far over the height that is asked for the rider holds the head when nothing is told. */
double virtual_practice_off_mm(const struct virtual_practice *practice);
/* Goes on by step_s. */
void virtual_practice_step(struct virtual_practice *practice, double step_s);
/* How much higher the head is so long after sitting down: tired, sat up. */
double virtual_practice_body_mm(const struct virtual_practice *practice, double since_sit_s);
/* How much higher the channel's sensor is than it was fixed. */
double virtual_practice_sensor_mm(const struct virtual_practice *practice, int channel,
                                  double now_s);

#endif
