/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/compare.h"

#include "compare_advice.h"
#include "compare_fit.h"
#include "compare_limits.h"
#include "compare_second.h"

#include "measure/distribution.h"
#include "measure/rules.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static void repeatability(const struct fit *fit, struct comparison *out)
{
    double df = fit->pooled.df, s = sqrt(fit->pooled.variance);
    out->has_repeatability = true;
    out->repeatability = s;
    out->repeatability_low = s * sqrt(df / chi2_quantile(INTERVAL_HIGH, df));
    out->repeatability_high = s * sqrt(df / chi2_quantile(INTERVAL_LOW, df));
    out->repeatability_df = df;
    out->repeatability_here = sqrt(fit->here.variance);
    out->repeatability_here_df = fit->here.df;
    out->repeatability_learnt = sqrt(fit->input->learnt.variance);
    out->repeatability_learnt_df = fit->input->learnt.df;
    out->provisional = df < (double)PROVISIONAL_DF;
    out->smallest_detectable = t_interval(df) * sqrt(2.0) * s;
    out->order_fitted = fit->order_fitted;
    if (fit->order_fitted) {
        out->order_per_hold = fit->slope;
        out->order_half_width = t_interval(df) * sqrt(fit->pooled.variance / fit->order_within);
    }
}

/* For the interval that is shown of one setup, and for nothing that is said of two: a few holds
 * alone would make it jump with each new one, so a usual repeatability has a say as long as it is
 * provisional. */
static struct spread shown_variance(const struct fit *fit, int setup, bool *assumed)
{
    struct spread usual = {ASSUMED_REPEATABILITY_MM * ASSUMED_REPEATABILITY_MM,
                           ASSUMED_REPEATABILITY_DF};
    *assumed = !fit->input->shares && !fit->input->nothing_usual && !fit->cell[setup].apart &&
               fit->pooled.df < (double)PROVISIONAL_DF;
    if (!*assumed) {
        return fit_hold_variance(fit, setup, -1);
    }
    struct spread shown = spread_together(fit->pooled, usual);
    shown.variance *= fit_hold_factor(fit, setup, -1);
    return shown;
}

static void estimate_setup(const struct fit *fit, int setup, struct comparison *out)
{
    const struct compare_input *input = fit->input;
    struct setup_estimate *estimate = &out->setup[setup];
    bool used[COMPARE_BUILDS_MAX] = {false};
    double sum = 0.0;
    int all = 0;
    estimate->tied = fit->cell[setup].holds > 0;
    for (int h = 0; h < input->hold_count; h++) {
        const struct compare_hold *hold = &input->holds[h];
        if (hold->setup != setup) {
            continue;
        }
        all++;
        sum += hold->value;
        if (estimate->tied && !input->builds[hold->build].tied) {
            continue;
        }
        estimate->builds += used[hold->build] ? 0 : 1;
        used[hold->build] = true;
    }
    estimate->holds = estimate->tied ? fit->cell[setup].holds : all;
    estimate->built_once = estimate->builds == 1;
    if (all == 0) {
        return;
    }
    estimate->mean = estimate->tied ? fit_level(fit, setup) : sum / all;
    bool repeated = estimate->tied && estimate->holds >= SPREAD_HOLDS_MIN;
    estimate->spread = repeated ? sqrt(fit->cell[setup].own.variance) : (double)NAN;
    if (!estimate->tied || !out->has_repeatability) {
        return;
    }
    struct spread holds = shown_variance(fit, setup, &estimate->assumed);
    struct spread known = fit_hold_variance(fit, setup, -1);
    double ties = fit_tie_variance(fit, setup, -1);
    estimate->standard_error = sqrt(known.variance + ties);
    estimate->df = known.df;
    estimate->has_interval = true;
    estimate->borrowed_repeatability = estimate->holds == 1;
    estimate->own_spread = fit->cell[setup].apart;
    double both = 0.5 + 0.5 * COMPARE_CONFIDENCE; /* of this setup alone */
    struct compare_limits limits = {t_quantile(both, holds.df), normal_quantile(both)};
    estimate->half_width = compare_half_width(&limits, holds.variance, ties);
}

