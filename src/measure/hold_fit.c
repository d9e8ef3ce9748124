/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "hold_fit.h"

#include "measure/block.h"
#include "measure/rules.h"

#include <math.h>
#include <string.h>

/* The first sample at or after a time. */
static size_t sample_at(const struct series *series, double at_s)
{
    size_t from = 0, to = series->count;
    while (from < to) {
        size_t middle = from + (to - from) / 2;
        if (series->time_s[middle] < at_s) {
            from = middle + 1;
        } else {
            to = middle;
        }
    }
    return from;
}

bool hold_fit_take(const struct series *series, const struct hold_stretch *stretch, double from_s,
                   struct hold_fit *fit)
{
    struct noise_blocks *blocks = &fit->blocks;
    struct block made[NOISE_BLOCKS_MAX];
    double duration_s = stretch->to_s - stretch->from_s, rate_hz = series->expected_rate_hz;
    size_t first = sample_at(series, stretch->from_s);
    memset(fit, 0, sizeof *fit);
    blocks->block_s =
        fmax(fmax(MODEL_BLOCK_S, 1.0 / rate_hz), duration_s / (double)MODEL_BLOCKS_MOST);
    blocks->count = (size_t)(duration_s / blocks->block_s + 1e-6);
    double least = fmax(1.0, BLOCK_SHARE_MIN * rate_hz * blocks->block_s), sum = 0.0;
    size_t count =
        blocks_make(series->time_s + first, series->height_mm + first, series->count - first,
                    stretch->from_s, stretch->to_s, blocks->block_s, least, made, NOISE_BLOCKS_MAX);
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        if (made[i].index < blocks->count &&
            stretch->from_s + (double)made[i].index * blocks->block_s >= from_s - 1e-6) {
            blocks->there[made[i].index] = 1;
            blocks->value_mm[made[i].index] = made[i].mean;
            sum += made[i].mean;
            kept++;
        }
    }
    fit->mean_mm = sum / fmax((double)kept, 1.0);
    for (size_t i = 0; i < blocks->count; i++) {
        blocks->value_mm[i] = blocks->there[i] ? blocks->value_mm[i] - fit->mean_mm : 0.0;
        fit->column[FIT_LEVEL][i] = 1.0;
    }
    return (double)kept * blocks->block_s >= 0.5 * (double)SETTLED_BLOCKS_MIN * BLOCK_LENGTH_S;
}

int hold_fit_columns(const struct hold_fit *fit, bool added, const double **columns)
{
    int count = 0;
    columns[count++] = fit->column[FIT_LEVEL];
    if (added) {
        columns[count++] = fit->column[FIT_ADDED];
    }
    if (fit->has_step) {
        columns[count++] = fit->column[FIT_STEP];
    }
    return count;
}

bool hold_fit_base(struct hold_fit *fit)
{
    const double *columns[NOISE_COLUMNS_MAX];
    struct noise_regression regression;
    noise_usual(&fit->blocks, &fit->noise);
    fit->blocks.breathing_hz = noise_breathing_hz(&fit->blocks);
    bool done = noise_fit(&fit->blocks, columns, hold_fit_columns(fit, false, columns), &fit->noise,
                          &regression);
    fit->misfit = regression.misfit;
    return done;
}

double hold_fit_gain(const struct hold_fit *fit, double promising,
                     struct noise_regression *regression)
{
    const double *columns[NOISE_COLUMNS_MAX];
    struct noise noise = fit->noise;
    int count = hold_fit_columns(fit, true, columns);
    noise_regress(&fit->blocks, &noise, columns, count, regression);
    double gain = fit->misfit - regression->misfit;
    if (gain < promising || !noise_fit(&fit->blocks, columns, count, &noise, regression)) {
        return gain;
    }
    return fmax(gain, fit->misfit - regression->misfit);
}

/* ---- what is added ---- */

void hold_fit_line(struct hold_fit *fit)
{
    for (size_t i = 0; i < fit->blocks.count; i++) {
        fit->column[FIT_ADDED][i] = ((double)i + 0.5) / (double)fit->blocks.count - 0.5;
    }
}

static const struct settling_shape shapes[] = {
    {3.0, SETTLES_EXPONENTIALLY},  {5.0, SETTLES_EXPONENTIALLY},  {8.0, SETTLES_EXPONENTIALLY},
    {12.0, SETTLES_EXPONENTIALLY}, {20.0, SETTLES_EXPONENTIALLY}, {15.0, SETTLES_EVENLY},
    {20.0, SETTLES_EVENLY},        {25.0, SETTLES_EVENLY},        {30.0, SETTLES_EVENLY},
    {2.5, SETTLES_AT_ONCE},        {5.0, SETTLES_AT_ONCE},        {7.5, SETTLES_AT_ONCE},
};
enum { SHAPES = sizeof shapes / sizeof shapes[0] };

static void settling_column(struct hold_fit *fit, const struct settling_shape *shape)
{
    for (size_t i = 0; i < fit->blocks.count; i++) {
        double part = ((double)i + 0.5) * fit->blocks.block_s / shape->seconds;
        fit->column[FIT_ADDED][i] = shape->way == SETTLES_EXPONENTIALLY ? exp(-part)
                                    : shape->way == SETTLES_EVENLY      ? fmax(0.0, 1.0 - part)
                                                                        : part < 1.0;
    }
}

double hold_fit_settling(struct hold_fit *fit, double promising,
                         struct noise_regression *regression, struct settling_shape *shape)
{
    double best = -(double)INFINITY;
    for (int i = 0; i < SHAPES; i++) {
        settling_column(fit, &shapes[i]);
        double gain = hold_fit_gain(fit, (double)INFINITY, regression) -
                      (shapes[i].way == SETTLES_EXPONENTIALLY ? 0.0 : SETTLING_OTHERWISE);
        if (gain > best) {
            best = gain;
            *shape = shapes[i];
        }
    }
    settling_column(fit, shape);
    return hold_fit_gain(fit, promising, regression);
}
