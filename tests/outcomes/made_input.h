/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_OUTCOMES_MADE_INPUT_H
#define HOLDLINE_TESTS_OUTCOMES_MADE_INPUT_H

#include "base/random.h"
#include "measure/status.h"
#include "support/outcome.h"
#include "support/test_main.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Made-up input of the tests that pin numbers. Values lie on a grid, so that equal ones and limits
 * that are just met come often. */
#define MANY 3000

static struct random_source source;
static double value[MANY], other[MANY], time_s[MANY];

/* 0, 1, .. less than so many. */
static inline int any(int count)
{
    return (int)(random_uniform(&source) * count);
}

static inline void grid(double *values, int count, double step, int steps)
{
    int middle = steps / 2;
    for (int i = 0; i < count; i++) {
        values[i] = step * (any(steps) - middle);
    }
}

static inline void noise(double *values, int count, double level, double sd, double quantum)
{
    for (int i = 0; i < count; i++) {
        double v = level + sd * random_normal(&source);
        values[i] = quantum > 0.0 ? quantum * round(v / quantum) : v;
    }
}

static inline bool pin_status(enum measure_status status)
{
    outcome_number("status", status);
    return status == MEASURE_OK;
}

#endif
