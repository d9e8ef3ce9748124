/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/hold_stream.h"

#include "hold_band.h"
#include "hold_lasting.h"
#include "hold_position.h"
#include "hold_recent.h"
#include "hold_spread.h"
#include "minute_row.h"
#include "series.h"

#include "measure/rules.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LASTING_S (SUSTAIN_WINDOW_S + SUSTAIN_AFTER_S + MINUTE_ROW_S) /* and a piece */

/* What there was of a block of BLOCK_LENGTH_S. */
struct part {
    float mean_mm, mean_s; /* less the hold's first height; since the block's start */
    uint32_t count;
};

struct hold_stream {
    struct hold_settings settings;
    double most_s;
    /* counts of all pieces */
    size_t readings, valid, outliers, kept, pieces;
    uint64_t lost;
    double expected;        /* sum of readings times the rate that is expected */
    double first_s, last_s; /* of all readings */
    double last_kept_s;
    double rate_hz; /* of steps, in the first piece */
    double gap_s;   /* since the last reading that was kept, what was cut apart */
    double longest_gap_s, cut_s, end_s;
    struct band_tally tally;
    struct hold_summary band; /* what the tally fills */
    struct spread spread;
    struct steady steady;
    struct recent recent;
    struct lasting_going_on lasting;
    size_t part_count, part_room, row_room;
    struct part *part;
    double sum_mm, sum_s; /* of the last one, as it goes on */
    struct minute_row *row;
};

struct hold_stream *hold_stream_create(const struct hold_settings *settings, double rate_hz,
                                       double most_s)
{
    struct hold_stream *stream = calloc(1, sizeof *stream);
    if (stream == NULL) {
        return NULL;
    }
    stream->settings = *settings;
    stream->most_s = most_s;
    stream->part_room = (size_t)(most_s / BLOCK_LENGTH_S) + 2;
    stream->row_room = (size_t)(most_s / MINUTE_ROW_S) + 2;
    stream->part = calloc(stream->part_room, sizeof *stream->part);
    stream->row = calloc(stream->row_room, sizeof *stream->row);
    bool there = spread_begin(&stream->spread) && recent_begin(&stream->recent, rate_hz) &&
                 lasting_begin(&stream->lasting, (size_t)(LASTING_S * fmax(rate_hz, 1.0))) &&
                 stream->part != NULL && stream->row != NULL;
    for (size_t r = 0; there && r < stream->row_room; r++) {
        stream->row[r] = (struct minute_row){
            .from_s = (double)r * MINUTE_ROW_S, .mean_mm = NAN, .in_band_share = NAN};
    }
    if (!there) {
        hold_stream_destroy(stream);
        return NULL;
    }
    return stream;
}

void hold_stream_destroy(struct hold_stream *stream)
{
    if (stream != NULL) {
        spread_end(&stream->spread);
        recent_end(&stream->recent);
        lasting_free(&stream->lasting);
        spectrum_destroy(stream->steady.spectrum);
        free(stream->part);
        free(stream->row);
        free(stream);
    }
}

/* ---- a piece ---- */

/* With the first piece that has anything in it, what needs a rate begins. */
static void begin(struct hold_stream *stream, const struct series *series)
{
    if (stream->kept > 0) {
        return;
    }
    stream->rate_hz = series->step_rate_hz;
    band_tally_start(&stream->tally, &stream->settings.cue, stream->settings.target_mm,
                     stream->rate_hz, &stream->band);
    steady_begin(&stream->steady, stream->rate_hz, SPECTRUM_WINDOW_S, series->height_mm[0]);
}

