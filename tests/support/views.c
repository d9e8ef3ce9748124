/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/views.h"

#include "support/drag_day.h"

#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

const char *const made_view_names[MADE_VIEWS] = {"empty",   "first",  "live",  "settling", "free",
                                                 "guided",  "target", "plate", "trouble",  "check",
                                                 "checked", "many",   "out",   "runs",     "ended"};

static void add_channel(struct view *view, const char *name, const char *mark, double target_mm,
                        double above_mm, double below_mm)
{
    struct snapshot *snapshot = made_snapshot(view);
    int c = view->channel_count++;
    struct view_channel *channel = &view->channel[c];
    struct channel_record *sensor = made_sensor(view, c);
    snapshot->placing = 0;
    snapshot->record.placing_count = 1;
    snapshot->record.placing[0].channel_count = view->channel_count;
    snapshot->analysis.channel_count = view->channel_count;
    text_copy(sensor->name, sizeof sensor->name, name);
    text_copy(sensor->mark, sizeof sensor->mark, mark);
    sensor->role = ROLE_BODY;
    sensor->mounted = true;
    sensor->mount = (struct sensor_mount){
        .carrier = CARRIER_BASE_BAR, .x_mm = 120.0, .y_mm = 40.0, .tilt_deg = 0.0, .direction = 1};
    sensor->gain = 1.0;
    channel->shown_mm = NAN;
    channel->has_target = true;
    channel->target_mm = target_mm;
    channel->target_half_width_mm = 2.0;
    channel->has_band = true;
    channel->band_above_mm = above_mm;
    channel->band_below_mm = below_mm;
    static const struct band_proposal proposals[] = {{.above_mm = 6.0,
                                                      .below_mm = 12.0,
                                                      .cues_per_min = 3.1,
                                                      .in_band_share = 0.81,
                                                      .words = "tight: for practised riders"},
                                                     {.above_mm = 10.0,
                                                      .below_mm = 20.0,
                                                      .cues_per_min = 0.9,
                                                      .in_band_share = 0.94,
                                                      .words = "usual",
                                                      .suggested = true},
                                                     {.above_mm = 25.0,
                                                      .below_mm = INFINITY,
                                                      .cues_per_min = 0.0,
                                                      .in_band_share = 1.0,
                                                      .words = "too wide to teach anything"}};
    snapshot->proposal_count[c] = 3;
    memcpy(snapshot->proposal[c], proposals, sizeof proposals);
    channel->mean_mm = channel->mean_half_width_mm = channel->creep_mm_per_min =
        channel->in_band_share = NAN;
    struct channel_health *health = &view->health.channel[view->health.channel_count++];
    *health = (struct channel_health){
        .readings = 70000, .recent_valid_share = 1.0, .noise_mm = 1.4, .quantum_mm = 1.0};
}

/* A setup that has been built once; its place. */
static int add_setup(struct snapshot *snapshot, const char *intent, double spacers_mm,
                     double pad_rise_mm)
{
    struct session_record *record = &snapshot->record;
    int s = record->setup_count++;
    struct setup_record *setup = &record->setup[s];
    setup->number = s + 1;
    text_copy(setup->intent, sizeof setup->intent, intent);
    setup->bike = record->bike.frame;
    setup->bike.value[BIKE_SPACERS] = spacers_mm;
    setup->bike.value[BIKE_PAD_RISE] = pad_rise_mm;
    record->build[record->build_count++] = (struct build_record){.setup = s, .ordinal = 1};
    for (int c = 0; c < CHANNELS_MAX; c++) {
        snapshot->analysis.tie[s][c] =
            (struct tie){.kind = TIE_PLATE, .absolute = true, .shift_mm = -19.0, .u_build_mm = 0.5};
    }
    return s;
}

static void estimate(struct view *view, int setup, int channel, double mean, double half,
                     enum verdict verdict, double difference, double low, double high)
{
    struct analysis *analysis = &made_snapshot(view)->analysis;
    struct comparison *heights = &analysis->free_heights[channel];
    heights->setup_count = setup + 1;
    heights->setup[setup] = (struct setup_estimate){.holds = analysis->free_holds[setup],
                                                    .builds = 1,
                                                    .has_interval = true,
                                                    .mean = mean,
                                                    .half_width = half,
                                                    .tied = true};
    heights->difference[setup] = (struct setup_difference){.verdict = verdict,
                                                           .difference = difference,
                                                           .has_interval = verdict != VERDICT_NONE,
                                                           .low = low,
                                                           .high = high};
}

