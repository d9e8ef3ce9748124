/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/still_test.h"

#include "measure/block.h"
#include "measure/distribution.h"
#include "measure/follow.h"
#include "measure/hampel.h"
#include "measure/rules.h"
#include "measure/statistics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define BLOCKS_MAX 4000

/* Good readings, closed up, and their times. */
struct good {
    double *time_s, *range_mm, *copy;
    uint8_t *reject;
    size_t count, outliers;
};

static void good_free(struct good *good)
{
    free(good->time_s);
    free(good->range_mm);
    free(good->copy);
    free(good->reject);
}

static enum measure_status check(const struct still_input *input)
{
    for (size_t i = 0; i < input->count; i++) {
        if (!isfinite(input->time_s[i]) || (input->valid[i] && !isfinite(input->range_mm[i]))) {
            return MEASURE_NOT_FINITE;
        }
        if (i > 0 && input->time_s[i] <= input->time_s[i - 1]) {
            return MEASURE_UNSORTED;
        }
    }
    return input->count < STILL_READINGS_MIN ? MEASURE_TOO_FEW : MEASURE_OK;
}

static enum measure_status collect(const struct still_input *input, struct good *good)
{
    const struct hampel_settings settings = hampel_of_sensor();
    good->time_s = malloc(input->count * sizeof(double));
    good->range_mm = malloc(input->count * sizeof(double));
    good->copy = malloc(input->count * sizeof(double));
    good->reject = malloc(input->count);
    if (!good->time_s || !good->range_mm || !good->copy || !good->reject) {
        return MEASURE_NO_MEMORY;
    }
    size_t valid = 0;
    for (size_t i = 0; i < input->count; i++) {
        if (!input->valid[i]) {
            continue;
        }
        good->time_s[valid] = input->time_s[i];
        good->range_mm[valid++] = input->range_mm[i];
    }
    if (valid < STILL_READINGS_MIN) {
        return MEASURE_TOO_FEW;
    }
    enum measure_status status =
        hampel_reject(good->range_mm, valid, &settings, good->reject, NULL, NULL);
    if (status != MEASURE_OK) {
        return status;
    }
    for (size_t i = 0; i < valid; i++) {
        if (good->reject[i]) {
            continue;
        }
        good->time_s[good->count] = good->time_s[i];
        good->range_mm[good->count++] = good->range_mm[i];
    }
    good->outliers = valid - good->count;
    return good->count < STILL_READINGS_MIN ? MEASURE_TOO_FEW : MEASURE_OK;
}

