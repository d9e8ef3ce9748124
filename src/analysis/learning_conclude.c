/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "analysis/learning.h"

#include "base/clock.h"
#include "measure/rules.h"
#include "measure/statistics.h"

#include <math.h>

/* What tests show together, and what comes next. */

size_t learning_tests(const struct learning *learning, int channel, enum learning_phase phase,
                      struct practice_test *tests, int64_t *at_ms, size_t most)
{
    size_t count = 0;
    for (int t = 0; t < learning->test_count && count < most; t++) {
        const struct learning_test *test = &learning->test[t];
        if (test->left_out == TEST_COUNTS && test->phase == phase && test->has[channel]) {
            tests[count] = test->result[channel];
            at_ms[count++] = test->at_ms;
        }
    }
    return count;
}

static double middle(const struct learning *learning, bool power)
{
    double values[LEARNING_TESTS_MAX], median = NAN;
    size_t count = 0;
    for (int t = 0; t < learning->test_count; t++) {
        double value = power ? learning->test[t].power_w : learning->test[t].cadence_per_min;
        if (learning->test[t].left_out == TEST_COUNTS && isfinite(value)) {
            values[count++] = value;
        }
    }
    return statistics_median(values, count, &median) == MEASURE_OK ? median : (double)NAN;
}

/* The same power each time: what is off the middle of all is left out. */
static void leave_out_by_power(struct learning *learning)
{
    double power_w = middle(learning, true), cadence = middle(learning, false);
    for (int t = 0; t < learning->test_count; t++) {
        struct learning_test *test = &learning->test[t];
        bool apart = fabs(test->power_w - power_w) > POWER_APART_W ||
                     fabs(test->cadence_per_min - cadence) > CADENCE_APART_RPM;
        if (test->left_out == TEST_COUNTS && apart) {
            test->left_out = TEST_POWER;
        }
    }
}

/* Shares over days, and ln of how long it was kept over tests, of base and practice. */
static void find_course(struct learning *learning, int channel)
{
    double day[LEARNING_TESTS_MAX], share[LEARNING_TESTS_MAX];
    double number[LEARNING_TESTS_MAX], kept[LEARNING_TESTS_MAX];
    bool at_least[LEARNING_TESTS_MAX];
    size_t count = 0, kepts = 0;
    for (int t = 0; t < learning->test_count; t++) {
        const struct learning_test *test = &learning->test[t];
        const struct practice_test *result = &test->result[channel];
        if (test->left_out != TEST_COUNTS || test->phase == PHASE_KEEP || !test->has[channel]) {
            continue;
        }
        day[count] = (double)(test->at_ms - learning->test[0].at_ms) / (double)CLOCK_DAY_MS;
        share[count] = result->share;
        count++;
        if (result->kept_s > 0.0) {
            number[kepts] = (double)count;
            kept[kepts] = log(result->kept_s);
            at_least[kepts++] = result->at_least;
        }
    }
    learning->of[channel].has_trend =
        count >= 4 && trend_of(day, share, count, &learning->of[channel].trend) == MEASURE_OK;
    learning->of[channel].has_lasting =
        censored_line_fit(number, kept, at_least, kepts, &learning->of[channel].lasting) ==
        MEASURE_OK;
}

/* Pieces with feedback, and the test of the session after. */
static void find_dependence(struct learning *learning, int channel)
{
    double told[LEARNING_DAYS_MAX], next[LEARNING_DAYS_MAX];
    size_t pairs = 0;
    for (int d = 0; d + 1 < learning->day_count; d++) {
        int test = learning->day[d + 1].test;
        bool there = test >= 0 && learning->test[test].left_out == TEST_COUNTS &&
                     learning->test[test].has[channel];
        told[pairs] = learning->day[d].told_share;
        next[pairs++] = there ? learning->test[test].result[channel].share : (double)NAN;
    }
    learning->of[channel].depends = depends_on_feedback(told, next, pairs);
}

