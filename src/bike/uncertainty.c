/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "bike/uncertainty.h"

#include "measure/rules.h"

#include <math.h>

double measuring_error(const struct bike_values *bike, enum bike_key key)
{
    if (isnan(bike->value[key]) && !isnan(bike_fields[key].assumed)) {
        return key == BIKE_BAR_ROLL ? ASSUMED_ROLL_U_DEG : ASSUMED_U_MM;
    }
    return bike_fields[key].measured_u;
}

static void add(struct point *variance, const struct point *high, const struct point *low)
{
    double x = (high->x_mm - low->x_mm) / 2.0, y = (high->y_mm - low->y_mm) / 2.0;
    variance->x_mm += x * x;
    variance->y_mm += y * y;
}

static struct point root(const struct point *variance, bool has)
{
    return has ? (struct point){sqrt(variance->x_mm), sqrt(variance->y_mm)}
               : (struct point){NAN, NAN};
}

bool bike_uncertainty(const struct bike_values *bike, const double error[BIKE_KEYS],
                      struct points_uncertainty *uncertainty, struct problem *problem)
{
    struct bike_points points;
    if (!bike_forward(bike, &points, problem)) {
        return false;
    }
    struct points_uncertainty sum = {{0.0, 0.0}, {0.0, 0.0}, {0.0, 0.0}, {0.0, 0.0}};
    for (int i = 0; i < BIKE_KEYS; i++) {
        enum bike_key key = (enum bike_key)i;
        double value = bike_value(bike, key), step = error ? error[i] : measuring_error(bike, key);
        if (isnan(value) || !(step > 0.0)) {
            continue;
        }
        struct bike_values more = *bike, less = *bike;
        struct bike_points high, low;
        more.value[i] = value + step;
        less.value[i] = value - step;
        if (!bike_forward(&more, &high, problem) || !bike_forward(&less, &low, problem)) {
            return false;
        }
        add(&sum.clamp, &high.clamp, &low.clamp);
        add(&sum.pad, &high.pad, &low.pad);
        add(&sum.extension_tip, &high.extension_tip, &low.extension_tip);
        add(&sum.saddle, &high.saddle, &low.saddle);
    }
    uncertainty->clamp = root(&sum.clamp, true);
    uncertainty->pad = root(&sum.pad, points.has_pad);
    uncertainty->extension_tip = root(&sum.extension_tip, points.has_extension);
    uncertainty->saddle = root(&sum.saddle, points.has_saddle);
    return true;
}
