/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/tradeoff.h"

#include "measure/distribution.h"
#include "measure/rules.h"

#include <math.h>

/* What is to be small, whichever way the criterion is counted. */
static double badness(const struct tradeoff_setup *setup, int criterion)
{
    double value = setup->value[criterion];
    if (criterion == TRADEOFF_CREEP) {
        return fabs(value);
    }
    return criterion == TRADEOFF_IN_BAND ? -value : value;
}

static bool has(const struct tradeoff_setup *setup, int criterion)
{
    return setup->has[criterion] && isfinite(setup->value[criterion]);
}

struct field {
    const struct tradeoff_setup *setups;
    int count;
    const double *matters;
    double confidence; /* of one pair's difference on one criterion */
};

static bool is_rating(int criterion)
{
    return criterion == TRADEOFF_DISCOMFORT || criterion == TRADEOFF_EFFORT;
}

/* How far a is behind b, and half the interval of that; NAN where it is not known. */
static double behind(const struct field *field, int a, int b, int criterion, double *half)
{
    const struct tradeoff_setup *one = &field->setups[a], *other = &field->setups[b];
    double se = hypot(one->se[criterion], other->se[criterion]);
    double df = fmin(one->df[criterion], other->df[criterion]);
    *half = 0.0;
    if (!is_rating(criterion) && se != 0.0) {
        *half = isnan(se) ? (double)NAN : t_quantile(0.5 + 0.5 * field->confidence, df) * se;
    }
    return badness(one, criterion) - badness(other, criterion);
}

static bool better(const struct field *field, int a, int b, int criterion)
{
    double half, difference = behind(field, a, b, criterion, &half);
    return is_rating(criterion) ? difference <= -field->matters[criterion]
                                : difference + half < 0.0;
}

/* Whole scores: a point more is worse. */
static bool as_good(const struct field *field, int a, int b, int criterion)
{
    double half, difference = behind(field, a, b, criterion, &half);
    return is_rating(criterion) ? difference <= 0.0 : difference + half < field->matters[criterion];
}

static bool shown_better(const struct field *field, int a, int b)
{
    const struct tradeoff_setup *one = &field->setups[a], *other = &field->setups[b];
    bool some = false;
    if (one->sight_failed) {
        return false;
    }
    for (int c = 0; c < TRADEOFF_CRITERIA; c++) {
        if (has(one, c) != has(other, c)) {
            return false;
        }
        if (!has(one, c)) {
            continue;
        }
        if (!as_good(field, a, b, c)) {
            return false;
        }
        some = some || better(field, a, b, c);
    }
    return some;
}

/* A setup on which sight failed leads in nothing and is passed over. */
static bool leads(const struct field *field, int setup, int criterion)
{
    bool any = false;
    if (!has(&field->setups[setup], criterion) || field->setups[setup].sight_failed) {
        return false;
    }
    for (int other = 0; other < field->count; other++) {
        if (other == setup || field->setups[other].sight_failed ||
            !has(&field->setups[other], criterion)) {
            continue;
        }
        if (!better(field, setup, other, criterion)) {
            return false;
        }
        any = true;
    }
    return any;
}

void tradeoff_mark(const struct tradeoff_setup *setups, int count,
                   const double matters[TRADEOFF_CRITERIA], struct tradeoff_mark *marks)
{
    const struct field field = {setups, count, matters,
                                1.0 - (1.0 - COMPARE_CONFIDENCE) / (double)TRADEOFF_CRITERIA};
    for (int s = 0; s < count; s++) {
        bool any = false;
        marks[s] = (struct tradeoff_mark){.beaten_by = -1};
        for (int c = 0; c < TRADEOFF_CRITERIA; c++) {
            any = any || has(&setups[s], c);
            marks[s].leads[c] = leads(&field, s, c);
            marks[s].incomplete = marks[s].incomplete || !has(&setups[s], c);
        }
        for (int other = 0; other < count && marks[s].beaten_by < 0; other++) {
            if (other != s && shown_better(&field, other, s) && !shown_better(&field, s, other)) {
                marks[s].beaten_by = other;
            }
        }
        marks[s].stands = any && !setups[s].sight_failed && marks[s].beaten_by < 0;
    }
}
