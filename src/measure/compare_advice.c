/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "compare_advice.h"

#include "measure/distribution.h"
#include "measure/rules.h"

#include <math.h>

/* Whether it would be decided with more holds on both setups, and this much variance from what is
 * known: if the difference is what it is now, either it is told from 0, or shown to be less than
 * matters. */
static bool would_settle(const struct fit *fit, const struct compare_limits *limits, int setup,
                         double difference, int more, double known)
{
    const struct compare_input *input = fit->input;
    double a = fit->cell[setup].holds + more, b = fit->cell[input->baseline].holds + more;
    double arm_part = fit_hold_factor(fit, setup, input->baseline) - 1.0 / fit->cell[setup].holds -
                      1.0 / fit->cell[input->baseline].holds;
    struct spread now = fit_hold_variance(fit, setup, input->baseline);
    double one = now.variance / fit_hold_factor(fit, setup, input->baseline);
    double holds = one * (1.0 / a + 1.0 / b + fmax(0.0, arm_part));
    double level = compare_level(limits, fit->pooled.df);
    struct compare_limits with_more = {t_quantile(1.0 - 0.5 * level, now.df + 2.0 * more),
                                       limits->known};
    double half = compare_half_width(&with_more, holds, known), size = fabs(difference);
    return size > half || size + half < input->matters;
}

static int holds_to_settle(const struct fit *fit, const struct compare_limits *limits, int setup,
                           double difference, double known)
{
    for (int more = 1; more <= MORE_HOLDS_MOST; more++) {
        if (would_settle(fit, limits, setup, difference, more, known)) {
            return more;
        }
    }
    return 0;
}

/* Tie variance of the difference if every build that takes part had been read with the plate. */
static double plate_variance(const struct fit *fit, int setup)
{
    const struct compare_input *input = fit->input;
    struct compare_build builds[COMPARE_BUILDS_MAX];
    for (int b = 0; b < input->build_count; b++) {
        builds[b] = input->builds[b];
        if (hypot(builds[b].u_build, builds[b].u_common) > TIE_U_PLATE_MM) {
            builds[b].u_build = TIE_U_PLATE_MM;
            builds[b].u_common = 0.0;
        }
    }
    struct compare_input with_plate = *input;
    with_plate.builds = builds;
    struct fit again = *fit;
    again.input = &with_plate;
    return fit_tie_variance(&again, setup, input->baseline);
}

void compare_advise(const struct fit *fit, const struct compare_limits *limits, int setup,
                    struct setup_difference *difference)
{
    double ties = difference->tie_error * difference->tie_error;
    bool ties_dominate = ties > fit_hold_variance(fit, setup, fit->input->baseline).variance;
    int more = holds_to_settle(fit, limits, setup, difference->difference,
                               ties + fit_order_variance(fit, setup, fit->input->baseline));
    if (ties_dominate && (more == 0 || more > MORE_HOLDS_FEW)) {
        bool plate_helps = plate_variance(fit, setup) < PLATE_WORTH * ties;
        difference->advice = plate_helps ? ADVICE_PLATE : ADVICE_BUILD_AGAIN;
        difference->reason = plate_helps ? REASON_SENSOR_HEIGHT : REASON_TIE_LEAVES;
    } else if (fit->order_index > ORDER_INDEX_MOST) {
        difference->advice = ADVICE_RETURN_TO_FIRST;
        difference->reason = REASON_ORDER_TOGETHER;
    } else {
        difference->advice = ADVICE_MORE_HOLDS;
        difference->advice_holds = more > 0 ? more : MORE_HOLDS_MOST;
        difference->reason = more > 0 ? REASON_HOLDS : REASON_MANY_HOLDS;
    }
}
