/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/views.h"

#include "base/text.h"

#include <math.h>

/* How a made-up view goes on: the body, the clocks, what is asked for. */

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
    channel->seen = channel->cue;
}

void made_view_point(struct view *view, double time_s, enum view_phase phase, int setup)
{
    struct view_history *history = &made_of(view)->history;
    int64_t step = history->steps++;
    for (int c = 0; c < view->channel_count; c++) {
        double slow = body_mm(c, base_of(view, c), time_s, false);
        history->point[c][step % VIEW_HISTORY] =
            (struct view_point){.slow_mm = (float)slow,
                                .low_mm = (float)slow - 4.0F,
                                .high_mm = (float)slow + 4.0F,
                                .phase = (uint8_t)phase,
                                .setup = (uint8_t)setup,
                                .tied = snapshot_tied(view->snapshot, c)};
    }
}

/* One that is out, else the first with a band. */
static void ask(struct view *view)
{
    view->asked_channel = -1;
    for (int c = 0; c < view->channel_count; c++) {
        const struct view_channel *channel = &view->channel[c];
        bool counts = snapshot_channel(view->snapshot, c)->role == ROLE_BODY &&
                      channel->has_target && channel->has_band;
        bool out = counts && channel->cue != CUE_IN;
        if (counts && (view->asked_channel < 0 || (out && view->asked_cue == CUE_IN))) {
            view->asked_channel = c;
            view->asked_cue = channel->cue;
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
        made_view_point(view, view->session_s, view->phase, snapshot_setup_number(view->snapshot));
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
    ask(view);
}
