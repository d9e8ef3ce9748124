/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The trade-off between setups, and where two channels were together. */
#include "insight_inside.h"

#include "measure/rules.h"
#include "measure/statistics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- the trade-off ----------------------------------------------------------------------------
 */

static double rounded(double value, double unit)
{
    return round(value / unit) * unit;
}

static void set(struct tradeoff_setup *setup, enum tradeoff_criterion criterion, double value)
{
    setup->has[criterion] = isfinite(value);
    setup->value[criterion] = value;
}

static double worse(double a, double b)
{
    return isnan(a) || b > a ? b : a;
}

/* Of one channel: geometric mean of steadiness and median creep of the free holds, mean share of
 * the guided ones. */
struct channel_values {
    double steadiness_mm, creep_mm_per_min, share;
};

static struct channel_values channel_values(const struct session_record *record,
                                            const struct analysis *analysis, int setup, int channel)
{
    struct channel_values values = {NAN, NAN, NAN};
    double creep[HOLDS_MAX], logs = 0.0, shares = 0.0;
    size_t creeps = 0;
    int steady = 0, bands = 0;
    for (int h = 0; h < record->hold_count; h++) {
        const struct hold_result *result = &analysis->hold[h];
        const struct hold_summary *summary = &result->summary[channel];
        if (record->build[record->hold[h].build].setup != setup || !result->counts ||
            !result->has[channel] || summary->status != MEASURE_OK) {
            continue;
        }
        if (record->hold[h].guided) {
            shares += summary->has_band ? summary->in_band_share : 0.0;
            bands += summary->has_band ? 1 : 0;
            continue;
        }
        if (summary->steadiness_mm > 0.0) {
            logs += log(summary->steadiness_mm);
            steady++;
        }
        if (summary->has_creep) {
            creep[creeps++] = summary->creep_mm_per_min;
        }
    }
    if (steady > 0) {
        values.steadiness_mm = exp(logs / steady);
    }
    if (bands > 0) {
        values.share = shares / bands;
    }
    statistics_median(creep, creeps, &values.creep_mm_per_min);
    return values;
}

static void tradeoff_values(const struct session_record *record, const struct analysis *analysis,
                            int setup, struct tradeoff_setup *out)
{
    double steadiness = NAN, creep = NAN, loss = NAN, discomfort = NAN;
    int bodies = 0;
    memset(out, 0, sizeof *out);
    for (int c = 0; c < analysis->channel_count; c++) {
        if (!analysis->body[c]) {
            continue;
        }
        const struct setup_estimate *estimate = &analysis->free_heights[c].setup[setup];
        struct channel_values values = channel_values(record, analysis, setup, c);
        if (bodies < 2 && estimate->holds > 0 && estimate->tied) {
            set(out, bodies == 0 ? TRADEOFF_HEIGHT : TRADEOFF_SECOND_HEIGHT,
                rounded(estimate->mean, TRADEOFF_HEIGHT_MM));
        }
        bodies++;
        steadiness = worse(steadiness, values.steadiness_mm);
        creep = worse(creep, fabs(values.creep_mm_per_min));
        loss = worse(loss, -values.share);
    }
    for (int item = 0; item < RATING_ITEMS; item++) {
        if (rating_fields[item].discomfort) {
            discomfort = worse(discomfort, setup_rating(record, setup, item));
        }
    }
    set(out, TRADEOFF_STEADINESS, rounded(steadiness, TRADEOFF_STEADINESS_MM));
    set(out, TRADEOFF_CREEP, rounded(creep, TRADEOFF_CREEP_MM_PER_MIN));
    set(out, TRADEOFF_IN_BAND, rounded(-loss, TRADEOFF_SHARE));
    set(out, TRADEOFF_DISCOMFORT, discomfort);
    set(out, TRADEOFF_EFFORT, setup_rating(record, setup, RATING_EFFORT));
    out->sight_failed = setup_sight_failed(record, setup);
}

static void make_tradeoff(const struct session_record *record, const struct analysis *analysis,
                          struct insight *insight)
{
    for (int s = 0; s < record->setup_count; s++) {
        bool any = false;
        tradeoff_values(record, analysis, s, &insight->value[s]);
        for (int k = 0; k < TRADEOFF_CRITERIA; k++) {
            any = any || insight->value[s].has[k];
            insight->criterion[k] = insight->criterion[k] || insight->value[s].has[k];
        }
        insight->tradeoff_setups += any ? 1 : 0;
    }
    tradeoff_mark(insight->value, record->setup_count, insight->mark);
}

/* ---- together ---------------------------------------------------------------------------------
 */

void insight_pick_channels(const struct analysis *analysis, int *x_channel, int *y_channel)
{
    *x_channel = *y_channel = -1;
    for (int c = 0; c < analysis->channel_count && *x_channel < 0; c++) {
        if (analysis->body[c]) {
            *(*y_channel < 0 ? y_channel : x_channel) = c;
        }
    }
    if (*x_channel < 0) {
        *y_channel = -1;
    }
}

static bool tied(const struct analysis *analysis, int build, const struct insight *insight)
{
    const struct tie *ties = analysis->tie[build];
    return ties[insight->x_channel].kind != TIE_NONE && ties[insight->y_channel].kind != TIE_NONE;
}

static void make_together(const struct session_record *record, const struct analysis *analysis,
                          struct insight *insight)
{
    insight_pick_channels(analysis, &insight->x_channel, &insight->y_channel);
    for (int s = 0; insight->x_channel >= 0 && s < record->setup_count; s++) {
        struct ellipse holds[HOLDS_MAX];
        int count = 0;
        for (int h = 0; h < record->hold_count; h++) {
            const struct hold_record *hold = &record->hold[h];
            if (record->build[hold->build].setup == s && !hold->guided &&
                analysis->hold[h].counts && analysis->hold[h].together &&
                tied(analysis, hold->build, insight)) {
                holds[count++] = analysis->hold[h].ellipse;
            }
        }
        insight->together[s] = ellipse_pool(holds, count, &insight->ellipse[s]) == MEASURE_OK;
    }
}

void insight_make(const struct session_record *record, struct analysis *analysis)
{
    struct insight *insight = &analysis->insight;
    memset(insight, 0, sizeof *insight);
    make_tradeoff(record, analysis, insight);
    make_together(record, analysis, insight);
    insight_make_steps(record, analysis, insight);
}
