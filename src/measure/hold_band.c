/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "hold_band.h"

#include "hold_lasting.h"

#include <math.h>

static void run_ends(struct band_tally *tally, double clock_s)
{
    if (tally->running) {
        tally->out->longest_in_band_s =
            fmax(tally->out->longest_in_band_s, clock_s - tally->run_clock_s);
    }
    tally->running = false;
}

static void run_begins(struct band_tally *tally, double clock_s)
{
    tally->running = true;
    tally->run_clock_s = clock_s;
}

static void excursion_begins(struct band_tally *tally, double clock_s, double peak_mm)
{
    run_ends(tally, clock_s);
    tally->open = true;
    tally->open_clock_s = clock_s;
    tally->open_peak_mm = peak_mm;
    if (tally->cue.state == CUE_HIGH) {
        tally->out->excursions_high++;
    } else {
        tally->out->excursions_low++;
    }
}

static void excursion_ends(struct band_tally *tally, double clock_s)
{
    struct hold_summary *out = tally->out;
    double length_s = fmax(0.0, clock_s - tally->open_clock_s);
    out->excursion_total_s += length_s;
    out->excursion_longest_s = fmax(out->excursion_longest_s, length_s);
    if (fabs(tally->open_peak_mm) > fabs(out->excursion_peak_mm)) {
        out->excursion_peak_mm = tally->open_peak_mm;
    }
    tally->open = false;
}

static bool is_outside(enum cue_state state)
{
    return state == CUE_HIGH || state == CUE_LOW;
}

/* What changed in the machine with the sample just taken; clock_s is the valid time before it. */
static void follow(struct band_tally *tally, enum cue_state state_before,
                   enum cue_state pending_before, bool silent)
{
    const struct cue_machine *cue = &tally->cue;
    double from_target_mm = cue->slow_mm - cue->target_mm;
    if (silent) { /* runs don't cross a silence; an excursion does when the rider is still out */
        run_ends(tally, tally->clock_s);
        if (tally->open && cue->state != state_before) {
            excursion_ends(tally, tally->clock_s);
        }
        if (!tally->open && is_outside(cue->state)) {
            excursion_begins(tally, tally->clock_s, from_target_mm);
        } else if (!tally->open) {
            run_begins(tally, tally->clock_s);
        }
        state_before = pending_before = cue->state;
    }
    if (cue->pending != pending_before) {
        if (is_outside(pending_before) && state_before == CUE_IN && cue->pending == CUE_IN) {
            tally->out->glances++;
        }
        tally->pending_clock_s = tally->clock_s;
        tally->pending_peak_mm = from_target_mm;
    } else if (fabs(from_target_mm) > fabs(tally->pending_peak_mm)) {
        tally->pending_peak_mm = from_target_mm;
    }
    if (cue->state != state_before) {
        if (tally->open) {
            excursion_ends(tally, tally->pending_clock_s);
        }
        if (is_outside(cue->state)) {
            excursion_begins(tally, tally->pending_clock_s, tally->pending_peak_mm);
        } else {
            run_begins(tally, tally->pending_clock_s);
        }
    }
    if (tally->open && cue->pending == cue->state &&
        fabs(from_target_mm) > fabs(tally->open_peak_mm)) {
        tally->open_peak_mm = from_target_mm;
    }
}

static void start_counting(struct band_tally *tally)
{
    tally->counting = true;
    if (is_outside(tally->cue.state)) {
        excursion_begins(tally, 0.0, tally->cue.slow_mm - tally->cue.target_mm);
    } else {
        run_begins(tally, 0.0);
    }
}

void band_tally_start(struct band_tally *tally, const struct cue_settings *settings,
                      double target_mm, double rate_hz, struct hold_summary *summary)
{
    *tally = (struct band_tally){.out = summary, .last_s = NAN};
    cue_start(&tally->cue, settings, target_mm, rate_hz);
}

bool band_tally_step(struct band_tally *tally, double time_s, double height_mm, double lasts_s,
                     bool counts)
{
    enum cue_state state = tally->cue.state, pending = tally->cue.pending;
    bool silent = time_s - tally->last_s >= tally->cue.settings.no_reading_s;
    cue_step(&tally->cue, time_s, height_mm, true);
    tally->last_s = time_s;
    bool in = cue_is_within(&tally->cue);
    if (!counts) {
        return in;
    }
    if (!tally->counting) {
        start_counting(tally);
    } else {
        follow(tally, state, pending, silent);
    }
    tally->clock_s += lasts_s;
    tally->in_s += in ? lasts_s : 0.0;
    return in;
}

void band_tally_end(struct band_tally *tally)
{
    struct hold_summary *summary = tally->out;
    if (tally->open) {
        excursion_ends(tally, tally->clock_s);
    }
    run_ends(tally, tally->clock_s);
    summary->has_band = true;
    summary->in_band_share = fmin(1.0, tally->in_s / tally->clock_s);
    summary->cues_per_min =
        60.0 * (summary->excursions_high + summary->excursions_low) / tally->clock_s;
}

void hold_band(struct series *series, double from_s, const struct cue_settings *settings,
               double target_mm, struct hold_summary *summary)
{
    struct band_tally tally;
    double *valid_s = series->space, *in_s = valid_s + series->count + 1;
    double *cut_s = in_s + series->count + 1;
    valid_s[0] = in_s[0] = 0.0;
    size_t first = series->count;
    band_tally_start(&tally, settings, target_mm, series->step_rate_hz, summary);
    for (size_t i = 0; i < series->count; i++) {
        double t = series->time_s[i], lasts_s = series_lasts_s(series, i);
        bool in = band_tally_step(&tally, t, series->height_mm[i], lasts_s, t >= from_s);
        cut_s[i] = series_cut_s(series, t);
        valid_s[i + 1] = valid_s[i] + lasts_s;
        in_s[i + 1] = in_s[i] + (in ? lasts_s : 0.0);
        first = t >= from_s && i < first ? i : first;
    }
    band_tally_end(&tally);
    cut_s[series->count] = series->cut_s;
    struct lasting lasting = {.time_s = series->time_s,
                              .valid_s = valid_s,
                              .in_s = in_s,
                              .cut_s = cut_s,
                              .first = first,
                              .count = series->count,
                              .end_s = fmin(series->duration_s, series->time_s[series->count - 1] +
                                                                    1.0 / series->step_rate_hz)};
    summary->sustain_reached = lasting_lost(&lasting, &summary->sustain_s);
}
