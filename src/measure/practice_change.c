/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/practice_change.h"

#include "measure/distribution.h"
#include "measure/practice.h"
#include "measure/rules.h"
#include "measure/statistics.h"

#include <math.h>

static double logit_of(const struct practice_test *test)
{
    return share_logit(test->share, test->blocks);
}

void practice_share_interval(const struct practice_test *test, double *low, double *high)
{
    double n = fmax(test->blocks, SHARE_BLOCKS_LEAST), logit = logit_of(test);
    /* variance of an empirical logit: Gart and Zweifel 1967, Biometrika 54, 181-187 */
    double se = sqrt(1.0 / (test->share * n + 0.5) + 1.0 / ((1.0 - test->share) * n + 0.5));
    *low = share_of_logit(logit - NORMAL_95 * se);
    *high = share_of_logit(logit + NORMAL_95 * se);
}

/* Median; one that is a lower limit stands for itself. NAN where none is known. */
static double middle_kept_s(const struct practice_test *tests, size_t count)
{
    double kept_s[EXACT_VALUES_MAX], median = NAN;
    size_t known = 0;
    for (size_t i = 0; i < count; i++) {
        if (isfinite(tests[i].kept_s)) {
            kept_s[known++] = tests[i].kept_s;
        }
    }
    return statistics_median(kept_s, known, &median) == MEASURE_OK ? median : (double)NAN;
}

/* The level of both, and what lies between them. */
static void find_change(const struct practice_test *base, const struct practice_test *later,
                        struct practice_change *change)
{
    double base_logit[EXACT_VALUES_MAX], later_logit[EXACT_VALUES_MAX];
    double base_mean, base_sd, later_mean, later_sd;
    size_t m = change->base, n = change->later;
    for (size_t i = 0; i < m; i++) {
        base_logit[i] = logit_of(&base[i]);
    }
    for (size_t i = 0; i < n; i++) {
        later_logit[i] = logit_of(&later[i]);
    }
    if (statistics_mean(base_logit, m, &base_mean) == MEASURE_OK) {
        change->base_share = share_of_logit(base_mean);
    }
    if (statistics_mean(later_logit, n, &later_mean) == MEASURE_OK) {
        change->later_share = share_of_logit(later_mean);
        change->change = change->later_share - change->base_share;
    }
    if (statistics_mean_sd(base_logit, m, &base_mean, &base_sd) != MEASURE_OK ||
        statistics_mean_sd(later_logit, n, &later_mean, &later_sd) != MEASURE_OK) {
        return;
    }
    double df = (double)(m + n) - 2.0;
    double squares = (double)(m - 1) * base_sd * base_sd + (double)(n - 1) * later_sd * later_sd;
    change->logit_sd = sqrt(squares / df);
    double half = t_interval(df) * change->logit_sd * sqrt(1.0 / (double)m + 1.0 / (double)n);
    double apart = later_mean - base_mean;
    change->change_low = share_of_logit(base_mean + apart - half) - change->base_share;
    change->change_high = share_of_logit(base_mean + apart + half) - change->base_share;
}

/* Tests until something can be told, from how far tests lie apart: so many that the interval of the
 * change is PROGRESS_POINTS to each side; no fewer than make PROGRESS_TESTS, and no more than all
 * of those anew. */
static int more_tests(const struct practice_change *change)
{
    int have = (int)change->later, wanted = PROGRESS_TESTS;
    double base = change->base_share, m = (double)change->base;
    double level = fmin(fmax(base, PROGRESS_POINTS), 1.0 - PROGRESS_POINTS);
    double wide = (log((level + PROGRESS_POINTS / 2.0) / (1.0 - level - PROGRESS_POINTS / 2.0)) -
                   log((level - PROGRESS_POINTS / 2.0) / (1.0 - level + PROGRESS_POINTS / 2.0)));
    for (int n = PROGRESS_TESTS; !isnan(change->logit_sd) && n <= 2 * PROGRESS_TESTS; n++) {
        wanted = n;
        double half = t_interval(m + n - 2.0) * change->logit_sd * sqrt(1.0 / m + 1.0 / n);
        if (half <= wide) {
            break;
        }
    }
    int more = wanted - have;
    int fill = PROGRESS_TESTS - have;
    more = more > PROGRESS_TESTS ? PROGRESS_TESTS : more;
    more = more < fill ? fill : more;
    return more < 1 ? 1 : more;
}

static enum practice_verdict judge(const struct practice_change *change)
{
    double lasting = change->lasting_times;
    bool up = change->change >= PROGRESS_POINTS || lasting >= PROGRESS_LASTING;
    bool down = change->change <= -PROGRESS_POINTS || lasting <= 1.0 / PROGRESS_LASTING;
    if (change->better_p <= PROGRESS_P && up) {
        return PRACTICE_BETTER;
    }
    if (change->worse_p <= PROGRESS_P && down) {
        return PRACTICE_WORSE;
    }
    return change->change_low >= -PROGRESS_POINTS && change->change_high <= PROGRESS_POINTS
               ? PRACTICE_NONE
               : PRACTICE_CANNOT_TELL;
}

enum measure_status practice_change_of(const struct practice_test *base, size_t base_count,
                                       const struct practice_test *later, size_t later_count,
                                       struct practice_change *change)
{
    double base_share[EXACT_VALUES_MAX], later_share[EXACT_VALUES_MAX], u;
    size_t from = later_count > PROGRESS_TESTS ? later_count - PROGRESS_TESTS : 0;
    struct practice_change found = {.base = base_count,
                                    .later = later_count - from,
                                    .base_share = NAN,
                                    .later_share = NAN,
                                    .change = NAN,
                                    .change_low = NAN,
                                    .change_high = NAN,
                                    .logit_sd = NAN,
                                    .better_p = 1.0,
                                    .worse_p = 1.0,
                                    .lasting_times = NAN};
    if (base_count + PROGRESS_TESTS > EXACT_VALUES_MAX) {
        return MEASURE_BAD_SETTING;
    }
    later += from;
    for (size_t i = 0; i < base_count; i++) {
        base_share[i] = base[i].share;
    }
    for (size_t i = 0; i < found.later; i++) {
        later_share[i] = later[i].share;
    }
    found.base_rises = base_count >= BASE_TESTS;
    for (size_t i = 1; i < base_count; i++) {
        found.base_rises = found.base_rises && base_share[i] > base_share[i - 1];
    }
    find_change(base, later, &found);
    found.lasting_times = middle_kept_s(later, found.later) / middle_kept_s(base, base_count);
    enum measure_status status = MEASURE_OK;
    if (base_count > 0 && found.later > 0) {
        status = mann_whitney(later_share, found.later, base_share, base_count, &found.u,
                              &found.better_p);
        if (status == MEASURE_OK) {
            status =
                mann_whitney(base_share, base_count, later_share, found.later, &u, &found.worse_p);
        }
    }
    if (status != MEASURE_OK) {
        return status;
    }
    if (base_count < BASE_TESTS) {
        found.verdict = PRACTICE_BASE_SHORT;
        found.more = BASE_TESTS - (int)base_count;
    } else {
        found.verdict = judge(&found);
        found.more = found.verdict == PRACTICE_CANNOT_TELL ? more_tests(&found) : 0;
    }
    *change = found;
    return MEASURE_OK;
}