static void count_piece(struct hold_stream *stream, const struct hold_input *piece,
                        const struct series *series, double from_s)
{
    stream->readings += series->readings;
    stream->valid += series->valid;
    stream->outliers += series->outliers;
    stream->kept += series->count;
    stream->lost += piece->lost;
    stream->cut_s += series->cut_s;
    stream->expected += (double)series->readings * series->expected_rate_hz;
    if (piece->count > 0) {
        stream->first_s = stream->pieces == 0 ? from_s + piece->time_s[0] : stream->first_s;
        stream->last_s = from_s + piece->time_s[piece->count - 1];
    }
    stream->pieces++;
}

/* The longest time without a reading that was kept; a cut is none of it. */
static void note_gaps(struct hold_stream *stream, const struct series *series, double from_s)
{
    double last_s = 0.0;
    stream->gap_s += fmax(0.0, from_s - stream->end_s);
    for (size_t i = 0; i < series->count; i++) {
        double t = series->time_s[i];
        bool ordinary = t - last_s <= SERIES_GAP_PERIODS / stream->rate_hz && i > 0;
        stream->gap_s += ordinary ? 0.0 : series_kept_s(series, last_s, t);
        stream->longest_gap_s = fmax(stream->longest_gap_s, stream->gap_s);
        stream->gap_s = 0.0;
        last_s = t;
    }
    stream->gap_s += series_kept_s(series, last_s, series->duration_s);
    stream->end_s = from_s + series->duration_s;
}

static void take_part(struct hold_stream *stream, size_t at, double time_s, double height_mm)
{
    struct part *part = &stream->part[at];
    if (part->count == 0) {
        stream->sum_mm = stream->sum_s = 0.0;
    }
    part->count++;
    stream->sum_mm += height_mm - stream->spread.first_mm;
    stream->sum_s += time_s - (double)at * BLOCK_LENGTH_S;
    part->mean_mm = (float)(stream->sum_mm / part->count);
    part->mean_s = (float)(stream->sum_s / part->count);
    stream->part_count = at + 1;
}

static size_t place(double time_s, double step_s, size_t room)
{
    size_t at = (size_t)(fmax(time_s, 0.0) / step_s);
    return at < room ? at : room - 1;
}

/* False: not all of them, without memory. */
static bool take_readings(struct hold_stream *stream, const struct series *series, double from_s)
{
    bool taken = true;
    for (size_t i = 0; i < series->count; i++) {
        double t = from_s + series->time_s[i], height_mm = series->height_mm[i];
        double lasts_s = series_lasts_s(series, i);
        size_t at = place(t, BLOCK_LENGTH_S, stream->part_room);
        enum cue_state before = stream->tally.cue.state;
        bool in = band_tally_step(&stream->tally, t, height_mm, lasts_s, true);
        stream->last_kept_s = t;
        spread_take(&stream->spread, height_mm);
        take_part(stream, at, t, height_mm);
        taken = lasting_take(&stream->lasting, t, lasts_s, in,
                             stream->cut_s + series_cut_s(series, series->time_s[i])) &&
                taken;
        minute_row_take(&stream->row[place(t, MINUTE_ROW_S, stream->row_room)], &stream->tally.cue,
                        before, height_mm, lasts_s);
    }
    lasting_look_on(&stream->lasting);
    return taken;
}

enum measure_status hold_stream_add(struct hold_stream *stream, const struct hold_input *piece,
                                    double from_s)
{
    struct series series;
    enum measure_status status = series_make(piece, stream->settings.raw, &series);
    if (status == MEASURE_OK) {
        begin(stream, &series);
        bool taken = take_readings(stream, &series, from_s);
        taken = recent_add(&stream->recent, &series, from_s) && taken;
        status = taken ? MEASURE_OK : MEASURE_NO_MEMORY;
        note_gaps(stream, &series, from_s);
        steady_add(&stream->steady, &series, 0); /* last: its space is worked in */
    } else {
        stream->gap_s += fmax(0.0, from_s + piece->duration_s - stream->end_s) - series.cut_s;
        stream->end_s = from_s + piece->duration_s;
    }
    count_piece(stream, piece, &series, from_s);
    series_free(&series);
    return status;
}

