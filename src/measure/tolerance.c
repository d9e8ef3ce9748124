/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/tolerance.h"

#include "measure/distribution.h"

#include <math.h>

static enum measure_status check(double n, double share, double confidence)
{
    if (!(share > 0.0 && share < 1.0) || !(confidence > 0.0 && confidence < 1.0) || !isfinite(n)) {
        return MEASURE_BAD_SETTING;
    }
    return n >= 2.0 ? MEASURE_OK : MEASURE_TOO_FEW;
}

enum measure_status tolerance_two_sided(double n, double share, double confidence, double *factor)
{
    enum measure_status status = check(n, share, confidence);
    if (status != MEASURE_OK) {
        return status;
    }
    double chi2 = chi2_quantile(1.0 - confidence, n - 1.0);
    *factor = normal_quantile(0.5 * (1.0 + share)) * sqrt((n - 1.0) * (1.0 + 1.0 / n) / chi2);
    return MEASURE_OK;
}
