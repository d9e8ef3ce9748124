/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/plan_of_hour.h"

#include "analysis/hold_use.h"
#include "analysis_inside.h"
#include "measure/rules.h"
#include "measure/statistics.h"

#include <math.h>
#include <string.h>

double plan_of_hour_setup_min(const struct hour_holds *asked)
{
    struct plan_times times = asked->times;
    times.hold_min = asked->each.hold_s / 60.0;
    return plan_build_minutes(&times, true, asked->each.holds, true);
}

/* ---- what takes how long -----------------------------------------------------------------------
 */

/* Minutes from the end of each hold before a build to the beginning of the next: on the same build,
 * or with a change between them; and the usual time as one more. */
static double seen_min(const struct session_record *record, const struct analysis *analysis,
                       int build, bool change, double usual_min)
{
    double minutes[HOLDS_MAX + 1] = {usual_min}, median = usual_min;
    size_t count = 1;
    for (int h = 1; h < record->hold_count; h++) {
        const struct hold_result *before = &analysis->hold[h - 1], *result = &analysis->hold[h];
        bool changed = record->hold[h].build != record->hold[h - 1].build;
        if (record->hold[h].build < build && record->hold[h].status != HOLD_RUNNING &&
            changed == change && before->duration_s > 0.0 && result->duration_s > 0.0) {
            minutes[count++] =
                fmax(0.0, result->start_s - before->start_s - before->duration_s) / 60.0;
        }
    }
    statistics_median(minutes, count, &median);
    return median;
}

static void take_times(const struct session_record *record, const struct analysis *analysis,
                       int build, struct plan_times *times)
{
    struct plan_times usual = plan_usual_times();
    double beside_min = usual.ride_in_min + usual.rating_min;
    double change_min =
        seen_min(record, analysis, build, true, usual.change_min + beside_min) - beside_min;
    *times = usual;
    times->rest_min =
        fmax(PLAN_REST_LEAST_MIN, seen_min(record, analysis, build, false, usual.rest_min));
    times->change_min = fmax(PLAN_CHANGE_QUICK_MIN, change_min);
}

/* ---- how holds repeat --------------------------------------------------------------------------
 */

/* The SD of the channel on which what matters is hardest to find, with a usual one where little is
 * known; *known: anything is. */
static void take_repeatability(const struct analysis *analysis, struct plan_input *input,
                               bool *known)
{
    double usual_2 = PLAN_HOLD_SD_MM * PLAN_HOLD_SD_MM, hardest = 0.0;
    *known = false;
    for (int c = 0; c < analysis->channel_count; c++) {
        const struct comparison *found = &analysis->free_heights[c];
        double matters_mm = found->matters > 0.0 ? found->matters : MATTERS_MM;
        double df = found->has_repeatability ? found->repeatability_df : 0.0;
        double own_2 = df > 0.0 ? found->repeatability * found->repeatability : 0.0;
        double sd_mm = sqrt((ASSUMED_REPEATABILITY_DF * usual_2 + df * own_2) /
                            (ASSUMED_REPEATABILITY_DF + df));
        if (analysis->body[c] && sd_mm / matters_mm > hardest) {
            hardest = sd_mm / matters_mm;
            input->hold_sd_mm = sd_mm;
            input->difference_mm = matters_mm;
            input->learnt_df = df > 0.0 ? found->repeatability_learnt_df : 0.0;
            *known = df > 0.0;
        }
    }
}

static double worst_tie_mm(const struct session_record *record, const struct analysis *analysis)
{
    double worst_mm = TIE_U_PLATE_MM;
    for (int b = 0; b < record->build_count; b++) {
        for (int c = 0; c < analysis->channel_count; c++) {
            if (analysis->body[c] && analysis->tie[b][c].kind != TIE_NONE) {
                worst_mm = fmax(worst_mm, tie_uncertainty_mm(&analysis->tie[b][c]));
            }
        }
    }
    return worst_mm;
}

/* ---- the choice --------------------------------------------------------------------------------
 */

static bool is_closed(const struct session_record *record, int build)
{
    return build >= 0 && record->build[build].setup == 0 && record->build[build].ordinal > 1;
}

