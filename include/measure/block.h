/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_BLOCK_H
#define HOLDLINE_MEASURE_BLOCK_H

#include "measure/status.h"

#include <stdbool.h>
#include <stddef.h>

/* Block means over time: what turns a breathing, pedalling person's samples into numbers whose
 * scatter says how well a mean is known. */

struct block {
    size_t index;  /* 0, 1, ... of the grid that starts at from_s: a missing block leaves a hole */
    double time_s; /* mean time of its samples */
    double mean;
    size_t count;
};

/* Blocks of length_s from from_s on, whole ones up to to_s only. time_s ascending. A block with
 * fewer than least samples is left out. Returns how many were written (never over capacity). */
size_t blocks_make(const double *time_s, const double *values, size_t count, double from_s,
                   double to_s, double length_s, double least, struct block *blocks,
                   size_t capacity);

/* How alike values that follow each other are: their lag-1 autocorrelation with its bias corrected,
 * rc = r1 + (1 + 4 r1)/k (Marriott and Pope 1954, Biometrika 41), from 0 to CORRELATION_MAX, and by
 * how much that widens a variance, as of an AR(1) series. */
struct likeness {
    double correlation, factor; /* (1 + correlation) / (1 - correlation) */
};
struct likeness likeness_of(double r1, size_t count);
/* 95 % half-width of a mean (1 parameter) or a line's slope (2) whose standard error is this for
 * values that are not alike: t with df = max(k/f - parameters, INTERVAL_DF_MIN). */
double likeness_half_width(const struct likeness *likeness, size_t count, int parameters,
                           double standard_error);

struct mean_interval {
    size_t blocks;
    double mean, sd;           /* of the block means */
    double r1, correlation;    /* lag 1; bias-corrected and limited */
    double factor;             /* (1 + correlation) / (1 - correlation) */
    double se, df, half_width; /* 95 % */
    double effective_n;        /* blocks / factor */
};
/* Mean of autocorrelated block means (docs/measures.md, 'One hold'): likeness as above. Lag-1
 * products only between blocks that follow each other on the grid. From 4
 * blocks (8 to be shown); MEASURE_CONSTANT without spread. */
enum measure_status blocks_mean_interval(const struct block *blocks, size_t count,
                                         struct mean_interval *interval);

#endif
