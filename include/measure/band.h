/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_BAND_H
#define HOLDLINE_MEASURE_BAND_H

#include "measure/hold.h"

/* Band proposals from the capture's own steadiness (docs/measures.md, 'Target and band'), each
 * replayed through the cue machine on the capture as if the rider sat higher or lower, by what may
 * lie between it and the next hold. */
#define BAND_PROPOSALS_MAX 6
struct band_proposal {
    double above_mm, below_mm; /* INFINITY = none */
    double cues_per_min;       /* to be expected in a hold, as the share */
    double in_band_share;
    const char *words; /* 'tight: practised riders', 'too wide to teach anything', ... */
    bool suggested;
};

/* floor_mm: the narrowest. Returns the number of proposals, 0 when the capture is too short. */
int band_propose(const struct hold_input *capture, double target_mm, double floor_mm,
                 const struct cue_settings *cue,
                 struct band_proposal proposals[BAND_PROPOSALS_MAX]);

#endif
