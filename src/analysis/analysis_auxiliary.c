/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis_inside.h"

#include "measure/statistics.h"

#include <math.h>

/* Power, cadence, heart rate of the holds. */

void auxiliary_add(const struct placing_record *placing, const struct sample *samples, size_t count,
                   const uint8_t *cut, struct auxiliary_sums *sums)
{
    for (int c = 0; c < placing->channel_count; c++) {
        int kind = auxiliary_of(placing->channel[c].name);
        if (kind < 0 || placing->channel[c].role != ROLE_AUXILIARY) {
            continue;
        }
        for (size_t i = 0; i < count; i++) {
            if (samples[i].quality[c] == READING_GOOD && !cut[i]) {
                sums->sum[kind] += samples[i].range_tenth_mm[c];
                sums->good[kind]++;
            }
        }
    }
}

void auxiliary_means(const struct auxiliary_sums *sums, struct hold_result *result)
{
    for (int kind = 0; kind < AUXILIARIES; kind++) {
        double good = (double)sums->good[kind];
        result->auxiliary_mean[kind] =
            good > 0.0 ? sums->sum[kind] / good / AUXILIARY_TENTHS : (double)NAN;
        result->auxiliary_apart[kind] = false;
    }
}

/* Free holds are compared with free ones, guided with guided. */
static void mark_apart(const struct session_record *record, bool guided, int kind,
                       struct analysis *analysis)
{
    double values[HOLDS_MAX], middle = 0.0;
    size_t count = 0;
    for (int h = 0; h < record->hold_count; h++) {
        const struct hold_result *result = &analysis->hold[h];
        if (record->hold[h].guided == guided && result->counts &&
            isfinite(result->auxiliary_mean[kind])) {
            values[count++] = result->auxiliary_mean[kind];
        }
    }
    if (statistics_median(values, count, &middle) != MEASURE_OK) {
        return;
    }
    for (int h = 0; h < record->hold_count; h++) {
        struct hold_result *result = &analysis->hold[h];
        if (record->hold[h].guided == guided && result->counts) {
            result->auxiliary_apart[kind] = isfinite(result->auxiliary_mean[kind]) &&
                                            fabs(result->auxiliary_mean[kind] - middle) >
                                                auxiliary_apart_from((enum auxiliary)kind);
        }
    }
}

void analysis_auxiliary_apart(const struct session_record *record, struct analysis *analysis)
{
    for (int h = 0; h < record->hold_count; h++) {
        for (int kind = 0; kind < AUXILIARIES; kind++) {
            analysis->hold[h].auxiliary_apart[kind] = false;
        }
    }
    for (int kind = 0; kind < AUXILIARIES; kind++) {
        mark_apart(record, false, kind, analysis);
        mark_apart(record, true, kind, analysis);
    }
}