static void add_holds(struct snapshot *snapshot)
{
    static const int build[] = {0, 0, 0, 1, 1, 2};
    for (int h = 0; h < 6; h++) {
        struct hold_record *hold = &snapshot->record.hold[snapshot->record.hold_count++];
        struct hold_result *result = &snapshot->analysis.hold[h];
        *hold = (struct hold_record){
            .number = h + 1, .build = build[h], .status = HOLD_COMPLETE, .guided = h == 2};
        hold->rejected = h == 3;
        for (int c = 0; c < CHANNELS_MAX; c++) {
            result->has[c] = true;
            result->summary[c] =
                (struct hold_summary){.mean_mm = (c == 0 ? 898.0 : 780.0) - 6.0 * build[h] + h % 3,
                                      .has_interval = true,
                                      .mean_half_width_mm = 1.3 + 0.2 * h,
                                      .has_band = true,
                                      .in_band_share = 0.62 + 0.06 * h};
        }
    }
}

static void base_session(struct view *view)
{
    struct snapshot *snapshot = made_snapshot(view);
    struct session_record *record = &snapshot->record;
    struct analysis *analysis = &snapshot->analysis;
    text_copy(record->rider.code, sizeof record->rider.code, "R-07");
    text_copy(record->rider.name, sizeof record->rider.name, "winter group");
    text_copy(record->bike.name, sizeof record->bike.name, "training bike");
    record->bike.frame.value[BIKE_STACK] = 545.0;
    record->bike.frame.value[BIKE_REACH] = 410.0;
    record->bike.frame.value[BIKE_HEAD_ANGLE] = 73.0;
    record->bike.frame.value[BIKE_STEM_LENGTH] = 100.0;
    record->bike.frame.value[BIKE_STEM_ANGLE] = -6.0;
    record->bike.frame.value[BIKE_SPACERS] = 30.0;
    record->bike.frame.value[BIKE_PAD_RISE] = 60.0;
    view->minutes_left = 21.4;
    text_copy(view->clock_words, sizeof view->clock_words,
              "21 min left: 1 more setup, then back to setup 1");
    add_channel(view, "head", "chin strap", 884.0, 10.0, 20.0);
    add_channel(view, "chest", "chest strap", 771.0, 8.0, INFINITY);
    int setup = add_setup(snapshot, "as it came", 30.0, 60.0);
    analysis->free_holds[setup] = 2;
    analysis->guided_holds[setup] = 1;
    estimate(view, setup, 0, 898.0, 3.2, VERDICT_NONE, 0.0, 0.0, 0.0);
    estimate(view, setup, 1, 780.0, 3.4, VERDICT_NONE, 0.0, 0.0, 0.0);
    setup = add_setup(snapshot, "pads down 20", 30.0, 40.0);
    analysis->free_holds[setup] = 2;
    estimate(view, setup, 0, 886.0, 3.5, VERDICT_LOWER, -12.0, -18.0, -6.0);
    estimate(view, setup, 1, 776.0, 3.9, VERDICT_CANNOT_TELL, -4.0, -10.5, 2.5);
    analysis->free_heights[1].difference[setup].advice = ADVICE_MORE_HOLDS;
    analysis->free_heights[1].difference[setup].advice_holds = 2;
    setup = add_setup(snapshot, "spacers out, pads down", 10.0, 40.0);
    analysis->free_holds[setup] = 1;
    estimate(view, setup, 0, 875.0, 5.2, VERDICT_LOWER, -23.0, -30.0, -16.0);
    estimate(view, setup, 1, 768.0, 5.6, VERDICT_LOWER, -12.0, -19.0, -5.0);
    for (int c = 0; c < 2; c++) {
        analysis->free_heights[c].setup[setup].borrowed_repeatability = true;
    }
    snapshot->build = setup;
    made_insight(view);
    add_holds(snapshot);
    made_events(view);
}

static void made_capture(struct view *view, enum view_phase phase)
{
    view->phase = phase;
    view->elapsed_s = 41.0;
    view->planned_s = 60.0;
    view->hold_number = phase == VIEW_HOLD || phase == VIEW_SETTLING ? 6 : 0;
    view->steady = true;
    view->target_until_mm = 3.0;
    view->length_proposed = view->settled = true;
    text_copy(view->next_command, sizeof view->next_command,
              phase == VIEW_TARGET ? "target keep" : "stop");
    text_copy(view->next_step, sizeof view->next_step,
              phase == VIEW_TARGET ? "keep the target as it is now" : "holding");
    view->next = VIEW_NEXT_COMMAND;
    for (int c = 0; c < view->channel_count; c++) {
        view->channel[c].mean_mm = view->channel[c].target_mm + 2.6 - 3.0 * c;
        view->channel[c].mean_half_width_mm = 1.9;
        view->channel[c].creep_mm_per_min = 0.4 - c;
        view->channel[c].in_band_share = 0.87;
        view->channel[c].came_up = 1;
    }
}

