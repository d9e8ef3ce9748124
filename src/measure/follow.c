/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/follow.h"

#include "measure/rules.h"
#include "measure/statistics.h"

#include <gsl/gsl_sort.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static bool all_finite(const double *values, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(values[i])) {
            return false;
        }
    }
    return true;
}

struct quantiles {
    double low, middle, high, sd; /* 5, 50 and 95 of 100; 1.4826 MAD */
};

static enum measure_status quantiles_of(const double *values, size_t count, double *copy,
                                        struct quantiles *quantiles)
{
    double deviation;
    memcpy(copy, values, count * sizeof *copy);
    enum measure_status status = statistics_quantile(copy, count, 0.05, &quantiles->low);
    if (status == MEASURE_OK) {
        status = statistics_quantile(copy, count, 0.95, &quantiles->high);
    }
    if (status == MEASURE_OK) {
        status = statistics_mad(copy, count, &quantiles->middle, &deviation);
    }
    if (status == MEASURE_OK) {
        quantiles->sd = SD_PER_MAD * deviation;
    }
    return status;
}

enum measure_status excursion_find(const double *before_mm, size_t before_count,
                                   const double *during_mm, size_t during_count,
                                   struct excursion *excursion)
{
    struct quantiles before, during;
    memset(excursion, 0, sizeof *excursion);
    if (before_count < (size_t)FOLLOW_READINGS_MIN || during_count < (size_t)FOLLOW_READINGS_MIN) {
        return MEASURE_TOO_FEW;
    }
    if (!all_finite(before_mm, before_count) || !all_finite(during_mm, during_count)) {
        return MEASURE_NOT_FINITE;
    }
    size_t most = before_count > during_count ? before_count : during_count;
    double *copy = malloc(most * sizeof *copy);
    if (!copy) {
        return MEASURE_NO_MEMORY;
    }
    enum measure_status status = quantiles_of(before_mm, before_count, copy, &before);
    if (status == MEASURE_OK) {
        status = quantiles_of(during_mm, during_count, copy, &during);
    }
    free(copy);
    if (status != MEASURE_OK) {
        return status;
    }
    excursion->before_mm = before.middle;
    excursion->shift_mm = during.middle - before.middle;
    excursion->shift_u_mm = sqrt(before.sd * before.sd / (double)before_count +
                                 during.sd * during.sd / (double)during_count);
    excursion->restless_mm = 1.645 * before.sd; /* as 90 of 100, but a glance does not widen it */
    excursion->up_mm = fmax(0.0, during.high - before.high);
    excursion->down_mm = fmax(0.0, before.low - during.low);
    return MEASURE_OK;
}

enum follow_verdict follow_judge(const struct excursion *excursion,
                                 const struct follow_wanted *wanted)
{
    double least_mm = fmax(wanted->least_mm, RESTLESS_TIMES * excursion->restless_mm);
    double asked_mm = wanted->way == FOLLOW_UP ? excursion->up_mm : excursion->down_mm;
    double other_mm = wanted->way == FOLLOW_UP ? excursion->down_mm : excursion->up_mm;
    if (wanted->way == FOLLOW_STAYS) {
        return fmax(excursion->up_mm, excursion->down_mm) >= least_mm ? FOLLOW_DISTURBED
                                                                      : FOLLOW_RIGHT;
    }
    if (asked_mm < least_mm && other_mm < least_mm) {
        return FOLLOW_NOTHING;
    }
    if (other_mm > asked_mm) {
        return FOLLOW_WRONG_WAY;
    }
    if (!isnan(wanted->amount_mm)) {
        double error_mm = excursion->shift_mm * (double)wanted->way - wanted->amount_mm;
        if (fabs(error_mm) > fmax(wanted->tolerance_mm, 2.0 * excursion->shift_u_mm)) {
            return FOLLOW_WRONG_AMOUNT;
        }
    }
    return FOLLOW_RIGHT;
}

enum measure_status crosstalk_find(const double *moved_mm, const double *other_mm, size_t count,
                                   struct crosstalk *crosstalk)
{
    double moved_mean, other_mean, ss_moved = 0.0, ss_other = 0.0, products = 0.0;
    memset(crosstalk, 0, sizeof *crosstalk);
    if (count < (size_t)CROSSTALK_READINGS_MIN) {
        return MEASURE_TOO_FEW;
    }
    enum measure_status status = statistics_mean(moved_mm, count, &moved_mean);
    if (status == MEASURE_OK) {
        status = statistics_mean(other_mm, count, &other_mean);
    }
    if (status != MEASURE_OK) {
        return status;
    }
    for (size_t i = 0; i < count; i++) {
        double x = moved_mm[i] - moved_mean, y = other_mm[i] - other_mean;
        ss_moved += x * x;
        ss_other += y * y;
        products += x * y;
    }
    if (!(ss_moved > 0.0) || !(ss_other > 0.0)) {
        return MEASURE_CONSTANT;
    }
    crosstalk->share = products / ss_moved;
    crosstalk->correlation = products / sqrt(ss_moved * ss_other);
    return MEASURE_OK;
}

