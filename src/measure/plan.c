/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/plan.h"

#include "compare_fit.h"
#include "compare_limits.h"
#include "over_sd.h"
#include "remembered.h"

#include "measure/distribution.h"
#include "measure/rules.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct question {
    double difference, variance, known, t, z;
};

/* Chance of finding it when the SD of holds comes out as s times its true value. */
static double found(double s, const void *context)
{
    const struct question *q = context;
    double limit = sqrt(q->t * q->t * q->variance * s * s + q->z * q->z * q->known);
    double se = sqrt(q->variance + q->known);
    return normal_upper((limit - q->difference) / se) + normal_upper((limit + q->difference) / se);
}

enum measure_status plan_power(double difference, double variance, double df, double known,
                               double alpha, double *power)
{
    if (!isfinite(difference) || !(variance > 0.0) || isinf(variance) || !(df > 0.0) || isinf(df) ||
        !(known >= 0.0) || isinf(known) || !(alpha > 0.0 && alpha < 1.0)) {
        return MEASURE_BAD_SETTING;
    }
    static _Thread_local struct remembered remembered; /* a session asks the same at each build */
    const double asked[] = {difference, variance, df, known, alpha};
    const size_t count = sizeof asked / sizeof asked[0];
    if (!remembered_find(&remembered, asked, count, power)) {
        struct question q = {fabs(difference), variance, known, t_quantile(1.0 - 0.5 * alpha, df),
                             normal_quantile(1.0 - 0.5 * alpha)};
        *power = fmin(1.0, fmax(0.0, mean_over_sd(df, q.t, found, &q)));
        remembered_keep(&remembered, asked, count, *power);
    }
    return MEASURE_OK;
}

double plan_order_index(const int *setup, int holds)
{
    double all = 0.0, within = 0.0, middle = 0.5 * (holds - 1);
    bool several = false;
    for (int i = 0; i < holds; i++) {
        double sum = 0.0, count = 0.0;
        for (int j = 0; j < holds; j++) {
            if (setup[j] == setup[i]) {
                sum += j;
                count += 1.0;
            } else {
                several = true;
            }
        }
        all += (i - middle) * (i - middle);
        within += (i - sum / count) * (i - sum / count);
    }
    return several ? fmax(0.0, 1.0 - within / all) : 0.0;
}

static void lay_hold(struct plan *plan, int setup)
{
    bool change = plan->holds == 0 || plan->setup[plan->holds - 1] != setup;
    plan->setup[plan->holds] = setup;
    plan->change[plan->holds] = change && plan->holds > 0; /* the first setup is on the bike */
    plan->builds += change ? 1 : 0;
    plan->holds++;
}

static bool lay_holds(const struct plan_input *input, struct plan *plan)
{
    bool in_rows = input->order == PLAN_ROWS;
    int rows = input->setups + (input->setups > 1 ? 1 : 0);
    if (plan->rounds * (in_rows ? rows : 2 * input->setups) > PLAN_LAID_MAX) {
        return false;
    }
    for (int row = 0; in_rows && row < rows; row++) {
        for (int h = 0; h < plan->rounds; h++) {
            lay_hold(plan, row % input->setups);
        }
    }
    for (int round = 0; !in_rows && round < plan->rounds; round++) {
        for (int s = 0; s < input->setups; s++) {
            lay_hold(plan, s);
        }
        for (int s = input->setups - 1; s >= 0; s--) {
            lay_hold(plan, s);
        }
    }
    return true;
}

struct plan_times plan_usual_times(void)
{
    return (struct plan_times){.change_min = PLAN_CHANGE_MIN,
                               .ride_in_min = PLAN_RIDE_IN_MIN,
                               .hold_min = PLAN_HOLD_S / 60.0,
                               .rating_min = PLAN_RATING_MIN,
                               .rest_min = PLAN_REST_MIN};
}

double plan_build_minutes(const struct plan_times *times, bool changed, int holds, bool rated)
{
    return (changed ? times->change_min : 0.0) + times->ride_in_min + holds * times->hold_min +
           (holds - 1) * times->rest_min + (rated ? times->rating_min : 0.0);
}

