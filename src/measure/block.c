/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/block.h"

#include "measure/distribution.h"
#include "measure/rules.h"

#include <math.h>

size_t blocks_make(const double *time_s, const double *values, size_t count, double from_s,
                   double to_s, double length_s, double least, struct block *blocks,
                   size_t capacity)
{
    size_t made = 0, i = 0;
    /* A hair of tolerance, so that a hold of exactly 24 blocks has 24. */
    double end_s = to_s + 1e-6 * length_s;
    while (i < count && time_s[i] < from_s) {
        i++;
    }
    while (i < count && made < capacity) {
        double index = floor((time_s[i] - from_s) / length_s);
        double block_end_s = from_s + (index + 1.0) * length_s;
        if (block_end_s > end_s) {
            break;
        }
        double sum = 0.0, sum_time = 0.0, first = values[i], first_time = time_s[i];
        size_t start = i;
        do { /* about the first value, so that a large level costs no digits */
            sum += values[i] - first;
            sum_time += time_s[i] - first_time;
            i++;
        } while (i < count && time_s[i] < block_end_s);
        size_t in_block = i - start;
        if ((double)in_block < least) {
            continue;
        }
        blocks[made].index = (size_t)index;
        blocks[made].time_s = first_time + sum_time / (double)in_block;
        blocks[made].mean = first + sum / (double)in_block;
        blocks[made].count = in_block;
        made++;
    }
    return made;
}

struct likeness likeness_of(double r1, size_t count)
{
    struct likeness likeness = {
        .correlation = fmin(CORRELATION_MAX, fmax(0.0, r1 + (1.0 + 4.0 * r1) / (double)count))};
    likeness.factor = (1.0 + likeness.correlation) / (1.0 - likeness.correlation);
    return likeness;
}

static double likeness_df(const struct likeness *likeness, size_t count, int parameters)
{
    return fmax((double)count / likeness->factor - parameters, INTERVAL_DF_MIN);
}

double likeness_half_width(const struct likeness *likeness, size_t count, int parameters,
                           double standard_error)
{
    double df = likeness_df(likeness, count, parameters);
    return t_interval(df) * standard_error * sqrt(likeness->factor);
}

enum measure_status blocks_mean_interval(const struct block *blocks, size_t count,
                                         struct mean_interval *interval)
{
    if (count < 4) {
        return MEASURE_TOO_FEW;
    }
    double sum = 0.0, k = (double)count, first = blocks[0].mean;
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(blocks[i].mean)) {
            return MEASURE_NOT_FINITE;
        }
        sum += blocks[i].mean - first;
    }
    double mean = first + sum / k, squares = 0.0, products = 0.0;
    for (size_t i = 0; i < count; i++) {
        double d = blocks[i].mean - mean;
        squares += d * d;
        if (i > 0 && blocks[i].index == blocks[i - 1].index + 1) {
            products += d * (blocks[i - 1].mean - mean);
        }
    }
    if (!(squares > 1e-24 * mean * mean)) {
        return MEASURE_CONSTANT;
    }
    interval->blocks = count;
    interval->mean = mean;
    interval->sd = sqrt(squares / (k - 1.0));
    interval->r1 = products / squares;
    struct likeness likeness = likeness_of(interval->r1, count);
    interval->correlation = likeness.correlation;
    interval->factor = likeness.factor;
    interval->effective_n = k / interval->factor;
    interval->se = interval->sd * sqrt(interval->factor / k);
    interval->df = likeness_df(&likeness, count, 1);
    interval->half_width = t_interval(interval->df) * interval->se;
    return MEASURE_OK;
}
