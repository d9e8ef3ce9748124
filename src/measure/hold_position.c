/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "hold_position.h"

#include "measure/filter.h"
#include "measure/rules.h"
#include "measure/spectrum.h"
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

static void interval(const struct settled *settled, struct hold_summary *out)
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

/* How alike the residuals of blocks that follow each other are. */
static struct likeness residual_likeness(const struct block *blocks, const double *residuals,
                                         size_t count)
{
    double squares = 0.0, products = 0.0;
    for (size_t i = 0; i < count; i++) {
        squares += residuals[i] * residuals[i];
        if (i > 0 && blocks[i].index == blocks[i - 1].index + 1) {
            products += residuals[i] * residuals[i - 1];
        }
    }
    return squares > 0.0 ? likeness_of(products / squares, count)
                         : (struct likeness){.factor = 1.0};
}

static enum measure_status creep(const struct settled *settled, struct hold_summary *out)
{
    size_t k = settled->count;
    if (k < SETTLED_BLOCKS_MIN) {
        return MEASURE_OK;
    }
    double *minutes = malloc(3 * k * sizeof *minutes);
    if (!minutes) {
        return MEASURE_NO_MEMORY;
    }
    double *means = minutes + k, *residuals = means + k, ratio, score;
    struct line_fit line;
    for (size_t i = 0; i < k; i++) {
        minutes[i] = settled->blocks[i].time_s / 60.0;
        means[i] = settled->blocks[i].mean;
    }
    if (statistics_line(minutes, means, k, &line) == MEASURE_OK &&
        statistics_theil_sen(minutes, means, k, &out->creep_robust_mm_per_min) == MEASURE_OK) {
        for (size_t i = 0; i < k; i++) {
            residuals[i] = means[i] - line.intercept - line.slope * minutes[i];
        }
        struct likeness likeness = residual_likeness(settled->blocks, residuals, k);
        out->has_creep = true;
        out->creep_mm_per_min = line.slope;
        out->creep_half_width_mm_per_min = likeness_half_width(&likeness, k, 2, line.slope_se);
        out->creep_flagged = fabs(line.slope) * settled->kept_s / 60.0 >= CREEP_FLAG_MM &&
                             fabs(line.slope) > out->creep_half_width_mm_per_min;
    }
    if (statistics_von_neumann(means, k, &ratio, &score) == MEASURE_OK) {
        out->drifting = score < DRIFTING_SCORE;
    }
    free(minutes);
    return MEASURE_OK;
}

static struct spectrum *make_spectrum(const struct series *series, const struct settled *settled)
{
    double rate_hz = series->step_rate_hz, longest_s = 0.0;
    for (size_t first = settled->first, end; first < series->count; first = end) {
        end = series_stretch_end(series, first);
        longest_s = fmax(longest_s, series->time_s[end - 1] - series->time_s[first]);
    }
    double window_s = fmin(SPECTRUM_WINDOW_S, longest_s);
    if (rate_hz < SPECTRUM_RATE_MIN_HZ || window_s < SPECTRUM_WINDOW_MIN_S) {
        return NULL;
    }
    return spectrum_create(spectrum_window_near((size_t)(window_s * rate_hz)), rate_hz);
}

/* Steadiness about the mean and about the target, and the bands, over evenly sampled stretches. */
static void steadiness(const struct series *series, const struct settled *settled,
                       struct hold_summary *out)
{
    struct low_pass filter;
    bool filtered = low_pass_design_two_pass(STEADY_HZ, series->step_rate_hz, &filter);
    struct spectrum *spectrum = make_spectrum(series, settled);
    double sum = 0.0, squares = 0.0, n = 0.0, *values = series->space;
    for (size_t first = settled->first, end; first < series->count; first = end) {
        end = series_stretch_end(series, first);
        size_t count = series_even(series, first, end, values);
        if (spectrum) {
            spectrum_add(spectrum, values, count);
        }
        if (filtered) {
            low_pass_two_pass(&filter, values, count);
        }
        for (size_t i = 0; i < count; i++) {
            double d = values[i] - out->mean_mm;
            sum += d;
            squares += d * d;
        }
        n += (double)count;
    }
    double mean = sum / n, variance = squares / n - mean * mean;
    out->steadiness_mm = variance > 0.0 ? sqrt(variance) : 0.0;
    if (out->has_target) {
        double off = out->offset_mm + mean;
        out->rms_target_mm = sqrt(out->steadiness_mm * out->steadiness_mm + off * off);
    }
    if (spectrum && spectrum_windows(spectrum) > 0) {
        double bin_hz = spectrum_bin_hz(spectrum);
        out->has_spectrum = true;
        out->rms_slow_mm = sqrt(spectrum_power(spectrum, 0.5 * bin_hz, SLOW_TO_HZ));
        out->rms_breathing_mm = sqrt(spectrum_power(spectrum, SLOW_TO_HZ, BREATHING_TO_HZ));
        out->rms_pedalling_mm = sqrt(spectrum_power(spectrum, PEDALLING_FROM_HZ, PEDALLING_TO_HZ));
    }
    spectrum_destroy(spectrum);
}

enum measure_status hold_position(const struct series *series, const struct settled *settled,
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
    summary->has_target = settings->has_target;
    if (settings->has_target) {
        summary->offset_mm = summary->mean_mm - settings->target_mm;
    }
    interval(settled, summary);
    steadiness(series, settled, summary);
    return creep(settled, summary);
}
