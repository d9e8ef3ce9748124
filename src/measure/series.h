/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_MEASURE_SERIES_H
#define HOLDLINE_SRC_MEASURE_SERIES_H

#include "measure/hold.h"

/* One channel of one hold made ready: what is not valid, rejected or cut is gone, what is left
 * keeps its time stamp. Inside the layer only. */
struct series {
    size_t readings, valid, outliers;
    size_t count; /* accepted samples */
    double *time_s, *height_mm;
    double *space; /* 3 x count + 3, for whoever works on the series */
    double duration_s;
    double effective_rate_hz; /* readings a second, losses included */
    double step_rate_hz;      /* within stretches without gaps: what filters are made for */
    double expected_rate_hz;  /* what valid shares are counted against */
    double gap_s;             /* steps longer than this are gaps */
    double longest_gap_s;
    struct hold_cut *cuts; /* sorted, not overlapping, within the hold */
    size_t cut_count;
    double cut_s;
    void *memory;
};

/* raw: neither outlier rejection nor cuts. On a status other than MEASURE_OK the counts that are
 * known are there; series_free in any case. */
enum measure_status series_make(const struct hold_input *input, bool raw, struct series *series);
void series_free(struct series *series);

/* Length of [from_s, to_s] without the cuts. */
double series_kept_s(const struct series *series, double from_s, double to_s);

/* What is cut up to time_s. */
double series_cut_s(const struct series *series, double time_s);

/* How long reading i stands for: until the next one, where no gap is between. */
double series_lasts_s(const struct series *series, size_t i);

/* End (exclusive) of the contiguous stretch that begins at first. */
size_t series_stretch_end(const struct series *series, size_t first);

/* The stretch first..end-1 evenly sampled at step_rate_hz into values (series->space has room for
 * all stretches one after the other). Even ones are copied, others (jitter, lost samples)
 * interpolated linearly by time stamps. Returns the number of values. */
size_t series_even(const struct series *series, size_t first, size_t end, double *values);

#endif
