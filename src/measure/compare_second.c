/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "compare_second.h"

#include "compare_spread.h"

#include "measure/distribution.h"
#include "measure/random_effects.h"
#include "measure/rules.h"

#include <math.h>
#include <stdlib.h>

void compare_lengths(const struct compare_input *input, struct comparison *comparison)
{
    double shortest = (double)INFINITY, longest = 0.0;
    for (int h = 0; h < input->hold_count; h++) {
        const struct compare_hold *hold = &input->holds[h];
        if (!(hold->mean_se > 0.0) || !(hold->kept_s > 0.0) || isinf(hold->mean_se)) {
            return; /* nothing to weigh by */
        }
        shortest = fmin(shortest, hold->kept_s);
        longest = fmax(longest, hold->kept_s);
    }
    if (isinf(longest)) {
        return;
    }
    comparison->shortest_s = shortest;
    comparison->longest_s = longest;
    comparison->uneven = longest >= UNEVEN_TIMES * shortest;
}

struct weighing {
    double value[COMPARE_HOLDS_MAX], variance[COMPARE_HOLDS_MAX], order[COMPARE_HOLDS_MAX];
    int group[COMPARE_HOLDS_MAX];
    struct random_effects fit;
};

_Static_assert(CELLS_MAX <= RANDOM_EFFECTS_GROUPS_MAX, "each cell is a group");

/* Cells as in the comparison, and the order where that takes it out. */
static bool weigh(const struct fit *fit, struct weighing *weighing)
{
    const struct compare_input *input = fit->input;
    for (int h = 0; h < input->hold_count; h++) {
        const struct compare_hold *hold = &input->holds[h];
        weighing->value[h] = hold->value;
        weighing->variance[h] = hold->mean_se * hold->mean_se;
        weighing->order[h] = hold->order;
        weighing->group[h] = fit_cell_of(input, hold);
    }
    struct random_effects_input all = {.value = weighing->value,
                                       .variance = weighing->variance,
                                       .group = weighing->group,
                                       .covariate = fit->order_fitted ? weighing->order : NULL,
                                       .count = (size_t)input->hold_count};
    return random_effects_fit(&all, &weighing->fit) == MEASURE_OK;
}

/* What the ties and an order that is not taken out leave unknown is added as in the comparison. */
static void second_of(const struct fit *fit, const struct compare_limits *limits,
                      const struct random_effects *weighted, int setup, struct setup_difference *d)
{
    int baseline = fit->input->baseline;
    struct random_effects_estimate estimate;
    if (random_effects_estimate(weighted, setup, baseline, &estimate) != MEASURE_OK ||
        !isfinite(estimate.half_width)) {
        return;
    }
    double known =
        fit_tie_variance(fit, setup, baseline) + fit_order_variance(fit, setup, baseline);
    double together = limits->holds / t_interval(fit->pooled.df); /* as the intervals beside it */
    double half = hypot(together * estimate.half_width, limits->known * sqrt(known));
    d->has_second = true;
    d->second_difference = estimate.value;
    d->second_low = estimate.value - half;
    d->second_high = estimate.value + half;
}

void compare_second(const struct fit *fit, const struct compare_limits *limits,
                    struct comparison *comparison)
{
    struct weighing *weighing = comparison->uneven ? malloc(sizeof *weighing) : NULL;
    if (weighing != NULL && weigh(fit, weighing)) {
        for (int s = 0; s < fit->input->setup_count; s++) {
            if (comparison->difference[s].has_interval) {
                second_of(fit, limits, &weighing->fit, s, &comparison->difference[s]);
            }
        }
    }
    free(weighing);
}
