/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/filter.h"

#include "base/angle.h"

#include <math.h>

#define WINTER_TWO_PASS 0.8022

bool low_pass_design(double cutoff_hz, double rate_hz, struct low_pass *filter)
{
    if (!isfinite(rate_hz) || !(cutoff_hz > 0.0) || !(cutoff_hz < rate_hz / 2.0)) {
        return false;
    }
    double k = tan(PI * cutoff_hz / rate_hz);
    double norm = 1.0 / (1.0 + sqrt(2.0) * k + k * k);
    filter->b0 = k * k * norm;
    filter->b1 = 2.0 * filter->b0;
    filter->b2 = filter->b0;
    filter->a1 = 2.0 * (k * k - 1.0) * norm;
    filter->a2 = (1.0 - sqrt(2.0) * k + k * k) * norm;
    return true;
}

bool low_pass_design_two_pass(double cutoff_hz, double rate_hz, struct low_pass *filter)
{
    return low_pass_design(cutoff_hz / WINTER_TWO_PASS, rate_hz, filter);
}

void low_pass_rest(struct low_pass_state *state, double value)
{
    state->x1 = state->x2 = state->y1 = state->y2 = value;
}

double low_pass_step(const struct low_pass *filter, struct low_pass_state *state, double value)
{
    double y = filter->b0 * value + filter->b1 * state->x1 + filter->b2 * state->x2 -
               filter->a1 * state->y1 - filter->a2 * state->y2;
    state->x2 = state->x1;
    state->x1 = value;
    state->y2 = state->y1;
    state->y1 = y;
    return y;
}

#define REFLECTED 9

void low_pass_two_pass(const struct low_pass *filter, double *values, size_t count)
{
    if (count < 2) {
        return;
    }
    size_t pad = count - 1 < REFLECTED ? count - 1 : REFLECTED;
    double first = values[0], last = values[count - 1], after[REFLECTED];
    struct low_pass_state state;

    /* The continuation at the end is taken before the values change. */
    for (size_t i = 0; i < pad; i++) {
        after[i] = 2.0 * last - values[count - 2 - i];
    }
    low_pass_rest(&state, 2.0 * first - values[pad]);
    for (size_t i = pad; i > 0; i--) {
        low_pass_step(filter, &state, 2.0 * first - values[i]);
    }
    for (size_t i = 0; i < count; i++) {
        values[i] = low_pass_step(filter, &state, values[i]);
    }
    for (size_t i = 0; i < pad; i++) {
        after[i] = low_pass_step(filter, &state, after[i]);
    }

    low_pass_rest(&state, after[pad - 1]);
    for (size_t i = pad; i > 0; i--) {
        low_pass_step(filter, &state, after[i - 1]);
    }
    for (size_t i = count; i > 0; i--) {
        values[i - 1] = low_pass_step(filter, &state, values[i - 1]);
    }
}
