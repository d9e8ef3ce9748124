/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The holds' numbers set against each other, channel by channel. */
#include "analysis_inside.h"
#include "insight_inside.h"

#include "analysis/hold_use.h"
#include "analysis/slip.h"
#include "analysis/step_in_hold.h"
#include "measure/rules.h"

#include <string.h>

bool analysis_hold_counts(const struct hold_record *hold)
{
    return hold->status != HOLD_RUNNING && !hold->rejected && !hold->kept_afterwards;
}

static void compare_builds_of(const struct session_record *record, const struct analysis *analysis,
                              int channel, bool heights, struct compare_build *builds)
{
    for (int b = 0; b < record->build_count; b++) {
        const struct tie *tie = &analysis->tie[b][channel];
        builds[b] = (struct compare_build){
            .setup = record->build[b].setup,
            .tied = !heights || tie->kind != TIE_NONE,
            .u_build = heights ? tie->u_build_mm : 0.0,
            .u_common = heights ? tie->u_common_mm : 0.0,
            .position_group = heights ? tie->position_group : 0,
        };
    }
}

static void compare_channel(const struct session_record *record, int channel, bool guided,
                            struct analysis *analysis)
{
    struct compare_hold holds[HOLDS_MAX];
    struct compare_build builds[BUILDS_MAX];
    int count = 0, order = 0;
    for (int h = 0; h < record->hold_count; h++) {
        const struct hold_result *result = &analysis->hold[h];
        const struct hold_summary *summary = &result->summary[channel];
        if (record->hold[h].guided != guided || !result->counts) {
            continue;
        }
        order++;
        if (hold_use_of_readings(record, analysis, h, channel) == HOLD_USED &&
            count < COMPARE_HOLDS_MAX) {
            int build = record->hold[h].build;
            holds[count++] = (struct compare_hold){
                .setup = record->build[build].setup,
                .build = build,
                .order = order,
                .value = guided ? summary->in_band_share : summary->mean_mm,
                .mean_se = guided ? 0.0 : summary->mean_se_mm,
                .kept_s = guided ? 0.0 : summary->kept_s,
            };
        }
    }
    compare_builds_of(record, analysis, channel, !guided, builds);
    struct compare_input input = {
        .holds = holds,
        .hold_count = count,
        .builds = builds,
        .build_count = record->build_count,
        .setup_count = record->setup_count,
        .baseline = session_record_baseline(record),
        .matters = guided ? MATTERS_IN_BAND : record->settings.matters_mm[channel],
        .higher_is_up = true,
        .shares = guided,
    };
    if (!guided) {
        input.learnt = learnt_spread(&record->settings, channel);
    }
    compare_setups(&input,
                   guided ? &analysis->guided_in_band[channel] : &analysis->free_heights[channel]);
    struct comparison *made =
        guided ? &analysis->guided_in_band[channel] : &analysis->free_heights[channel];
    for (int s = 0; s < made->setup_count; s++) {
        made->difference[s].first_setup = record->setup[0].number;
    }
    if (guided) {
        analysis->has_guided[channel] = count > 0;
    }
}

/* Nothing is said of a channel while it may be its sensor that moved: no difference, nor how well a
 * height is known, how holds repeat or what the order did. */
static void withhold(bool stepped, struct comparison *heights)
{
    heights->order_fitted = heights->has_repeatability = false;
    heights->repeatability_here_df = 0.0;
    for (int s = 0; s < heights->setup_count; s++) {
        heights->setup[s].has_interval = false;
        if (heights->difference[s].verdict != VERDICT_NONE) {
            heights->difference[s] = (struct setup_difference){
                .verdict = VERDICT_NOT_COMPARABLE,
                .advice = ADVICE_PLATE,
                .reason = stepped ? REASON_STEPPED : REASON_SENSOR_OR_RIDER};
        }
    }
}

bool analysis_hold_is_long(const struct analysis *analysis, int hold)
{
    const struct hold_result *result = &analysis->hold[hold];
    for (int c = 0; c < analysis->channel_count; c++) {
        if (analysis->body[c] && result->has[c] && result->summary[c].has_interval) {
            return true;
        }
    }
    return false;
}

void analysis_compare(const struct session_record *record, struct analysis *analysis)
{
    memset(analysis->free_holds, 0, sizeof analysis->free_holds);
    memset(analysis->guided_holds, 0, sizeof analysis->guided_holds);
    for (int h = 0; h < record->hold_count; h++) {
        analysis->hold[h].counts = analysis_hold_counts(&record->hold[h]);
        if (analysis->hold[h].counts && analysis_hold_is_long(analysis, h) &&
            !hold_is_same_sit(record, analysis, h)) {
            int setup = record->build[record->hold[h].build].setup;
            int *counter = record->hold[h].guided ? analysis->guided_holds : analysis->free_holds;
            counter[setup]++;
        }
    }
    analysis_auxiliary_apart(record, analysis);
    slip_find(record, analysis);
    step_find_open(record, analysis);
    for (int c = 0; c < analysis->channel_count; c++) {
        if (analysis->body[c]) {
            compare_channel(record, c, false, analysis);
            if (analysis_is_withheld(analysis, c)) {
                withhold(analysis->step_open[c] > 0, &analysis->free_heights[c]);
            }
            compare_channel(record, c, true, analysis);
        }
    }
    drag_make(record, &analysis->drag);
    insight_make(record, analysis);
}
