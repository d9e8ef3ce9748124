/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "hold_position.h"

#include "measure/rules.h"

#include <math.h>
#include <stdlib.h>

/* Blocks to drop from the beginning; at most a third. Only what makes the criterion much smaller:
 * else a wandering posture loses a quiet beginning or a lively one by chance, and the interval of
 * what is left covers 2 to 4 in 100 less (tests/measure/test_calibration.c). */
static enum measure_status blocks_to_drop(const struct settled *settled, size_t *drop,
                                          bool *not_settled)
{
    size_t k = settled->count, limit = k / (size_t)SETTLE_CUT_PART;
    double *means = malloc((k + limit + 1) * sizeof *means);
    if (!means) {
        return MEASURE_NO_MEMORY;
    }
    double *statistic = means + k;
    for (size_t i = 0; i < k; i++) {
        means[i] = settled->all[i].mean;
    }
    *drop = mser_truncation(means, k, limit, statistic);
    if (!(statistic[*drop] < SETTLE_CUT_GAIN * statistic[0])) {
        *drop = 0;
    }
    *not_settled = *drop == limit;
    free(means);
    return MEASURE_OK;
}

enum measure_status settle(const struct series *series, bool cut, struct settled *settled)
{
    double expected = BLOCK_LENGTH_S * series->expected_rate_hz;
    size_t capacity = (size_t)fmin(series->duration_s / BLOCK_LENGTH_S, 1e7) + 1;
    if (capacity > series->count) {
        capacity = series->count;
    }
    settled->all = malloc((capacity + 1) * sizeof *settled->all);
    if (!settled->all) {
        return MEASURE_NO_MEMORY;
    }
    settled->blocks = settled->all;
    settled->count =
        blocks_make(series->time_s, series->height_mm, series->count, 0.0, series->duration_s,
                    BLOCK_LENGTH_S, fmax(1.0, BLOCK_SHARE_MIN * expected), settled->all, capacity);
    if (cut && settled->count >= SETTLED_BLOCKS_MIN) {
        size_t drop;
        enum measure_status status = blocks_to_drop(settled, &drop, &settled->not_settled);
        if (status != MEASURE_OK) {
            return status;
        }
        settled->blocks += drop;
        settled->count -= drop;
        if (drop > 0) {
            settled->from_s = (double)settled->blocks[0].index * BLOCK_LENGTH_S;
        }
    }
    while (settled->first < series->count && series->time_s[settled->first] < settled->from_s) {
        settled->first++;
    }
    size_t kept = series->count - settled->first;
    settled->kept_s = series_kept_s(series, settled->from_s, series->duration_s);
    if (settled->kept_s > 0.0) {
        settled->valid_share =
            fmin(1.0, (double)kept / (series->expected_rate_hz * settled->kept_s));
    }
    return kept >= (size_t)HOLD_SAMPLES_MIN ? MEASURE_OK : MEASURE_TOO_FEW;
}

void settled_free(struct settled *settled)
{
    free(settled->all);
    settled->all = settled->blocks = NULL;
}

bool settled_carries_interval(const struct settled *settled)
{
    return settled->count >= SETTLED_BLOCKS_MIN && settled->valid_share >= INTERVAL_SHARE_MIN &&
           settled->kept_s >= INTERVAL_KEPT_MIN_S - 1e-6;
}