static int compare_double(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double smallest_step(struct good *good)
{
    double smallest = 0.0;
    memcpy(good->copy, good->range_mm, good->count * sizeof(double));
    qsort(good->copy, good->count, sizeof(double), compare_double);
    for (size_t i = 1; i < good->count; i++) {
        double step = good->copy[i] - good->copy[i - 1];
        if (step > 1e-6 && (smallest == 0.0 || step < smallest)) {
            smallest = step;
        }
    }
    return smallest;
}

static double white_noise(const struct good *good)
{
    double squares = 0.0;
    for (size_t i = 1; i < good->count; i++) {
        double step = good->range_mm[i] - good->range_mm[i - 1];
        squares += step * step;
    }
    return sqrt(squares / (2.0 * (double)(good->count - 1)));
}

/* How much longer it will drift, where it slows down as what warms up does. */
static void find_warm_up(const double *minute, const double *mean, size_t k,
                         struct still_test *test)
{
    struct line_fit first, second;
    size_t half = k / 2;
    if (half < (size_t)STILL_BLOCKS_MIN ||
        statistics_line(minute, mean, half, &first) != MEASURE_OK ||
        statistics_line(minute + half, mean + half, k - half, &second) != MEASURE_OK) {
        return;
    }
    double slower = fabs(first.slope) - fabs(second.slope);
    double share = second.slope / first.slope;
    if (!(slower > STILL_WARMS_SE * hypot(first.slope_se, second.slope_se)) || !(share > 0.0)) {
        return;
    }
    double apart = minute[half] - minute[0], tau = apart / -log(share);
    double behind = (minute[k - 1] - minute[half]) / 2.0;
    double now = fabs(second.slope) * exp(-behind / tau);
    test->warms_minutes = fmax(0.0, tau * log(now / STILL_DRIFT_MM_PER_MIN));
}

/* A line over block means; residuals that follow each other widen its interval as they do a mean's
 * (measure/block.h). */
static enum measure_status find_drift(const struct good *good, struct still_test *test)
{
    struct block *blocks = malloc(BLOCKS_MAX * sizeof *blocks);
    double *minute = malloc(2 * BLOCKS_MAX * sizeof *minute);
    struct line_fit line;
    enum measure_status status = MEASURE_OK;
    if (!blocks || !minute) {
        status = MEASURE_NO_MEMORY;
        goto done;
    }
    double *mean = minute + BLOCKS_MAX, r1 = 0.0;
    double end_s = good->time_s[good->count - 1], from_s = good->time_s[0];
    double length_s = fmax(BLOCK_LENGTH_S, (end_s - from_s) / (BLOCKS_MAX - 1));
    size_t k = blocks_make(good->time_s, good->range_mm, good->count, from_s, end_s + 1e-9,
                           length_s, 3, blocks, BLOCKS_MAX);
    if (k < STILL_BLOCKS_MIN) {
        goto done;
    }
    for (size_t i = 0; i < k; i++) {
        minute[i] = blocks[i].time_s / 60.0;
        mean[i] = blocks[i].mean;
    }
    if (statistics_line(minute, mean, k, &line) != MEASURE_OK) {
        goto done;
    }
    find_warm_up(minute, mean, k, test);
    for (size_t i = 0; i < k; i++) {
        mean[i] -= line.intercept + line.slope * minute[i];
    }
    struct likeness likeness = {.factor = 1.0};
    if (statistics_autocorrelation(mean, k, &r1) == MEASURE_OK) {
        likeness = likeness_of(r1, k);
    }
    test->has_drift = true;
    test->drift_mm_per_min = line.slope;
    test->drift_half_width_mm_per_min = likeness_half_width(&likeness, k, 2, line.slope_se);
done:
    free(blocks);
    free(minute);
    return status;
}

static void find_reasons(const struct still_input *input, struct good *good,
                         struct still_test *test)
{
    struct two_levels levels;
    size_t valid = 0;
    for (size_t i = 0; i < input->count; i++) {
        if (input->valid[i]) {
            good->copy[valid++] = input->range_mm[i]; /* outliers are one of two levels at times */
        }
    }
    if (two_levels_find(good->copy, valid, &levels) == MEASURE_OK && levels.is_two) {
        test->reasons |= STILL_TWO_LEVELS;
    }
    if (test->quantum_mm == 0.0) {
        test->reasons |= STILL_STUCK;
    }
    if (test->mean_mm < SENSOR_BLOCKED_MM) {
        test->reasons |= STILL_BLOCKED;
    }
    if (test->white_mm > STILL_NOISE_MM) {
        test->reasons |= STILL_NOISY;
    }
    if (test->valid_share - test->outlier_share < STILL_VALID_SHARE) {
        test->reasons |= STILL_DROPS;
    }
    if (test->has_drift &&
        fabs(test->drift_mm_per_min) - test->drift_half_width_mm_per_min > STILL_DRIFT_MM_PER_MIN) {
        test->reasons |= STILL_DRIFTS;
    }
}

/* Every reading at its place, what is not good left open. */
static enum measure_status find_ripple(const struct still_input *input, const struct good *good,
                                       struct still_test *test)
{
    double *range_mm = malloc(input->count * sizeof *range_mm);
    if (range_mm == NULL) {
        return MEASURE_NO_MEMORY;
    }
    for (size_t i = 0, valid = 0; i < input->count; i++) {
        bool is_good = input->valid[i] && !good->reject[valid];
        valid += input->valid[i] ? 1 : 0;
        range_mm[i] = is_good ? input->range_mm[i] : (double)NAN;
    }
    enum measure_status status = ripple_find(range_mm, input->count, test->rate_hz, &test->ripple);
    free(range_mm);
    return status == MEASURE_TOO_FEW ? MEASURE_OK : status;
}

static void find_averaging(const struct good *good, struct still_test *test)
{
    const struct allan_curve *allan = &test->allan;
    if (test->valid_share - test->outlier_share < STILL_VALID_SHARE ||
        allan_curve(good->range_mm, good->count, 1.0 / test->rate_hz, &test->allan) != MEASURE_OK) {
        return;
    }
    test->has_allan = true;
    for (size_t i = 0; i < allan->count; i++) {
        const struct allan_point *point = &allan->point[i];
        double white_mm = test->white_mm / sqrt((double)point->factor);
        if (point->averaging_s >= STILL_WANDER_S && point->deviation > STILL_WANDER_MM &&
            point->deviation > STILL_WANDER_TIMES * white_mm) {
            test->reasons |= STILL_WANDERS;
        }
    }
    test->best_s = allan->point[allan->best].averaging_s;
    test->best_mm = allan->point[allan->best].deviation;
    test->best_is_longest = allan->best + 1 == allan->count;
}

enum measure_status still_test(const struct still_input *input, struct still_test *test)
{
    struct good good = {.count = 0};
    memset(test, 0, sizeof *test);
    enum measure_status status = check(input);
    if (status == MEASURE_OK) {
        status = collect(input, &good);
    }
    if (status != MEASURE_OK) {
        goto done;
    }
    test->good = good.count;
    test->duration_s = input->time_s[input->count - 1] - input->time_s[0];
    test->rate_hz = (double)(input->count - 1) / test->duration_s;
    test->valid_share = (double)(good.count + good.outliers) / (double)input->count;
    test->outlier_share = (double)good.outliers / (double)input->count;
    status = statistics_mean_sd(good.range_mm, good.count, &test->mean_mm, &test->sd_mm);
    if (status != MEASURE_OK) {
        goto done;
    }
    test->white_mm = white_noise(&good);
    test->quantum_mm = smallest_step(&good);
    status = find_drift(&good, test);
    if (status != MEASURE_OK) {
        goto done;
    }
    find_averaging(&good, test);
    if (test->valid_share - test->outlier_share >= STILL_VALID_SHARE) {
        status = find_ripple(input, &good, test);
    }
    find_reasons(input, &good, test);
done:
    good_free(&good);
    return status;
}
