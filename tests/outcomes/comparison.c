/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
/* Every number and verdict of made-up sessions of many designs. */
#include "../measure/trial.h"

#include "base/random.h"
#include "measure/plan.h"
#include "support/outcome.h"
#include "support/test_main.h"

#include <math.h>

static const struct made {
    const char *name;
    const char *design; /* setups in order of riding; '|' begins a new build of the next */
    double level_mm[5]; /* of each setup */
    double sd_mm, per_hold_mm, own_mm, common_mm, session_mm;
    double matters;
    int baseline;
    bool lower, shares, nothing_usual, untied_b, unequal;
    struct spread learnt;
    double wilder_b; /* B's holds differ so many times as much; 0: as the others */
} made[] = {
    {.name = "rows", .design = "AA|BB|CC|AA", .level_mm = {0, -20, 4}, .sd_mm = 4},
    {.name = "rows_little", .design = "AA|BB|CC|AA", .level_mm = {0, -3, 1}, .sd_mm = 4},
    {.name = "nothing_that_matters",
     .design = "AAAA|BBBB|CCCC|AAAA",
     .level_mm = {0, 0.5, 5},
     .sd_mm = 1.5},
    {.name = "mirror", .design = "A|B|C|C|B|A|A|B|C", .level_mm = {0, 12, -12}, .sd_mm = 5},
    {.name = "order_taken_out",
     .design = "ABCCBAABCCBA",
     .level_mm = {0, -9, 6},
     .sd_mm = 3,
     .per_hold_mm = -1.5},
    {.name = "order_and_setup",
     .design = "AAA|BBB",
     .level_mm = {0, 12},
     .sd_mm = 1,
     .per_hold_mm = 3},
    {.name = "order_may_be",
     .design = "AA|BB|CC",
     .level_mm = {0, 11, 25},
     .sd_mm = 2,
     .per_hold_mm = .5},
    {.name = "ties",
     .design = "AA|BB|CC|AA",
     .level_mm = {0, -30, 9},
     .sd_mm = 4,
     .own_mm = 3,
     .common_mm = 2},
    {.name = "ties_hide", .design = "AAA|BBB|AAA", .level_mm = {0, -11}, .sd_mm = 1, .own_mm = 9},
    {.name = "common_hides",
     .design = "AAA|BBB|AAA|BBB",
     .level_mm = {0, -11},
     .sd_mm = 1,
     .common_mm = 9},
    {.name = "sessions",
     .design = "AA|BB|AA|BB|CC",
     .level_mm = {0, -13, 2},
     .sd_mm = 3,
     .own_mm = 1,
     .common_mm = 1,
     .session_mm = 2},
    {.name = "untied",
     .design = "AA|BB|CC|AA",
     .level_mm = {0, -20, 4},
     .sd_mm = 4,
     .untied_b = true},
    {.name = "baseline_untied",
     .design = "AA|BB|CC|AA",
     .level_mm = {0, -20, 4},
     .sd_mm = 4,
     .untied_b = true,
     .baseline = 1},
    {.name = "baseline_c",
     .design = "AA|BB|CC|AA",
     .level_mm = {0, -20, 4},
     .sd_mm = 4,
     .baseline = 2},
    {.name = "baseline_not_ridden",
     .design = "AA|CC",
     .level_mm = {0, 0, 4},
     .sd_mm = 4,
     .baseline = 1},
    {.name = "once_each", .design = "A|B|C", .level_mm = {0, -20, 4}, .sd_mm = 4},
    {.name = "one_repeated", .design = "AA|B|C", .level_mm = {0, -20, 4}, .sd_mm = 4},
    {.name = "learnt",
     .design = "AA|BB|A",
     .level_mm = {0, -14},
     .sd_mm = 4,
     .learnt = {12.0, 7.5}},
    {.name = "wilder",
     .design = "AAAA|BBBB|CCCC|AAAA",
     .level_mm = {0, -20, 4},
     .sd_mm = 1.5,
     .wilder_b = 9},
    {.name = "wilder_in_order",
     .design = "AABBCCCCBBAAABBC",
     .level_mm = {0, -20, 4},
     .sd_mm = 1.5,
     .per_hold_mm = 1,
     .wilder_b = 9,
     .own_mm = .5},
    {.name = "lengths",
     .design = "AAA|BBB|CCC|AAA",
     .level_mm = {0, -20, 4},
     .sd_mm = 4,
     .unequal = true,
     .own_mm = 1},
    {.name = "lengths_in_order",
     .design = "ABCCBAABC",
     .level_mm = {0, -20, 4},
     .sd_mm = 4,
     .unequal = true,
     .per_hold_mm = 1},
    {.name = "lengths_learnt",
     .design = "A|B|C",
     .level_mm = {0, -20, 4},
     .sd_mm = 4,
     .unequal = true,
     .learnt = {12.0, 7.5}},
    {.name = "less_than_matters",
     .design = "AAAA|BBBB|CCCC|AAAA",
     .level_mm = {0, -6, 3},
     .sd_mm = .5},
    {.name = "shares",
     .design = "AAA|BBB|AAA",
     .level_mm = {.7, .4},
     .sd_mm = .05,
     .shares = true,
     .matters = .1},
    {.name = "log",
     .design = "AAA|BBB|AAA",
     .level_mm = {1, 1.6},
     .sd_mm = .2,
     .matters = .2,
     .lower = true,
     .nothing_usual = true},
    {.name = "all_alike", .design = "AA|BB", .level_mm = {1, 1}, .sd_mm = 0},
    {.name = "always_in_band",
     .design = "AA|BB",
     .level_mm = {1, 1},
     .sd_mm = 0,
     .shares = true,
     .matters = .1},
    {.name = "never_in_band",
     .design = "AA|BB",
     .level_mm = {0, 0},
     .sd_mm = 0,
     .shares = true,
     .matters = .1},
    {.name = "five",
     .design = "AA|BB|CC|DD|EE|AA",
     .level_mm = {0, 3, 6, 9, 30},
     .sd_mm = 4,
     .own_mm = 1},
};
enum { MADE = sizeof made / sizeof made[0] };