static void add_power(struct view *view)
{
    struct snapshot *snapshot = made_snapshot(view);
    int c = view->channel_count;
    struct channel_record *power = made_sensor(view, c);
    add_channel(view, "power", "", NAN, INFINITY, INFINITY);
    power->role = ROLE_AUXILIARY;
    power->mounted = false;
    view->channel[c].has_target = view->channel[c].has_band = false;
    snapshot->proposal_count[c] = 0;
    view->check.range_mm[view->channel_count - 1] = 203.0;
}

void made_begin(struct made_up *made)
{
    memset(made, 0, sizeof *made);
    snapshot_begin(&made->snapshot);
    made->view.snapshot = &made->snapshot;
    made->view.history = &made->history;
    made->view.offers = &made->earlier;
}

void made_copy(struct made_up *to, const struct made_up *from)
{
    memcpy(to, from, sizeof *to);
    to->view.snapshot = &to->snapshot;
    to->view.history = &to->history;
    to->view.offers = &to->earlier;
}

struct made_up *made_of(struct view *view)
{
    return (struct made_up *)view; /* its first member */
}

struct snapshot *made_snapshot(struct view *view)
{
    return &made_of(view)->snapshot;
}

void made_plate(struct view *view, int channel, double range_mm)
{
    struct snapshot *snapshot = made_snapshot(view);
    struct session_record *record = &snapshot->record;
    record->tie_reading[record->tie_reading_count++] =
        (struct tie_reading_record){.kind = TIE_READING_PLATE,
                                    .build = snapshot->build,
                                    .channel = channel,
                                    .value_mm = range_mm};
}

/* The rider could not see ahead on a setup. */
static void made_unseen(struct snapshot *snapshot, int setup)
{
    struct session_record *record = &snapshot->record;
    struct rating_record *rating = &record->rating[record->rating_count++];
    rating_clear(rating);
    rating->setup = setup;
    rating->value[RATING_SEES_AHEAD] = SEES_NO;
}

/* Sensors alone: nothing was entered. */
static void made_forget(struct snapshot *snapshot)
{
    struct session_record *record = &snapshot->record;
    record->setup_count = record->build_count = record->hold_count = 0;
    snapshot->build = -1;
    snapshot->event_count = 0;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        record->placing[0].channel[c].mounted = false;
        record->placing[0].channel[c].mark[0] = '\0';
        snapshot->proposal_count[c] = 0;
    }
    record->rider.name[0] = record->rider.code[0] = record->bike.name[0] = '\0';
}

struct channel_record *made_sensor(struct view *view, int channel)
{
    return &made_snapshot(view)->record.placing[0].channel[channel];
}

