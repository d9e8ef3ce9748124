/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_TARGET_H
#define HOLDLINE_MEASURE_TARGET_H

#include "measure/hold.h"

/* A target's capture (docs/measures.md, 'Target and band'): until the mean is known well enough. */
struct target_settings {
    double until_mm;              /* half-width wanted */
    double at_least_s, at_most_s; /* of the capture */
};
struct target_settings target_usual(void);

struct target_estimate {
    enum measure_status status;
    double height_mm;
    double half_width_mm; /* 95 % within the capture; only with has_interval */
    bool has_interval;
    double effective_n;
    double steadiness_mm; /* SD of the posture that the cue sees: what the band is proposed from */
};

enum measure_status target_estimate(const struct hold_input *input,
                                    struct target_estimate *estimate);

#endif
