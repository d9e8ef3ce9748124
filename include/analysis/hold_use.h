/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_HOLD_USE_H
#define HOLDLINE_ANALYSIS_HOLD_USE_H

#include "analysis/analysis.h"

/* Is a hold's number on a channel in the comparison of its kind, free heights or shares in the
 * band; and if not, why. */
enum hold_use {
    HOLD_USED,
    HOLD_UNUSED_RUNNING,
    HOLD_UNUSED_LEFT_OUT,
    HOLD_UNUSED_KEPT_AFTERWARDS,
    HOLD_UNUSED_NOT_OF_THE_BODY,
    HOLD_UNUSED_NO_NUMBERS, /* on that channel */
    HOLD_UNUSED_TOO_LITTLE, /* kept of it, or too few readings: no interval */
    HOLD_UNUSED_NO_BAND,    /* guided, without a band on that channel */
    HOLD_UNUSED_NOT_TIED,   /* its build: it says how holds repeat, and nothing of the setup */
    HOLD_UNUSED_STEP,       /* its level stepped: its mean is of neither */
    HOLD_UNUSED_AFTER_STEP, /* the channel's sensor moved in a hold before it on the build */
    HOLD_UNUSED_SLIP,       /* it is asked whether the channel's sensor slipped */
    HOLD_UNUSED_SAME_SIT,   /* the rider did not sit up since the hold before it: one with that */
    HOLD_USES
};
enum hold_use hold_use_of(const struct session_record *record, const struct analysis *analysis,
                          int hold, int channel);
/* The same, of its readings alone: whatever its build is tied by. */
enum hold_use hold_use_of_readings(const struct session_record *record,
                                   const struct analysis *analysis, int hold, int channel);

/* How a hold was kept, by the part of the body that was kept worst: its share in the band, NAN
 * where none has a band. lost: any of them was lost within it. */
double hold_worst_share(const struct analysis *analysis, int hold, bool *lost);

/* analysis_target_is_beside of the hold's own target; and one that was entered is over the bottom
 * bracket, beside a bare range it is nothing. */
bool hold_is_beside_target(const struct session_record *record, const struct analysis *analysis,
                           int hold, int channel);

/* It is open whether the channel's sensor moved: nothing is said of its heights until it is
 * answered. */
bool analysis_is_withheld(const struct analysis *analysis, int channel);
/* It adds nothing to the hold before it: on no channel is it used, and on one for that reason. */
bool hold_is_same_sit(const struct session_record *record, const struct analysis *analysis,
                      int hold);

#endif