/* ---- steps ---- */

bool hold_stream_look(struct hold_stream *stream, bool over, double *step_mm, double *at_s)
{
    bool larger = recent_look(&stream->recent, stream->end_s, stream->most_s, over);
    *step_mm = stream->recent.step.step_mm;
    *at_s = stream->recent.step.step_at_s;
    return larger;
}

enum measure_status hold_stream_step_at(const struct hold_stream *stream, double at_s,
                                        double *step_mm)
{
    return recent_step_at(&stream->recent, stream->end_s, at_s, step_mm);
}

/* ---- what it comes to ---- */

/* The blocks, for all that works on blocks, and as readings for all that works on series. */
struct coarse {
    struct settled settled;
    struct series series;
    double *memory;
};

static double expected_rate_hz(const struct hold_stream *stream)
{
    return stream->expected / fmax(1.0, (double)stream->readings);
}

static bool coarse_make(const struct hold_stream *stream, double duration_s, struct coarse *coarse)
{
    size_t n = stream->part_count, made = 0;
    memset(coarse, 0, sizeof *coarse);
    coarse->memory = malloc((2 * n + 1) * sizeof *coarse->memory);
    coarse->settled.all = malloc((n + 1) * sizeof *coarse->settled.all);
    if (coarse->memory == NULL || coarse->settled.all == NULL) {
        return false;
    }
    double *middle_s = coarse->memory, *mean_mm = middle_s + n;
    double least = fmax(1.0, BLOCK_SHARE_MIN * BLOCK_LENGTH_S * expected_rate_hz(stream));
    for (size_t i = 0; i < n; i++) {
        const struct part *part = &stream->part[i];
        bool whole = ((double)i + 1.0) * BLOCK_LENGTH_S <= duration_s + 1e-6 * BLOCK_LENGTH_S;
        if (part->count == 0) {
            continue;
        }
        middle_s[made] = ((double)i + 0.5) * BLOCK_LENGTH_S;
        mean_mm[made++] = stream->spread.first_mm + (double)part->mean_mm;
        if (whole && (double)part->count >= least) {
            coarse->settled.all[coarse->settled.count++] =
                (struct block){.index = i,
                               .time_s = (double)i * BLOCK_LENGTH_S + (double)part->mean_s,
                               .mean = mean_mm[made - 1],
                               .count = part->count};
        }
    }
    coarse->settled.blocks = coarse->settled.all;
    coarse->series = (struct series){.count = made,
                                     .time_s = middle_s,
                                     .height_mm = mean_mm,
                                     .duration_s = duration_s,
                                     .expected_rate_hz = 1.0 / BLOCK_LENGTH_S};
    return true;
}

static void coarse_free(struct coarse *coarse)
{
    settled_free(&coarse->settled);
    free(coarse->memory);
}

static bool find_model(const struct hold_stream *stream, struct coarse *coarse)
{
    struct hold_model *model = &coarse->settled.model;
    if (!hold_step_in_stretches(coarse->series.duration_s)) {
        return recent_model(&stream->recent, coarse->series.duration_s, model);
    }
    model->stepped = stream->recent.step.stepped;
    model->step_mm = stream->recent.step.step_mm;
    model->step_at_s = stream->recent.step.step_at_s;
    return hold_model_fit_beside(&coarse->series, true, model);
}

/* What needs no model. */
static enum measure_status tell_position(const struct hold_stream *stream, struct coarse *coarse,
                                         struct hold_summary *summary)
{
    struct settled *settled = &coarse->settled;
    enum measure_status status = spread_tell(&stream->spread, summary);
    settled->kept_s = fmax(0.0, coarse->series.duration_s - stream->cut_s);
    settled->valid_share =
        fmin(1.0, (double)stream->kept / (expected_rate_hz(stream) * settled->kept_s));
    summary->kept_s = settled->kept_s;
    summary->valid_share = settled->valid_share;
    summary->has_target = stream->settings.has_target;
    if (status == MEASURE_OK) {
        hold_interval(settled, summary);
        summary->offset_mm =
            summary->has_target ? summary->mean_mm - stream->settings.target_mm : 0.0;
    }
    return status;
}

