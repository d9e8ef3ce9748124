/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/minutes.h"

#include "minute_row.h"
#include "series.h"

#include "measure/exact_tests.h"
#include "measure/rules.h"

#include <math.h>

static void begin_rows(const struct hold_input *input, double step_s, struct minute_row *rows,
                       size_t count)
{
    for (size_t r = 0; r < count; r++) {
        double from_s = (double)r * step_s;
        rows[r] = (struct minute_row){.from_s = from_s,
                                      .to_s = fmin(from_s + step_s, input->duration_s),
                                      .mean_mm = NAN,
                                      .in_band_share = NAN};
        for (size_t c = 0; c < input->cut_count; c++) {
            double up_s =
                fmin(input->cuts[c].to_s, rows[r].to_s) - fmax(input->cuts[c].from_s, from_s);
            rows[r].up_s += fmax(up_s, 0.0);
        }
    }
}

static bool is_out(enum cue_state state)
{
    return state == CUE_HIGH || state == CUE_LOW;
}

/* Its means stand for the sums until the end. */
void minute_row_take(struct minute_row *row, const struct cue_machine *cue, enum cue_state before,
                     double height_mm, double lasts_s)
{
    if (row->seen_s == 0.0) {
        row->mean_mm = row->in_band_share = 0.0;
    }
    row->seen_s += lasts_s;
    row->mean_mm += height_mm * lasts_s;
    row->in_band_share += cue_is_within(cue) ? lasts_s : 0.0;
    row->cues += !is_out(before) && is_out(cue->state);
}

void minute_row_end(struct minute_row *row, bool has_band)
{
    if (row->seen_s > 0.0) {
        row->mean_mm /= row->seen_s;
        row->in_band_share = has_band ? row->in_band_share / row->seen_s : (double)NAN;
    }
}

static void fill_rows(const struct series *series, const struct hold_settings *settings,
                      double step_s, struct minute_row *rows, size_t count)
{
    struct cue_machine cue;
    cue_start(&cue, &settings->cue, settings->target_mm, series->step_rate_hz);
    for (size_t i = 0; i < series->count; i++) {
        size_t at = (size_t)fmax(series->time_s[i] / step_s, 0.0);
        enum cue_state before = cue.state;
        cue_step(&cue, series->time_s[i], series->height_mm[i], true);
        minute_row_take(&rows[at < count ? at : count - 1], &cue, before, series->height_mm[i],
                        series_lasts_s(series, i));
    }
    for (size_t r = 0; r < count; r++) {
        minute_row_end(&rows[r], settings->has_band);
    }
}

size_t minutes_make(const struct hold_input *input, const struct hold_settings *settings,
                    double step_s, struct minute_row *rows, size_t most)
{
    struct series series;
    size_t count = input->duration_s > 0.0 ? (size_t)ceil(input->duration_s / step_s - 1e-9) : 0;
    count = count < most ? count : most;
    if (count == 0) {
        return 0;
    }
    begin_rows(input, step_s, rows, count);
    if (series_make(input, settings->raw, &series) == MEASURE_OK) {
        fill_rows(&series, settings, step_s, rows, count);
    }
    series_free(&series);
    return count;
}

/* Adds one row to another: times, and means by them. */
static void take_in(struct minute_row *all, const struct minute_row *row)
{
    all->to_s = row->to_s;
    all->up_s += row->up_s;
    all->cues += row->cues;
    if (!(row->seen_s > 0.0)) {
        return;
    }
    double whole_s = all->seen_s + row->seen_s;
    if (!(all->seen_s > 0.0)) {
        all->mean_mm = all->in_band_share = 0.0;
    }
    all->mean_mm += (row->mean_mm - all->mean_mm) * row->seen_s / whole_s;
    all->in_band_share += (row->in_band_share - all->in_band_share) * row->seen_s / whole_s;
    all->seen_s = whole_s;
}

static struct minute_row gather(const struct minute_row *rows, size_t from, size_t to)
{
    struct minute_row all = {.from_s = rows[from].from_s,
                             .to_s = rows[from].from_s,
                             .mean_mm = NAN,
                             .in_band_share = NAN};
    for (size_t r = from; r < to; r++) {
        take_in(&all, &rows[r]);
    }
    return all;
}

void minutes_course(const struct minute_row *rows, size_t count, struct minutes_course *course)
{
    double at_h[EXACT_VALUES_MAX], mean_mm[EXACT_VALUES_MAX];
    size_t points = 0, together = count / EXACT_VALUES_MAX + 1;
    struct trend trend;
    *course = (struct minutes_course){.has_trend = false, .after_mm = NAN};
    for (size_t q = 0; q < RIDE_QUARTERS && count >= RIDE_QUARTERS; q++) {
        course->quarter[q] =
            gather(rows, q * count / RIDE_QUARTERS, (q + 1) * count / RIDE_QUARTERS);
    }
    for (size_t r = 0; r + together <= count; r += together) {
        struct minute_row all = gather(rows, r, r + together);
        if (all.seen_s > 0.0) {
            at_h[points] = (all.from_s + all.to_s) / 2.0 / 3600.0;
            mean_mm[points++] = all.mean_mm;
        }
    }
    if (points >= MINUTE_TREND_ROWS_MIN && trend_of(at_h, mean_mm, points, &trend) == MEASURE_OK) {
        course->trend_mm_per_h = trend.slope;
        course->trend_low = trend.low;
        course->trend_high = trend.high;
        course->has_trend = true;
    }
}

void minutes_course_after(const struct minute_row *rows, size_t count, double from_s,
                          struct minutes_course *course)
{
    size_t from = 0;
    while (from < count && rows[from].from_s < from_s) {
        from++;
    }
    course->after_mm = from < count ? gather(rows, from, count).mean_mm : (double)NAN;
}
