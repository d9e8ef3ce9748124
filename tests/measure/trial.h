/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_MEASURE_TRIAL_H
#define HOLDLINE_TESTS_MEASURE_TRIAL_H

#include "measure/compare.h"

#include <string.h>

/* A trial for the tests of the comparison: setups, their builds and holds, and what came of them.
 */
struct trial {
    struct compare_hold holds[COMPARE_HOLDS_MAX];
    struct compare_build builds[COMPARE_BUILDS_MAX];
    struct compare_input input;
    struct comparison result;
};

/* One build a setup, tied without uncertainty, no holds yet. The same memory each time. */
static inline struct trial *trial_start(int setups, double matters)
{
    static struct trial trial;
    memset(&trial, 0, sizeof trial);
    for (int s = 0; s < setups; s++) {
        trial.builds[s] = (struct compare_build){.setup = s, .tied = true, .position_group = s};
    }
    trial.input = (struct compare_input){.holds = trial.holds,
                                         .builds = trial.builds,
                                         .build_count = setups,
                                         .setup_count = setups,
                                         .matters = matters,
                                         .higher_is_up = true};
    return &trial;
}

/* A hold of a build; order 0 = not told. */
static inline void trial_add(struct trial *trial, int build, double order, double value)
{
    trial->holds[trial->input.hold_count++] = (struct compare_hold){
        .setup = trial->builds[build].setup, .build = build, .order = order, .value = value};
}

static inline enum measure_status trial_compare(struct trial *trial)
{
    return compare_setups(&trial->input, &trial->result);
}

#endif
