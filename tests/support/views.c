/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/views.h"

#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

const char *const made_view_names[MADE_VIEWS] = {"empty",   "first",  "live",    "settling",
                                                 "free",    "guided", "target",  "plate",
                                                 "trouble", "check",  "checked", "many"};

#define TWO_PI 6.283185307179586

/* Height of the body at a time: slow wander, breathing, pedalling, and a stay above now and then.
 */
static double body_mm(int channel, double base_mm, double time_s, bool quick)
{
    double phase = 1.7 * channel;
    double mm = base_mm + 3.0 * sin(time_s / 9.0 + phase) + 2.0 * sin(time_s / 3.7 + 2.0 * phase);
    double within = fmod(time_s + 13.0 * channel, 47.0);
    if (within > 20.0 && within < 27.0) {
        mm += 13.0 * sin((within - 20.0) / 7.0 * TWO_PI / 2.0);
    }
    if (within > 38.0 && within < 42.0) {
        mm -= 9.0 * sin((within - 38.0) / 4.0 * TWO_PI / 2.0);
    }
    if (quick) {
        mm += 3.0 * sin(TWO_PI * 0.35 * time_s) + 2.0 * sin(TWO_PI * 1.5 * time_s + phase);
    }
    return mm;
}

static double base_of(const struct view *view, int channel)
{
    static const double base[] = {886.0, 768.0, 830.0, 700.0};
    return base[channel % 4] + (view->guided ? 6.0 : 0.0);
}

static void channel_now(struct view *view, int c)
{
    struct view_channel *channel = &view->channel[c];
    double base = base_of(view, c);
    channel->slow_mm = body_mm(c, base, view->session_s, false);
    channel->quick_mm = body_mm(c, base, view->session_s, true);
    if (fmod(view->session_s, 0.25) < 0.04 || !isfinite(channel->shown_mm)) {
        channel->shown_mm = channel->slow_mm;
    }
    if (channel->has_band && channel->has_target) {
        double above = channel->slow_mm - channel->target_mm;
        channel->cue = above > channel->band_above_mm    ? CUE_HIGH
                       : above < -channel->band_below_mm ? CUE_LOW
                                                         : CUE_IN;
    } else {
        channel->cue = CUE_IN;
    }
}

static void push_point(struct view *view, double time_s, enum view_phase phase, int setup)
{
    for (int c = 0; c < view->channel_count; c++) {
        double slow = body_mm(c, base_of(view, c), time_s, false);
        view->channel[c].history[view->history_end] =
            (struct view_point){.slow_mm = (float)slow,
                                .low_mm = (float)slow - 4.0F,
                                .high_mm = (float)slow + 4.0F,
                                .phase = (uint8_t)phase,
                                .setup = (uint8_t)setup};
    }
    view->history_end = (view->history_end + 1) % VIEW_HISTORY;
    view->history_count += view->history_count < VIEW_HISTORY ? 1 : 0;
}

static void worst(struct view *view)
{
    view->worst_channel = -1;
    double worst_share = -1.0;
    for (int c = 0; c < view->channel_count; c++) {
        const struct view_channel *channel = &view->channel[c];
        if (channel->role == ROLE_BODY && channel->has_target && channel->has_band) {
            double share = fabs(channel->slow_mm - channel->target_mm) +
                           (channel->cue == CUE_IN ? 0.0 : 100.0);
            if (share > worst_share) {
                worst_share = share;
                view->worst_channel = c;
                view->worst_cue = channel->cue;
            }
        }
    }
}

void made_view_step(struct view *view, double seconds)
{
    double before = view->session_s;
    view->session_s += seconds;
    view->serial++;
    long steps = (long)floor(view->session_s / VIEW_HISTORY_STEP_S) -
                 (long)floor(before / VIEW_HISTORY_STEP_S);
    for (long i = 0; i < steps; i++) {
        push_point(view, view->session_s, view->phase, view->setup_number);
    }
    for (int c = 0; c < view->channel_count; c++) {
        channel_now(view, c);
    }
    if (view->phase == VIEW_SETTLING) {
        view->countdown_s -= seconds;
        if (view->countdown_s <= 0.0) {
            view->phase = VIEW_HOLD;
            view->elapsed_s = 0.0;
        }
    } else if (view->phase == VIEW_HOLD || view->phase == VIEW_TARGET ||
               view->phase == VIEW_PLATE) {
        view->elapsed_s += seconds;
        if (view->elapsed_s >= view->planned_s) {
            view->phase = VIEW_LIVE;
            text_copy(view->message, sizeof view->message, "hold 6 kept");
            view->message_serial++;
        }
    }
    worst(view);
}

