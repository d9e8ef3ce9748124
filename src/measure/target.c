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
    estimate->not_settled = settled->not_settled;
    estimate->cut_s = settled->from_s;
    struct mean_interval blocks;
    if (settled_carries_interval(settled) &&
        blocks_mean_interval(settled->blocks, settled->count, &blocks) == MEASURE_OK) {
        estimate->effective_n = blocks.effective_n;
        estimate->has_interval =
            !settled->not_settled &&
            wander_estimate(series->time_s, series->height_mm, series->count, settled->from_s,
                            series->duration_s, &estimate->wander) == MEASURE_OK;
        estimate->half_width_mm = estimate->wander.half_width_mm;
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
        status = settle(&series, true, false, &settled);
    }
    if (status == MEASURE_OK) {
        status = estimate_mean(&series, &settled, estimate);
    }
    settled_free(&settled);
    series_free(&series);
    estimate->status = status;
    return status;
}

bool target_is_known(const struct target_estimate *estimate, double until_mm)
{
    return estimate->has_interval && !estimate->not_settled && estimate->half_width_mm <= until_mm;
}

double target_length_s(const struct target_estimate *estimate,
                       const struct target_settings *settings, double elapsed_s)
{
    bool first = elapsed_s < settings->at_least_s;
    if (!first && target_is_known(estimate, settings->until_mm)) {
        return elapsed_s;
    }
    double least_s = first ? settings->at_least_s : elapsed_s + TARGET_LOOK_AGAIN_S;
    double length_s =
        fmax(settings->at_least_s, round(least_s / TARGET_LENGTH_STEP_S) * TARGET_LENGTH_STEP_S);
    while (estimate->has_interval && length_s < settings->at_most_s &&
           wander_half_width_after(&estimate->wander, length_s - estimate->cut_s) >
               TARGET_LENGTH_SLACK * settings->until_mm) {
        length_s += TARGET_LENGTH_STEP_S;
    }
    return fmin(length_s, settings->at_most_s);
}