/* SD of the values from first to last (exclusive) of sorted ones about their mean. */
static double scatter_of(const double *sorted, size_t first, size_t last, double mean)
{
    double squares = 0.0;
    for (size_t i = first; i < last; i++) {
        squares += (sorted[i] - mean) * (sorted[i] - mean);
    }
    return sqrt(squares / (double)(last - first));
}

/* Where sorted values are best cut in two; the means and the scatter within each and both. */
static void best_split(const double *sorted, size_t count, struct two_levels *levels,
                       double *scatter_mm)
{
    double sum = 0.0, low_sum = 0.0, best = -1.0;
    size_t cut = 0;
    for (size_t i = 0; i < count; i++) {
        sum += sorted[i] - sorted[0];
    }
    for (size_t i = 1; i < count; i++) {
        double n = (double)i, m = (double)(count - i);
        low_sum += sorted[i - 1] - sorted[0];
        double apart = (sum - low_sum) / m - low_sum / n;
        if (sorted[i] > sorted[i - 1] && n * m * apart * apart > best) {
            best = n * m * apart * apart;
            cut = i;
            levels->low_mm = sorted[0] + low_sum / n;
            levels->high_mm = sorted[0] + (sum - low_sum) / m;
        }
    }
    levels->low_share = (double)cut / (double)count;
    levels->low_sd_mm = scatter_of(sorted, 0, cut, levels->low_mm);
    levels->high_sd_mm = scatter_of(sorted, cut, count, levels->high_mm);
    *scatter_mm = sqrt(levels->low_share * levels->low_sd_mm * levels->low_sd_mm +
                       (1.0 - levels->low_share) * levels->high_sd_mm * levels->high_sd_mm);
}

static void count_jumps(const double *values, size_t count, struct two_levels *levels)
{
    double gap = levels->high_mm - levels->low_mm;
    double low_end = levels->low_mm + gap / 4.0, high_end = levels->high_mm - gap / 4.0;
    int before = 0;
    for (size_t i = 0; i < count; i++) {
        int level = values[i] <= low_end ? -1 : values[i] >= high_end ? 1 : 0;
        levels->jumps += level * before == -1;
        levels->between += level == 0;
        before = level;
    }
}

enum measure_status two_levels_find_in(const double *values_mm, size_t count, double *scratch,
                                       struct two_levels *levels)
{
    double scatter_mm = 0.0;
    memset(levels, 0, sizeof *levels);
    if (count < (size_t)LEVELS_READINGS_MIN) {
        return MEASURE_TOO_FEW;
    }
    if (!all_finite(values_mm, count)) {
        return MEASURE_NOT_FINITE;
    }
    memcpy(scratch, values_mm, count * sizeof *scratch);
    gsl_sort(scratch, 1, count);
    if (!(scratch[count - 1] > scratch[0])) {
        return MEASURE_CONSTANT;
    }
    best_split(scratch, count, levels, &scatter_mm);
    count_jumps(values_mm, count, levels);
    double gap = levels->high_mm - levels->low_mm;
    bool low_is_rarer = levels->low_share < 0.5;
    double rarer = low_is_rarer ? levels->low_share : 1.0 - levels->low_share;
    double rarer_sd_mm = low_is_rarer ? levels->low_sd_mm : levels->high_sd_mm;
    levels->is_two = gap >= LEVELS_GAP_MM && gap >= LEVELS_SD_TIMES * scatter_mm &&
                     rarer_sd_mm <= fmax(LEVELS_RARER_SD_MM, gap / LEVELS_RARER_SD_PARTS) &&
                     rarer >= LEVELS_SHARE && levels->jumps >= (size_t)LEVELS_JUMPS &&
                     2 * levels->between <= levels->jumps;
    return MEASURE_OK;
}

enum measure_status two_levels_find(const double *values_mm, size_t count,
                                    struct two_levels *levels)
{
    double *scratch = malloc((count + 1) * sizeof *scratch);
    if (!scratch) {
        memset(levels, 0, sizeof *levels);
        return MEASURE_NO_MEMORY;
    }
    enum measure_status status = two_levels_find_in(values_mm, count, scratch, levels);
    free(scratch);
    return status;
}
