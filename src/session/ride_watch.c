/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "ride_watch.h"

#include "base/text.h"
#include "machine.h"
#include "measure/rules.h"

#include <math.h>
#include <string.h>

static bool is_ride(const struct session *session)
{
    return session->doing.activity == ACTIVITY_HOLD && session->begun &&
           session->record.hold[session->doing.hold].purpose == PURPOSE_RIDE;
}

static void begin(struct ride_watch *watch, int hold)
{
    memset(watch, 0, sizeof *watch);
    watch->on = true;
    watch->hold = hold;
    sat_up_start(&watch->sat);
}

/* The minute that runs is over. */
static void end_minute(struct ride_watch *watch)
{
    struct view_ride_minute *row = &watch->row[watch->count++ % VIEW_RIDE_MINUTES];
    row->minute = watch->count;
    row->in_band_share = watch->banded_s > 0.0 ? watch->in_s / watch->banded_s : (double)NAN;
    row->up_s = watch->minute_up_s;
    row->sounds = watch->sounds;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        row->off_mm[c] = watch->off_s[c] > 0.0 ? watch->off_mm_s[c] / watch->off_s[c] : (double)NAN;
    }
    watch->banded_s = watch->in_s = watch->minute_up_s = 0.0;
    watch->sounds = 0;
    memset(watch->off_mm_s, 0, sizeof watch->off_mm_s);
    memset(watch->off_s, 0, sizeof watch->off_s);
}

/* Of the body's channels: is any seen; and of those with a band: are all in, is one far over? */
struct posture {
    bool seen, has_band, in, over;
};

static struct posture posture_of(const struct session *session)
{
    const struct placing_record *placing = machine_placing(session);
    struct posture posture = {.in = true};
    for (int c = 0; placing != NULL && c < placing->channel_count; c++) {
        const struct cue_machine *slow = &session->channel[c].slow;
        bool has_band = session->band >= 0 && session->record.band[session->band].limited[c] &&
                        isfinite(slow->target_mm);
        if (placing->channel[c].role != ROLE_BODY || slow->state == CUE_NO_READING) {
            continue;
        }
        posture.seen = true;
        if (!has_band) {
            continue;
        }
        const struct cue_settings *cue = &session->record.band[session->band].cue[c];
        double off_mm = slow->slow_mm - slow->target_mm;
        posture.has_band = true;
        posture.in = posture.in && off_mm <= cue->band_above_mm && -off_mm <= cue->band_below_mm;
        posture.over =
            posture.over || sat_up_is_over(slow->slow_mm, slow->target_mm + cue->band_above_mm,
                                           text_equal(placing->channel[c].name, "head"));
    }
    return posture;
}

static void add_offsets(struct session *session, double lasts_s)
{
    for (int c = 0; c < CHANNELS_MAX; c++) {
        const struct cue_machine *slow = &session->channel[c].slow;
        if (slow->state != CUE_NO_READING) { /* without a target it is no number, and stays none */
            session->ride.off_mm_s[c] += (slow->slow_mm - slow->target_mm) * lasts_s;
            session->ride.off_s[c] += lasts_s;
        }
    }
}

void ride_watch_sample(struct session *session)
{
    struct ride_watch *watch = &session->ride;
    struct hold_cut stretch;
    if (!is_ride(session)) {
        watch->on = false;
        return;
    }
    if (!watch->on || watch->hold != session->doing.hold) {
        begin(watch, session->doing.hold);
    }
    double now_s = machine_now_s(session) - (double)session->doing.begin_us / 1e6;
    double lasts_s = now_s - watch->last_s;
    while (watch->count < (int)(now_s / 60.0)) {
        end_minute(watch);
    }
    watch->last_s = now_s;
    struct posture posture = posture_of(session);
    if (!posture.seen || lasts_s > fmax(SERIES_GAP_S, SERIES_GAP_PERIODS / session->rate_hz)) {
        return; /* a gap is of no minute */
    }
    watch->up_s += sat_up_step(&watch->sat, now_s, posture.over, &stretch)
                       ? stretch.to_s - stretch.from_s
                       : 0.0;
    if (watch->sat.up) {
        watch->minute_up_s += lasts_s;
        return;
    }
    watch->banded_s += posture.has_band ? lasts_s : 0.0;
    watch->in_s += posture.has_band && posture.in ? lasts_s : 0.0;
    add_offsets(session, lasts_s);
}

static bool rests(const struct ride_watch *watch)
{
    return watch->on && watch->last_s >= RIDE_REST_EVERY_S &&
           fmod(watch->last_s, RIDE_REST_EVERY_S) < RIDE_REST_S;
}

bool ride_watch_is_up(const struct ride_watch *watch)
{
    return watch->on && (watch->sat.up || rests(watch));
}

void ride_watch_fill(const struct session *session, struct view_ride *view)
{
    const struct ride_watch *watch = &session->ride;
    memset(view, 0, sizeof *view);
    if (!watch->on || !is_ride(session)) {
        return;
    }
    view->on = true;
    view->open = session->doing.planned_s >= HOLD_MOST_S;
    view->sat_up = watch->sat.up;
    view->up_times = watch->sat.times;
    view->up_s = watch->up_s;
    view->rest = rests(watch);
    int most = watch->count < VIEW_RIDE_MINUTES ? watch->count : VIEW_RIDE_MINUTES;
    for (; view->count < most; view->count++) {
        view->minute[view->count] =
            watch->row[(watch->count - 1 - view->count) % VIEW_RIDE_MINUTES];
    }
}
