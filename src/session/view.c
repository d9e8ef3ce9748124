/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "insight_view.h"
#include "journal.h"
#include "machine.h"
#include "next_step.h"

#include "base/text.h"
#include "bike/geometry.h"

#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

/* Fills the view from the machine's state. Changes nothing but the numbers of the capture in
 * progress, which are made at most once a second of the stream. */

static const struct build_record *current_build(const struct session *session)
{
    return session->build >= 0 ? &session->record.build[session->build] : NULL;
}

/* Numbers of the capture so far. */
static void update_progress(struct session *session)
{
    const struct placing_record *placing = machine_placing(session);
    bool wanted = session->begun && placing != NULL &&
                  (session->activity == ACTIVITY_HOLD || session->activity == ACTIVITY_TARGET);
    int64_t second = wanted ? (session->last.time_us - session->begin_us) / 1000000 : -1;
    if (second == session->progress_second) {
        return;
    }
    session->progress_second = second;
    for (int c = 0; wanted && c < placing->channel_count; c++) {
        struct hold_settings settings;
        memset(&settings, 0, sizeof settings);
        if (session->activity == ACTIVITY_HOLD) {
            analysis_hold_settings(&session->record, session->analysis,
                                   &session->record.hold[session->hold], c, &settings);
        }
        analysis_stretch(&session->record, session->analysis, session->build, c,
                         session->record.capture[session->capture].first_sample,
                         session->last.number, session_samples, session, &settings,
                         &session->progress[c]);
    }
}

static void fill_tie(const struct session *session, int c, struct view_channel *view)
{
    const struct placing_record *placing = machine_placing(session);
    view->tied = false;
    view->sensor_shift_mm = view->sensor_shift_u_mm = NAN;
    if (session->build < 0 || placing == NULL || !placing->channel[c].mounted) {
        snprintf(view->tie_text, sizeof view->tie_text, "range only");
        return;
    }
    const struct tie *tie = &session->analysis->tie[session->build][c];
    if (tie->kind == TIE_NONE) {
        snprintf(view->tie_text, sizeof view->tie_text, "height not tied");
        return;
    }
    view->tied = tie->absolute;
    view->sensor_shift_mm = tie->shift_mm;
    view->sensor_shift_u_mm = hypot(tie->u_build_mm, tie->u_common_mm);
    if (tie->kind == TIE_FIRST || (tie->kind == TIE_FIXED && fabs(tie->shift_mm) < 0.05)) {
        snprintf(view->tie_text, sizeof view->tie_text, "as first");
    } else {
        snprintf(view->tie_text, sizeof view->tie_text, "%+.0f ±%.0f (%s)", tie->shift_mm,
                 fmax(1.0, round(2.0 * view->sensor_shift_u_mm)), tie_kind_words(tie->kind));
    }
}

