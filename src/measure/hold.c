/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/hold.h"

#include "hold_band.h"
#include "hold_model.h"
#include "hold_position.h"
#include "series.h"

#include <string.h>

enum measure_status hold_summarise(const struct hold_input *input,
                                   const struct hold_settings *settings,
                                   struct hold_summary *summary)
{
    struct series series;
    struct settled settled = {0};
    memset(summary, 0, sizeof *summary);
    enum measure_status status = series_make(input, settings->raw, &series);
    summary->effective_rate_hz = series.effective_rate_hz;
    summary->readings = series.readings;
    summary->valid = series.valid;
    summary->outliers = series.outliers;
    summary->longest_gap_s = series.longest_gap_s;
    summary->cut_marked_s = series.cut_s;
    if (status == MEASURE_OK) {
        status = settle(&series, !settings->raw, true, &settled);
    }
    if (status == MEASURE_OK) {
        status = hold_position(&series, &settled, settings, summary);
    }
    if (status == MEASURE_OK && settings->has_target && settings->has_band) {
        hold_band(&series, settled.from_s, &settings->cue, settings->target_mm, summary);
    }
    settled_free(&settled);
    series_free(&series);
    summary->status = status;
    return status;
}

enum measure_status hold_step_at(const struct hold_input *input, double at_s, double *step_mm)
{
    struct series series;
    enum measure_status status = series_make(input, false, &series);
    if (status == MEASURE_OK) {
        status = hold_model_step_at(&series, at_s, step_mm);
    }
    series_free(&series);
    return status;
}
