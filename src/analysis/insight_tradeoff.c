/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* The trade-off between setups: what each came to, how well that is known, and what no other is
 * shown to beat. */
#include "insight_inside.h"

#include "measure/rules.h"
#include "measure/statistics.h"

#include <math.h>
#include <string.h>

/* A setup's value on one criterion. */
struct known {
    double value, se, df;
};
static const struct known unknown = {NAN, NAN, 0.0};

enum of_holds { OF_STEADINESS, OF_CREEP, OF_SHARE, OF_HOLDS };

/* What one hold says of it; NAN = nothing. Steadiness in logarithms. */
static double of_hold(const struct session_record *record, const struct analysis *analysis,
                      int hold, int channel, enum of_holds what)
{
    const struct hold_result *result = &analysis->hold[hold];
    const struct hold_summary *summary = &result->summary[channel];
    if (!result->counts || !result->has[channel] || summary->status != MEASURE_OK ||
        record->hold[hold].guided != (what == OF_SHARE)) {
        return (double)NAN;
    }
    switch (what) {
    case OF_STEADINESS:
        return summary->steadiness_mm > 0.0 ? log(summary->steadiness_mm) : (double)NAN;
    case OF_CREEP:
        return summary->has_creep ? summary->creep_mm_per_min : (double)NAN;
    default:
        return summary->has_band && summary->has_interval ? summary->in_band_share : (double)NAN;
    }
}

/* Means of the setups' holds, and how far holds of a setup differ, pooled over all. */
struct pool {
    int holds[SETUPS_MAX];
    double mean[SETUPS_MAX], median[SETUPS_MAX];
    double sd, df;
};

static void pool_make(const struct session_record *record, const struct analysis *analysis,
                      int channel, enum of_holds what, struct pool *pool)
{
    double values[HOLDS_MAX], squares = 0.0;
    memset(pool, 0, sizeof *pool);
    for (int s = 0; s < record->setup_count; s++) {
        size_t count = 0;
        for (int h = 0; h < record->hold_count; h++) {
            double value = of_hold(record, analysis, h, channel, what);
            if (record->build[record->hold[h].build].setup == s && !isnan(value)) {
                values[count++] = value;
                pool->mean[s] += value;
            }
        }
        pool->holds[s] = (int)count;
        pool->mean[s] /= count > 0 ? (double)count : 1.0;
        for (size_t i = 0; i < count; i++) {
            squares += (values[i] - pool->mean[s]) * (values[i] - pool->mean[s]);
        }
        pool->df += count > 0 ? (double)count - 1.0 : 0.0;
        pool->median[s] = (double)NAN;
        statistics_median(values, count, &pool->median[s]);
    }
    pool->sd = sqrt(squares / pool->df); /* where no setup has two 0 / 0, which is not known */
}

/* A median of many normal values is known 1.2533 times less well than their mean: sqrt(pi / 2). */
#define MEDIAN_SE 1.2533

static struct known known_of(const struct pool *pool, int setup, enum of_holds what)
{
    if (pool->holds[setup] == 0) {
        return unknown;
    }
    double se = pool->sd / sqrt((double)pool->holds[setup]);
    double mean = pool->mean[setup];
    switch (what) {
    case OF_STEADINESS: /* a geometric mean: its error by the logarithm's */
        return (struct known){exp(mean), exp(mean) * se, pool->df};
    case OF_CREEP:
        return (struct known){fabs(pool->median[setup]), MEDIAN_SE * se, pool->df};
    default:
        return (struct known){mean, se, pool->df};
    }
}

static void set(struct tradeoff_setup *setup, enum tradeoff_criterion criterion, struct known known)
{
    setup->has[criterion] = isfinite(known.value);
    setup->value[criterion] = known.value;
    setup->se[criterion] = known.se;
    setup->df[criterion] = known.df;
}

/* The channel that is worse. */
static void take_worse(struct known *worst, struct known other, bool more_is_worse)
{
    bool worse = more_is_worse ? other.value > worst->value : other.value < worst->value;
    if (isnan(worst->value) || worse) {
        *worst = other;
    }
}