static void add_channel(struct view *view, const char *name, const char *mark, double target_mm,
                        double above_mm, double below_mm)
{
    struct view_channel *channel = &view->channel[view->channel_count++];
    text_copy(channel->name, sizeof channel->name, name);
    text_copy(channel->mark, sizeof channel->mark, mark);
    channel->role = ROLE_BODY;
    channel->tied = true;
    channel->mounted = true;
    channel->mount = (struct sensor_mount){
        .carrier = CARRIER_BASE_BAR, .x_mm = 120.0, .y_mm = 40.0, .tilt_deg = 0.0, .direction = 1};
    channel->gain = 1.0;
    channel->plate_mm = NAN;
    text_copy(channel->tie_text, sizeof channel->tie_text, "-19 \u00B11 (plate)");
    channel->sensor_shift_mm = -19.0;
    channel->sensor_shift_u_mm = 0.5;
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
    channel->proposal_count = 3;
    memcpy(channel->proposal, proposals, sizeof proposals);
    channel->mean_mm = channel->mean_half_width_mm = channel->creep_mm_per_min =
        channel->in_band_share = NAN;
    struct channel_health *health = &view->health.channel[view->health.channel_count++];
    *health = (struct channel_health){
        .readings = 70000, .recent_valid_share = 1.0, .noise_mm = 1.4, .quantum_mm = 1.0};
    view->matters_mm[view->channel_count - 1] = 10.0;
    view->repeatability_mm[view->channel_count - 1] = 3.4;
}

static struct view_setup *add_setup(struct view *view, const char *intent, const char *changes,
                                    double spacers_mm, double pad_rise_mm)
{
    struct view_setup *setup = &view->setup[view->setup_count++];
    memset(setup, 0, sizeof *setup);
    setup->number = view->setup_count;
    setup->builds = 1;
    text_copy(setup->intent, sizeof setup->intent, intent);
    text_copy(setup->changes, sizeof setup->changes, changes);
    setup->bike = view->bike_frame;
    setup->bike.value[BIKE_SPACERS] = spacers_mm;
    setup->bike.value[BIKE_PAD_RISE] = pad_rise_mm;
    return setup;
}

static void estimate(struct view *view, struct view_setup *setup, int channel, double mean,
                     double half, enum verdict verdict, double difference, double low, double high)
{
    setup->estimate[channel] = (struct setup_estimate){.holds = setup->free_holds,
                                                       .builds = 1,
                                                       .has_interval = true,
                                                       .mean = mean,
                                                       .half_width = half,
                                                       .tied = true};
    setup->difference[channel] = (struct setup_difference){.verdict = verdict,
                                                           .difference = difference,
                                                           .has_interval = verdict != VERDICT_NONE,
                                                           .low = low,
                                                           .high = high};
    struct view_channel *of = &view->channel[channel];
    of->earlier[of->mark_count++] =
        (struct view_mark){.setup = setup->number, .height_mm = mean, .half_width_mm = half};
}

