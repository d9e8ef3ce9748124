/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_HEIGHT_STUDY_H
#define HOLDLINE_TESTS_SUPPORT_HEIGHT_STUDY_H

#include "bike/carrier.h"
#include "measure/compare.h"

#include <stdint.h>

/* Whole sessions on the virtual rig, from the bytes it prints to the verdict: bars that are moved
 * by 10 mm, sensors that ride on them, a head that stays or follows by 60 %. The readings that tie
 * the heights err as the stated uncertainties say. */
enum study_tie {
    STUDY_UNTIED,
    STUDY_FIXED,
    STUDY_REFERENCE,
    STUDY_PLATE,
    STUDY_TAPE,
    STUDY_COMPUTED
};
enum study_change { STUDY_SPACERS, STUDY_STEM, STUDY_ROLL, STUDY_PADS };

struct study_case {
    const char *words;
    enum carrier carrier;
    enum study_tie tie;
    enum study_change change;
};
extern const struct study_case study_cases[];
extern const int study_case_count;

struct study_result {
    bool judged; /* there is an interval */
    enum verdict verdict;
    double difference_mm, low_mm, high_mm; /* head, setup 2 against setup 1 */
    double true_difference_mm;             /* of the posture that the setup makes */
    double bars_mm;                        /* what the bars (or pads) moved by */
    bool alarm; /* measured and computed were too far apart on some build */
};

/* One session; the seed decides all of it. still: the head stays where it is, nobody errs and
 * nothing but breath, legs and sensor noise moves; else a rider of hold-to-hold 2 mm whose head
 * follows by 60 %. */
void study_session(const struct study_case *what, uint64_t seed, bool still,
                   struct study_result *result);

struct study_tally {
    int sessions, lower, higher, other, not_judged, covered, alarms;
    double sum_mm, square_sum_mm, largest_mm; /* of the error; the largest without its sign */
    double true_sum_mm, bars_sum_mm;
};
void study_count(struct study_tally *tally, const struct study_result *result);

#endif
