/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/visits.h"

#include "analysis/setup_ratings.h"
#include "base/text.h"
#include "measure/rules.h"

#include <math.h>

/* A channel's index in a session, by its name; -1: it was not there. */
static int channel_in(const struct across *across, int session, int channel)
{
    const struct analysis *analysis = across->session[session].analysis;
    for (int c = 0; c < analysis->channel_count; c++) {
        if (analysis->body[c] &&
            text_equal(analysis->channel_name[c], across->channel[channel].name)) {
            return c;
        }
    }
    return -1;
}

/* A setup's index in a session; -1: it was not held freely there. */
static int setup_in(const struct across *across, int session, int setup)
{
    int number = across->setup[setup].number_in[session];
    return number > 0 ? session_record_setup(across->session[session].record, number) : -1;
}

struct visit_height visit_height(const struct across *across, int session, int setup, int channel)
{
    struct visit_height height = {false, false, NAN, NAN};
    int c = channel_in(across, session, channel), s = setup_in(across, session, setup);
    if (c < 0 || s < 0) {
        return height;
    }
    const struct setup_estimate *estimate =
        analysis_estimate(across->session[session].analysis, c, s);
    double u = across->channel[channel].u_session_mm[session];
    height.measured = estimate->holds > 0;
    height.tied = height.measured && estimate->tied && isfinite(u);
    if (height.tied) {
        height.mean_mm = estimate->mean;
    }
    if (height.tied && estimate->has_interval) {
        height.half_width_mm = hypot(estimate->half_width, NORMAL_95 * u);
    }
    return height;
}

struct visit_change visit_change(const struct across *across, int setup, int channel, int from,
                                 int to)
{
    struct visit_height before = visit_height(across, from, setup, channel);
    struct visit_height after = visit_height(across, to, setup, channel);
    struct visit_change change = {false, after.mean_mm - before.mean_mm,
                                  hypot(before.half_width_mm, after.half_width_mm)};
    change.known = isfinite(change.change_mm) && isfinite(change.half_width_mm);
    return change;
}

int visit_chosen(const struct across *across, int session)
{
    int number = across->session[session].record->settings.chosen_setup;
    for (int i = 0; number > 0 && i < across->setup_count; i++) {
        if (across->setup[i].number_in[session] == number) {
            return i;
        }
    }
    return -1;
}

int visit_next(const struct across *across, int session, int setup)
{
    for (int s = session + 1; s < across->session_count; s++) {
        if (across->setup[setup].number_in[s] > 0) {
            return s;
        }
    }
    return -1;
}

double visit_rating(const struct across *across, int session, int setup, int item)
{
    int s = setup_in(across, session, setup);
    return s >= 0 ? setup_rating(across->session[session].record, s, item) : (double)NAN;
}
