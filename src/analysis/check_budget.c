/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/check_budget.h"

#include "analysis/check.h"
#include "measure/rules.h"

#include <math.h>

/* The error that a step test found, and that test's own uncertainty, of a millimetre. */
static void scale_of(const struct check_record *step, double *error, double *u)
{
    *error = check_value(step, CHECK_SCALE_ERROR, step->channel, 0) / 100.0;
    *u = check_value(step, CHECK_BLOCK_STEP_U, step->channel, 0) / step->asked_mm[0];
}

bool check_budget(const struct check_record *checks, int count, int channel,
                  struct check_budget *budget)
{
    double mean_mm = NAN, quantum_mm = NAN, error = NAN, u = NAN;
    for (int i = 0; i < count; i++) {
        const struct check_record *check = &checks[i];
        if (check->kind == CHECK_STILL && (check->channel < 0 || check->channel == channel)) {
            mean_mm = check_value(check, CHECK_BEST_DEVIATION, channel, 0);
            quantum_mm = check_value(check, CHECK_QUANTUM, channel, 0);
        } else if (check->kind == CHECK_STEP && check->channel == channel) {
            scale_of(check, &error, &u);
        }
    }
    budget->mean_u_mm = mean_mm;
    budget->step_u_mm = quantum_mm / 2.0 / sqrt(3.0);
    budget->scale_error = error;
    budget->scale_u = u;
    budget->scale_u_mm = hypot(error, u) * BUDGET_MM;
    budget->u_mm =
        sqrt(2.0 * (budget->mean_u_mm * budget->mean_u_mm + budget->step_u_mm * budget->step_u_mm) +
             budget->scale_u_mm * budget->scale_u_mm);
    return isfinite(budget->u_mm);
}

double check_scale_u_mm(const struct session_record *record, int placing, int channel)
{
    double error, u;
    for (int i = record->check_count - 1; i >= 0; i--) {
        const struct check_record *check = &record->check[i];
        if (check->placing != placing || check->channel != channel ||
            check->verdict != CHECK_PASSED) {
            continue; /* one that failed is told as that: who knows what was laid there */
        }
        if (check->kind == CHECK_CALIBRATION) {
            return NAN;
        }
        if (check->kind == CHECK_STEP) {
            scale_of(check, &error, &u);
            return hypot(error, u) * check_value(check, CHECK_RANGE, channel, 0);
        }
    }
    return NAN;
}
