/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_VIRTUAL_SCENE_H
#define HOLDLINE_RIG_VIRTUAL_SCENE_H

#include "base/words.h"
#include "rig/virtual_rig.h"

/* Something that lasts for a while. */
struct virtual_movement {
    double size_mm, from_s, length_s;
};

/* What is done before the virtual rig's sensors while they are checked: blocks, hands, nods. A part
 * of the virtual rig; nothing else uses it. Times in s of the rig. */
struct virtual_scene {
    double block_mm[CHANNELS_MAX];           /* laid on what the beam sees */
    double distance_mm[CHANNELS_MAX];        /* of a plate from the sensor; 0 = none */
    bool hand[CHANNELS_MAX];                 /* a hand goes up and down in the beam */
    struct virtual_movement nod, rise, wave; /* wave: hands and thumbs, without a size */
};

/* 'block 25 head', 'block off', 'distance 400 head', 'distance off', 'hand head', 'hand off', 'nod
 * 40 5s', 'rise 50 5s', 'wave 5s'. False with a problem on a bad value; *known is false when it is
 * no such line. */
bool virtual_scene_tell(struct virtual_scene *scene, const struct virtual_rig_settings *settings,
                        double now_s, const struct words *words, bool *known,
                        struct problem *problem);

/* How much higher this part of the body is for what the rider was asked to do. */
double virtual_scene_body_mm(const struct virtual_scene *scene, const char *channel_name,
                             double now_s);

/* The range along the beam with what is held into it; all channels at once, since a beam that is
 * disturbed may disturb its neighbours (settings->crosstalk). */
void virtual_scene_ranges(const struct virtual_scene *scene,
                          const struct virtual_rig_settings *settings, double now_s,
                          double range_mm[CHANNELS_MAX]);

#endif
