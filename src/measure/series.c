/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "series.h"

#include "measure/hampel.h"
#include "measure/rules.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static enum measure_status check_input(const struct hold_input *input)
{
    if (!isfinite(input->duration_s) || input->duration_s < 0.0 || !isfinite(input->rate_hz) ||
        input->rate_hz < 0.0) {
        return MEASURE_BAD_SETTING;
    }
    for (size_t i = 0; i < input->count; i++) {
        if (!isfinite(input->time_s[i])) {
            return MEASURE_NOT_FINITE;
        }
        if (input->valid[i] && !isfinite(input->height_mm[i])) {
            return MEASURE_NOT_FINITE;
        }
        if (i > 0 && !(input->time_s[i] > input->time_s[i - 1])) {
            return MEASURE_UNSORTED;
        }
    }
    for (size_t i = 0; i < input->cut_count; i++) {
        if (!isfinite(input->cuts[i].from_s) || !isfinite(input->cuts[i].to_s)) {
            return MEASURE_BAD_SETTING;
        }
    }
    return MEASURE_OK;
}

/* Rates from the time stamps, of all readings whether valid or not. */
static void find_rates(const struct hold_input *input, struct series *series)
{
    const double *t = input->time_s;
    size_t n = input->count;
    double span_s = t[n - 1] - t[0], stepping_s = 0.0;
    size_t steps = 0;
    series->effective_rate_hz = (double)(n - 1) / span_s;
    series->gap_s = fmax(SERIES_GAP_S, SERIES_GAP_PERIODS / series->effective_rate_hz);
    for (size_t i = 1; i < n; i++) {
        if (t[i] - t[i - 1] <= series->gap_s) {
            stepping_s += t[i] - t[i - 1];
            steps++;
        }
    }
    series->step_rate_hz = (double)steps / stepping_s; /* an interval is the mean one or shorter */
    double from_time = series->step_rate_hz;
    if (!(input->rate_hz >
          0.0)) { /* nothing announced: what the sequence says was lost was expected */
        from_time *= ((double)n + (double)input->lost) / (double)n;
    }
    series->expected_rate_hz = fmax(input->rate_hz, from_time);
}

static int by_start(const void *a, const void *b)
{
    const struct hold_cut *x = a, *y = b;
    return (x->from_s > y->from_s) - (x->from_s < y->from_s);
}

/* Cuts in order, joined where they overlap, limited to the hold. */
static void arrange_cuts(const struct hold_input *input, struct series *series)
{
    size_t kept = 0;
    if (input->cut_count > 0) {
        memcpy(series->cuts, input->cuts, input->cut_count * sizeof *series->cuts);
    }
    qsort(series->cuts, input->cut_count, sizeof *series->cuts, by_start);
    for (size_t i = 0; i < input->cut_count; i++) {
        double from_s = fmax(series->cuts[i].from_s, 0.0);
        double to_s = fmin(series->cuts[i].to_s, series->duration_s);
        if (kept > 0) {
            from_s = fmax(from_s, series->cuts[kept - 1].to_s);
        }
        if (!(to_s > from_s)) {
            continue;
        }
        series->cuts[kept].from_s = from_s;
        series->cuts[kept].to_s = to_s;
        series->cut_s += to_s - from_s;
        kept++;
    }
    series->cut_count = kept;
}

double series_kept_s(const struct series *series, double from_s, double to_s)
{
    double kept_s = fmax(0.0, to_s - from_s);
    for (size_t i = 0; i < series->cut_count; i++) {
        double a = fmax(from_s, series->cuts[i].from_s), b = fmin(to_s, series->cuts[i].to_s);
        if (b > a) {
            kept_s -= b - a;
        }
    }
    return kept_s;
}

/* Valid samples inside the hold, with their time. */
static void take_valid(const struct hold_input *input, struct series *series)
{
    double end_s = series->duration_s * (1.0 + 1e-12);
    for (size_t i = 0; i < input->count; i++) {
        if (input->time_s[i] < 0.0 || input->time_s[i] > end_s) {
            continue;
        }
        series->readings++;
        if (!input->valid[i]) {
            continue;
        }
        series->time_s[series->count] = input->time_s[i];
        series->height_mm[series->count] = input->height_mm[i];
        series->count++;
    }
    series->valid = series->count;
}

double series_cut_s(const struct series *series, double time_s)
{
    return series->cut_count > 0 ? time_s - series_kept_s(series, 0.0, time_s) : 0.0;
}

double series_lasts_s(const struct series *series, size_t i)
{
    bool followed =
        i + 1 < series->count && series->time_s[i + 1] - series->time_s[i] <= series->gap_s;
    return followed ? series->time_s[i + 1] - series->time_s[i] : 1.0 / series->step_rate_hz;
}

size_t series_stretch_end(const struct series *series, size_t first)
{
    size_t end = first + 1;
    while (end < series->count && series->time_s[end] - series->time_s[end - 1] <= series->gap_s) {
        end++;
    }
    return end;
}

