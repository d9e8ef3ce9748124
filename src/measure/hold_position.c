/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "hold_position.h"

#include "measure/rules.h"
#include "measure/statistics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static enum measure_status spread(const struct series *series, const struct settled *settled,
                                  struct hold_summary *out)
{
    const double *kept = series->height_mm + settled->first;
    size_t n = series->count - settled->first;
    double mean, sd, *copy = series->space;
    enum measure_status status = statistics_mean_sd(kept, n, &mean, &sd);
    if (status != MEASURE_OK) {
        return status;
    }
    double least = kept[0], most = kept[0];
    for (size_t i = 1; i < n; i++) {
        least = fmin(least, kept[i]);
        most = fmax(most, kept[i]);
    }
    if (!(most > least)) {
        return MEASURE_CONSTANT;
    }
    out->mean_mm = mean;
    out->sd_mm = sd;
    out->minimum_mm = least;
    out->maximum_mm = most;
    memcpy(copy, kept, n * sizeof *copy);
    statistics_quantile(copy, n, 0.50, &out->quantile_50_mm);
    statistics_quantile(copy, n, 0.05, &out->quantile_05_mm);
    statistics_quantile(copy, n, 0.95, &out->quantile_95_mm);
    return MEASURE_OK;
}

void hold_interval(const struct settled *settled, struct hold_summary *out)
{
    struct mean_interval made;
    out->blocks = (int)settled->count;
    if (!settled_carries_interval(settled) ||
        blocks_mean_interval(settled->blocks, settled->count, &made) != MEASURE_OK) {
        return;
    }
    out->has_interval = true;
    out->mean_half_width_mm = made.half_width;
    out->mean_se_mm = made.se;
    out->mean_df = made.df;
    out->effective_n = made.effective_n;
    out->block_autocorrelation = made.correlation;
}

/* Blocks that stand off alone bend a line of least squares, the more so near an end; the median of
 * all pairs' slopes not before they are 29 in 100 (Sen 1968): a line that it doesn't bear is not
 * told. */
static void tell_creep(const struct hold_model *model, double kept_s, struct hold_summary *out)
{
    double line = model->line_mm_per_min, robust = out->creep_robust_mm_per_min;
    bool borne = robust * line >= CREEP_BORNE_SHARE * line * line;
    out->has_creep = true;
    out->creep_mm_per_min = borne ? line : robust;
    out->creep_half_width_mm_per_min = CREEP_COVERAGE * model->line_se_mm_per_min;
    out->drifting = borne && model->drifting;
    out->creep_flagged = out->drifting && fabs(line) * kept_s >= 60.0 * CREEP_FLAG_MM;
}

/* What the model's step has made of a block's mean. time_s: the mean of its samples'. */
static double stepped_by(const struct hold_model *model, double time_s)
{
    double after = (time_s - model->step_at_s) / BLOCK_LENGTH_S + 0.5;
    return model->stepped ? model->step_mm * fmin(fmax(after, 0.0), 1.0) : 0.0;
}

/* The line through the kept part as the hold's model has it, and the median of all pairs' slopes.
 */
enum measure_status hold_creep(const struct series *series, struct settled *settled,
                               struct hold_summary *out)
{
    size_t k = settled->count;
    struct hold_model *model = &settled->model;
    if (k < SETTLED_BLOCKS_MIN || !model->fitted) {
        return MEASURE_OK;
    }
    double *minutes = malloc(2 * k * sizeof *minutes);
    if (!minutes || (!model->has_line && !hold_model_line(series, settled->from_s, model))) {
        free(minutes);
        return MEASURE_NO_MEMORY;
    }
    double *means = minutes + k;
    for (size_t i = 0; i < k; i++) {
        minutes[i] = settled->blocks[i].time_s / 60.0;
        means[i] = settled->blocks[i].mean - stepped_by(model, settled->blocks[i].time_s);
    }
    if (model->has_line &&
        statistics_theil_sen(minutes, means, k, &out->creep_robust_mm_per_min) == MEASURE_OK) {
        tell_creep(model, settled->kept_s, out);
    }
    free(minutes);
    return MEASURE_OK;
}

/* Where a hold had not settled, its mean is where the model says it was going. */
static void level_of_unsettled(const struct settled *settled, struct hold_summary *out)
{
    const struct hold_model *model = &settled->model;
    if (!settled->not_settled || model->line_instead) {
        return;
    }
    out->mean_mm = model->level_mm;
    if (out->has_interval) {
        out->mean_half_width_mm *= model->level_se_mm / out->mean_se_mm;
        out->mean_se_mm = model->level_se_mm;
    }
}

