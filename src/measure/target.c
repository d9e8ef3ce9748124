/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/target.h"

#include "hold_position.h"
#include "series.h"

#include "measure/statistics.h"

#include <math.h>
#include <string.h>

#define GATE_S 5.0
#define GATE_MM 2.0
#define STEADY_HZ 1.0 /* the posture that the cue machine sees */

/* Mean of the accepted samples in [from_s, to_s), when at least half of them are there. */
static bool mean_between(const struct series *series, double from_s, double to_s, double *mean)
{
    size_t first = 0, end;
    while (first < series->count && series->time_s[first] < from_s)
        first++;
    end = first;
    while (end < series->count && series->time_s[end] < to_s)
        end++;
    if ((double)(end - first) < 0.5 * (to_s - from_s) * series->expected_rate_hz)
        return false;
    return statistics_mean(series->height_mm + first, end - first, mean) == MEASURE_OK;
}

static bool gate(const struct series *series)
{
    double end_s = series->duration_s, last, previous;
    return end_s >= 2.0 * GATE_S && mean_between(series, end_s - GATE_S, end_s, &last) &&
           mean_between(series, end_s - 2.0 * GATE_S, end_s - GATE_S, &previous) &&
           fabs(last - previous) <= GATE_MM;
}

/* SD of the filtered posture over the kept part; the filter runs from the beginning and anew after
 * gaps. */
static double slow_sd(const struct series *series, const struct settled *settled)
{
    struct cue_settings settings = {.filter_hz = STEADY_HZ,
                                    .band_above_mm = INFINITY,
                                    .band_below_mm = INFINITY,
                                    .no_reading_s = INFINITY};
    struct cue_machine cue;
    double *slow = series->space, mean, sd = 0.0;
    size_t n = 0;
    cue_start(&cue, &settings, 0.0, series->step_rate_hz);
    for (size_t i = 0; i < series->count; i++) {
        cue_step(&cue, series->time_s[i], series->height_mm[i], true);
        if (i >= settled->first)
            slow[n++] = cue.slow_mm;
    }
    return statistics_mean_sd(slow, n, &mean, &sd) == MEASURE_OK ? sd : 0.0;
}

static enum measure_status estimate_mean(const struct series *series, const struct settled *settled,
                                         const struct target_settings *settings,
                                         struct target_estimate *estimate)
{
    const double *kept = series->height_mm + settled->first;
    size_t n = series->count - settled->first;
    double sd;
    enum measure_status status = statistics_mean_sd(kept, n, &estimate->height_mm, &sd);
    if (status == MEASURE_OK && !(sd > 0.0))
        status = MEASURE_CONSTANT;
    if (status != MEASURE_OK)
        return status;
    estimate->steadiness_mm = slow_sd(series, settled);
    struct mean_interval interval;
    if (settled_carries_interval(settled) &&
        blocks_mean_interval(settled->blocks, settled->count, &interval) == MEASURE_OK) {
        estimate->has_interval = true;
        estimate->half_width_mm = interval.half_width;
        estimate->effective_n = interval.effective_n;
    }
    estimate->enough = estimate->has_interval && !settled->not_settled &&
                       series->duration_s >= settings->at_least_s - 1e-6 &&
                       estimate->half_width_mm <= settings->until_mm;
    return MEASURE_OK;
}

enum measure_status target_estimate(const struct hold_input *input,
                                    const struct target_settings *settings,
                                    struct target_estimate *estimate)
{
    struct series series;
    struct settled settled = {0};
    memset(estimate, 0, sizeof *estimate);
    enum measure_status status = series_make(input, false, &series);
    if (status == MEASURE_OK) {
        estimate->settled = gate(&series);
        status = settle(&series, true, &settled);
    }
    if (status == MEASURE_OK)
        status = estimate_mean(&series, &settled, settings, estimate);
    settled_free(&settled);
    series_free(&series);
    estimate->status = status;
    return status;
}
