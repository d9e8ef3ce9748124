/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/compare.h"

#include "compare_advice.h"
#include "compare_fit.h"
#include "compare_second.h"

#include "measure/distribution.h"
#include "measure/holm.h"
#include "measure/rules.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static double combined_df(const struct fit *fit, double holds, double ties)
{
    return fit_combined_df(fit->df, holds, ties);
}

static void repeatability(const struct fit *fit, struct comparison *out)
{
    double df = fit->df, s = sqrt(fit->variance);
    out->has_repeatability = true;
    out->repeatability = s;
    out->repeatability_low = s * sqrt(df / chi2_quantile(0.975, df));
    out->repeatability_high = s * sqrt(df / chi2_quantile(0.025, df));
    out->repeatability_df = fit->df;
    out->provisional = fit->df < PROVISIONAL_DF;
    out->smallest_detectable = t_quantile(0.975, df) * sqrt(2.0) * s;
    out->order_fitted = fit->order_fitted;
    if (fit->order_fitted) {
        out->order_per_hold = fit->slope;
        out->order_half_width = t_quantile(0.975, df) * sqrt(fit->variance / fit->order_within);
    }
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
    if (!estimate->tied || !out->has_repeatability) {
        return;
    }
    double holds = fit->variance * fit_hold_factor(fit, setup, -1);
    double ties = fit_tie_variance(fit, setup, -1);
    estimate->has_interval = true;
    estimate->borrowed_repeatability = estimate->holds == 1;
    estimate->half_width = t_quantile(0.975, combined_df(fit, holds, ties)) * sqrt(holds + ties);
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
    } else if (fit->order_index > ORDER_INDEX_MOST && fit->slope_significant &&
               !fit->order_fitted) {
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

static void estimate_difference(const struct fit *fit, int setup, struct setup_difference *d)
{
    int baseline = fit->input->baseline;
    double holds = fit->variance * fit_hold_factor(fit, setup, baseline);
    double ties = fit_tie_variance(fit, setup, baseline);
    double known = ties + fit_order_variance(fit, setup, baseline);
    d->standard_error = sqrt(holds + known);
    d->tie_error = sqrt(ties);
    d->df = combined_df(fit, holds, known);
    d->has_interval = true;
    double half = t_quantile(0.975, d->df) * d->standard_error;
    double half_90 = t_quantile(0.95, d->df) * d->standard_error;
    d->low = d->difference - half;
    d->high = d->difference + half;
    d->low_90 = d->difference - half_90;
    d->high_90 = d->difference + half_90;
    d->p = t_two_sided_p(d->difference / d->standard_error, d->df);
}

/* Where order and setup go together: whether a difference keeps its sign and half its size when the
 * slope seen within the setups is taken out. Otherwise it may be the order's. */
static bool stands_without_order(const struct fit *fit, int setup, double difference)
{
    if (fit->order_fitted || fit->order_index <= ORDER_INDEX_MOST) {
        return true;
    }
    double left = difference - fit->slope * fit_order_distance(fit, setup, fit->input->baseline);
    return left * difference > 0.0 && fabs(left) >= ORDER_STANDS_SHARE * fabs(difference);
}

/* The first that holds (docs/measures.md, 'Setups against each other'). */
static void judge(const struct fit *fit, int setup, struct setup_difference *d)
{
    const struct compare_input *input = fit->input;
    bool rejects = d->p_holm < HOLM_LEVEL;
    if (d->low_90 > -input->matters && d->high_90 < input->matters) {
        d->verdict = rejects ? VERDICT_LESS_THAN_MATTERS : VERDICT_NO_DIFFERENCE;
    } else if (rejects && stands_without_order(fit, setup, d->difference)) {
        bool lower = input->higher_is_up ? d->difference < 0.0 : d->difference > 0.0;
        d->verdict = lower ? VERDICT_LOWER : VERDICT_HIGHER;
    } else {
        d->verdict = VERDICT_CANNOT_TELL;
        compare_advise(fit, setup, d);
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
    double p[COMPARE_SETUPS_MAX], adjusted[COMPARE_SETUPS_MAX];
    int of[COMPARE_SETUPS_MAX], tests = 0;
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
        estimate_difference(fit, s, d);
        p[tests] = d->p;
        of[tests++] = s;
    }
    compare_second(fit, out);
    if (tests == 0 || holm_adjust(p, (size_t)tests, adjusted) != MEASURE_OK) {
        return;
    }
    for (int i = 0; i < tests; i++) {
        out->difference[of[i]].p_holm = adjusted[i];
        judge(fit, of[i], &out->difference[of[i]]);
    }
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
