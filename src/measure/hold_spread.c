/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "hold_spread.h"

#include <math.h>
#include <stdlib.h>

#define BIN_MM 0.1
#define BINS 10000 /* 500 mm to each side; what is further off is in the first or the last */

bool spread_begin(struct spread *spread)
{
    *spread = (struct spread){.count = 0};
    spread->bin = calloc(BINS, sizeof *spread->bin);
    return spread->bin != NULL;
}

void spread_end(struct spread *spread)
{
    free(spread->bin);
    spread->bin = NULL;
}

void spread_take(struct spread *spread, double height_mm)
{
    if (spread->count == 0) {
        spread->first_mm = spread->mean_mm = spread->least_mm = spread->most_mm = height_mm;
    }
    double off_mm = height_mm - spread->mean_mm;
    spread->count++;
    spread->mean_mm += off_mm / (double)spread->count;
    spread->squares += off_mm * (height_mm - spread->mean_mm);
    spread->least_mm = fmin(spread->least_mm, height_mm);
    spread->most_mm = fmax(spread->most_mm, height_mm);
    double at = floor((height_mm - spread->first_mm) / BIN_MM + BINS / 2.0);
    spread->bin[(size_t)fmin(fmax(at, 0.0), BINS - 1.0)]++;
}

/* Within its bin as if that was filled evenly. */
static double quantile(const struct spread *spread, double share)
{
    double wanted = share * (double)spread->count, before = 0.0;
    size_t at = 0;
    while (at + 1 < BINS && before + spread->bin[at] < wanted) {
        before += spread->bin[at++];
    }
    double part = (wanted - before) / spread->bin[at];
    double mm = spread->first_mm + ((double)at - BINS / 2.0 + part) * BIN_MM;
    return fmin(fmax(mm, spread->least_mm), spread->most_mm);
}

enum measure_status spread_tell(const struct spread *spread, struct hold_summary *summary)
{
    if (!(spread->most_mm > spread->least_mm)) {
        return MEASURE_CONSTANT;
    }
    summary->mean_mm = spread->mean_mm;
    summary->sd_mm = sqrt(spread->squares / (double)(spread->count - 1));
    summary->minimum_mm = spread->least_mm;
    summary->maximum_mm = spread->most_mm;
    summary->quantile_05_mm = quantile(spread, 0.05);
    summary->quantile_50_mm = quantile(spread, 0.50);
    summary->quantile_95_mm = quantile(spread, 0.95);
    return MEASURE_OK;
}