/* Builds of a plan for so many setups that were ridden before this one. */
static int builds_done(const struct session_record *record, int build, int setups)
{
    if (build < 0) {
        return 0;
    }
    bool again = record->build[build].ordinal > 1;
    return again ? setups : record->build[build].setup;
}

void plan_of_hour_choose(const struct session_record *record, const struct analysis *analysis,
                         int build, double minutes_left, const struct plan_holds *so_far,
                         struct hour_holds *holds)
{
    struct plan_input input = {.order = PLAN_ROWS,
                               .hold_sd_mm = PLAN_HOLD_SD_MM,
                               .difference_mm = MATTERS_MM,
                               .tie_mm = worst_tie_mm(record, analysis),
                               .minutes_left =
                                   isnan(minutes_left) ? (double)INFINITY : minutes_left};
    bool known = false;
    struct plan plan = {0}, unhurried = {0};
    struct plan_holds wanted = *so_far;
    int least = record->setup_count < 2 ? 2 : record->setup_count;
    int most = least < PLAN_SETUPS ? PLAN_SETUPS : least;
    take_repeatability(analysis, &input, &known);
    take_times(record, analysis, build, &input.times);
    *holds = (struct hour_holds){.each = *so_far, .times = input.times};
    for (input.setups = most < PLAN_SETUPS_MAX ? most : PLAN_SETUPS_MAX; input.setups >= least;
         input.setups--) {
        input.builds_done = builds_done(record, build, input.setups);
        if (plan_choose_holds(&input, *so_far, &holds->each, &plan) == MEASURE_OK && plan.fits &&
            holds->each.holds >= PLAN_HOLDS_A_BUILD) {
            break;
        }
    }
    input.setups = input.setups < least ? least : input.setups;
    bool fewer = false;
    if (isfinite(input.minutes_left)) {
        input.minutes_left = INFINITY;
        plan_choose_holds(&input, *so_far, &wanted, &unhurried);
        fewer = holds->each.holds < wanted.holds;
    }
    bool other = holds->each.holds != so_far->holds || holds->each.hold_s != so_far->hold_s;
    holds->why = fewer ? HOUR_NO_MORE_FIT : known && other ? HOUR_REPEATS : HOUR_AS_BEFORE;
    holds->hold_sd_mm = plan_hold_sd_mm(input.hold_sd_mm, so_far->hold_s, holds->each.hold_s);
    holds->chance = plan.power;
}

/* ---- where it stands ---------------------------------------------------------------------------
 */

static void count_holds(const struct session_record *record, const struct analysis *analysis,
                        int build, struct plan_of_hour *plan)
{
    for (int h = 0; h < record->hold_count; h++) {
        const struct hold_record *hold = &record->hold[h];
        bool counts = analysis_hold_counts(hold) && !hold->guided &&
                      analysis_hold_is_long(analysis, h) && !hold_is_same_sit(record, analysis, h);
        if (hold->build == build && counts) {
            plan->holds += analysis->hold[h].stepped ? 0 : 1;
            plan->unsettled = analysis->hold[h].not_settled ? hold->number : plan->unsettled;
        }
    }
    plan->holds_wanted = plan->asked.each.holds + (plan->unsettled > 0 ? 1 : 0);
}

void plan_of_hour_make(const struct session_record *record, const struct analysis *analysis,
                       int build, double minutes_left, const struct hour_holds *asked,
                       struct plan_of_hour *plan)
{
    double setup_min = plan_of_hour_setup_min(asked);
    memset(plan, 0, sizeof *plan);
    plan->asked = *asked;
    count_holds(record, analysis, build, plan);
    plan->closed = is_closed(record, build);
    plan->keeps_room = !plan->closed && record->setup_count > 1;
    int left =
        build >= 0 && plan->holds < plan->holds_wanted ? plan->holds_wanted - plan->holds : 0;
    double here_min = left * (asked->each.hold_s / 60.0 + asked->times.rest_min);
    double room_min = minutes_left - here_min - (plan->keeps_room ? setup_min : 0.0);
    if (room_min > 0.0) {
        plan->setups_fit = (int)floor(room_min / setup_min);
    }
    plan->return_due = plan->keeps_room && !isnan(minutes_left) && plan->setups_fit == 0;
}
