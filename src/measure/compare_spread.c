/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "compare_spread.h"

#include "measure/distribution.h"
#include "measure/rules.h"

#include <math.h>

int fit_cell_of(const struct compare_input *input, const struct compare_hold *hold)
{
    return input->builds[hold->build].tied ? hold->setup : COMPARE_SETUPS_MAX + hold->build;
}

/* What the ties' own uncertainties add, on average, to the squares of a setup's residuals: its
 * builds differ by their ties too, and that part is counted once, with the ties. */
static double tie_squares(const struct fit *fit, int setup)
{
    const struct compare_input *input = fit->input;
    double expected = 0.0, m = fit->cell[setup].holds;
    int holds[COMPARE_BUILDS_MAX] = {0};
    if (m < 2.0) {
        return 0.0;
    }
    for (int h = 0; h < input->hold_count; h++) {
        if (input->holds[h].setup == setup) {
            holds[input->holds[h].build]++;
        }
    }
    for (int b = 0; b < input->build_count; b++) {
        const struct compare_build *build = &input->builds[b];
        if (holds[b] == 0 || !build->tied) {
            continue;
        }
        double own = holds[b], group = 0.0, session = 0.0;
        for (int o = 0; o < input->build_count; o++) {
            if (!input->builds[o].tied) {
                continue;
            }
            if (input->builds[o].position_group == build->position_group) {
                group += holds[o];
            }
            if (input->builds[o].session == build->session) {
                session += holds[o];
            }
        }
        expected += build->u_build * build->u_build * own * (1.0 - own / m);
        expected += build->u_common * build->u_common * own * (1.0 - group / m);
        expected += build->u_session * build->u_session * own * (1.0 - session / m);
    }
    return expected;
}

/* Sum of squares within builds and its degrees of freedom: what is left whatever the ties are. */
static double within_builds(const struct fit *fit, double slope, int *df)
{
    const struct compare_input *input = fit->input;
    double mean[COMPARE_BUILDS_MAX] = {0}, squares = 0.0;
    int holds[COMPARE_BUILDS_MAX] = {0};
    *df = 0;
    for (int h = 0; h < input->hold_count; h++) {
        const struct compare_hold *hold = &input->holds[h];
        mean[hold->build] += hold->value - slope * hold->order;
        holds[hold->build]++;
    }
    for (int b = 0; b < input->build_count; b++) {
        if (holds[b] == 0) {
            continue;
        }
        mean[b] /= holds[b];
        *df += holds[b] - 1;
    }
    for (int h = 0; h < input->hold_count; h++) {
        const struct compare_hold *hold = &input->holds[h];
        double e = hold->value - slope * hold->order - mean[hold->build];
        squares += e * e;
    }
    return squares;
}

/* The holds of each setup alone. What the ties add is taken out. */
static void own_spreads(struct fit *fit, double slope)
{
    const struct compare_input *input = fit->input;
    double squares[COMPARE_SETUPS_MAX] = {0};
    for (int h = 0; h < input->hold_count; h++) {
        const struct compare_hold *hold = &input->holds[h];
        int c = fit_cell_of(input, hold);
        if (c < COMPARE_SETUPS_MAX) {
            double e = hold->value - fit->cell[c].mean_value -
                       slope * (hold->order - fit->cell[c].mean_order);
            squares[c] += e * e;
        }
    }
    for (int s = 0; s < input->setup_count; s++) {
        struct cell *cell = &fit->cell[s];
        if (cell->holds < 2) {
            continue;
        }
        double df = cell->holds - 1.0;
        df -= fit->order_fitted ? cell->order_squares / fit->order_within : 0.0;
        if (df > 1e-9) {
            double left = fmax(0.0, squares[s] - tie_squares(fit, s));
            cell->own = (struct spread){left / df, df};
        }
    }
}

/* Cochran's test of the largest variance (Cochran 1941, Ann. Eugen. 11, 47-52; ISO 5725-2:1994,
 * 7.3.3), for unequal numbers of holds by the F distribution ('t Lam 2010, Anal. Chim. Acta 659,
 * 68-84), each setup's chance multiplied by their number. */
static void find_apart(struct fit *fit)
{
    const struct compare_input *input = fit->input;
    double squares = 0.0, df = 0.0;
    int tested = 0;
    for (int s = 0; s < input->setup_count; s++) {
        squares += fit->cell[s].own.df * fit->cell[s].own.variance;
        df += fit->cell[s].own.df;
        tested += fit->cell[s].holds >= SPREAD_HOLDS_MIN ? 1 : 0;
    }
    for (int s = 0; s < input->setup_count; s++) {
        struct cell *cell = &fit->cell[s];
        double others_df = df - cell->own.df;
        double others = squares - cell->own.df * cell->own.variance;
        if (cell->holds >= SPREAD_HOLDS_MIN && others_df > 1e-9) {
            double ratio = others > 0.0 ? cell->own.variance / (others / others_df) : 0.0;
            cell->apart = tested * f_upper(ratio, cell->own.df, others_df) < SPREAD_P;
        }
    }
}

void compare_spread(struct fit *fit, double squares, double largest)
{
    const struct compare_input *input = fit->input;
    double least = 1e-12 * largest, slope = fit->order_fitted ? fit->slope : 0.0, ties = 0.0;
    int df = fit->df, df_within;
    if (df < 1) {
        return;
    }
    if (!(squares > input->hold_count * least * least)) {
        fit->no_spread = true;
        return;
    }
    fit->here = (struct spread){squares / df, df};
    for (int s = 0; s < input->setup_count; s++) {
        ties += tie_squares(fit, s);
    }
    double within = within_builds(fit, slope, &df_within);
    if (ties > 0.0 && df_within > 0) {
        fit->here.variance =
            fmax((squares - ties) / df, fmin(fit->here.variance, within / df_within));
    }
    fit->pooled = spread_together(fit->here, input->learnt);
    own_spreads(fit, slope);
    find_apart(fit);
}
