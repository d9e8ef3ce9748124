/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/band_kept.h"

#include "measure/rules.h"

#include <math.h>

struct band_kept band_kept_on(const struct session_record *record, const struct analysis *analysis,
                              int setup, int target)
{
    struct band_kept found = {NAN, NAN, NAN};
    for (int hold = 0; hold < record->hold_count; hold++) {
        const struct hold_result *result = &analysis->hold[hold];
        bool mine = (setup < 0 || record->build[record->hold[hold].build].setup == setup) &&
                    (target < 0 || record->hold[hold].target == target) && result->counts &&
                    record->hold[hold].guided && result->duration_s >= PRACTICE_LONG_HOLD_S;
        double gone = INFINITY, kept = INFINITY;
        for (int channel = 0; mine && channel < analysis->channel_count; channel++) {
            const struct hold_summary *summary = &result->summary[channel];
            if (analysis->body[channel] && result->has[channel] && summary->has_band) {
                gone = summary->sustain_reached ? fmin(gone, summary->sustain_s) : gone;
                kept = fmin(kept, summary->sustain_s);
            }
        }
        if (isfinite(gone) && !(found.gone_after_s <= gone)) {
            found.gone_after_s = gone;
        } else if (!isfinite(gone) && isfinite(kept) && !(found.kept_s >= kept)) {
            found.kept_s = kept;
            found.of_s = result->duration_s;
        }
    }
    return found;
}
