/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/analysis.h"

/* What readers look up in an analysis. */

static bool is_compared(const struct analysis *analysis, int channel, int setup)
{
    const struct comparison *heights = &analysis->free_heights[channel];
    return heights->status == MEASURE_OK && setup < heights->setup_count;
}

const struct setup_estimate *analysis_estimate(const struct analysis *analysis, int channel,
                                               int setup)
{
    static const struct setup_estimate none;
    return is_compared(analysis, channel, setup) ? &analysis->free_heights[channel].setup[setup]
                                                 : &none;
}

const struct setup_difference *analysis_difference(const struct analysis *analysis, int channel,
                                                   int setup)
{
    static const struct setup_difference none;
    return is_compared(analysis, channel, setup)
               ? &analysis->free_heights[channel].difference[setup]
               : &none;
}
