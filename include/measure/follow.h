/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_FOLLOW_H
#define HOLDLINE_MEASURE_FOLLOW_H

#include "measure/status.h"

#include <stdbool.h>
#include <stddef.h>

/* Does a sensor's channel follow a movement: at all, the right way, by the right amount; and does
 * it stay where it should while something else moves? Robust numbers (medians and percentiles), so
 * that an outlier is no movement. Values in mm, of range or height as the caller likes: 'up' is
 * towards larger values. */

/* How far readings went from where they were before. */
struct excursion {
    double before_mm;  /* median before */
    double shift_mm;   /* median during minus median before */
    double shift_u_mm; /* its standard uncertainty, from the scatter of both (1.4826 MAD) */
    double up_mm;   /* 95th percentile during over the median before, less what there was before */
    double down_mm; /* the same below, by the 5th percentile; both 0 or more */
    double restless_mm; /* how far readings went before, both ways: 1.645 times their scatter */
};
/* From FOLLOW_READINGS_MIN readings of each. Good readings only. */
enum measure_status excursion_find(const double *before_mm, size_t before_count,
                                   const double *during_mm, size_t during_count,
                                   struct excursion *excursion);

enum follow_way { FOLLOW_DOWN = -1, FOLLOW_STAYS = 0, FOLLOW_UP = 1 };
struct follow_wanted {
    enum follow_way way;
    double least_mm; /* a movement is one from here on */
    /* By how much, as a lasting shift; NAN = any amount from least_mm on. */
    double amount_mm, tolerance_mm;
};
enum follow_verdict {
    FOLLOW_RIGHT,
    FOLLOW_NOTHING,      /* asked to move, nothing seen */
    FOLLOW_WRONG_WAY,    /* moved, but the other way */
    FOLLOW_WRONG_AMOUNT, /* the right way, but not by the amount asked */
    FOLLOW_DISTURBED,    /* moved while it should have stayed */
};
/* A movement must be least_mm or more beyond what there was before, and three times that
 * restlessness. */
enum follow_verdict follow_judge(const struct excursion *excursion,
                                 const struct follow_wanted *wanted);

/* Cross-talk: how much of one channel's movement shows in another at the same time. */
struct crosstalk {
    double share;       /* slope of the other's readings over the moved one's */
    double correlation; /* Pearson's */
};
/* Pairs of readings of the same samples; from 20. MEASURE_CONSTANT when one never moves. */
enum measure_status crosstalk_find(const double *moved_mm, const double *other_mm, size_t count,
                                   struct crosstalk *crosstalk);

/* The beam sees two things: readings that jump between two levels without anything between, as at
 * the edge of a strap or between a chin and the chest behind it. */
struct two_levels {
    bool is_two;
    double low_mm, high_mm; /* means of the two */
    double low_share;
    double low_sd_mm, high_sd_mm; /* readings about their own level */
    size_t jumps;   /* from one to the other between readings that follow each other */
    size_t between; /* readings in the middle half of the gap: a body that moves passes there */
};
/* Good readings in the order of time. Split where the variance between the groups is largest (Otsu
 * 1979, IEEE Trans. Syst. Man Cybern. 9). Scattered outliers are no level: the rarer group must lie
 * as close together as a surface does. From 20 readings; MEASURE_CONSTANT when all are equal. */
enum measure_status two_levels_find(const double *values_mm, size_t count,
                                    struct two_levels *levels);
/* The same without asking for memory: scratch has room for count values. */
enum measure_status two_levels_find_in(const double *values_mm, size_t count, double *scratch,
                                       struct two_levels *levels);

#endif
