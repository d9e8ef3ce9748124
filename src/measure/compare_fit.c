/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "compare_fit.h"

#include "compare_spread.h"

#include "measure/distribution.h"
#include "measure/rules.h"

#include <math.h>
#include <string.h>

static enum measure_status check_input(const struct compare_input *input)
{
    if (input->hold_count < 0 || input->hold_count > COMPARE_HOLDS_MAX || input->build_count < 0 ||
        input->build_count > COMPARE_BUILDS_MAX || input->setup_count < 1 ||
        input->setup_count > COMPARE_SETUPS_MAX || input->baseline < 0 ||
        input->baseline >= input->setup_count || !(input->matters > 0.0) || isinf(input->matters)) {
        return MEASURE_BAD_SETTING;
    }
    for (int b = 0; b < input->build_count; b++) {
        const struct compare_build *build = &input->builds[b];
        if (build->setup < 0 || build->setup >= input->setup_count) {
            return MEASURE_BAD_SETTING;
        }
        if (build->tied &&
            (!isfinite(build->u_build) || build->u_build < 0.0 || !isfinite(build->u_common) ||
             build->u_common < 0.0 || !isfinite(build->u_session) || build->u_session < 0.0)) {
            return MEASURE_BAD_SETTING;
        }
    }
    for (int h = 0; h < input->hold_count; h++) {
        const struct compare_hold *hold = &input->holds[h];
        if (hold->build < 0 || hold->build >= input->build_count || hold->setup < 0 ||
            hold->setup >= input->setup_count || input->builds[hold->build].setup != hold->setup) {
            return MEASURE_BAD_SETTING;
        }
        if (!isfinite(hold->value) || !isfinite(hold->order)) {
            return MEASURE_NOT_FINITE;
        }
    }
    return MEASURE_OK;
}

/* Means by cell in two passes, as statistics_mean does. */
static void cell_means(struct fit *fit)
{
    const struct compare_input *input = fit->input;
    double rest_value[CELLS_MAX] = {0}, rest_order[CELLS_MAX] = {0};
    double sum_order = 0.0;
    for (int h = 0; h < input->hold_count; h++) {
        struct cell *cell = &fit->cell[fit_cell_of(input, &input->holds[h])];
        cell->holds++;
        cell->mean_value += input->holds[h].value;
        cell->mean_order += input->holds[h].order;
        sum_order += input->holds[h].order;
    }
    fit->mean_order = sum_order / input->hold_count;
    for (int c = 0; c < CELLS_MAX; c++) {
        if (fit->cell[c].holds == 0) {
            continue;
        }
        fit->cells_used++;
        fit->cell[c].mean_value /= fit->cell[c].holds;
        fit->cell[c].mean_order /= fit->cell[c].holds;
    }
    for (int h = 0; h < input->hold_count; h++) {
        int c = fit_cell_of(input, &input->holds[h]);
        rest_value[c] += input->holds[h].value - fit->cell[c].mean_value;
        rest_order[c] += input->holds[h].order - fit->cell[c].mean_order;
    }
    for (int c = 0; c < CELLS_MAX; c++) {
        if (fit->cell[c].holds == 0) {
            continue;
        }
        fit->cell[c].mean_value += rest_value[c] / fit->cell[c].holds;
        fit->cell[c].mean_order += rest_order[c] / fit->cell[c].holds;
    }
}

enum measure_status compare_fit(const struct compare_input *input, struct fit *fit)
{
    memset(fit, 0, sizeof *fit);
    fit->input = input;
    enum measure_status status = check_input(input);
    if (status != MEASURE_OK) {
        return status;
    }
    if (input->hold_count == 0) {
        return MEASURE_TOO_FEW;
    }
    cell_means(fit);

    double order_all = 0.0, product = 0.0, value_within = 0.0, largest = 0.0;
    for (int h = 0; h < input->hold_count; h++) {
        const struct compare_hold *hold = &input->holds[h];
        const struct cell *cell = &fit->cell[fit_cell_of(input, hold)];
        double from_all = hold->order - fit->mean_order;
        double order = hold->order - cell->mean_order, value = hold->value - cell->mean_value;
        order_all += from_all * from_all;
        fit->order_within += order * order;
        fit->cell[fit_cell_of(input, hold)].order_squares += order * order;
        product += order * value;
        value_within += value * value;
        largest = fmax(largest, fabs(hold->value));
    }
    if (order_all > 0.0) {
        fit->order_index = fmax(0.0, 1.0 - fit->order_within / order_all);
    }
    int df = input->hold_count - fit->cells_used;
    bool order_varies = fit->order_within > 1e-12 * order_all;
    double slope = order_varies ? product / fit->order_within : 0.0;
    double squares_with = fmax(0.0, value_within - slope * product);
    fit->order_fitted =
        order_varies && fit->order_index <= ORDER_INDEX_MOST && df - 1 >= ORDER_DF_MIN;
    if (order_varies && df >= 2) { /* looked at, even where it is not taken out */
        fit->slope_se = sqrt(squares_with / (df - 1) / fit->order_within);
        fit->slope = slope;
        if (fit->slope_se > 0.0) {
            fit->slope_significant = fabs(slope) > t_interval(df - 1) * fit->slope_se;
        }
    }
    if (fit->order_fitted) {
        df--;
    }
    fit->df = df;
    compare_spread(fit, fit->order_fitted ? squares_with : value_within, largest);
    return MEASURE_OK;
}