static void tell_counts(const struct hold_stream *stream, double duration_s,
                        struct hold_summary *summary)
{
    struct band_tally tally = stream->tally;
    double span_s = stream->last_s - stream->first_s;
    memset(summary, 0, sizeof *summary);
    if (stream->settings.has_target && stream->settings.has_band && stream->kept > 0) {
        *summary = stream->band;
        tally.out = summary;
        band_tally_end(&tally);
    }
    summary->effective_rate_hz = span_s > 0.0 ? (double)(stream->readings - 1) / span_s : 0.0;
    summary->readings = stream->readings;
    summary->valid = stream->valid;
    summary->outliers = stream->outliers;
    summary->longest_gap_s =
        fmax(stream->longest_gap_s, stream->gap_s + fmax(0.0, duration_s - stream->end_s));
    summary->cut_marked_s = stream->cut_s;
}

/* Steps, steadiness, creep and how long it lasted. */
static enum measure_status tell_rest(const struct hold_stream *stream, struct coarse *coarse,
                                     struct hold_summary *summary)
{
    struct settled *settled = &coarse->settled;
    double duration_s = coarse->series.duration_s;
    if (settled->count >= SETTLED_BLOCKS_MIN && !find_model(stream, coarse)) {
        return MEASURE_NO_MEMORY;
    }
    summary->stepped = settled->model.stepped;
    summary->step_mm = summary->stepped ? settled->model.step_mm : 0.0;
    summary->step_at_s = summary->stepped ? settled->model.step_at_s : 0.0;
    steady_tell(&stream->steady, stream->settings.target_mm, summary);
    if (summary->has_band) {
        summary->sustain_reached = lasting_tell(
            &stream->lasting, fmin(duration_s, stream->last_kept_s + 1.0 / stream->rate_hz),
            &summary->sustain_s);
    }
    return hold_creep(&coarse->series, settled, summary);
}

static enum measure_status tell(const struct hold_stream *stream, double duration_s, bool is_over,
                                struct hold_summary *summary)
{
    struct coarse coarse;
    tell_counts(stream, duration_s, summary);
    summary->status = MEASURE_TOO_FEW;
    if (stream->kept >= (size_t)HOLD_SAMPLES_MIN) {
        summary->status = coarse_make(stream, duration_s, &coarse)
                              ? tell_position(stream, &coarse, summary)
                              : MEASURE_NO_MEMORY;
        if (is_over && summary->status == MEASURE_OK) {
            summary->status = tell_rest(stream, &coarse, summary);
        }
        coarse_free(&coarse);
    }
    return summary->status;
}

enum measure_status hold_stream_so_far(const struct hold_stream *stream, double so_far_s,
                                       struct hold_summary *summary)
{
    return tell(stream, so_far_s, false, summary);
}

enum measure_status hold_stream_summarise(const struct hold_stream *stream, double duration_s,
                                          struct hold_summary *summary)
{
    return tell(stream, duration_s, true, summary);
}

size_t hold_stream_minutes(const struct hold_stream *stream, double duration_s,
                           struct minute_row *rows, size_t most)
{
    size_t count = duration_s > 0.0 ? (size_t)ceil(duration_s / MINUTE_ROW_S - 1e-9) : 0;
    count = count < most ? count : most;
    count = count < stream->row_room ? count : stream->row_room;
    for (size_t r = 0; r < count; r++) {
        rows[r] = stream->row[r];
        rows[r].to_s = fmin(rows[r].from_s + MINUTE_ROW_S, duration_s);
        minute_row_end(&rows[r], stream->settings.has_band);
    }
    return count;
}
