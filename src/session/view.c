/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "machine.h"

#include "check_phase.h"
#include "next_step.h"
#include "ride_measure.h"

#include "base/text.h"
#include "bike/geometry.h"

#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

/* Fills the view from the machine's state. Changes nothing but the numbers of the capture in
 * progress, which are made at most once a second of the stream. */

/* Of a target it is shown how well the level is known, as it will be when it is kept. */
static void target_progress(struct session *session, int c, struct hold_summary *progress)
{
    struct target_estimate estimate;
    progress->has_interval =
        analysis_target_stretch(&session->record, session->analysis, session->build, c,
                                session->record.capture[session->doing.capture].first_sample,
                                session->last.number, session_samples, session, &estimate) &&
        estimate.has_interval;
    progress->mean_half_width_mm = estimate.half_width_mm;
    progress->not_settled = estimate.not_settled;
}

#define PROGRESS_SLOWS_S 600

/* Numbers of the capture so far. */
static void update_progress(struct session *session)
{
    const struct placing_record *placing = machine_placing(session);
    bool wanted =
        session->begun && placing != NULL &&
        (session->doing.activity == ACTIVITY_HOLD || session->doing.activity == ACTIVITY_TARGET);
    int64_t second = wanted ? (session->last.time_us - session->doing.begin_us) / 1000000 : -1;
    if (second >= PROGRESS_SLOWS_S) { /* all of it is looked at each time: a long one less often */
        second -= second % (second / PROGRESS_SLOWS_S + 1);
    }
    if (second == session->progress_second) {
        return;
    }
    session->progress_second = second;
    for (int c = 0; wanted && c < placing->channel_count; c++) {
        struct hold_settings settings;
        if (ride_measure_is_on(session)) { /* to the last piece of it, about a minute */
            ride_measure_so_far(session, c, &session->progress[c]);
            continue;
        }
        memset(&settings, 0, sizeof settings);
        if (session->doing.activity == ACTIVITY_HOLD) {
            analysis_hold_settings(&session->record, session->analysis,
                                   &session->record.hold[session->doing.hold], c, &settings);
        }
        if (!analysis_stretch(&session->record, session->analysis, session->build, c,
                              session->record.capture[session->doing.capture].first_sample,
                              session->last.number, session_samples, session, &settings,
                              &session->progress[c])) {
            session->progress[c].status = MEASURE_TOO_FEW; /* nothing is shown, and no 0 */
        }
        if (session->doing.activity == ACTIVITY_TARGET) {
            target_progress(session, c, &session->progress[c]);
        }
    }
}

static void fill_channel_progress(const struct session *session, int c, struct view_channel *view)
{
    const struct hold_summary *progress = &session->progress[c];
    view->mean_mm = view->mean_half_width_mm = view->creep_mm_per_min = view->in_band_share = NAN;
    view->came_up = view->went_low = 0;
    if (session->progress_second < 0 || progress->status != MEASURE_OK) {
        return;
    }
    view->mean_mm = progress->mean_mm;
    view->mean_half_width_mm = progress->has_interval ? progress->mean_half_width_mm : NAN;
    view->creep_mm_per_min = progress->has_creep ? progress->creep_mm_per_min : NAN;
    view->in_band_share = progress->has_band ? progress->in_band_share : NAN;
    view->came_up = progress->excursions_high;
    view->went_low = progress->excursions_low;
}

static void fill_channel(const struct session *session, int c, struct view_channel *view)
{
    const struct live_channel *live = &session->channel[c];
    view->cue = live->started ? live->slow.state : CUE_NO_READING;
    view->seen = live->started ? live->slow.seen : CUE_NO_READING;
    view->slow_mm = live->started ? live->slow.slow_mm : NAN;
    view->quick_mm = live->started ? live->quick.slow_mm : NAN;
    view->shown_mm = live->shown_mm;
    view->has_target = machine_has_target(session, c);
    view->target_mm = view->target_half_width_mm = NAN;
    if (view->has_target) {
        view->target_mm = session->analysis->target[session->target][c].height_mm;
        view->target_half_width_mm = session->analysis->target[session->target][c].half_width_mm;
    }
    view->has_band =
        view->has_target && session->band >= 0 && session->record.band[session->band].limited[c];
    view->band_above_mm = view->band_below_mm = INFINITY;
    if (view->has_band) {
        view->band_above_mm = session->record.band[session->band].cue[c].band_above_mm;
        view->band_below_mm = session->record.band[session->band].cue[c].band_below_mm;
    }
    fill_channel_progress(session, c, view);
}

static void fill_activity(const struct session *session, struct view *view)
{
    double now_s = machine_now_s(session);
    view->hold_number = 0;
    view->elapsed_s = view->countdown_s = 0.0;
    view->planned_s = session->doing.planned_s;
    view->guided = session->doing.guided && session->doing.activity == ACTIVITY_HOLD;
    view->target_until_mm = session->doing.target_settings.until_mm;
    view->length_proposed = session->doing.length_proposed;
    view->settled = true;
    if (session->doing.activity == ACTIVITY_NONE) {
        return;
    }
    if (session->begun) {
        view->elapsed_s = now_s - (double)session->doing.begin_us / 1e6;
    } else {
        view->countdown_s =
            session->doing.settle_s - (now_s - (double)session->doing.asked_at_us / 1e6);
    }
    if (session->doing.activity == ACTIVITY_HOLD) {
        view->hold_number = session->record.hold[session->doing.hold].number;
    }
    view->steady = true; /* as the report: creep that is flagged is not called steady */
    for (int c = 0; c < view->channel_count; c++) {
        bool known = session->progress_second >= 0 && session->progress[c].status == MEASURE_OK;
        view->settled = view->settled &&
                        !(known && session->analysis->body[c] && session->progress[c].not_settled);
        view->steady = view->steady && !(known && session->progress[c].creep_flagged);
    }
}

void view_forget_live(struct view *view)
{
    for (int c = 0; c < view->channel_count; c++) {
        struct view_channel *channel = &view->channel[c];
        channel->cue = channel->seen = CUE_NO_READING;
        channel->slow_mm = channel->quick_mm = channel->shown_mm = NAN;
        view->check.range_mm[c] = view->check.sent_mm[c] = NAN;
    }
    view->asked_cue = CUE_NO_READING;
}

void session_fill_view(struct session *session, struct view *view)
{
    const struct placing_record *placing = machine_placing(session);
    update_progress(session);
    view->serial = session->serial;
    view->phase = session_phase(session);
    view->has_rig = session->has_rig;
    view->session_s = machine_now_s(session);
    view->minutes_left = session->settings.minutes_planned - view->session_s / 60.0;
    view->channel_count = placing != NULL ? placing->channel_count : 0;
    for (int c = 0; c < view->channel_count; c++) {
        fill_channel(session, c, &view->channel[c]);
    }
    view->history = &session->history;
    fill_activity(session, view);
    view->asked_channel = session->ask.channel;
    view->asked_cue = session->ask.cue;
    view->heard = session->heard;
    view->heard_serial = session->heard_serial;
    check_fill_view(session, &view->check);
    ride_watch_fill(session, &view->ride);
    memcpy(view->message, session->message, sizeof view->message);
    view->message_serial = session->message_serial;
    view->message_is_problem = session->message_is_problem;
    view->undo_drops = acts_undo_drops(session);
    next_step_fill(session, view);
}
