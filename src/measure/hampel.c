/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/hampel.h"

#include "measure/rules.h"
#include "measure/statistics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The window's values in ascending order. */
struct ordered {
    double *values;
    size_t count;
};

static size_t place_of(const struct ordered *window, double value)
{
    size_t low = 0, high = window->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (window->values[middle] < value) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low;
}

static void ordered_add(struct ordered *window, double value)
{
    size_t at = place_of(window, value);
    memmove(window->values + at + 1, window->values + at, (window->count - at) * sizeof(double));
    window->values[at] = value;
    window->count++;
}

static void ordered_exchange(struct ordered *window, double out, double in)
{
    size_t from = place_of(window, out), to = place_of(window, in);
    double *v = window->values;
    if (to > from) {
        to--;
        memmove(v + from, v + from + 1, (to - from) * sizeof(double));
    } else {
        memmove(v + to + 1, v + to, (from - to) * sizeof(double));
    }
    v[to] = in;
}

static void ordered_remove(struct ordered *window, double value)
{
    size_t at = place_of(window, value);
    window->count--;
    memmove(window->values + at, window->values + at + 1, (window->count - at) * sizeof(double));
}

static double ordered_median(const struct ordered *window)
{
    size_t half = window->count / 2;
    if (window->count == 0) {
        return 0.0;
    }
    if (window->count % 2 == 1) {
        return window->values[half];
    }
    return 0.5 * (window->values[half - 1] + window->values[half]);
}

/* The k-th smallest (from 0) distance from the median. Distances grow from the middle to both
 * sides, so this is a choice from two ordered lists: the left one has half values, the right one
 * the rest. */
static double distance_of_rank(const struct ordered *window, double median, size_t k)
{
    const double *v = window->values;
    size_t half = window->count / 2, right_count = window->count - half;
    size_t low = k + 1 > right_count ? k + 1 - right_count : 0;
    size_t high = k + 1 < half ? k + 1 : half;
    while (low < high) { /* how many of the k+1 smallest are on the left */
        size_t left = low + (high - low) / 2;
        if (median - v[half - 1 - left] < v[half + (k - left)] - median) {
            low = left + 1;
        } else {
            high = left;
        }
    }
    double from_left = low > 0 ? median - v[half - low] : -1.0;
    double from_right = k + 1 > low ? v[half + k - low] - median : -1.0;
    return from_left > from_right ? from_left : from_right;
}

static double ordered_scale(const struct ordered *window, double median)
{
    size_t half = window->count / 2;
    double mad = distance_of_rank(window, median, half);
    if (window->count % 2 == 0) {
        mad = 0.5 * (mad + distance_of_rank(window, median, half - 1));
    }
    return SD_PER_MAD * mad;
}

enum measure_status hampel_reject(const double *values, size_t count,
                                  const struct hampel_settings *settings, uint8_t *reject,
                                  double *medians, double *scales)
{
    if (settings->half_window < 1 || !(settings->sigmas > 0.0) || !(settings->floor >= 0.0) ||
        !(settings->jump > 0.0)) {
        return MEASURE_BAD_SETTING;
    }
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(values[i])) {
            return MEASURE_NOT_FINITE;
        }
    }
    double few[256], *space = few;
    size_t half = settings->half_window < count ? settings->half_window : count;
    if (2 * half + 2 > sizeof few / sizeof few[0]) {
        space = malloc((2 * half + 2) * sizeof(double));
    }
    if (!space) {
        return MEASURE_NO_MEMORY;
    }

    struct ordered window = {space, 0};
    for (size_t i = 0; i < count && i < half; i++) {
        ordered_add(&window, values[i]);
    }
    for (size_t i = 0; i < count; i++) {
        if (i > half && i + half < count) {
            ordered_exchange(&window, values[i - half - 1], values[i + half]);
        } else if (i + half < count) {
            ordered_add(&window, values[i + half]);
        } else if (i > half) {
            ordered_remove(&window, values[i - half - 1]);
        }
        double median = ordered_median(&window), distance = fabs(values[i] - median);
        double scale = 0.0;
        int out = 0;
        if (scales || distance > settings->sigmas * settings->floor) {
            scale = ordered_scale(&window, median);
        }
        if (count >= 3) {
            out = distance > settings->jump ||
                  distance > settings->sigmas * fmax(scale, settings->floor);
        }
        reject[i] = (uint8_t)out;
        if (medians) {
            medians[i] = median;
        }
        if (scales) {
            scales[i] = scale;
        }
    }
    if (space != few) {
        free(space);
    }
    return MEASURE_OK;
}

struct hampel_settings hampel_of_sensor(void)
{
    return (struct hampel_settings){.half_window = (size_t)SENSOR_HALF_WINDOW,
                                    .sigmas = SENSOR_SIGMAS,
                                    .floor = HAMPEL_FLOOR_MM,
                                    .jump = HAMPEL_JUMP_MM};
}
