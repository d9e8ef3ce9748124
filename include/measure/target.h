/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_TARGET_H
#define HOLDLINE_MEASURE_TARGET_H

#include "measure/hold.h"

/* A target's capture (docs/measures.md, 'Target and band'): until the mean is known well enough. */
struct target_settings {
    double until_mm;   /* half-width wanted: 3 */
    double at_least_s; /* 30 */
    double at_most_s;  /* 60 */
};

struct target_estimate {
    enum measure_status status;
    double height_mm;
    double half_width_mm; /* 95 % within the capture; only with has_interval */
    bool has_interval;
    double effective_n;
    bool enough;          /* known to until_mm after at_least_s */
    bool settled;         /* live gate: two 5 s means within 2 mm */
    double steadiness_mm; /* SD of the 1 Hz filtered signal: what the band is proposed from */
};

/* Over the capture so far; the session calls it once a second, and at the end. */
enum measure_status target_estimate(const struct hold_input *input,
                                    const struct target_settings *settings,
                                    struct target_estimate *estimate);

#endif
