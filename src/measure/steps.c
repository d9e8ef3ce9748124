/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/steps.h"

#include "measure/distribution.h"

#include <math.h>
#include <string.h>

const char *steps_state_words(enum steps_state state)
{
    static const char *const words[] = {
        [STEPS_KNOWN] = "known",
        [STEPS_NOT_CHANGED] = "not changed",
        [STEPS_NOT_TOLD_APART] = "not told apart",
    };
    return words[state];
}

const char *steps_purpose_word(enum steps_purpose purpose)
{
    static const char *const words[] = {
        [STEPS_NOTHING] = "none",
        [STEPS_LOWER] = "lower",
    };
    return words[purpose];
}

/* Column 0 is the first setup's level. */
static void direction_of(const struct steps *steps, const double *change, double *direction)
{
    direction[0] = 0.0;
    for (int k = 0; k < steps->factor_count; k++) {
        direction[k + 1] = change[k];
    }
}

static enum measure_status check(const struct steps_input *input)
{
    if (input->factor_count < 1 || input->factor_count > STEPS_FACTORS_MAX ||
        input->setup_count > STEPS_SETUPS_MAX || !(input->df > 0.0)) {
        return MEASURE_BAD_SETTING;
    }
    if (input->setup_count < 2) {
        return MEASURE_TOO_FEW;
    }
    for (int s = 0; s < input->setup_count; s++) {
        if (!(input->setups[s].u_mm > 0.0) || isinf(input->setups[s].u_mm)) {
            return MEASURE_BAD_SETTING;
        }
    }
    return MEASURE_OK;
}

static bool is_changed(const struct steps_input *input, int factor)
{
    for (int s = 1; s < input->setup_count; s++) {
        if (input->setups[s].change[factor] != input->setups[0].change[factor]) {
            return true;
        }
    }
    return false;
}

static double half_width(const struct steps *steps, const double *direction)
{
    return t_interval(steps->df) * steps->widened *
           sqrt(least_squares_variance(&steps->fit, direction));
}

static void judge_factors(const struct steps_input *input, struct steps *steps)
{
    steps->change_alone = -1;
    for (int k = 0; k < input->factor_count; k++) {
        double change[STEPS_FACTORS_MAX] = {0}, direction[LEAST_SQUARES_COLUMNS_MAX];
        struct steps_factor *factor = &steps->factor[k];
        change[k] = 1.0;
        direction_of(steps, change, direction);
        if (!is_changed(input, k)) {
            factor->state = STEPS_NOT_CHANGED;
        } else if (!least_squares_determines(&steps->fit, direction)) {
            factor->state = STEPS_NOT_TOLD_APART;
            if (steps->change_alone < 0) {
                steps->change_alone = k;
            }
        } else {
            factor->state = STEPS_KNOWN;
            factor->per_unit = least_squares_value(&steps->fit, direction);
            factor->half_width = half_width(steps, direction);
        }
    }
}

enum measure_status steps_fit(const struct steps_input *input, struct steps *steps)
{
    double x[STEPS_SETUPS_MAX * LEAST_SQUARES_COLUMNS_MAX], y[STEPS_SETUPS_MAX];
    double weights[STEPS_SETUPS_MAX];
    memset(steps, 0, sizeof *steps);
    enum measure_status status = check(input);
    if (status != MEASURE_OK) {
        return steps->status = status;
    }
    size_t columns = (size_t)input->factor_count + 1;
    for (int s = 0; s < input->setup_count; s++) {
        const struct steps_setup *setup = &input->setups[s];
        double *row = x + (size_t)s * columns;
        row[0] = 1.0;
        for (size_t k = 1; k < columns; k++) {
            row[k] = setup->change[k - 1];
        }
        y[s] = setup->height_mm;
        weights[s] = 1.0 / (setup->u_mm * setup->u_mm);
    }
    steps->factor_count = input->factor_count;
    status = least_squares_fit(x, y, weights, (size_t)input->setup_count, columns, &steps->fit);
    if (status == MEASURE_OK && steps->fit.rank < 2) {
        status = MEASURE_CONSTANT;
    }
    if (status != MEASURE_OK) {
        return steps->status = status;
    }
    /* Heights known to u_mm each; where the straight line misses them by more, its misses decide.
     */
    steps->widened = 1.0;
    steps->df = input->df;
    if (steps->fit.df > 0.0 && steps->fit.residual_sd > 1.0) {
        steps->widened = steps->fit.residual_sd;
        steps->df = fmin(input->df, steps->fit.df);
    }
    judge_factors(input, steps);
    return steps->status = MEASURE_OK;
}

struct steps_forecast steps_forecast(const struct steps *steps, const double *change)
{
    struct steps_forecast forecast = {0};
    double direction[LEAST_SQUARES_COLUMNS_MAX];
    if (steps->status != MEASURE_OK) {
        return forecast;
    }
    direction_of(steps, change, direction);
    if (!least_squares_determines(&steps->fit, direction)) {
        return forecast;
    }
    forecast.possible = true;
    forecast.height_change_mm = least_squares_value(&steps->fit, direction);
    forecast.half_width_mm = half_width(steps, direction);
    return forecast;
}

static bool take_step(const struct steps_limits *limits, int factor, double sign, double *value)
{
    *value = limits->now[factor] + sign * limits->step[factor];
    return *value >= limits->low[factor] - 1e-9 && *value <= limits->high[factor] + 1e-9;
}

void steps_suggest(const struct steps *steps, const struct steps_limits *limits,
                   struct steps_suggestion *suggestion)
{
    double best_mm = 0.0, value;
    memset(suggestion, 0, sizeof *suggestion);
    suggestion->factor = -1;
    if (steps->status != MEASURE_OK) {
        return;
    }
    memcpy(suggestion->change, limits->now, sizeof suggestion->change);
    for (int k = 0; k < steps->factor_count; k++) {
        const struct steps_factor *factor = &steps->factor[k];
        double sign = factor->per_unit > 0.0 ? -1.0 : 1.0;
        double lowers_mm = fabs(factor->per_unit) * limits->step[k];
        if (factor->state != STEPS_KNOWN || fabs(factor->per_unit) <= factor->half_width ||
            lowers_mm <= best_mm || !take_step(limits, k, sign, &value)) {
            continue;
        }
        best_mm = lowers_mm;
        suggestion->purpose = STEPS_LOWER;
        suggestion->factor = k;
    }
    if (suggestion->factor < 0) {
        return;
    }
    int k = suggestion->factor;
    take_step(limits, k, steps->factor[k].per_unit < 0.0 ? 1.0 : -1.0, &value);
    suggestion->change[k] = value;
    suggestion->forecast = steps_forecast(steps, suggestion->change);
}