static void base_session(struct view *view)
{
    text_copy(view->rider_code, sizeof view->rider_code, "R-07");
    text_copy(view->rider, sizeof view->rider, "winter group");
    text_copy(view->bike, sizeof view->bike, "training bike");
    view->bike_frame.value[BIKE_STACK] = 545.0;
    view->bike_frame.value[BIKE_REACH] = 410.0;
    view->bike_frame.value[BIKE_HEAD_ANGLE] = 73.0;
    view->bike_frame.value[BIKE_STEM_LENGTH] = 100.0;
    view->bike_frame.value[BIKE_STEM_ANGLE] = -6.0;
    view->bike_frame.value[BIKE_SPACERS] = 30.0;
    view->bike_frame.value[BIKE_PAD_RISE] = 60.0;
    view->minutes_left = 21.4;
    text_copy(view->clock_words, sizeof view->clock_words,
              "21 min left: 1 more setup, then back to setup 1");
    add_channel(view, "head", "chin strap", 884.0, 10.0, 20.0);
    add_channel(view, "chest", "chest strap", 771.0, 8.0, INFINITY);
    struct view_setup *setup = add_setup(view, "as it came", "", 30.0, 60.0);
    setup->free_holds = 2;
    setup->guided_holds = 1;
    setup->rated = true;
    estimate(view, setup, 0, 898.0, 3.2, VERDICT_NONE, 0.0, 0.0, 0.0);
    estimate(view, setup, 1, 780.0, 3.4, VERDICT_NONE, 0.0, 0.0, 0.0);
    setup = add_setup(view, "pads down 20", "pad rise 60 to 40", 30.0, 40.0);
    setup->free_holds = 2;
    setup->rated = true;
    estimate(view, setup, 0, 886.0, 3.5, VERDICT_LOWER, -12.0, -18.0, -6.0);
    estimate(view, setup, 1, 776.0, 3.9, VERDICT_CANNOT_TELL, -4.0, -10.5, 2.5);
    setup->difference[1].advice = ADVICE_MORE_HOLDS;
    setup->difference[1].advice_holds = 2;
    setup = add_setup(view, "spacers out, pads down", "spacers 30 to 10, pad rise 60 to 40", 10.0,
                      40.0);
    setup->free_holds = 1;
    setup->current = true;
    estimate(view, setup, 0, 875.0, 5.2, VERDICT_LOWER, -23.0, -30.0, -16.0);
    estimate(view, setup, 1, 768.0, 5.6, VERDICT_LOWER, -12.0, -19.0, -5.0);
    setup->estimate[0].borrowed_repeatability = setup->estimate[1].borrowed_repeatability = true;
    made_insight(view);
    view->setup_number = 3;
    view->build_ordinal = 1;
    text_copy(view->intent, sizeof view->intent, setup->intent);
    text_copy(view->changes, sizeof view->changes, setup->changes);
    view->bars_shift_mm = -19.1;
    view->bars_shift_x_mm = 5.8;
    for (int h = 0; h < 6; h++) {
        struct view_hold *hold = &view->hold_shown[view->hold_shown_count++];
        *hold = (struct view_hold){.number = h + 1,
                                   .setup = h < 3   ? 1
                                            : h < 5 ? 2
                                                    : 3,
                                   .build_ordinal = 1};
        hold->guided = h == 2;
        hold->rejected = h == 3;
        for (int c = 0; c < CHANNELS_MAX; c++) {
            hold->mean_mm[c] = (c == 0 ? 898.0 : 780.0) - 6.0 * (hold->setup - 1) + h % 3;
            hold->half_width_mm[c] = 1.3 + 0.2 * h;
            hold->in_band_share[c] = 0.62 + 0.06 * h;
        }
    }
    made_events(view);
}

static void made_capture(struct view *view, enum view_phase phase)
{
    view->phase = phase;
    view->elapsed_s = 41.0;
    view->planned_s = 60.0;
    view->hold_number = phase == VIEW_HOLD || phase == VIEW_SETTLING ? 6 : 0;
    view->hold_of_setup = 2;
    view->steady = true;
    view->target_until_mm = 3.0;
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
    struct view_channel *channel = &view->channel[view->channel_count];
    add_channel(view, "power", "", NAN, INFINITY, INFINITY);
    channel->role = ROLE_AUXILIARY;
    channel->has_target = channel->has_band = channel->tied = channel->mounted = false;
    channel->proposal_count = 0;
    view->check.range_mm[view->channel_count - 1] = 203.0;
}

