/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "hold_position.h"

#include "measure/rules.h"

#include <math.h>
#include <stdlib.h>

/* Blocks to drop from the beginning, a third at most: until little of its settling is left. */
static size_t blocks_to_drop(struct settled *settled)
{
    const struct hold_model *model = &settled->model;
    size_t limit = settled->count / (size_t)SETTLE_CUT_PART, drop = 0;
    if (!model->settling) {
        return 0;
    }
    double until_s = hold_model_settled_s(model, SETTLED_LEFT_MM);
    while (drop < limit && (double)settled->blocks[drop].index * BLOCK_LENGTH_S < until_s) {
        drop++;
    }
    settled->not_settled =
        model->line_instead ||
        (double)settled->blocks[drop].index * BLOCK_LENGTH_S + BLOCK_LENGTH_S < until_s;
    return model->line_instead ? 0 : drop;
}

enum measure_status settle(const struct series *series, bool cut, bool with_line,
                           struct settled *settled)
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
    if (settled->count >= SETTLED_BLOCKS_MIN) {
        if (!hold_model_fit(series, with_line, &settled->model)) {
            return MEASURE_NO_MEMORY;
        }
        size_t drop = cut ? blocks_to_drop(settled) : 0;
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
    settled->valid_share = 0.0;
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