static bool not_comparable(const struct fit *fit, int setup, const struct comparison *out,
                           struct setup_difference *difference)
{
    int baseline = fit->input->baseline;
    enum compare_reason reason = REASON_NONE;
    difference->advice = ADVICE_TIE;
    if (!out->setup[setup].tied) {
        reason = REASON_NOT_TIED;
    } else if (out->setup[baseline].holds == 0) {
        difference->advice = ADVICE_MORE_HOLDS;
        difference->advice_holds = 2;
        reason = fit->input->shares ? REASON_BASELINE_NO_GUIDED_HOLDS : REASON_BASELINE_NO_HOLDS;
    } else if (!out->setup[baseline].tied) {
        reason = REASON_BASELINE_NOT_TIED;
    } else if (fit->order_index > ORDER_INDEX_MOST && fit->slope_significant) {
        difference->advice = ADVICE_RETURN_TO_FIRST;
        reason = REASON_ORDER_MATTERED;
    }
    if (reason == REASON_NONE) {
        difference->advice = ADVICE_NONE;
        return false;
    }
    difference->verdict = VERDICT_NOT_COMPARABLE;
    difference->reason = reason;
    return true;
}

/* Where order and setup go together: what is left of a difference when the slope seen within the
 * setups is taken out. Where that is of the other sign, or less than half, the difference may be
 * the order's. */
static bool may_be_the_orders(const struct fit *fit, int setup, double difference, double *left)
{
    if (fit->order_fitted || fit->order_index <= ORDER_INDEX_MOST) {
        return false;
    }
    *left = difference - fit->slope * fit_order_distance(fit, setup, fit->input->baseline);
    return *left * difference <= 0.0 || fabs(*left) < ORDER_STANDS_SHARE * fabs(difference);
}

static void estimate_difference(const struct fit *fit, const struct compare_limits *limits,
                                int setup, struct setup_difference *d)
{
    int baseline = fit->input->baseline;
    struct spread holds = fit_hold_variance(fit, setup, baseline);
    double ties = fit_tie_variance(fit, setup, baseline);
    double known = ties + fit_order_variance(fit, setup, baseline), left;
    struct compare_limits own = compare_limits_of(limits, fit, holds.df);
    d->standard_error = sqrt(holds.variance + known);
    d->tie_error = sqrt(ties);
    d->has_interval = true;
    double half = compare_half_width(&own, holds.variance, known);
    d->low = d->difference - half;
    d->high = d->difference + half;
    if (may_be_the_orders(fit, setup, d->difference, &left)) { /* either may be so */
        d->low = fmin(d->low, left - half);
        d->high = fmax(d->high, left + half);
    }
}

/* Read off the interval, and off nothing else (docs/measures.md, 'Setups against each other'). */
static void judge(const struct fit *fit, const struct compare_limits *limits, int setup,
                  struct setup_difference *d)
{
    const struct compare_input *input = fit->input;
    bool apart = d->low > 0.0 || d->high < 0.0;
    if (d->low > -input->matters && d->high < input->matters) {
        d->verdict = apart ? VERDICT_LESS_THAN_MATTERS : VERDICT_NO_DIFFERENCE;
    } else if (apart) {
        bool lower = input->higher_is_up ? d->difference < 0.0 : d->difference > 0.0;
        d->verdict = lower ? VERDICT_LOWER : VERDICT_HIGHER;
    } else {
        d->verdict = VERDICT_CANNOT_TELL;
        compare_advise(fit, limits, setup, d);
    }
}

/* Shares that are 1 in every hold of both setups, or 0, twice or more: the same as far as a share
 * can show. */
