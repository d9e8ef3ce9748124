/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/cue_sound.h"

/* Seconds before the next sound of one that is still out, after told of them. */
static double pause_s(int told)
{
    return told == 1 ? CUE_SOUND_FIRST_S : CUE_SOUND_NEXT_S;
}

bool cue_sound_is_spent(const struct cue_sound_machine *machine, double time_s)
{
    return time_s < machine->silent_until_s;
}

/* Takes one out of the budget; false, and silence from now on, where there is none. */
static bool spend(struct cue_sound_machine *machine, double time_s)
{
    int at = machine->spent % CUE_SOUND_BUDGET;
    if (machine->spent >= CUE_SOUND_BUDGET && time_s - machine->at_s[at] < CUE_SOUND_BUDGET_S) {
        machine->silent_until_s = time_s + CUE_SOUND_REST_S;
        return false;
    }
    machine->at_s[at] = time_s;
    machine->spent++;
    return true;
}

static enum cue_sound step_out(struct cue_sound_machine *machine, double time_s,
                               const struct cue_ask *ask)
{
    bool same = machine->out && machine->channel == ask->channel && machine->cue == ask->cue;
    if (!same) {
        machine->out = true;
        machine->channel = ask->channel;
        machine->cue = ask->cue;
        machine->told = 0;
    }
    bool due = machine->told < CUE_SOUND_TIMES &&
               (machine->told == 0 || time_s - machine->told_s >= pause_s(machine->told) - 1e-6);
    if (!due || cue_sound_is_spent(machine, time_s) || !spend(machine, time_s)) {
        return CUE_SOUND_NONE;
    }
    machine->told++;
    machine->told_s = time_s;
    machine->owes_in = true;
    return ask->cue == CUE_HIGH ? CUE_SOUND_LOWER : CUE_SOUND_RAISE;
}

enum cue_sound cue_sound_step(struct cue_sound_machine *machine, double time_s,
                              const struct cue_ask *ask, bool wanted)
{
    if (!wanted || ask->channel < 0) {
        machine->out = machine->owes_in = false;
        return CUE_SOUND_NONE;
    }
    switch (ask->cue) {
    case CUE_HIGH:
    case CUE_LOW:
        return step_out(machine, time_s, ask);
    case CUE_IN: {
        bool owed = machine->owes_in;
        machine->out = machine->owes_in = false;
        return owed ? CUE_SOUND_IN : CUE_SOUND_NONE;
    }
    case CUE_NO_READING: /* not known: what was begun waits */
        break;
    }
    return CUE_SOUND_NONE;
}
