/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_RANDOM_EFFECTS_H
#define HOLDLINE_MEASURE_RANDOM_EFFECTS_H

#include "measure/status.h"

#include <stdbool.h>
#include <stddef.h>

/* Means of unequal worth together: each value has a variance of its own (how well one hold's mean
 * is known) and all share one more, tau^2, by which they differ anyway (how holds repeat). Weights
 * are 1 / (variance + tau^2), tau^2 such that the weighted squares are their df (Paule and Mandel
 * 1982, J. Res. NBS 87). Groups (setups) have a mean each and tau^2 together; a covariate (trial
 * order) can be taken out with one slope for all groups. */
#define RANDOM_EFFECTS_GROUPS_MAX 160
struct random_effects_input {
    const double *value, *variance; /* count values each; variances > 0 */
    const int *group;               /* 0 .. GROUPS_MAX-1; NULL = all in group 0 */
    const double *covariate;        /* NULL = none */
    size_t count;
};

struct random_effects_group {
    size_t count; /* 0: no values, the rest is 0 */
    double mean;  /* at the covariate's mean over all values */
    double weight;
    double covariate_distance; /* weighted mean of the group's covariate minus that mean */
};

struct random_effects {
    double tau2;
    double df;                  /* values - groups - slope; 0: nothing says how values scatter */
    double scale;               /* weighted squares at tau^2 over df; 0 when df is 0 */
    double slope, slope_weight; /* of the covariate; its variance is 1 / slope_weight */
    struct random_effects_group group[RANDOM_EFFECTS_GROUPS_MAX];
};

/* MEASURE_TOO_FEW without values; MEASURE_NOT_FINITE; MEASURE_BAD_SETTING for a variance that is
 * not positive or a group out of bounds; MEASURE_CONSTANT when the covariate does not vary within
 * any group. */
enum measure_status random_effects_fit(const struct random_effects_input *input,
                                       struct random_effects *fit);

struct random_effects_estimate {
    double value;
    double se;          /* as if tau^2 were known (Wald) */
    double se_modified; /* se sqrt(max(scale, 1)): Hartung and Knapp 2001, Stat. Med. 20, never
                           narrower than se (Roever, Knapp and Friede 2015, BMC Med. Res. Methodol.
                           15) */
    double half_width;  /* 95 %: t with the fit's df times se_modified; INFINITY without df */
};
/* Mean of a group, or of a group minus that of another (against < 0: alone). MEASURE_TOO_FEW when a
 * group is empty. */
enum measure_status random_effects_estimate(const struct random_effects *fit, int group,
                                            int against, struct random_effects_estimate *estimate);

#endif