static double noise(struct random_source *random, const struct made *of, int setup)
{
    double times = setup == 1 && of->wilder_b > 0.0 ? of->wilder_b : 1.0;
    return of->sd_mm * times * random_normal(random);
}

static struct trial *ride(const struct made *of, unsigned seed)
{
    struct random_source random;
    struct trial *trial = trial_start(0, of->matters > 0.0 ? of->matters : 10.0);
    struct compare_input *input = &trial->input;
    random_seed(&random, seed);
    int order = 0;
    for (const char *at = of->design; *at != '\0'; at++) {
        int setup = *at - 'A';
        bool fresh = at == of->design || at[-1] == '|';
        if (*at == '|') {
            continue;
        }
        int build = fresh ? -1 : input->build_count - 1;
        for (int b = 0; build < 0 || trial->builds[build].setup != setup; b++) {
            build = !fresh && b < input->build_count ? b : -1;
            if (build < 0) { /* its own, the session's half behind it */
                build = input->build_count++;
                bool first = build == 0;
                trial->builds[build] = (struct compare_build){
                    .setup = setup,
                    .tied = !(of->untied_b && setup == 1),
                    .u_build = first ? 0.0 : of->own_mm,
                    .u_common = setup > 0 ? of->common_mm : 0.0,
                    .position_group = setup,
                    .u_session = of->session_mm,
                    .session = build > 2,
                };
            }
        }
        input->setup_count = setup + 1 > input->setup_count ? setup + 1 : input->setup_count;
        order++;
        trial_add(trial, build, order,
                  of->level_mm[setup] + of->per_hold_mm * order + noise(&random, of, setup));
        if (of->unequal) {
            struct compare_hold *hold = &trial->holds[input->hold_count - 1];
            hold->kept_s = order % 3 == 0 ? 25.0 : 118.0;
            hold->mean_se = order % 3 == 0 ? 2.2 : 0.8;
        }
    }
    input->baseline = of->baseline;
    input->higher_is_up = !of->lower;
    input->shares = of->shares;
    input->nothing_usual = of->nothing_usual;
    input->learnt = of->learnt;
    return trial;
}

static void pin_setup(const struct setup_estimate *setup)
{
    outcome_number("holds", setup->holds);
    outcome_number("builds", setup->builds);
    outcome_number("tied", setup->tied);
    outcome_number("built_once", setup->built_once);
    outcome_number("mean", setup->mean);
    outcome_number("spread", setup->spread);
    outcome_number("has_interval", setup->has_interval);
    outcome_number("half_width", setup->half_width);
    outcome_number("standard_error", setup->standard_error);
    outcome_number("df", setup->df);
    outcome_number("assumed", setup->assumed);
    outcome_number("borrowed", setup->borrowed_repeatability);
    outcome_number("own_spread", setup->own_spread);
}

static void pin_difference(const struct setup_difference *difference)
{
    outcome_number("verdict", difference->verdict);
    outcome_number("reason", difference->reason);
    outcome_number("advice", difference->advice);
    outcome_number("advice_holds", difference->advice_holds);
    outcome_number("difference", difference->difference);
    outcome_number("has_interval", difference->has_interval);
    outcome_number("low", difference->low);
    outcome_number("high", difference->high);
    outcome_number("standard_error", difference->standard_error);
    outcome_number("tie_error", difference->tie_error);
    outcome_number("has_second", difference->has_second);
    outcome_number("second_difference", difference->second_difference);
    outcome_number("second_low", difference->second_low);
    outcome_number("second_high", difference->second_high);
}