static double minutes_of(const struct plan_input *input, const struct plan *plan)
{
    double minutes = 0.0;
    int build = 0;
    bool rated[PLAN_SETUPS_MAX] = {false};
    for (int h = 0, end; h < plan->holds; h = end, build++) {
        int setup = plan->setup[h];
        end = h + 1;
        while (end < plan->holds && !plan->change[end]) {
            end++;
        }
        if (build >= input->builds_done) { /* the one that is begun is on the bike */
            minutes +=
                plan_build_minutes(&input->times, plan->change[h] && build > input->builds_done,
                                   end - h, !rated[setup]);
        }
        rated[setup] = true;
    }
    return minutes;
}

/* The comparison that the plan leads to, with invented values: only its design matters. */
struct rehearsal {
    struct compare_hold holds[PLAN_LAID_MAX];
    struct compare_build builds[PLAN_LAID_MAX];
    struct fit fit;
};

static enum measure_status rehearse(const struct plan_input *input, const struct plan *plan,
                                    struct rehearsal *rehearsal)
{
    int build = -1;
    for (int h = 0; h < plan->holds; h++) {
        if (h == 0 || plan->change[h]) {
            build++;
            rehearsal->builds[build] =
                (struct compare_build){.setup = plan->setup[h],
                                       .tied = true,
                                       .u_build = build ? input->tie_mm : 0.0,
                                       .position_group = plan->setup[h]};
        }
        rehearsal->holds[h] = (struct compare_hold){
            .setup = plan->setup[h], .build = build, .order = h + 1, .value = h % 3};
    }
    struct compare_input compare = {.holds = rehearsal->holds,
                                    .hold_count = plan->holds,
                                    .builds = rehearsal->builds,
                                    .build_count = build + 1,
                                    .setup_count = input->setups,
                                    .baseline = 0,
                                    .matters = MATTERS_MM,
                                    .higher_is_up = true};
    enum measure_status status = compare_fit(&compare, &rehearsal->fit);
    rehearsal->fit.input = NULL;
    rehearsal->fit.pooled.df = rehearsal->fit.df + input->learnt_df;
    return status;
}

/* Of the setup that is known worst against the first: hold and tie variance, and the limits of all.
 */
struct worst {
    double variance, known;
    struct compare_limits limits;
};

static struct worst worst_of(const struct plan_input *input, struct rehearsal *rehearsal,
                             const struct plan *plan)
{
    struct compare_input compare = {.holds = rehearsal->holds,
                                    .hold_count = plan->holds,
                                    .builds = rehearsal->builds,
                                    .build_count = plan->builds,
                                    .setup_count = input->setups,
                                    .matters = MATTERS_MM};
    double sd_2 = input->hold_sd_mm * input->hold_sd_mm;
    int setups[PLAN_SETUPS_MAX], count = 0;
    struct worst worst = {-1.0, 0.0, {0.0, 0.0}};
    rehearsal->fit.input = &compare;
    for (int s = 1; s < input->setups; s++) {
        double holds = sd_2 * fit_hold_factor(&rehearsal->fit, s, 0);
        double ties = fit_tie_variance(&rehearsal->fit, s, 0);
        setups[count++] = s;
        if (holds + ties > worst.variance + worst.known) {
            worst.variance = holds;
            worst.known = ties;
        }
    }
    worst.limits = compare_limits(&rehearsal->fit, setups, count);
    rehearsal->fit.input = NULL;
    return worst;
}

