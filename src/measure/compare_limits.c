/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "compare_limits.h"

#include "measure/distribution.h"
#include "measure/many_to_one.h"
#include "measure/rules.h"

#include <math.h>

_Static_assert(COMPARE_SETUPS_MAX <= MANY_TO_ONE_MOST, "each setup has room in the family");

/* The first setup's own error is in every difference, and so is the slope where it is taken out. */
static double holds_limit(const struct fit *fit, const int *setups, int count)
{
    int baseline = fit->input->baseline;
    struct many_to_one family = {.count = count};
    for (int i = 0; i < count; i++) {
        family.own[i] = 1.0 / fit->cell[setups[i]].holds;
        family.one[i] = sqrt(1.0 / fit->cell[baseline].holds);
        if (fit->order_fitted) {
            family.two[i] = fit_order_distance(fit, setups[i], baseline) / sqrt(fit->order_within);
        }
    }
    return many_to_one_limit(&family, fit->pooled.df, COMPARE_CONFIDENCE);
}

/* What all differences of known variance have in common; 0 where it is not the same for all: then
 * they are treated as apart, which is never too narrow (Sidak 1967, J. Am. Stat. Assoc. 62). */
static double common_part(const struct fit *fit, const int *setups, const double *variance,
                          int count)
{
    double common = -1.0, least = variance[0];
    for (int i = 0; i < count; i++) {
        least = fmin(least, variance[i]);
        for (int j = i + 1; j < count; j++) {
            double covariance =
                0.5 * (variance[i] + variance[j] - fit_tie_variance(fit, setups[i], setups[j]));
            if (common >= 0.0 && fabs(covariance - common) > 1e-9 * (variance[i] + variance[j])) {
                return 0.0;
            }
            common = fmax(0.0, covariance);
        }
    }
    return fmax(0.0, fmin(common, least));
}

static double known_limit(const struct fit *fit, const int *setups, int count)
{
    int baseline = fit->input->baseline, known[COMPARE_SETUPS_MAX];
    double ties[COMPARE_SETUPS_MAX], order[COMPARE_SETUPS_MAX];
    struct many_to_one family = {.count = 0};
    for (int i = 0; i < count; i++) {
        double of_ties = fit_tie_variance(fit, setups[i], baseline);
        double of_order = fit_order_variance(fit, setups[i], baseline);
        if (of_ties + of_order > 0.0) {
            ties[family.count] = of_ties;
            order[family.count] = of_order;
            known[family.count++] = setups[i];
        }
    }
    if (family.count == 0) {
        return normal_quantile(0.5 + 0.5 * COMPARE_CONFIDENCE);
    }
    double common = common_part(fit, known, ties, family.count);
    for (int i = 0; i < family.count; i++) {
        family.own[i] = ties[i] - common;
        family.one[i] = sqrt(common);
        family.two[i] = sqrt(order[i]);
    }
    return many_to_one_limit(&family, (double)INFINITY, COMPARE_CONFIDENCE);
}

struct compare_limits compare_limits(const struct fit *fit, const int *setups, int count)
{
    return (struct compare_limits){holds_limit(fit, setups, count),
                                   known_limit(fit, setups, count)};
}

double compare_half_width(const struct compare_limits *limits, double holds, double known)
{
    return sqrt(limits->holds * limits->holds * holds + limits->known * limits->known * known);
}

struct compare_limits compare_limits_of(const struct compare_limits *all, const struct fit *fit,
                                        double df)
{
    if (!(df < fit->pooled.df)) {
        return *all;
    }
    double level = compare_level(all, fit->pooled.df);
    return (struct compare_limits){t_quantile(1.0 - 0.5 * level, df), all->known};
}

double compare_level(const struct compare_limits *limits, double df)
{
    return t_two_sided_p(limits->holds, df);
}