static void conclude_channel(struct learning *learning, int channel)
{
    struct practice_test base[LEARNING_TESTS_MAX], later[LEARNING_TESTS_MAX],
        keep[LEARNING_TESTS_MAX];
    int64_t at_ms[LEARNING_TESTS_MAX];
    size_t bases = learning_tests(learning, channel, PHASE_BASE, base, at_ms, LEARNING_TESTS_MAX);
    size_t laters =
        learning_tests(learning, channel, PHASE_PRACTICE, later, at_ms, LEARNING_TESTS_MAX);
    size_t keeps = learning_tests(learning, channel, PHASE_KEEP, keep, at_ms, LEARNING_TESTS_MAX);
    practice_change_of(base, bases, later, laters, &learning->of[channel].practice);
    size_t from = laters > PROGRESS_TESTS ? laters - PROGRESS_TESTS : 0;
    learning->of[channel].has_keep = keeps > 0 && laters > 0 &&
                                     practice_change_of(later + from, laters - from, keep, keeps,
                                                        &learning->of[channel].keep) == MEASURE_OK;
    find_course(learning, channel);
    find_dependence(learning, channel);
}

/* The share of a test in the part that is held worst, in the order of time. */
static size_t worst_shares(const struct learning *learning, double *shares)
{
    size_t count = 0;
    for (int t = 0; t < learning->test_count; t++) {
        const struct learning_test *test = &learning->test[t];
        double worst = NAN;
        for (int c = 0; c < learning->channel_count; c++) {
            worst =
                test->has[c] && !(worst <= test->result[c].share) ? test->result[c].share : worst;
        }
        if (test->left_out == TEST_COUNTS && !isnan(worst)) {
            shares[count++] = worst;
        }
    }
    return count;
}

static void find_asks(struct learning *learning)
{
    int last = learning->day_count - 1;
    learning->asks = DISCOMFORT_NOTHING;
    if (last < 0) {
        return;
    }
    const struct learning_day *now = &learning->day[last];
    if (now->sign) {
        learning->asks = DISCOMFORT_ENDS;
        return;
    }
    for (int item = 0; item < RATING_ITEMS; item++) {
        double before = last > 0 ? learning->day[last - 1].discomfort[item] : (double)NAN;
        /* the morning was asked for before that day's pieces, which went by it */
        double morning = now->pieces > 0 ? (double)NAN : now->morning[item];
        enum discomfort_asks asks =
            discomfort_asks_of(now->discomfort[item], before, morning, false);
        if (rating_fields[item].discomfort && asks > learning->asks) {
            learning->asks = asks;
            learning->asks_item = item;
        }
    }
}

int learning_base_wanted(const struct learning *learning)
{
    bool rises = learning->channel_count > 0 && learning->of[0].practice.base_rises &&
                 learning->counted[PHASE_BASE] < BASE_TESTS + BASE_TESTS_MORE;
    int wanted = (rises ? BASE_TESTS + BASE_TESTS_MORE : BASE_TESTS);
    for (int d = 0; d < learning->day_count; d++) {
        if (learning->day[d].practised) {
            return 0;
        }
    }
    wanted -= learning->counted[PHASE_BASE];
    return wanted > 0 ? wanted : 0;
}

bool learning_asks_morning(const struct learning *learning)
{
    const struct learning_day *last =
        learning->day_count > 0 ? &learning->day[learning->day_count - 1] : NULL;
    return last != NULL && last->practised && last->rated;
}

int learning_pieces(const struct learning *learning)
{
    double fit = floor(learning->total_most_s / learning->piece.length_s);
    return (int)fmax(PIECES_FEWEST, fmin(fit, PIECES_USUAL));
}

void learning_conclude(struct learning *learning)
{
    double shares[LEARNING_TESTS_MAX], totals_s[LEARNING_DAYS_MAX];
    size_t sessions = 0;
    leave_out_by_power(learning);
    for (int t = 0; t < learning->test_count; t++) {
        learning->counted[learning->test[t].phase] += learning->test[t].left_out == TEST_COUNTS;
    }
    for (int c = 0; c < learning->channel_count; c++) {
        conclude_channel(learning, c);
    }
    learning->feedback_row = feedback_row_after(shares, worst_shares(learning, shares));
    for (int d = 0; d < learning->day_count; d++) {
        if (learning->day[d].pieces > 0) {
            totals_s[sessions++] = learning->day[d].piece_s;
        }
    }
    learning->total_most_s = pieces_total_most_s(totals_s, sessions);
    find_asks(learning);
    if (learning->asks != DISCOMFORT_NOTHING) { /* whoever comes back begins shorter, too */
        piece_length_back(&learning->piece);
    }
}