void made_view(struct view *view, enum made_view kind)
{
    memset(view, 0, sizeof *view);
    view->minutes_left = view->bars_shift_mm = view->bars_shift_x_mm = NAN;
    view->baseline_setup = 1;
    view->worst_channel = -1;
    for (int c = 0; c < CHANNELS_MAX; c++) {
        view->order_mm[c] = c == 0 && kind != MADE_MANY ? 0.6 : (double)NAN;
    }
    bike_values_clear(&view->bike_frame);
    bike_limits_clear(&view->limits);
    for (int c = 0; c < CHANNELS_MAX; c++) {
        view->channel[c].shown_mm = view->channel[c].slow_mm = view->channel[c].quick_mm = NAN;
        view->matters_mm[c] = 10.0;
    }
    view->serial = 1;
    text_copy(view->next_step, sizeof view->next_step, "waiting for the sensors");
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
    text_copy(view->next_step, sizeof view->next_step, "free hold 2 of 2 on this build");
    text_copy(view->next_command, sizeof view->next_command, "hold 60s free");
    view->next = VIEW_NEXT_COMMAND;
    switch (kind) {
    case MADE_FIRST:
        view->setup_count = view->setup_number = view->hold_shown_count = view->event_count = 0;
        view->rider[0] = view->rider_code[0] = view->bike[0] = view->intent[0] = view->changes[0] =
            '\0';
        view->bars_shift_mm = NAN;
        view->message[0] = '\0';
        for (int c = 0; c < view->channel_count; c++) {
            struct view_channel *channel = &view->channel[c];
            channel->mark_count = 0;
            channel->proposal_count = 0;
            channel->has_target = channel->has_band = channel->tied = channel->mounted = false;
            channel->mark[0] = '\0';
            channel->target_mm = NAN;
            text_copy(channel->tie_text, sizeof channel->tie_text, "range only");
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
    case MADE_TARGET:
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
        view->channel[0].plate_mm = 412.4;
        view->channel[1].gain = 1.0040;
        view->channel[1].offset_mm = -1.2;
        view->health.channel[1].two_levels = true;
        view->health.channel[1].levels_apart_mm = 61.0;
        view->health.channel[0].stuck_s = 12.0;
        view->health.rejected = 3;
        view->health.lost = 9;
        break;
    case MADE_MANY:
        add_channel(view, "shoulder", "seam", 832.0, 12.0, 12.0);
        add_channel(view, "back", "tape cross", 702.0, 12.0, 12.0);
        for (int s = 4; s <= 12; s++) {
            char intent[64];
            snprintf(intent, sizeof intent, "stem %d mm lower, pads %d mm forward", s, 2 * s);
            struct view_setup *setup = add_setup(view, intent, "", 30.0 - s, 60.0);
            setup->free_holds = 2;
            estimate(view, setup, 0, 880.0 + s, 3.2, s % 2 ? VERDICT_HIGHER : VERDICT_NO_DIFFERENCE,
                     s % 2 ? 14.0 : 1.0, s % 2 ? 9.0 : -3.0, s % 2 ? 19.0 : 5.0);
            estimate(view, setup, 1, 770.0 + s, 3.2,
                     s % 3 ? VERDICT_LESS_THAN_MATTERS : VERDICT_NOT_COMPARABLE, -6.0, -8.0, -4.0);
            text_copy(setup->difference[1].reason, sizeof setup->difference[1].reason,
                      "the sensor's height is not tied");
            setup->sees_ahead_failed = s == 5;
            text_copy(setup->complaint, sizeof setup->complaint,
                      s == 5 ? "it FAILED: the rider could not see ahead on it" : "");
        }
        break;
    default:
        break;
    }
    double now = view->session_s;
    int earlier = kind == MADE_FIRST ? 300 : VIEW_HISTORY;
    for (int i = earlier; i >= 1; i--) {
        double back = i * VIEW_HISTORY_STEP_S;
        bool captured = view->phase == VIEW_LIVE || view->phase == VIEW_SETTLING
                            ? back > 30.0 && back < 90.0
                            : back <= view->elapsed_s;
        push_point(view, now - back, captured && kind != MADE_FIRST ? VIEW_HOLD : VIEW_LIVE,
                   back > 100.0 ? view->setup_number - 1 : view->setup_number);
    }
    made_view_step(view, 0.0);
}
