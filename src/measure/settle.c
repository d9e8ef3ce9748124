#include "hold_position.h"

#include <math.h>
#include <stdlib.h>

#define SAMPLES_MIN 10

enum measure_status settle(const struct series *series, bool cut, struct settled *settled)
{
    double expected = BLOCK_LENGTH_S * series->expected_rate_hz;
    size_t capacity = (size_t)fmin(series->duration_s / BLOCK_LENGTH_S, 1e7) + 1;
    if (capacity > series->count)
        capacity = series->count;
    settled->all = malloc((capacity + 1) * sizeof *settled->all);
    if (!settled->all)
        return MEASURE_NO_MEMORY;
    settled->blocks = settled->all;
    settled->count =
        blocks_make(series->time_s, series->height_mm, series->count, 0.0, series->duration_s,
                    BLOCK_LENGTH_S, fmax(1.0, 0.5 * expected), settled->all, capacity);
    if (cut && settled->count >= SETTLED_BLOCKS_MIN) {
        double *means = malloc(settled->count * sizeof *means);
        if (!means)
            return MEASURE_NO_MEMORY;
        for (size_t i = 0; i < settled->count; i++)
            means[i] = settled->all[i].mean;
        size_t limit = settled->count / 3;
        size_t drop = mser_truncation(means, settled->count, limit, NULL);
        free(means);
        settled->not_settled = drop == limit;
        settled->blocks += drop;
        settled->count -= drop;
        if (drop > 0)
            settled->from_s = (double)settled->blocks[0].index * BLOCK_LENGTH_S;
    }
    while (settled->first < series->count && series->time_s[settled->first] < settled->from_s)
        settled->first++;
    size_t kept = series->count - settled->first;
    settled->kept_s = series_kept_s(series, settled->from_s, series->duration_s);
    if (settled->kept_s > 0.0)
        settled->valid_share =
            fmin(1.0, (double)kept / (series->expected_rate_hz * settled->kept_s));
    return kept >= SAMPLES_MIN ? MEASURE_OK : MEASURE_TOO_FEW;
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