static void of_channels(const struct session_record *record, const struct analysis *analysis,
                        struct insight *insight)
{
    struct known worst[SETUPS_MAX][OF_HOLDS];
    for (int s = 0; s < record->setup_count; s++) {
        for (int what = 0; what < OF_HOLDS; what++) {
            worst[s][what] = unknown;
        }
    }
    for (int c = 0; c < analysis->channel_count; c++) {
        for (int what = 0; analysis->body[c] && what < OF_HOLDS; what++) {
            struct pool pool;
            pool_make(record, analysis, c, (enum of_holds)what, &pool);
            for (int s = 0; s < record->setup_count; s++) {
                take_worse(&worst[s][what], known_of(&pool, s, (enum of_holds)what),
                           what != OF_SHARE);
            }
        }
    }
    for (int s = 0; s < record->setup_count; s++) {
        set(&insight->value[s], TRADEOFF_STEADINESS, worst[s][OF_STEADINESS]);
        set(&insight->value[s], TRADEOFF_CREEP, worst[s][OF_CREEP]);
        set(&insight->value[s], TRADEOFF_IN_BAND, worst[s][OF_SHARE]);
    }
}

static void heights(const struct analysis *analysis, int setup, struct tradeoff_setup *out)
{
    int bodies = 0;
    for (int c = 0; c < analysis->channel_count; c++) {
        const struct setup_estimate *estimate = &analysis->free_heights[c].setup[setup];
        if (!analysis->body[c]) {
            continue;
        }
        if (bodies < 2 && estimate->holds > 0 && estimate->tied) {
            bool known =
                estimate->has_interval && !analysis->slip[c].asked && analysis->step_open[c] == 0;
            set(out, bodies == 0 ? TRADEOFF_HEIGHT : TRADEOFF_SECOND_HEIGHT,
                (struct known){estimate->mean, known ? estimate->standard_error : (double)NAN,
                               estimate->df});
        }
        bodies++;
    }
}

static void ratings(const struct session_record *record, int setup, struct tradeoff_setup *out)
{
    double discomfort = NAN;
    for (int item = 0; item < RATING_ITEMS; item++) {
        double value = setup_rating(record, setup, item);
        if (rating_fields[item].discomfort && (isnan(discomfort) || value > discomfort)) {
            discomfort = value;
        }
    }
    set(out, TRADEOFF_DISCOMFORT, (struct known){discomfort, 0.0, INFINITY});
    set(out, TRADEOFF_EFFORT,
        (struct known){setup_rating(record, setup, RATING_EFFORT), 0.0, INFINITY});
    out->sight_failed = setup_sight_failed(record, setup);
}

/* The smallest differences that matter; of heights the session's own. */
static void what_matters(const struct session_record *record, const struct analysis *analysis,
                         double matters[TRADEOFF_CRITERIA])
{
    const double others[TRADEOFF_CRITERIA] = {[TRADEOFF_STEADINESS] = TRADEOFF_STEADINESS_MM,
                                              [TRADEOFF_CREEP] = TRADEOFF_CREEP_MM_PER_MIN,
                                              [TRADEOFF_IN_BAND] = MATTERS_IN_BAND,
                                              [TRADEOFF_DISCOMFORT] = TRADEOFF_RATING,
                                              [TRADEOFF_EFFORT] = TRADEOFF_RATING};
    int bodies = 0;
    memcpy(matters, others, sizeof others);
    for (int c = 0; c < analysis->channel_count && bodies < 2; c++) {
        if (analysis->body[c]) {
            matters[bodies++ == 0 ? TRADEOFF_HEIGHT : TRADEOFF_SECOND_HEIGHT] =
                record->settings.matters_mm[c];
        }
    }
}

void insight_make_tradeoff(const struct session_record *record, const struct analysis *analysis,
                           struct insight *insight)
{
    double matters[TRADEOFF_CRITERIA];
    of_channels(record, analysis, insight);
    for (int s = 0; s < record->setup_count; s++) {
        bool any = false;
        heights(analysis, s, &insight->value[s]);
        ratings(record, s, &insight->value[s]);
        for (int k = 0; k < TRADEOFF_CRITERIA; k++) {
            any = any || insight->value[s].has[k];
            insight->criterion[k] = insight->criterion[k] || insight->value[s].has[k];
        }
        insight->tradeoff_setups += any ? 1 : 0;
    }
    what_matters(record, analysis, matters);
    tradeoff_mark(insight->value, record->setup_count, matters, insight->mark);
}
