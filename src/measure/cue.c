/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/cue.h"

#include "measure/filter.h"
#include "measure/rules.h"

#include <math.h>

struct cue_settings cue_usual(bool head)
{
    return (struct cue_settings){
        .band_above_mm = (double)INFINITY,
        .band_below_mm = (double)INFINITY,
        .filter_hz = CUE_FILTER_HZ,
        .dead_band = CUE_DEAD_BAND,
        .on_delay_s = head ? CUE_ON_DELAY_HEAD_S : CUE_ON_DELAY_S,
        .off_delay_s = CUE_OFF_DELAY_S,
        .no_reading_s = CUE_NO_READING_S,
    };
}

bool cue_settings_equal(const struct cue_settings *a, const struct cue_settings *b)
{
    return a->band_above_mm == b->band_above_mm && a->band_below_mm == b->band_below_mm &&
           a->filter_hz == b->filter_hz && a->dead_band == b->dead_band &&
           a->on_delay_s == b->on_delay_s && a->off_delay_s == b->off_delay_s &&
           a->no_reading_s == b->no_reading_s;
}

/* Without a rate that carries the filter, gain 1 passes the readings as they are. */
static void set_filter(struct cue_machine *cue)
{
    struct low_pass filter;
    if (!low_pass_design(cue->settings.filter_hz, cue->rate_hz, &filter)) {
        filter = (struct low_pass){.b0 = 1.0};
    }
    cue->filter_gain[0] = filter.b0;
    cue->filter_gain[1] = filter.b1;
    cue->filter_gain[2] = filter.b2;
    cue->filter_gain[3] = filter.a1;
    cue->filter_gain[4] = filter.a2;
}

void cue_start(struct cue_machine *cue, const struct cue_settings *settings, double target_mm,
               double rate_hz)
{
    *cue = (struct cue_machine){.settings = *settings, .target_mm = target_mm, .rate_hz = rate_hz};
    cue->state = cue->pending = cue->seen = cue->before = CUE_NO_READING;
    set_filter(cue);
}

bool cue_is_within(const struct cue_machine *cue)
{
    double off_mm = cue->slow_mm - cue->target_mm;
    return off_mm <= cue->settings.band_above_mm && -off_mm <= cue->settings.band_below_mm;
}

void cue_retarget(struct cue_machine *cue, const struct cue_settings *settings, double target_mm)
{
    bool refilter = settings->filter_hz != cue->settings.filter_hz;
    cue->settings = *settings;
    cue->target_mm = target_mm;
    if (refilter) {
        set_filter(cue);
        cue->filter_started = false;
    }
    cue->pending = cue->state; /* a delay under way was against the old limits */
    cue->before = CUE_NO_READING;
}

static void filter_step(struct cue_machine *cue, double height_mm)
{
    const double *g = cue->filter_gain;
    struct low_pass filter = {g[0], g[1], g[2], g[3], g[4]};
    struct low_pass_state state = {cue->filter_state[0], cue->filter_state[1], cue->filter_state[2],
                                   cue->filter_state[3]};
    if (!cue->filter_started) {
        low_pass_rest(&state, height_mm);
    }
    cue->filter_started = true;
    cue->slow_mm = low_pass_step(&filter, &state, height_mm);
    cue->filter_state[0] = state.x1;
    cue->filter_state[1] = state.x2;
    cue->filter_state[2] = state.y1;
    cue->filter_state[3] = state.y2;
}

/* Where the filtered posture stands, seen from state: a state outside is left only inside the
 * dead-band. */
static enum cue_state position(const struct cue_machine *cue, enum cue_state state)
{
    const struct cue_settings *s = &cue->settings;
    double above = cue->slow_mm - cue->target_mm;
    double inside = 1.0 - s->dead_band;
    if (above > (state == CUE_HIGH ? inside * s->band_above_mm : s->band_above_mm)) {
        return CUE_HIGH;
    }
    if (-above > (state == CUE_LOW ? inside * s->band_below_mm : s->band_below_mm)) {
        return CUE_LOW;
    }
    return CUE_IN;
}

static enum cue_state no_reading(struct cue_machine *cue)
{
    if (cue->state != CUE_NO_READING) {
        cue->before = cue->state;
    }
    cue->state = cue->pending = cue->seen = CUE_NO_READING;
    return cue->state;
}

enum cue_state cue_step(struct cue_machine *cue, double time_s, double height_mm, bool valid)
{
    double silent_s = cue->has_valid ? time_s - cue->last_valid_s : 0.0;
    if (cue->has_valid && silent_s >= cue->settings.no_reading_s) {
        no_reading(cue);
    }
    if (!valid || !isfinite(height_mm) || !isfinite(time_s)) {
        return cue->state;
    }
    if (silent_s > CUE_FILTER_RESTART_S || silent_s < 0.0) {
        cue->filter_started = false;
    }
    cue->has_valid = true;
    cue->last_valid_s = time_s;
    filter_step(cue, height_mm);

    if (cue->state == CUE_NO_READING) {
        /* Readings are back: still where it was, or in until the delay is over. */
        bool same = cue->before == CUE_HIGH || cue->before == CUE_LOW;
        if (same && position(cue, cue->before) == cue->before) {
            cue->state = cue->before;
        } else {
            cue->state = CUE_IN;
        }
        cue->pending = cue->seen = cue->state;
        cue->pending_since_s = time_s;
        cue->before = CUE_NO_READING;
    }
    enum cue_state now = position(cue, cue->state);
    if (now != cue->pending || time_s < cue->pending_since_s) {
        cue->pending = now;
        cue->pending_since_s = time_s;
    }
    double delay_s = now == CUE_IN ? cue->settings.off_delay_s : cue->settings.on_delay_s;
    double stood_s = time_s - cue->pending_since_s + 1e-6; /* time stamps' rounding */
    if (stood_s >= delay_s) {
        cue->state = now;
    }
    if (stood_s >= fmin(delay_s, CUE_SEEN_S)) {
        cue->seen = now;
    }
    return cue->state;
}
