/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/target.h"

#include "hold_position.h"
#include "series.h"

#include "measure/rules.h"
#include "measure/statistics.h"

#include <math.h>
#include <string.h>

struct target_settings target_usual(void)
{
    return (struct target_settings){.until_mm = TARGET_UNTIL_MM,
                                    .at_least_s = TARGET_AT_LEAST_S,
                                    .at_most_s = TARGET_AT_MOST_S};
}

/* SD of the filtered posture over the kept part; the filter runs from the beginning and anew after
 * gaps. */
static double slow_sd(const struct series *series, const struct settled *settled)
{
    struct cue_settings settings = cue_usual(false);
    struct cue_machine cue;
    double *slow = series->space, mean, sd = 0.0;
    size_t n = 0;
    cue_start(&cue, &settings, 0.0, series->step_rate_hz);
    for (size_t i = 0; i < series->count; i++) {
        cue_step(&cue, series->time_s[i], series->height_mm[i], true);
        if (i >= settled->first) {
            slow[n++] = cue.slow_mm;
        }
    }
    return statistics_mean_sd(slow, n, &mean, &sd) == MEASURE_OK ? sd : 0.0;
}

static enum measure_status estimate_mean(const struct series *series, const struct settled *settled,
                                         struct target_estimate *estimate)
{
    const double *kept = series->height_mm + settled->first;
    size_t n = series->count - settled->first;
    double sd;
    enum measure_status status = statistics_mean_sd(kept, n, &estimate->height_mm, &sd);
    if (status == MEASURE_OK && !(sd > 0.0)) {
        status = MEASURE_CONSTANT;
    }
    if (status != MEASURE_OK) {
        return status;
    }
    estimate->steadiness_mm = slow_sd(series, settled);
    struct mean_interval interval;
    if (settled_carries_interval(settled) &&
        blocks_mean_interval(settled->blocks, settled->count, &interval) == MEASURE_OK) {
        estimate->has_interval = true;
        estimate->half_width_mm = interval.half_width;
        estimate->effective_n = interval.effective_n;
    }
    return MEASURE_OK;
}

enum measure_status target_estimate(const struct hold_input *input,
                                    struct target_estimate *estimate)
{
    struct series series;
    struct settled settled = {0};
    memset(estimate, 0, sizeof *estimate);
    enum measure_status status = series_make(input, false, &series);
    if (status == MEASURE_OK) {
        status = settle(&series, true, &settled);
    }
    if (status == MEASURE_OK) {
        status = estimate_mean(&series, &settled, estimate);
    }
    settled_free(&settled);
    series_free(&series);
    estimate->status = status;
    return status;
}
