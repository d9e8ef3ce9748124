/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/random_effects.h"

#include "measure/distribution.h"

#include <math.h>
#include <string.h>

static enum measure_status check(const struct random_effects_input *input)
{
    if (input->count == 0) {
        return MEASURE_TOO_FEW;
    }
    for (size_t i = 0; i < input->count; i++) {
        if (!isfinite(input->value[i]) || !isfinite(input->variance[i]) ||
            (input->covariate && !isfinite(input->covariate[i]))) {
            return MEASURE_NOT_FINITE;
        }
        if (!(input->variance[i] > 0.0) ||
            (input->group &&
             (input->group[i] < 0 || input->group[i] >= RANDOM_EFFECTS_GROUPS_MAX))) {
            return MEASURE_BAD_SETTING;
        }
    }
    return MEASURE_OK;
}

static int group_of(const struct random_effects_input *input, size_t i)
{
    return input->group ? input->group[i] : 0;
}

static double covariate_of(const struct random_effects_input *input, size_t i)
{
    return input->covariate ? input->covariate[i] : 0.0;
}

/* Weighted means of a group: of the values, and of the covariate about its mean over all. */
struct middle {
    double value, covariate;
};

static void middles(const struct random_effects_input *input, double tau2, double centre,
                    struct random_effects *fit, struct middle *middle)
{
    memset(fit->group, 0, sizeof fit->group);
    memset(middle, 0, RANDOM_EFFECTS_GROUPS_MAX * sizeof *middle);
    for (size_t i = 0; i < input->count; i++) {
        int g = group_of(input, i);
        double w = 1.0 / (input->variance[i] + tau2);
        /* running weighted means: no cancellation for heights of 900 mm */
        fit->group[g].count++;
        fit->group[g].weight += w;
        double part = w / fit->group[g].weight;
        middle[g].value += part * (input->value[i] - middle[g].value);
        middle[g].covariate += part * (covariate_of(input, i) - centre - middle[g].covariate);
    }
}

/* The fit at one tau^2, and sum w e^2. X is made of the groups' indicators and the covariate about
 * its weighted mean in each group, so that X'WX is diagonal. */
static double weigh(const struct random_effects_input *input, double tau2,
                    struct random_effects *fit)
{
    struct middle middle[RANDOM_EFFECTS_GROUPS_MAX];
    double centre = 0.0, xx = 0.0, xy = 0.0, all_xx = 0.0, squares = 0.0;
    for (size_t i = 0; i < input->count; i++) {
        centre += (covariate_of(input, i) - centre) / (double)(i + 1);
    }
    middles(input, tau2, centre, fit, middle);
    for (size_t i = 0; i < input->count; i++) {
        int g = group_of(input, i);
        double w = 1.0 / (input->variance[i] + tau2);
        double x = covariate_of(input, i) - centre - middle[g].covariate;
        double from_centre = covariate_of(input, i) - centre;
        all_xx += w * from_centre * from_centre;
        xx += w * x * x;
        xy += w * x * (input->value[i] - middle[g].value);
    }
    if (!(xx > 1e-12 * all_xx)) { /* it does not vary within any group, but for rounding */
        xx = 0.0;
    }
    fit->slope = xx > 0.0 ? xy / xx : 0.0;
    fit->slope_weight = xx;
    for (size_t i = 0; i < input->count; i++) {
        int g = group_of(input, i);
        double w = 1.0 / (input->variance[i] + tau2);
        double x = covariate_of(input, i) - centre - middle[g].covariate;
        double e = input->value[i] - middle[g].value - fit->slope * x;
        squares += w * e * e;
    }
    for (int g = 0; g < RANDOM_EFFECTS_GROUPS_MAX; g++) {
        if (fit->group[g].count == 0) {
            continue;
        }
        fit->group[g].covariate_distance = middle[g].covariate;
        fit->group[g].mean = middle[g].value - fit->slope * middle[g].covariate;
    }
    return squares;
}

/* What is 0 at the tau^2 sought, and negative beyond. */
static double beyond(const struct random_effects_input *input, double tau2,
                     struct random_effects *fit)
{
    return weigh(input, tau2, fit) - fit->df;
}

static double find_tau2(const struct random_effects_input *input, struct random_effects *fit)
{
    double low = 0.0, high = 0.0;
    for (size_t i = 0; i < input->count; i++) {
        high = fmax(high, input->variance[i]);
    }
    if (!(beyond(input, 0.0, fit) > 0.0)) {
        return 0.0;
    }
    for (int i = 0; i < 200 && beyond(input, high, fit) > 0.0; i++) {
        low = high;
        high *= 2.0;
    }
    for (int i = 0; i < 200; i++) { /* halving: 60 steps to the last digit */
        double middle = 0.5 * (low + high);
        if (!(middle > low && middle < high)) {
            break;
        }
        if (beyond(input, middle, fit) > 0.0) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return 0.5 * (low + high);
}

enum measure_status random_effects_fit(const struct random_effects_input *input,
                                       struct random_effects *fit)
{
    memset(fit, 0, sizeof *fit);
    enum measure_status status = check(input);
    if (status != MEASURE_OK) {
        return status;
    }
    weigh(input, 0.0, fit);
    if (input->covariate && !(fit->slope_weight > 0.0)) {
        return MEASURE_CONSTANT;
    }
    fit->df = (double)input->count - (input->covariate ? 1.0 : 0.0);
    for (int g = 0; g < RANDOM_EFFECTS_GROUPS_MAX; g++) {
        fit->df -= fit->group[g].count > 0 ? 1.0 : 0.0;
    }
    if (fit->df < 1.0) {
        fit->df = 0.0;
        return MEASURE_OK;
    }
    fit->tau2 = find_tau2(input, fit);
    fit->scale = weigh(input, fit->tau2, fit) / fit->df;
    return MEASURE_OK;
}

enum measure_status random_effects_estimate(const struct random_effects *fit, int group,
                                            int against, struct random_effects_estimate *estimate)
{
    if (group < 0 || group >= RANDOM_EFFECTS_GROUPS_MAX || against >= RANDOM_EFFECTS_GROUPS_MAX) {
        return MEASURE_BAD_SETTING;
    }
    const struct random_effects_group *a = &fit->group[group];
    if (a->count == 0 || (against >= 0 && fit->group[against].count == 0)) {
        return MEASURE_TOO_FEW;
    }
    double value = a->mean, variance = 1.0 / a->weight, distance = a->covariate_distance;
    if (against >= 0) {
        const struct random_effects_group *b = &fit->group[against];
        value -= b->mean;
        variance = group == against ? 0.0 : variance + 1.0 / b->weight;
        distance -= b->covariate_distance;
    }
    if (fit->slope_weight > 0.0) {
        variance += distance * distance / fit->slope_weight;
    }
    estimate->value = value;
    estimate->se = sqrt(variance);
    estimate->se_modified = estimate->se * sqrt(fmax(fit->scale, 1.0));
    estimate->half_width = t_interval(fit->df) * estimate->se_modified;
    return MEASURE_OK;
}
