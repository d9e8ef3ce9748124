/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_PRACTICE_CHANGE_H
#define HOLDLINE_MEASURE_PRACTICE_CHANGE_H

#include "measure/censored_line.h"
#include "measure/exact_tests.h"

/* Are tests better than those before the first practice (docs/practice.md)? */
enum practice_verdict {
    PRACTICE_BASE_SHORT, /* fewer than BASE_TESTS before practice: it can't be said */
    PRACTICE_CANNOT_TELL,
    PRACTICE_NONE, /* no change that matters */
    PRACTICE_BETTER,
    PRACTICE_WORSE,
    PRACTICE_VERDICTS,
};

struct practice_test {
    double share;  /* in the band */
    double blocks; /* that it is worth, 2.5 s each */
    double kept_s; /* how long it was kept; NAN: not known */
    bool at_least; /* it was not lost: kept_s is a lower limit */
};

struct practice_change {
    enum practice_verdict verdict;
    int more; /* tests: of the base where that is short, else until more can be told; 0: none */
    size_t base, later;             /* tests that were set against each other */
    bool base_rises;                /* each of the base higher than the one before */
    double base_share, later_share; /* at the mean of their logits */
    /* the later level less the base's, and its 95 % interval, shares; NAN: not known */
    double change, change_low, change_high;
    double logit_sd; /* pooled */
    double u, better_p, worse_p;
    double lasting_times; /* medians of kept_s, later over base; NAN: not known */
};
/* base and later in the order of time; of later the last PROGRESS_TESTS count. */
enum measure_status practice_change_of(const struct practice_test *base, size_t base_count,
                                       const struct practice_test *later, size_t later_count,
                                       struct practice_change *change);

/* The interval of a single test's share, from its blocks: on the logit's scale. */
void practice_share_interval(const struct practice_test *test, double *low, double *high);

#endif
