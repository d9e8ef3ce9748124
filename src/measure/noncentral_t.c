/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/noncentral_t.h"

#include "over_sd.h"

#include "measure/distribution.h"

#include <math.h>

struct question {
    double t, delta;
};

static double below(double s, const void *context)
{
    const struct question *question = context;
    return normal_upper(question->delta - question->t * s);
}

double noncentral_t_lower(double t, double df, double delta)
{
    struct question question = {t, delta};
    if (!isfinite(t) || !isfinite(df) || !isfinite(delta) || !(df > 0.0)) {
        return 1.0;
    }
    return fmin(1.0, fmax(0.0, mean_over_sd(df, fabs(t), below, &question)));
}
