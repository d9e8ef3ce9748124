/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_BAND_KEPT_H
#define HOLDLINE_ANALYSIS_BAND_KEPT_H

#include "analysis/analysis.h"

/* How long a setup's posture was kept in its band, in guided holds of PRACTICE_LONG_HOLD_S and
 * more, by the part of the body that was kept worst; s, NAN = not seen. */
struct band_kept {
    double gone_after_s; /* the shortest time after which it was lost */
    double kept_s;       /* the longest for which it was kept at least, where it was not lost */
    double of_s;         /* the length of that hold */
};
/* setup, target: indices, the holds on that one in the band about that one; -1: of all of them. */
struct band_kept band_kept_on(const struct session_record *record, const struct analysis *analysis,
                              int setup, int target);

#endif