double fit_level(const struct fit *fit, int setup)
{
    const struct cell *cell = &fit->cell[setup];
    double slope = fit->order_fitted ? fit->slope : 0.0;
    return cell->mean_value - slope * (cell->mean_order - fit->mean_order);
}

double fit_order_distance(const struct fit *fit, int setup, int baseline)
{
    double from = baseline < 0 ? fit->mean_order : fit->cell[baseline].mean_order;
    return fit->cell[setup].mean_order - from;
}

static double order_arm(const struct fit *fit, int setup, int baseline)
{
    return fit->order_fitted ? fit_order_distance(fit, setup, baseline) : 0.0;
}

double fit_order_variance(const struct fit *fit, int setup, int baseline)
{
    if (fit->order_fitted) {
        return 0.0;
    }
    double unknown = ORDER_UNKNOWN * fit->input->matters * fit_order_distance(fit, setup, baseline);
    return unknown * unknown;
}

double fit_hold_factor(const struct fit *fit, int setup, int baseline)
{
    double arm = order_arm(fit, setup, baseline);
    double factor = 1.0 / fit->cell[setup].holds;
    if (baseline >= 0) {
        factor += 1.0 / fit->cell[baseline].holds;
    }
    if (fit->order_fitted) {
        factor += arm * arm / fit->order_within;
    }
    return factor;
}

/* How much of the variance of one hold a cell's own holds bring in. */
static double cell_factor(const struct fit *fit, int cell, int setup, int baseline)
{
    double factor = 0.0, arm = order_arm(fit, setup, baseline);
    if (cell == setup || cell == baseline) {
        factor += 1.0 / fit->cell[cell].holds;
    }
    if (fit->order_fitted) {
        double of_slope = arm / fit->order_within;
        factor += of_slope * of_slope * fit->cell[cell].order_squares;
    }
    return factor;
}

struct spread fit_hold_variance(const struct fit *fit, int setup, int baseline)
{
    double rest = fit_hold_factor(fit, setup, baseline), own = 0.0, chance = 0.0;
    bool apart = false;
    for (int c = 0; c < COMPARE_SETUPS_MAX; c++) {
        const struct cell *cell = &fit->cell[c];
        double factor = cell->apart ? cell_factor(fit, c, setup, baseline) : 0.0;
        if (factor > 0.0) {
            double part = factor * cell->own.variance;
            apart = true;
            rest -= factor;
            own += part;
            chance += part * part / cell->own.df;
        }
    }
    double pooled = fmax(0.0, rest) * fit->pooled.variance;
    chance += pooled * pooled / fit->pooled.df;
    double all = own + pooled;
    double df = apart ? fmin(fit->pooled.df, all * all / chance) : fit->pooled.df;
    return (struct spread){all, df};
}

double fit_tie_variance(const struct fit *fit, int setup, int baseline)
{
    const struct compare_input *input = fit->input;
    double weight[COMPARE_BUILDS_MAX] = {0}, arm = order_arm(fit, setup, baseline);
    for (int h = 0; h < input->hold_count; h++) {
        const struct compare_hold *hold = &input->holds[h];
        int c = fit_cell_of(input, hold);
        double w = 0.0;
        if (c == setup) {
            w += 1.0 / fit->cell[setup].holds;
        }
        if (c == baseline) {
            w -= 1.0 / fit->cell[baseline].holds;
        }
        if (fit->order_fitted) {
            w -= arm * (hold->order - fit->cell[c].mean_order) / fit->order_within;
        }
        weight[hold->build] += w;
    }
    double variance = 0.0;
    for (int b = 0; b < input->build_count; b++) {
        const struct compare_build *build = &input->builds[b];
        if (!build->tied) {
            continue;
        }
        variance += weight[b] * weight[b] * build->u_build * build->u_build;
        bool first_of_group = true, first_of_session = true;
        double common = 0.0, session = 0.0;
        for (int o = 0; o < input->build_count; o++) {
            const struct compare_build *other = &input->builds[o];
            if (!other->tied) {
                continue;
            }
            if (other->position_group == build->position_group) {
                first_of_group = first_of_group && o >= b;
                common += weight[o] * other->u_common;
            }
            if (other->session == build->session) {
                first_of_session = first_of_session && o >= b;
                session += weight[o] * other->u_session;
            }
        }
        if (first_of_group) {
            variance += common * common;
        }
        if (first_of_session) {
            variance += session * session;
        }
    }
    return variance;
}