static bool both_at_the_end(const struct fit *fit, int setup, enum compare_reason *reason)
{
    const struct compare_input *input = fit->input;
    int baseline = input->baseline, all = 0, none = 0, of_setup = 0, of_baseline = 0;
    for (int h = 0; h < input->hold_count; h++) {
        const struct compare_hold *hold = &input->holds[h];
        of_setup += hold->setup == setup ? 1 : 0;
        of_baseline += hold->setup == baseline ? 1 : 0;
        if (hold->setup == setup || hold->setup == baseline) {
            all += hold->value >= 1.0 ? 1 : 0;
            none += hold->value <= 0.0 ? 1 : 0;
        }
    }
    int holds = of_setup + of_baseline;
    *reason = all == holds ? REASON_ALWAYS_IN_BAND : REASON_NEVER_IN_BAND;
    return input->shares && of_setup > 1 && of_baseline > 1 && (all == holds || none == holds);
}

static void without_repeatability(const struct fit *fit, int setup, struct setup_difference *d)
{
    enum compare_reason reason;
    if (both_at_the_end(fit, setup, &reason)) {
        d->verdict = VERDICT_NO_DIFFERENCE;
        d->reason = reason;
        return;
    }
    d->verdict = VERDICT_CANNOT_TELL;
    if (fit->no_spread) {
        d->reason = REASON_NO_SPREAD;
        return;
    }
    d->advice = ADVICE_MORE_HOLDS;
    d->advice_holds = 1;
    d->reason = REASON_NOT_REPEATED;
}

static void compare_all(const struct fit *fit, struct comparison *out)
{
    const struct compare_input *input = fit->input;
    int family[COMPARE_SETUPS_MAX], count = 0;
    for (int s = 0; s < input->setup_count; s++) {
        struct setup_difference *d = &out->difference[s];
        if (s == input->baseline || out->setup[s].holds == 0 || not_comparable(fit, s, out, d)) {
            continue;
        }
        d->difference = fit_level(fit, s) - fit_level(fit, input->baseline);
        if (!out->has_repeatability) {
            without_repeatability(fit, s, d);
            continue;
        }
        family[count++] = s;
    }
    if (count == 0) {
        return;
    }
    struct compare_limits limits = compare_limits(fit, family, count);
    out->compared = count;
    out->spread_seen = fit->cell[input->baseline].holds >= SPREAD_HOLDS_MIN;
    for (int i = 0; i < count; i++) {
        out->spread_seen = out->spread_seen && fit->cell[family[i]].holds >= SPREAD_HOLDS_MIN;
    }
    out->limit_holds = limits.holds;
    out->limit_known = limits.known;
    for (int i = 0; i < count; i++) {
        struct setup_difference *d = &out->difference[family[i]];
        estimate_difference(fit, &limits, family[i], d);
        judge(fit, &limits, family[i], d);
    }
    compare_second(fit, &limits, out);
}

enum measure_status compare_setups(const struct compare_input *input, struct comparison *comparison)
{
    memset(comparison, 0, sizeof *comparison);
    struct fit *fit = malloc(sizeof *fit);
    enum measure_status status = fit ? compare_fit(input, fit) : MEASURE_NO_MEMORY;
    if (status == MEASURE_OK || status == MEASURE_TOO_FEW) {
        comparison->setup_count = input->setup_count;
        comparison->baseline = input->baseline;
        comparison->matters = input->matters;
        comparison->shares = input->shares;
    }
    if (status == MEASURE_OK) {
        comparison->order_index = fit->order_index;
        compare_lengths(input, comparison);
        if (fit->df >= 1 && !fit->no_spread) {
            repeatability(fit, comparison);
        }
        for (int s = 0; s < input->setup_count; s++) {
            estimate_setup(fit, s, comparison);
        }
        compare_all(fit, comparison);
        if (fit->no_spread) {
            status = MEASURE_CONSTANT;
        }
    }
    free(fit);
    comparison->status = status;
    return status;
}

bool compare_reaches_on(const struct comparison *comparison, int setup)
{
    const struct setup_difference *d = &comparison->difference[setup];
    double off = fabs((d->low + d->high) / 2.0 - d->difference);
    return d->has_interval && !comparison->shares && off > 1e-6 * (d->high - d->low);
}