void made_view(struct made_up *made, enum made_view kind)
{
    struct view *view = &made->view;
    made_begin(made);
    view->minutes_left = NAN;
    view->asked_channel = -1;
    made->snapshot.record.settings.baseline_setup = 1;
    made->snapshot.analysis.free_heights[0].order_fitted = kind != MADE_MANY;
    made->snapshot.analysis.free_heights[0].order_per_hold = 0.6;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        view->channel[c].shown_mm = view->channel[c].slow_mm = view->channel[c].quick_mm = NAN;
        made->snapshot.record.settings.matters_mm[c] = 10.0;
    }
    view->serial = 1;
    text_copy(view->next_step, sizeof view->next_step, "waiting for the sensors");
    text_copy(view->sheet_name, sizeof view->sheet_name, "R-07-2026-01-10-2-sheet.pdf");
    view->next = VIEW_NEXT_WAIT;
    if (kind == MADE_EMPTY) {
        view->phase = VIEW_WAITING;
        return;
    }
    base_session(view);
    view->phase = VIEW_LIVE;
    view->has_rig = true;
    view->session_s = 38.0 * 60.0 + 11.0;
    view->health.rate_hz = 50.0;
    view->health.announced_rate_hz = 50.0;
    view->health.samples = 114000;
    made_wire(view);
    view->store_open = true;
    text_copy(view->store_text, sizeof view->store_text, "all stored");
    text_copy(view->message, sizeof view->message, "hold 5 kept");
    view->message_serial = 1;
    text_copy(view->next_step, sizeof view->next_step, "free hold 2 of 4 on this build, 30 s");
    text_copy(view->next_command, sizeof view->next_command, "hold 60s free");
    view->next = VIEW_NEXT_COMMAND;
    switch (kind) {
    case MADE_FIRST:
        made_forget(&made->snapshot);
        view->message[0] = '\0';
        for (int c = 0; c < view->channel_count; c++) {
            struct view_channel *channel = &view->channel[c];
            channel->has_target = channel->has_band = false;
            channel->target_mm = NAN;
        }
        text_copy(view->next_step, sizeof view->next_step, "ride in, then take the target");
        text_copy(view->next_command, sizeof view->next_command, "target");
        view->session_s = 95.0;
        break;
    case MADE_SETTLING:
        made_capture(view, VIEW_SETTLING);
        view->elapsed_s = 0.0;
        view->countdown_s = 4.6;
        break;
    case MADE_HOLD_FREE:
        made_capture(view, VIEW_HOLD);
        break;
    case MADE_HOLD_GUIDED:
        view->guided = true;
        made_capture(view, VIEW_HOLD);
        break;
    case MADE_HOLD_OUT:
        view->guided = true;
        view->session_s -= 12.0; /* in a stay above (body_mm) */
        made_capture(view, VIEW_HOLD);
        break;
    case MADE_TARGET:
        view->undo_drops = true;
        made_capture(view, VIEW_TARGET);
        break;
    case MADE_PLATE:
        made_capture(view, VIEW_PLATE);
        view->elapsed_s = 2.0;
        view->planned_s = 5.0;
        break;
    case MADE_TROUBLE:
        view->health.link_down = true;
        view->health.times_down = 1;
        view_forget_live(view);
        view->store_open = false;
        text_copy(view->store_text, sizeof view->store_text,
                  "store is full: 1,204 samples wait in memory");
        text_copy(view->store_trouble, sizeof view->store_trouble,
                  "group.db: there is no space left on its disk: make some");
        text_copy(view->message, sizeof view->message,
                  "the link to the sensors is down since 0:12; looking for it");
        view->message_is_problem = true;
        break;
    case MADE_CHECK:
        add_power(view);
        made_check(view);
        break;
    case MADE_CHECKED:
        add_power(view);
        made_results(view);
        made_plate(view, 0, 412.4);
        made_sensor(view, 1)->gain = 1.0040;
        made_sensor(view, 1)->offset_mm = -1.2;
        view->health.channel[1].two_levels = true;
        view->health.channel[1].levels_apart_mm = 61.0;
        view->health.channel[0].stuck_s = 12.0;
        view->health.rejected = 3;
        view->health.lost = 9;
        break;
    case MADE_ENDED:
        view->phase = VIEW_ENDED;
        text_copy(view->next_step, sizeof view->next_step, "the session has ended");
        text_copy(view->message, sizeof view->message, "the session has ended");
        view->next_command[0] = '\0';
        view->next = VIEW_NEXT_WAIT;
        break;
    case MADE_RUNS:
        drag_day_begin(&made->snapshot.record);
        drag_day_eight(&made->snapshot.record);
        drag_make(&made->snapshot.record, &made->snapshot.analysis.drag);
        break;
    case MADE_MANY:
        add_channel(view, "shoulder", "seam", 832.0, 12.0, 12.0);
        add_channel(view, "back", "tape cross", 702.0, 12.0, 12.0);
        for (int s = 4; s <= 12; s++) {
            char intent[64];
            snprintf(intent, sizeof intent, "stem %d mm lower, pads %d mm forward", s, 2 * s);
            int setup = add_setup(&made->snapshot, intent, 30.0 - s, 60.0);
            made->snapshot.analysis.free_holds[setup] = 2;
            estimate(view, setup, 0, 880.0 + s, 3.2, s % 2 ? VERDICT_HIGHER : VERDICT_NO_DIFFERENCE,
                     s % 2 ? 14.0 : 1.0, s % 2 ? 9.0 : -3.0, s % 2 ? 19.0 : 5.0);
            estimate(view, setup, 1, 770.0 + s, 3.2,
                     s % 3 ? VERDICT_LESS_THAN_MATTERS : VERDICT_NOT_COMPARABLE, -6.0, -8.0, -4.0);
            struct setup_difference *chest =
                &made->snapshot.analysis.free_heights[1].difference[setup];
            chest->reason = REASON_NOT_TIED;
        }
        made_unseen(&made->snapshot, 4);
        break;
    default:
        break;
    }
    double now = view->session_s;
    int number = snapshot_setup_number(view->snapshot);
    int earlier = kind == MADE_FIRST ? 300 : VIEW_HISTORY;
    for (int i = earlier; i >= 1; i--) {
        double back = i * VIEW_HISTORY_STEP_S;
        bool captured = view->phase == VIEW_LIVE || view->phase == VIEW_SETTLING
                            ? back > 30.0 && back < 90.0
                            : back <= view->elapsed_s;
        made_view_point(view, now - back, captured && kind != MADE_FIRST ? VIEW_HOLD : VIEW_LIVE,
                        back > 100.0 ? number - 1 : number);
    }
    made_view_step(view, 0.0);
}
