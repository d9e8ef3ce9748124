/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/plate_still.h"

#include "measure/rules.h"

#include <math.h>

#define PARTS 4

enum measure_status plate_still(const double *range_mm, size_t count, struct plate_still *still)
{
    double least = INFINITY, most = -INFINITY, squares = 0;
    *still = (struct plate_still){.moved_mm = 0};
    if (count < 2 * PARTS) {
        return MEASURE_TOO_FEW;
    }
    for (size_t part = 0; part < PARTS; part++) {
        size_t from = count * part / PARTS, to = count * (part + 1) / PARTS;
        double sum = 0;
        for (size_t i = from; i < to; i++) {
            sum += range_mm[i];
        }
        least = fmin(least, sum / (double)(to - from));
        most = fmax(most, sum / (double)(to - from));
    }
    for (size_t i = 1; i < count; i++) {
        double step = fabs(range_mm[i] - range_mm[i - 1]);
        if (!isfinite(step)) {
            return MEASURE_NOT_FINITE;
        }
        squares += step * step;
        bool smaller = step > 0 && (still->step_mm == 0 || step < still->step_mm);
        still->step_mm = smaller ? step : still->step_mm;
    }
    still->moved_mm = most - least;
    still->noise_mm = sqrt(squares / 2 / (double)(count - 1));
    /* JCGM 100:2008, 4.3.7: a rectangle's half-width over the square root of 3. */
    double of_noise = still->noise_mm / sqrt((double)count);
    double of_way = still->moved_mm / 2 / sqrt(3);
    double of_step = still->step_mm / 2 / sqrt(3) / sqrt((double)PARTS);
    still->u_mm = sqrt(of_noise * of_noise + of_way * of_way + of_step * of_step);
    double of_parts = still->noise_mm * sqrt(2.0 * PARTS / (double)count);
    still->moved = still->moved_mm > fmax(PLATE_MOVED_MM, still->step_mm) &&
                   still->moved_mm > PLATE_MOVED_U * of_parts;
    return MEASURE_OK;
}
