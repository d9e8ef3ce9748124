/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/rice.h"

#include <math.h>

enum measure_status rice_upcrossings(double level, double sd, double sd_rate, double *per_second)
{
    if (!isfinite(level) || !isfinite(sd) || !isfinite(sd_rate)) {
        return MEASURE_NOT_FINITE;
    }
    if (sd < 0.0 || sd_rate < 0.0) {
        return MEASURE_BAD_SETTING;
    }
    if (!(sd > 0.0)) {
        return MEASURE_CONSTANT;
    }
    double z = level / sd;
    *per_second = sd_rate / (6.28318530717958647692 * sd) * exp(-0.5 * z * z);
    return MEASURE_OK;
}
