/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SCREEN_WORDING_H
#define HOLDLINE_SCREEN_WORDING_H

#include "measure/compare.h"
#include "measure/cue.h"
#include "rig/health.h"

#include <stddef.h>
#include <stdint.h>

/* Numbers and states in the words and shapes of the screens. Buffers of 64 bytes are enough for
 * all. */
#define WORDING_SIZE 96

void wording_signed(char *text, size_t size, double mm);   /* '+14', '−3', '0'; '–' when NAN */
void wording_whole(char *text, size_t size, double mm);    /* '884'; '–' when NAN */
void wording_tenth(char *text, size_t size, double value); /* '+0.4', '−1.2' */

/* Behind a setup's interval: '*' one hold only, '≈' a usual repeatability has a say; "". */
const char *wording_interval_mark(const struct setup_estimate *estimate);

/* Shape and word of a cue: '▲ HIGH'. The shape's direction is the body's. */
const char *wording_cue(enum cue_state cue);
/* ' LINK DOWN: is the cable in? ': why nothing is heard, where nothing is (health_is_mute). */
const char *wording_mute(const struct rig_health *health);

/* Words to the rider: what to do, never what is. */
const char *wording_asked(enum cue_state cue);
/* What stands over it in the place of a part's name: 'RIDE' over 'ON'; "": the part's name. */
const char *wording_over_asked(enum cue_state cue);
enum rider_word {
    RIDER_STAY,
    RIDER_WAIT,
    RIDER_EASY,
    RIDER_SIT_UP,
    RIDER_DOWN,
    RIDER_REST,
    RIDER_UP,
    RIDER_END,
};
const char *wording_rider(enum rider_word word);

#endif