static double detectable(double variance, double df, double known, double alpha)
{
    double low = 0.0, high = sqrt(variance + known), power = 0.0;
    for (int i = 0; i < 40; i++) {
        if (plan_power(high, variance, df, known, alpha, &power) != MEASURE_OK ||
            power >= PLAN_POWER) {
            break;
        }
        low = high;
        high *= 2.0;
    }
    for (int i = 0; i < 30; i++) {
        double middle = 0.5 * (low + high);
        plan_power(middle, variance, df, known, alpha, &power);
        if (power < PLAN_POWER) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return high;
}

static enum measure_status check(const struct plan_input *input, int rounds)
{
    const struct plan_times *t = &input->times;
    const double times[] = {t->change_min, t->ride_in_min, t->hold_min, t->rating_min, t->rest_min};
    for (size_t i = 0; i < sizeof times / sizeof times[0]; i++) {
        if (!(times[i] >= 0.0) || isinf(times[i])) {
            return MEASURE_BAD_SETTING;
        }
    }
    if (rounds < 1 || rounds > PLAN_ROUNDS_MAX || input->setups < 2 ||
        input->setups > PLAN_SETUPS_MAX || !(input->hold_sd_mm > 0.0) || isinf(input->hold_sd_mm) ||
        !(input->tie_mm >= 0.0) || isinf(input->tie_mm) || !(input->difference_mm > 0.0) ||
        isinf(input->difference_mm) || isnan(input->minutes_left) || !(input->learnt_df >= 0.0) ||
        isinf(input->learnt_df)) {
        return MEASURE_BAD_SETTING;
    }
    return MEASURE_OK;
}

enum measure_status plan_make(const struct plan_input *input, int rounds, struct plan *plan)
{
    memset(plan, 0, sizeof *plan);
    enum measure_status status = check(input, rounds);
    if (status != MEASURE_OK) {
        return status;
    }
    plan->rounds = rounds;
    if (!lay_holds(input, plan) || plan->builds > COMPARE_BUILDS_MAX) {
        return MEASURE_BAD_SETTING;
    }
    plan->minutes = minutes_of(input, plan);
    plan->fits = plan->minutes <= input->minutes_left + 1e-9;
    plan->order_index = plan_order_index(plan->setup, plan->holds);
    struct rehearsal *rehearsal = malloc(sizeof *rehearsal);
    if (!rehearsal) {
        return MEASURE_NO_MEMORY;
    }
    status = rehearse(input, plan, rehearsal);
    if (status == MEASURE_OK) { /* one setup at least is held twice: a degree of freedom */
        double df = rehearsal->fit.df + input->learnt_df;
        struct worst worst = worst_of(input, rehearsal, plan);
        double level = compare_level(&worst.limits, df);
        plan->df = rehearsal->fit.df;
        plan->order_fitted = rehearsal->fit.order_fitted;
        if (!input->only_chance) {
            plan->half_width_mm = compare_half_width(&worst.limits, worst.variance, worst.known);
            plan->detectable_mm = detectable(worst.variance, df, worst.known, level);
        }
        status = level > 0.0 /* else there was none for the limit */
                     ? plan_power(input->difference_mm, worst.variance, df, worst.known, level,
                                  &plan->power)
                     : MEASURE_NO_MEMORY;
    }
    free(rehearsal);
    return status;
}

bool plan_is_better(const struct plan *plan, const struct plan *than)
{
    bool enough = plan->power >= PLAN_POWER, than_enough = than->power >= PLAN_POWER;
    int holds = plan->holds / plan->builds, than_holds = than->holds / than->builds;
    bool three = holds >= PLAN_HOLDS_A_BUILD, than_three = than_holds >= PLAN_HOLDS_A_BUILD;
    if (plan->fits != than->fits) {
        return plan->fits;
    }
    if (!plan->fits) {
        return plan->minutes < than->minutes;
    }
    if (three != than_three) {
        return three;
    }
    if (enough != than_enough) {
        return enough;
    }
    return enough ? plan->minutes < than->minutes - 1e-9 : plan->power > than->power + 1e-9;
}

enum measure_status plan_choose(const struct plan_input *input, struct plan *plan)
{
    struct plan candidate;
    bool any = false;
    for (int rounds = 1; rounds <= PLAN_ROUNDS_MAX; rounds++) {
        enum measure_status status = plan_make(input, rounds, &candidate);
        if (status != MEASURE_OK && rounds == 1) {
            return status;
        }
        if (status != MEASURE_OK || !candidate.fits) {
            break;
        }
        if (!any || plan_is_better(&candidate, plan)) {
            *plan = candidate;
        }
        any = true;
    }
    if (!any) {
        memset(plan, 0, sizeof *plan);
    }
    return any ? MEASURE_OK : MEASURE_TOO_FEW;
}

/* ---- how many, how long ------------------------------------------------------------------------
 */

double plan_hold_sd_mm(double sd_mm, double of_s, double for_s)
{
    double own_2 = fmin(sd_mm * sd_mm, PLAN_HOLD_ERROR_MM * PLAN_HOLD_ERROR_MM * 60.0 / of_s);
    return sqrt(sd_mm * sd_mm - own_2 + own_2 * of_s / for_s);
}

struct plan_holds plan_usual_holds(void)
{
    return (struct plan_holds){.hold_s = PLAN_HOLD_S, .holds = PLAN_HOLDS_A_BUILD};
}

static enum measure_status plan_of_holds(const struct plan_input *input, double sd_of_s,
                                         struct plan_holds holds, struct plan *plan)
{
    struct plan_input with = *input;
    with.only_chance = true;
    with.times.hold_min = holds.hold_s / 60.0;
    with.hold_sd_mm = plan_hold_sd_mm(input->hold_sd_mm, sd_of_s, holds.hold_s);
    return plan_make(&with, holds.holds, plan);
}

/* The holds looked at: what is asked for so far first. */
struct looked_at {
    struct plan_holds holds;
    struct plan plan;
};
#define LOOKED_AT 64

/* The best one; of those that hardly find it less surely, where that is not sure enough, the one
 * that takes the fewest minutes. */
static int best_of(const struct looked_at *all, int count)
{
    int best = 0;
    for (int i = 1; i < count; i++) {
        best = plan_is_better(&all[i].plan, &all[best].plan) ? i : best;
    }
    int shortest = best;
    for (int i = 0; i < count && all[best].plan.power < PLAN_POWER; i++) {
        const struct plan *plan = &all[i].plan;
        bool three =
            all[i].holds.holds >= PLAN_HOLDS_A_BUILD || all[best].holds.holds < PLAN_HOLDS_A_BUILD;
        if (plan->fits == all[best].plan.fits && three &&
            plan->power >= all[best].plan.power - PLAN_STAYS_CHANCE &&
            plan->minutes < all[shortest].plan.minutes - 1e-9) {
            shortest = i;
        }
    }
    return shortest;
}

/* So much better that the fitter is told to do otherwise than before. */
static bool is_worth_it(const struct plan *plan, const struct plan *so_far)
{
    bool enough = plan->power >= PLAN_POWER && so_far->power >= PLAN_POWER;
    bool surer = plan->power > so_far->power + PLAN_STAYS_CHANCE;
    return plan->fits != so_far->fits ||
           (plan->minutes < PLAN_STAYS_MINUTES * so_far->minutes &&
            (enough || plan->power > so_far->power - PLAN_STAYS_CHANCE)) ||
           (surer && !enough);
}

enum measure_status plan_choose_holds(const struct plan_input *input, struct plan_holds so_far,
                                      struct plan_holds *chosen, struct plan *plan)
{
    struct looked_at *all = calloc(LOOKED_AT, sizeof *all);
    int count = 0;
    *chosen = so_far;
    if (all == NULL) {
        return MEASURE_NO_MEMORY;
    }
    all[0].holds = so_far;
    enum measure_status status = plan_of_holds(input, so_far.hold_s, so_far, &all[0].plan);
    count = status == MEASURE_OK ? 1 : 0;
    for (int l = 0; PLAN_HOLD_S + l * PLAN_HOLD_STEP_S <= PLAN_HOLD_LONGEST_S && count > 0; l++) {
        for (int n = 2; n <= PLAN_HOLDS_MOST && count < LOOKED_AT; n++) {
            struct looked_at *look = &all[count];
            look->holds = (struct plan_holds){PLAN_HOLD_S + l * PLAN_HOLD_STEP_S, n};
            if (plan_of_holds(input, so_far.hold_s, look->holds, &look->plan) != MEASURE_OK) {
                break;
            }
            count++;
            bool enough = look->plan.power >= PLAN_POWER && n >= PLAN_HOLDS_A_BUILD;
            if (!look->plan.fits || enough) { /* more of them take longer */
                break;
            }
        }
    }
    if (count > 0) {
        int best = best_of(all, count);
        best = is_worth_it(&all[best].plan, &all[0].plan) ? best : 0;
        *chosen = all[best].holds;
        *plan = all[best].plan;
    }
    free(all);
    return status;
}
