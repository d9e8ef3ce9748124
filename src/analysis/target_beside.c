/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/analysis.h"

bool analysis_target_is_beside(const struct session_record *record, const struct analysis *analysis,
                               int target, int build, int channel)
{
    const struct target_record *aimed = &record->target[target];
    const struct tie *tie = &analysis->tie[build][channel];
    return aimed->build == build ||
           (aimed->capture >= 0 ? tie->kind != TIE_NONE : tie_is_over_bottom_bracket(tie));
}
