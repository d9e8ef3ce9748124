/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_CUE_SOUND_H
#define HOLDLINE_MEASURE_CUE_SOUND_H

#include "measure/cue_ask.h"
#include "measure/rules.h"

/* The cue as it is heard: a sound when a part of the body is out, repeated less and less often,
 * then silence until it is in again, and a sound then. Nothing while in. A rider who is told
 * without end switches it off, so there is a budget: CUE_SOUND_BUDGET sounds of being out in any
 * CUE_SOUND_BUDGET_S; what would be one more silences all for CUE_SOUND_REST_S. Streaming, a step a
 * sample; it follows from the cues alone. */
enum cue_sound {
    CUE_SOUND_LOWER,
    CUE_SOUND_RAISE,
    CUE_SOUND_IN, /* again */
    CUE_SOUNDS,
    CUE_SOUND_NONE = CUE_SOUNDS,
};

struct cue_sound_machine {
    bool out; /* since it was last in, or nothing was wanted */
    int channel;
    enum cue_state cue;            /* high or low, while out */
    int told;                      /* sounds of this one so far */
    double told_s;                 /* the last of them */
    bool owes_in;                  /* something was heard: that it is in again is, too */
    double silent_until_s;         /* the budget is spent until then */
    int spent;                     /* sounds that count, in all */
    double at_s[CUE_SOUND_BUDGET]; /* the last of them, by their number */
};

/* wanted: sounds are to be heard now; what was begun ends where they are not. The sound that is due
 * at this step. */
enum cue_sound cue_sound_step(struct cue_sound_machine *machine, double time_s,
                              const struct cue_ask *ask, bool wanted);
/* The budget is spent: nothing is heard for a while. */
bool cue_sound_is_spent(const struct cue_sound_machine *machine, double time_s);

#endif
