/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/cue_ask.h"

#include <math.h>
#include <stddef.h>

static bool is_out(const struct cue_machine *machine)
{
    return machine != NULL && (machine->state == CUE_HIGH || machine->state == CUE_LOW);
}

/* How far out, as a share of the limit that was passed. */
static double share_out(const struct cue_machine *machine)
{
    double above_mm = machine->slow_mm - machine->target_mm;
    double limit_mm = machine->state == CUE_HIGH ? machine->settings.band_above_mm
                                                 : machine->settings.band_below_mm;
    double share = fabs(above_mm) / limit_mm;
    return isfinite(share) ? share : 0.0;
}

static int furthest_out(const struct cue_machine *const *machine, int count)
{
    int furthest = -1;
    for (int c = 0; c < count; c++) {
        if (is_out(machine[c]) &&
            (furthest < 0 || share_out(machine[c]) > share_out(machine[furthest]))) {
            furthest = c;
        }
    }
    return furthest;
}

/* The first channel with a band, of this state; -1: none. */
static int first_with(const struct cue_machine *const *machine, int count, enum cue_state state)
{
    for (int c = 0; c < count; c++) {
        if (machine[c] != NULL && machine[c]->state == state) {
            return c;
        }
    }
    return -1;
}

void cue_ask_step(struct cue_ask *ask, const struct cue_machine *const *machine, int count)
{
    int channel = ask->channel;
    if (channel < 0 || channel >= count || !is_out(machine[channel])) {
        channel = furthest_out(machine, count);
    }
    if (channel < 0) {
        channel = first_with(machine, count, CUE_NO_READING);
    }
    if (channel < 0) {
        channel = first_with(machine, count, CUE_IN);
    }
    ask->channel = channel;
    ask->cue = channel >= 0 ? machine[channel]->state : CUE_NO_READING;
}