static void pin_whole(const struct comparison *whole)
{
    outcome_text("status", measure_status_sentence(whole->status));
    outcome_number("repeatability", whole->repeatability);
    outcome_number("repeatability_low", whole->repeatability_low);
    outcome_number("repeatability_high", whole->repeatability_high);
    outcome_number("repeatability_df", whole->repeatability_df);
    outcome_number("repeatability_here", whole->repeatability_here);
    outcome_number("repeatability_here_df", whole->repeatability_here_df);
    outcome_number("repeatability_learnt", whole->repeatability_learnt);
    outcome_number("spread_seen", whole->spread_seen);
    outcome_number("provisional", whole->provisional);
    outcome_number("smallest_detectable", whole->smallest_detectable);
    outcome_number("order_fitted", whole->order_fitted);
    outcome_number("order_per_hold", whole->order_per_hold);
    outcome_number("order_half_width", whole->order_half_width);
    outcome_number("order_index", whole->order_index);
    outcome_number("shortest_s", whole->shortest_s);
    outcome_number("longest_s", whole->longest_s);
    outcome_number("uneven", whole->uneven);
    outcome_number("compared", whole->compared);
    outcome_number("limit_holds", whole->limit_holds);
    outcome_number("limit_known", whole->limit_known);
}

START_TEST(comparisons)
{
    outcome_begin("measure-comparisons");
    for (unsigned m = 0; m < MADE; m++) {
        struct trial *trial = ride(&made[m], 900 + m);
        trial_compare(trial);
        outcome_of("%s", made[m].name);
        pin_whole(&trial->result);
        for (int s = 0; s < trial->input.setup_count; s++) {
            outcome_of("%s.%c", made[m].name, 'A' + s);
            pin_setup(&trial->result.setup[s]);
            pin_difference(&trial->result.difference[s]);
        }
    }
    outcome_end();
}
END_TEST

static void pin_plan(const struct plan *plan)
{
    char order[PLAN_LAID_MAX + 1], changed[PLAN_LAID_MAX + 1];
    int holds = plan->holds;
    for (int h = 0; h < holds; h++) {
        order[h] = (char)('A' + plan->setup[h]);
        changed[h] = plan->change[h] ? '!' : '.';
    }
    order[holds] = changed[holds] = '\0';
    outcome_text("order", order);
    outcome_text("changed", changed);
    outcome_number("rounds", plan->rounds);
    outcome_number("builds", plan->builds);
    outcome_number("minutes", plan->minutes);
    outcome_number("fits", plan->fits);
    outcome_number("order_index", plan->order_index);
    outcome_number("order_fitted", plan->order_fitted);
    outcome_number("df", plan->df);
    outcome_number("half_width_mm", plan->half_width_mm);
    outcome_number("power", plan->power);
    outcome_number("detectable_mm", plan->detectable_mm);
}

START_TEST(plans)
{
    outcome_begin("measure-plans");
    struct plan plan;
    for (int setups = 2; setups <= 6; setups += 2) {
        for (int p = 0; p < 8; p++) {
            struct plan_input input = {.setups = setups,
                                       .order = p % 2 == 1 ? PLAN_MIRROR : PLAN_ROWS,
                                       .hold_sd_mm = 4.0 + p % 3,
                                       .tie_mm = p / 2 % 2 == 1 ? 2.0 : 0.0,
                                       .difference_mm = 10.0,
                                       .times = plan_usual_times(),
                                       .minutes_left = 35.0 + 14.0 * p,
                                       .builds_done = p / 4,
                                       .learnt_df = p > 5 ? 6.5 : 0.0};
            outcome_of("made.%d.%d", setups, p);
            enum measure_status status = plan_make(&input, 1 + p / 2, &plan);
            outcome_text("status", measure_status_sentence(status));
            if (status == MEASURE_OK) {
                pin_plan(&plan);
            }
            outcome_of("chosen.%d.%d", setups, p);
            status = plan_choose(&input, &plan);
            outcome_text("status", measure_status_sentence(status));
            if (status == MEASURE_OK) {
                pin_plan(&plan);
            }
            if (input.order == PLAN_ROWS) {
                struct plan_holds holds = plan_usual_holds();
                outcome_of("holds.%d.%d", setups, p);
                plan_choose_holds(&input, holds, &holds, &plan);
                outcome_number("hold_s", holds.hold_s);
                outcome_number("holds", holds.holds);
                pin_plan(&plan);
            }
        }
    }
    outcome_end();
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("outcome_comparison");
    TCase *tests = tcase_create("outcome_comparison");
    tcase_set_timeout(tests, 60);
    suite_add_tcase(suite, tests);
    tcase_add_test(tests, comparisons);
    tcase_add_test(tests, plans);
    return test_main(suite);
}
