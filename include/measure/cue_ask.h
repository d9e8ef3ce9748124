/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_CUE_ASK_H
#define HOLDLINE_MEASURE_CUE_ASK_H

#include "measure/cue.h"

/* The one thing that a rider is asked, of the cues of several channels: a body follows one at a
 * time, and one that changes with every sample is followed by nobody. */
struct cue_ask {
    int channel; /* -1: no channel has a band */
    enum cue_state cue;
};

/* One step. machine: a channel each, NULL where it has no band (or is no part of the body). A
 * channel that is asked for stays until it is in again; then the one that is out furthest, as a
 * share of its limit. Nothing out: the first without readings; else all are in, and the first
 * stands for them. */
void cue_ask_step(struct cue_ask *ask, const struct cue_machine *const *machine, int count);

#endif