/* The longest stretch without a gap, s. */
static double longest_stretch_s(const struct series *series, size_t from)
{
    double longest_s = 0.0;
    for (size_t first = from, end; first < series->count; first = end) {
        end = series_stretch_end(series, first);
        longest_s = fmax(longest_s, series->time_s[end - 1] - series->time_s[first]);
    }
    return longest_s;
}

void steady_begin(struct steady *steady, double rate_hz, double longest_s, double about_mm)
{
    double window_s = fmin(SPECTRUM_WINDOW_S, longest_s);
    *steady = (struct steady){.about_mm = about_mm};
    steady->filtered = low_pass_design_two_pass(STEADY_HZ, rate_hz, &steady->filter);
    if (rate_hz >= SPECTRUM_RATE_MIN_HZ && window_s >= SPECTRUM_WINDOW_MIN_S) {
        steady->spectrum =
            spectrum_create(spectrum_window_near((size_t)(window_s * rate_hz)), rate_hz);
    }
}

void steady_add(struct steady *steady, const struct series *series, size_t from)
{
    double *values = series->space;
    for (size_t first = from, end; first < series->count; first = end) {
        end = series_stretch_end(series, first);
        size_t count = series_even(series, first, end, values);
        if (steady->spectrum) {
            spectrum_add(steady->spectrum, values, count);
        }
        if (steady->filtered) {
            low_pass_two_pass(&steady->filter, values, count);
        }
        for (size_t i = 0; i < count; i++) {
            double d = values[i] - steady->about_mm;
            steady->sum += d;
            steady->squares += d * d;
        }
        steady->n += (double)count;
    }
}

void steady_tell(const struct steady *steady, double target_mm, struct hold_summary *out)
{
    double mean = steady->sum / steady->n, variance = steady->squares / steady->n - mean * mean;
    const struct spectrum *spectrum = steady->spectrum;
    out->steadiness_mm = variance > 0.0 ? sqrt(variance) : 0.0;
    if (out->has_target) {
        double off = steady->about_mm - target_mm + mean;
        out->rms_target_mm = sqrt(out->steadiness_mm * out->steadiness_mm + off * off);
    }
    if (spectrum && spectrum_windows(spectrum) > 0) {
        double bin_hz = spectrum_bin_hz(spectrum);
        out->has_spectrum = true;
        out->rms_slow_mm = sqrt(spectrum_power(spectrum, 0.5 * bin_hz, SLOW_TO_HZ));
        out->rms_breathing_mm = sqrt(spectrum_power(spectrum, SLOW_TO_HZ, BREATHING_TO_HZ));
        out->rms_pedalling_mm = sqrt(spectrum_power(spectrum, PEDALLING_FROM_HZ, PEDALLING_TO_HZ));
    }
}

void steady_end(struct steady *steady)
{
    spectrum_destroy(steady->spectrum);
    steady->spectrum = NULL;
}

enum measure_status hold_position(const struct series *series, struct settled *settled,
                                  const struct hold_settings *settings,
                                  struct hold_summary *summary)
{
    if (settings->has_target && !isfinite(settings->target_mm)) {
        return MEASURE_BAD_SETTING;
    }
    summary->cut_start_s = settled->from_s;
    summary->not_settled = settled->not_settled;
    summary->kept_s = settled->kept_s;
    summary->valid_share = settled->valid_share;
    enum measure_status status = spread(series, settled, summary);
    if (status != MEASURE_OK) {
        return status;
    }
    hold_interval(settled, summary);
    level_of_unsettled(settled, summary);
    summary->has_target = settings->has_target;
    if (settings->has_target) {
        summary->offset_mm = summary->mean_mm - settings->target_mm;
    }
    summary->stepped = settled->model.stepped;
    if (summary->stepped) {
        summary->step_mm = settled->model.step_mm;
        summary->step_at_s = settled->model.step_at_s;
    }
    struct steady steady;
    steady_begin(&steady, series->step_rate_hz, longest_stretch_s(series, settled->first),
                 summary->mean_mm);
    steady_add(&steady, series, settled->first);
    steady_tell(&steady, settings->target_mm, summary);
    steady_end(&steady);
    return hold_creep(series, settled, summary);
}
