/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/analysis.h"
#include "base/copy_used.h"

void analysis_copy(struct analysis *to, const struct analysis *from,
                   const struct session_record *record)
{
#define USED(member, places) USED_ARRAY(struct analysis, member, places)
    const struct used_array arrays[] = {
        USED(tie, record->build_count),
        USED(target, record->target_count),
        USED(hold, record->hold_count),
        USED(free_heights, from->channel_count),
        USED(guided_in_band, from->channel_count),
    };
    copy_used(to, from, sizeof *to, arrays, (int)(sizeof arrays / sizeof arrays[0]));
}
