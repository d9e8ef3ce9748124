/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_TARGET_H
#define HOLDLINE_MEASURE_TARGET_H

#include "measure/hold.h"
#include "measure/wander.h"

/* A target's capture (docs/measures.md, 'Target and band'): until the mean is known well enough.
 * Its length is proposed after the first seconds and looked at when it is over (Stein 1945, Ann.
 * Math. Stat. 16, 243-258): who asks every second and stops at the first small error stops too
 * early. */
struct target_settings {
    double until_mm;              /* half-width wanted */
    double at_least_s, at_most_s; /* of the capture */
};
struct target_settings target_usual(void);

struct target_estimate {
    enum measure_status status;
    double height_mm;
    double half_width_mm; /* 95 %: of the posture's level; only with has_interval */
    bool has_interval;    /* long and whole enough, and settled */
    bool not_settled;
    double cut_s; /* not settled yet: left out */
    double effective_n;
    double steadiness_mm; /* SD of the posture that the cue sees: what the band is proposed from */
    struct wander_estimate wander; /* with has_interval */
};

enum measure_status target_estimate(const struct hold_input *input,
                                    struct target_estimate *estimate);

/* Is it known to so much? Never where the rider had not settled. */
bool target_is_known(const struct target_estimate *estimate, double until_mm);
/* How long the capture is to become, from its beginning, where so many seconds are there: in steps
 * of TARGET_LENGTH_STEP_S, within at_least and at_most. What is there already when it is enough. */
double target_length_s(const struct target_estimate *estimate,
                       const struct target_settings *settings, double elapsed_s);

#endif
