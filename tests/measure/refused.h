/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_MEASURE_REFUSED_H
#define HOLDLINE_TESTS_MEASURE_REFUSED_H

#include "measure/status.h"
#include "support/test_main.h"

#include <math.h>
#include <stddef.h>

/* A double of an input, wrong in turn as said; `run` gives the status of what it comes to. */
enum wrong { IS_NAN, IS_INFINITE, IS_NEGATIVE, IS_ZERO, WRONGS };
static const double wrong_values[WRONGS] = {NAN, INFINITY, -1.0, 0.0};

struct wrong_field {
    double *at;
    unsigned wrong; /* bits of enum wrong */
};
#define ALL (1U << IS_NAN | 1U << IS_INFINITE | 1U << IS_NEGATIVE | 1U << IS_ZERO)
#define NOT_ZERO (1U << IS_NAN | 1U << IS_INFINITE | 1U << IS_NEGATIVE)
#define NOT_FINITE (1U << IS_NAN | 1U << IS_INFINITE)

typedef enum measure_status refused_run(void *context);

static inline void each_refused(const struct wrong_field *fields, size_t count, refused_run *run,
                                void *context, enum measure_status status)
{
    ck_assert_int_eq(run(context), MEASURE_OK);
    for (size_t f = 0; f < count; f++) {
        for (int w = 0; w < WRONGS; w++) {
            double good = *fields[f].at;
            if ((fields[f].wrong & 1U << w) != 0) {
                *fields[f].at = wrong_values[w];
                ck_assert_msg(run(context) == status, "field %zu, wrong %d: %d", f, w,
                              run(context));
                *fields[f].at = good;
            }
        }
    }
    ck_assert_int_eq(run(context), MEASURE_OK);
}

#endif