static void fill_earlier(const struct session *session, int c, struct view_channel *view)
{
    const struct session_record *record = &session->record;
    const struct build_record *build = current_build(session);
    const struct comparison *comparison = &session->analysis->free_heights[c];
    view->mark_count = 0;
    for (int s = 0; s < record->setup_count && comparison->status == MEASURE_OK; s++) {
        const struct setup_estimate *estimate = &comparison->setup[s];
        bool current = build != NULL && build->setup == s;
        if (estimate->holds == 0 || !estimate->tied || (current && estimate->holds == 0)) {
            continue;
        }
        struct view_mark *mark = &view->earlier[view->mark_count++];
        mark->setup = record->setup[s].number;
        mark->height_mm = estimate->mean;
        mark->half_width_mm = estimate->has_interval ? estimate->half_width : NAN;
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

/* The latest that was read for this build. */
static double plate_of_build(const struct session *session, int channel)
{
    double plate_mm = NAN;
    for (int t = 0; t < session->record.tie_reading_count; t++) {
        const struct tie_reading_record *reading = &session->record.tie_reading[t];
        if (reading->kind == TIE_READING_PLATE && reading->build == session->build &&
            reading->channel == channel) {
            plate_mm = reading->value_mm;
        }
    }
    return plate_mm;
}

static void fill_channel(const struct session *session, int c, struct view_channel *view)
{
    const struct channel_record *channel = &machine_placing(session)->channel[c];
    const struct live_channel *live = &session->channel[c];
    memcpy(view->name, channel->name, sizeof view->name);
    memcpy(view->mark, channel->mark, sizeof view->mark);
    view->role = channel->role;
    view->mounted = channel->mounted;
    view->mount = channel->mount;
    view->gain = channel->gain;
    view->offset_mm = channel->offset_mm;
    view->plate_mm = plate_of_build(session, c);
    fill_tie(session, c, view);
    view->cue = live->started ? live->slow.state : CUE_NO_READING;
    view->slow_mm = live->started ? live->slow.slow_mm : NAN;
    view->quick_mm = live->started ? live->quick.slow_mm : NAN;
    view->shown_mm = live->shown_mm;
    view->has_target = session->target >= 0 && session->analysis->target[session->target][c].has;
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
    view->proposal_count = session->proposal_count[c];
    memcpy(view->proposal, session->proposal[c], sizeof view->proposal);
    fill_channel_progress(session, c, view);
    fill_earlier(session, c, view);
    memcpy(view->history, live->history, sizeof view->history);
}

/* The channel that the rider is shown: one that is out beats one that is in, the further out the
 * more. */
static void fill_worst(struct view *view)
{
    double worst = -1.0;
    view->worst_channel = -1;
    view->worst_cue = CUE_NO_READING;
    for (int c = 0; c < view->channel_count; c++) {
        const struct view_channel *channel = &view->channel[c];
        if (channel->role != ROLE_BODY || !channel->has_target || !channel->has_band ||
            isnan(channel->slow_mm)) {
            continue;
        }
        double above = channel->slow_mm - channel->target_mm;
        double limit = above >= 0 ? channel->band_above_mm : channel->band_below_mm;
        double share = isfinite(limit) ? fabs(above) / limit : 0.0;
        if (channel->cue == CUE_HIGH || channel->cue == CUE_LOW) {
            share += 100.0;
        }
        if (share > worst) {
            worst = share;
            view->worst_channel = c;
            view->worst_cue = channel->cue;
        }
    }
}

static bool is_rated(const struct session_record *record, int setup)
{
    for (int r = 0; r < record->rating_count; r++) {
        if (record->rating[r].setup == setup) {
            return true;
        }
    }
    return false;
}

static void fill_setups(const struct session *session, struct view *view)
{
    const struct session_record *record = &session->record;
    const struct build_record *build = current_build(session);
    view->setup_count = record->setup_count;
    view->baseline_setup = record->settings.baseline_setup;
    view->chosen_setup = record->settings.chosen_setup;
    for (int s = 0; s < record->setup_count; s++) {
        struct view_setup *row = &view->setup[s];
        memset(row, 0, sizeof *row);
        row->number = record->setup[s].number;
        memcpy(row->intent, record->setup[s].intent, sizeof row->intent);
        if (s > 0) {
            bike_changes_text(row->changes, sizeof row->changes, &record->setup[s - 1].bike,
                              &record->setup[s].bike);
        }
        row->bike = record->setup[s].bike;
        row->current = build != NULL && build->setup == s;
        row->free_holds = session->analysis->free_holds[s];
        row->guided_holds = session->analysis->guided_holds[s];
        for (int b = 0; b < record->build_count; b++) {
            row->builds += record->build[b].setup == s ? 1 : 0;
        }
        const char *complaint = insight_complaint(record, s);
        text_copy(row->complaint, sizeof row->complaint, complaint != NULL ? complaint : "");
        row->sees_ahead_failed = insight_sight_failed(record, s);
        row->rated = is_rated(record, s);
        for (int c = 0; c < view->channel_count; c++) {
            const struct comparison *comparison = &session->analysis->free_heights[c];
            if (comparison->status == MEASURE_OK && s < comparison->setup_count) {
                row->estimate[c] = comparison->setup[s];
                row->difference[c] = comparison->difference[s];
            }
        }
    }
}

static void fill_hold_list(const struct session *session, struct view *view)
{
    const struct session_record *record = &session->record;
    int from = record->hold_count > VIEW_HOLDS ? record->hold_count - VIEW_HOLDS : 0;
    view->hold_shown_count = 0;
    for (int h = from; h < record->hold_count; h++) {
        const struct hold_record *hold = &record->hold[h];
        const struct hold_result *result = &session->analysis->hold[h];
        if (hold->status == HOLD_RUNNING) {
            continue;
        }
        struct view_hold *row = &view->hold_shown[view->hold_shown_count++];
        row->number = hold->number;
        row->setup = record->setup[record->build[hold->build].setup].number;
        row->build_ordinal = record->build[hold->build].ordinal;
        row->guided = hold->guided;
        row->rejected = hold->rejected;
        row->kept_afterwards = hold->kept_afterwards;
        row->cut_short = hold->status != HOLD_COMPLETE;
        row->not_settled = result->not_settled;
        for (int c = 0; c < view->channel_count; c++) {
            const struct hold_summary *summary = &result->summary[c];
            bool good = result->has[c] && summary->status == MEASURE_OK;
            row->mean_mm[c] = good ? summary->mean_mm : NAN;
            row->half_width_mm[c] =
                good && summary->has_interval ? summary->mean_half_width_mm : NAN;
            row->in_band_share[c] = good && summary->has_band ? summary->in_band_share : NAN;
        }
    }
}

static void fill_bars(const struct session *session, struct view *view)
{
    view->bars_shift_mm = view->bars_shift_x_mm = NAN;
    const struct build_record *build = current_build(session);
    struct bike_points first, now;
    if (build != NULL && bike_forward(&session->record.setup[0].bike, &first, NULL) &&
        bike_forward(&session->record.setup[build->setup].bike, &now, NULL)) {
        view->bars_shift_mm = now.clamp.y_mm - first.clamp.y_mm;
        view->bars_shift_x_mm = now.clamp.x_mm - first.clamp.x_mm;
    }
}

static void fill_activity(const struct session *session, struct view *view)
{
    double now_s = machine_now_s(session);
    view->hold_number = view->hold_of_setup = 0;
    view->elapsed_s = view->countdown_s = 0.0;
    view->planned_s = session->planned_s;
    view->guided = session->guided && session->activity == ACTIVITY_HOLD;
    view->target_until_mm = session->target_settings.until_mm;
    if (session->activity == ACTIVITY_NONE) {
        return;
    }
    if (session->begun) {
        view->elapsed_s = now_s - (double)session->begin_us / 1e6;
    } else {
        view->countdown_s = session->settle_s - (now_s - (double)session->asked_at_us / 1e6);
    }
    if (session->activity == ACTIVITY_HOLD) {
        const struct build_record *build = current_build(session);
        view->hold_number = session->record.hold[session->hold].number;
        view->hold_of_setup = 1 + session->analysis->free_holds[build->setup] +
                              session->analysis->guided_holds[build->setup];
    }
    view->steady = true; /* as the report: creep that is flagged is not called steady */
    for (int c = 0; c < view->channel_count; c++) {
        bool known = session->progress_second >= 0 && session->progress[c].status == MEASURE_OK;
        view->steady = view->steady && !(known && session->progress[c].creep_flagged);
    }
}

void session_fill_view(struct session *session, struct view *view)
{
    const struct session_record *record = &session->record;
    const struct placing_record *placing = machine_placing(session);
    const struct build_record *build = current_build(session);
    update_progress(session);
    view->serial = session->serial;
    view->phase = session_phase(session);
    view->has_rig = session->has_rig;
    view->rig_name[0] = '\0';
    if (placing != NULL) {
        memcpy(view->rig_name, placing->rig_id, sizeof view->rig_name);
    }
    memcpy(view->rider, record->rider.name, sizeof view->rider);
    memcpy(view->rider_code, record->rider.code, sizeof view->rider_code);
    memcpy(view->watch_for, record->rider.watch_for, sizeof view->watch_for);
    memcpy(view->bike, record->bike.name, sizeof view->bike);
    view->bike_frame = record->bike.frame;
    view->limits = record->limits;
    view->session_s = machine_now_s(session);
    view->minutes_left = session->minutes_planned - view->session_s / 60.0;
    view->setup_number = build != NULL ? record->setup[build->setup].number : 0;
    view->build_ordinal = build != NULL ? build->ordinal : 0;
    view->intent[0] = view->changes[0] = '\0';
    if (build != NULL) {
        memcpy(view->intent, record->setup[build->setup].intent, sizeof view->intent);
        if (build->setup > 0) {
            bike_changes_text(view->changes, sizeof view->changes, &record->setup[0].bike,
                              &record->setup[build->setup].bike);
        }
    }
    fill_bars(session, view);
    view->channel_count = placing != NULL ? placing->channel_count : 0;
    for (int c = 0; c < view->channel_count; c++) {
        fill_channel(session, c, &view->channel[c]);
        view->matters_mm[c] = record->settings.matters_mm[c];
        const struct comparison *comparison = &session->analysis->free_heights[c];
        view->repeatability_mm[c] =
            comparison->status == MEASURE_OK && comparison->has_repeatability
                ? comparison->repeatability
                : NAN;
        view->order_mm[c] = comparison->status == MEASURE_OK && comparison->order_fitted
                                ? comparison->order_per_hold
                                : NAN;
    }
    view->history_end = session->history_end;
    view->history_count = session->history_count;
    fill_activity(session, view);
    fill_worst(view);
    fill_setups(session, view);
    fill_hold_list(session, view);
    check_fill_view(session, &view->check);
    insight_fill_view(session, view);
    journal_fill_view(session, view);
    memcpy(view->message, session->message, sizeof view->message);
    view->message_serial = session->message_serial;
    view->message_is_problem = session->message_is_problem;
    next_step_fill(session, view);
}

void view_copy(struct view *to, const struct view *from)
{
    const size_t channels = offsetof(struct view, channel),
                 behind_channels = offsetof(struct view, history_end),
                 setups = offsetof(struct view, setup),
                 behind_setups = offsetof(struct view, repeatability_mm),
                 events = offsetof(struct view, event_serial),
                 behind_events = offsetof(struct view, health);
    memcpy(to, from, channels);
    memcpy(to->channel, from->channel, (size_t)from->channel_count * sizeof from->channel[0]);
    memcpy((char *)to + behind_channels, (const char *)from + behind_channels,
           setups - behind_channels);
    memcpy(to->setup, from->setup, (size_t)from->setup_count * sizeof from->setup[0]);
    memcpy((char *)to + behind_setups, (const char *)from + behind_setups, events - behind_setups);
    if (to->event_serial != from->event_serial) {
        memcpy(to->event, from->event, (size_t)from->event_count * sizeof from->event[0]);
        to->event_count = from->event_count;
        to->event_serial = from->event_serial;
    }
    memcpy((char *)to + behind_events, (const char *)from + behind_events,
           sizeof *to - behind_events);
}