/* Outliers stretch by stretch: what stands behind a gap says nothing about what stands before it.
 */
static enum measure_status reject_outliers(struct series *series, uint8_t *reject)
{
    struct hampel_settings settings = {.sigmas = HAMPEL_SIGMAS,
                                       .floor = HAMPEL_FLOOR_MM,
                                       .jump = HAMPEL_JUMP_MM,
                                       .half_window = (size_t)HAMPEL_HALF_WINDOW_MIN};
    double wanted = HAMPEL_HALF_WINDOW_S * series->step_rate_hz;
    if (wanted > (double)HAMPEL_HALF_WINDOW_MIN + 0.5) {
        settings.half_window = (size_t)fmin(round(wanted), 1e6);
    }
    for (size_t first = 0, end; first < series->count; first = end) {
        end = series_stretch_end(series, first);
        enum measure_status status = hampel_reject(series->height_mm + first, end - first,
                                                   &settings, reject + first, NULL, NULL);
        if (status != MEASURE_OK) {
            return status;
        }
    }
    return MEASURE_OK;
}

static void note_gap(struct series *series, double from_s, double to_s)
{
    double gap_s = series_kept_s(series, from_s, to_s);
    if (gap_s > SERIES_GAP_PERIODS / series->step_rate_hz) {
        series->longest_gap_s = fmax(series->longest_gap_s, gap_s);
    }
}

/* Drops what is rejected or cut, and finds the longest gap (a cut is not a gap). */
static void keep_accepted(struct series *series, const uint8_t *reject)
{
    size_t kept = 0, cut = 0;
    double last_s = 0.0, ordinary_s = SERIES_GAP_PERIODS / series->step_rate_hz;
    for (size_t i = 0; i < series->count; i++) {
        double t = series->time_s[i];
        if (reject && reject[i]) {
            series->outliers++;
            continue;
        }
        while (cut < series->cut_count && series->cuts[cut].to_s <= t) {
            cut++;
        }
        if (cut < series->cut_count && series->cuts[cut].from_s <= t) {
            continue;
        }
        if (t - last_s > ordinary_s) {
            note_gap(series, last_s, t);
        }
        last_s = t;
        series->time_s[kept] = t;
        series->height_mm[kept] = series->height_mm[i];
        kept++;
    }
    series->count = kept;
    note_gap(series, last_s, series->duration_s);
}

enum measure_status series_make(const struct hold_input *input, bool raw, struct series *series)
{
    memset(series, 0, sizeof *series);
    enum measure_status status = check_input(input);
    if (status != MEASURE_OK) {
        return status;
    }
    size_t n = input->count;
    series->duration_s = input->duration_s;
    series->longest_gap_s = input->duration_s;
    if (n < 2) {
        series->readings = n;
        return MEASURE_TOO_FEW;
    }
    if (!(series->duration_s > 0.0)) {
        series->duration_s = input->time_s[n - 1];
    }
    find_rates(input, series);

    size_t doubles = 5 * n + 3;
    size_t cuts = input->cut_count + 1;
    char *memory = calloc(1, doubles * sizeof(double) + cuts * sizeof *series->cuts + n);
    if (!memory) {
        return MEASURE_NO_MEMORY;
    }
    series->memory = memory;
    series->time_s = (double *)(void *)memory;
    series->height_mm = series->time_s + n;
    series->space = series->height_mm + n;
    series->cuts = (struct hold_cut *)(void *)(series->space + 3 * n + 3);
    uint8_t *reject = (uint8_t *)(series->cuts + cuts);

    if (!raw) {
        arrange_cuts(input, series);
    }
    take_valid(input, series);
    if (!raw) {
        status = reject_outliers(series, reject);
        if (status != MEASURE_OK) {
            return status;
        }
    }
    series->longest_gap_s = 0.0;
    keep_accepted(series, raw ? NULL : reject);
    return series->count > 0 ? MEASURE_OK : MEASURE_TOO_FEW;
}

void series_free(struct series *series)
{
    free(series->memory);
    series->memory = NULL;
}

size_t series_even(const struct series *series, size_t first, size_t end, double *values)
{
    const double *t = series->time_s + first, *x = series->height_mm + first;
    size_t n = end - first;
    double period_s = 1.0 / series->step_rate_hz;
    bool even = true;
    for (size_t i = 1; even && i < n; i++) {
        even = fabs(t[i] - t[i - 1] - period_s) <= SERIES_EVEN_SHARE * period_s;
    }
    if (even) {
        memcpy(values, x, n * sizeof *values);
        return n;
    }
    size_t made = (size_t)((t[n - 1] - t[0]) / period_s + 1e-6) + 1, at = 0;
    for (size_t i = 0; i < made; i++) {
        double time_s = t[0] + (double)i * period_s;
        while (at + 2 < n && t[at + 1] <= time_s) {
            at++;
        }
        double part = (time_s - t[at]) / (t[at + 1] - t[at]);
        values[i] = x[at] + fmin(1.0, part) * (x[at + 1] - x[at]);
    }
    return made;
}
