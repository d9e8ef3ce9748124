/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#include "measure/tradeoff.h"

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

static bool beats(const struct tradeoff_setup *a, const struct tradeoff_setup *b)
{
    bool better = false;
    if (a->sight_failed) {
        return false;
    }
    for (int c = 0; c < TRADEOFF_CRITERIA; c++) {
        if (has(a, c) != has(b, c)) {
            return false;
        }
        if (!has(a, c)) {
            continue;
        }
        if (badness(a, c) > badness(b, c)) {
            return false;
        }
        better = better || badness(a, c) < badness(b, c);
    }
    return better;
}

/* A setup on which sight failed leads in nothing and is passed over. */
static bool leads(const struct tradeoff_setup *setups, int count, int setup, int criterion)
{
    bool better = false;
    if (!has(&setups[setup], criterion) || setups[setup].sight_failed) {
        return false;
    }
    for (int other = 0; other < count; other++) {
        if (other == setup || setups[other].sight_failed || !has(&setups[other], criterion)) {
            continue;
        }
        if (badness(&setups[other], criterion) < badness(&setups[setup], criterion)) {
            return false;
        }
        better = better || badness(&setups[other], criterion) > badness(&setups[setup], criterion);
    }
    return better;
}

void tradeoff_mark(const struct tradeoff_setup *setups, int count, struct tradeoff_mark *marks)
{
    for (int s = 0; s < count; s++) {
        bool any = false;
        marks[s] = (struct tradeoff_mark){.beaten_by = -1};
        for (int c = 0; c < TRADEOFF_CRITERIA; c++) {
            any = any || has(&setups[s], c);
            marks[s].leads[c] = leads(setups, count, s, c);
            marks[s].incomplete = marks[s].incomplete || !has(&setups[s], c);
        }
        for (int other = 0; other < count && marks[s].beaten_by < 0; other++) {
            if (other != s && beats(&setups[other], &setups[s])) {
                marks[s].beaten_by = other;
            }
        }
        marks[s].stands = any && !setups[s].sight_failed && marks[s].beaten_by < 0;
    }
}
