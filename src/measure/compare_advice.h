/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_MEASURE_COMPARE_ADVICE_H
#define HOLDLINE_SRC_MEASURE_COMPARE_ADVICE_H

#include "compare_limits.h"

/* What would settle a difference that cannot be told yet: more holds while the holds' scatter
 * dominates, the plate or another build where the tie does, the return to the first setup where
 * trial order hides the rest. Fills advice, advice_holds and reason. */
void compare_advise(const struct fit *fit, const struct compare_limits *limits, int setup,
                    struct setup_difference *difference);

#endif
