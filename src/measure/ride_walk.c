/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "ride_walk.h"

#include "measure/rules.h"

#include <math.h>

size_t ride_index_at(const struct ride *ride, double at_s)
{
    size_t low = 0, high = ride->count;
    while (high - low > 1) {
        size_t middle = low + (high - low) / 2;
        if (ride->time_s[middle] <= at_s) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return low;
}

double ride_value_at(const struct ride *ride, const double *values, double at_s)
{
    if (at_s < ride->time_s[0] || at_s > ride->time_s[ride->count - 1]) {
        return NAN;
    }
    size_t before = ride_index_at(ride, at_s);
    size_t after = ride->time_s[before] < at_s ? before + 1 : before;
    while (before > 0 && isnan(values[before]) && at_s - ride->time_s[before] <= RIDE_GAP_S) {
        before--;
    }
    while (after + 1 < ride->count && isnan(values[after]) &&
           ride->time_s[after] - at_s <= RIDE_GAP_S) {
        after++;
    }
    double lasts_s = ride->time_s[after] - ride->time_s[before];
    if (lasts_s > RIDE_GAP_S) {
        return NAN;
    }
    double share = lasts_s > 0.0 ? (at_s - ride->time_s[before]) / lasts_s : 0.0;
    return share > 0.0 ? values[before] + share * (values[after] - values[before]) : values[before];
}

double ride_integral(const struct ride *ride, const double *values, double from_s, double to_s)
{
    double sum = 0.0;
    double at_s = from_s;
    double value = ride_value_at(ride, values, from_s);
    for (size_t i = ride_index_at(ride, from_s) + 1; at_s < to_s && i < ride->count; i++) {
        double next_s = fmin(ride->time_s[i], to_s);
        double next = next_s < to_s ? values[i] : ride_value_at(ride, values, to_s);
        if (isnan(next)) {
            continue; /* the next known one, if it is near enough */
        }
        if (next_s - at_s > RIDE_GAP_S) {
            return NAN;
        }
        sum += 0.5 * (value + next) * (next_s - at_s);
        at_s = next_s;
        value = next;
    }
    return at_s < to_s ? NAN : sum;
}

double ride_moment_at(const struct ride *ride, size_t index, double metres)
{
    size_t before = SIZE_MAX;
    while (index > 0 && isnan(ride->distance_m[index])) {
        index--;
    }
    for (size_t i = index; i < ride->count; i++) {
        double here = ride->distance_m[i];
        if (isnan(here)) {
            continue;
        }
        if (here >= metres) {
            if (before == SIZE_MAX) {
                return here > metres ? NAN : ride->time_s[i];
            }
            double from = ride->distance_m[before];
            double share = (metres - from) / (here - from); /* from is less than metres */
            return ride->time_s[before] + share * (ride->time_s[i] - ride->time_s[before]);
        }
        before = i;
    }
    return NAN;
}
