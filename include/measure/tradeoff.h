/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_TRADEOFF_H
#define HOLDLINE_MEASURE_TRADEOFF_H

#include <stdbool.h>

/* Setups that no other beats on everything at once (Pareto 1906): there is no single score. */
enum tradeoff_criterion {
    TRADEOFF_HEIGHT,        /* mm, lower is better: of the first channel (head) */
    TRADEOFF_SECOND_HEIGHT, /* of the second (chest) */
    TRADEOFF_STEADINESS,    /* mm RMS, less is better */
    TRADEOFF_CREEP,         /* mm a minute, its size */
    TRADEOFF_IN_BAND,       /* share, more is better */
    TRADEOFF_DISCOMFORT,    /* 0-10, the worst region */
    TRADEOFF_EFFORT,        /* 0-10 */
    TRADEOFF_CRITERIA
};

struct tradeoff_setup {
    bool has[TRADEOFF_CRITERIA];
    double value[TRADEOFF_CRITERIA];
    /* standard error of the value and what it is worth; NAN: not known, so that nothing follows.
     * Ratings are what they are: 0. */
    double se[TRADEOFF_CRITERIA], df[TRADEOFF_CRITERIA];
    bool sight_failed; /* 'can you see ahead: no': never among the best, whatever the numbers */
};

struct tradeoff_mark {
    bool stands;                   /* no other beats it */
    int beaten_by;                 /* a setup that is as good everywhere and better somewhere; -1 */
    bool leads[TRADEOFF_CRITERIA]; /* better than every other, by more than the error */
    bool incomplete; /* something is missing, so that not every other could be held against it */
};

/* One setup beats another when it is shown to be as good on every criterion and better on one, and
 * not the other way round as well: better where the interval of their difference lies beyond 0, as
 * good where it does not reach what matters; the intervals of a pair hold together on all criteria
 * with COMPARE_CONFIDENCE (Bonferroni). matters: by criterion; of ratings, what counts as better. A
 * criterion that only one of the two has decides nothing and lets neither beat the other; one that
 * both lack is passed over. marks: count entries. A setup without any value does not stand. */
void tradeoff_mark(const struct tradeoff_setup *setups, int count,
                   const double matters[TRADEOFF_CRITERIA], struct tradeoff_mark *marks);

#endif
