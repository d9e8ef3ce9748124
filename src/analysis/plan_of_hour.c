/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/plan_of_hour.h"

#include "analysis_inside.h"
#include "measure/plan.h"
#include "measure/rules.h"

#include <math.h>
#include <string.h>

double plan_of_hour_setup_min(void)
{
    struct plan_times times = plan_usual_times();
    return plan_build_minutes(&times, true, PLAN_HOLDS_A_BUILD, true);
}

static void count_holds(const struct session_record *record, const struct analysis *analysis,
                        int build, struct plan_of_hour *plan)
{
    for (int h = 0; h < record->hold_count; h++) {
        const struct hold_record *hold = &record->hold[h];
        bool counts =
            analysis_hold_counts(hold) && !hold->guided && analysis_hold_is_long(analysis, h);
        if (hold->build == build && counts) {
            plan->holds++;
            plan->unsettled = analysis->hold[h].not_settled ? hold->number : plan->unsettled;
        }
    }
    plan->holds_wanted = PLAN_HOLDS_A_BUILD + (plan->unsettled > 0 ? 1 : 0);
}

void plan_of_hour_make(const struct session_record *record, const struct analysis *analysis,
                       int build, double minutes_left, struct plan_of_hour *plan)
{
    double setup_min = plan_of_hour_setup_min();
    memset(plan, 0, sizeof *plan);
    count_holds(record, analysis, build, plan);
    plan->closed =
        build >= 0 && record->build[build].setup == 0 && record->build[build].ordinal > 1;
    plan->keeps_room = !plan->closed && record->setup_count > 1;
    double room_min = minutes_left - (plan->keeps_room ? setup_min : 0.0);
    if (room_min > 0.0) {
        plan->setups_fit = (int)floor(room_min / setup_min);
    }
    plan->return_due = plan->keeps_room && !isnan(minutes_left) && plan->setups_fit == 0;
}
