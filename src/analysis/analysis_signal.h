/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_ANALYSIS_SIGNAL_H
#define HOLDLINE_ANALYSIS_ANALYSIS_SIGNAL_H

#include "analysis/analysis.h"

/* From the samples of a capture to one channel's heights, as the measures take them. */

#define CUTS_MAX 128
/* One channel's arrays of one capture. */
struct signal {
    double *time_s, *height_mm;
    uint8_t *valid;
    struct hold_cut cut[CUTS_MAX];
    struct hold_input input;
};

/* Stretches in which the rider sat up. */
struct cuts {
    int count;
    struct hold_cut cut[CUTS_MAX / 2];
};

/* Room for so many samples; signal_free afterwards, also where it is false. */
bool signal_allocate(struct signal *signal, size_t count);
void signal_free(struct signal *signal);
/* The channel's heights on a build, nothing cut. */
void signal_fill(const struct session_record *record, const struct analysis *analysis, int build,
                 int channel, const struct sample *samples, size_t count, struct signal *signal);
/* Leaves out what the fitter marked in a hold, and what was sat up. */
void signal_cuts(const struct session_record *record, int hold, const struct sample *samples,
                 size_t count, const struct cuts *up, struct signal *signal);
/* A channel's readings of a stretch: signal_free afterwards, also where it is false. */
bool signal_of(const struct session_record *record, const struct analysis *analysis, int build,
               int channel, int64_t first, int64_t last, sample_source *source, void *context,
               struct signal *signal);

/* Samples first to last, some at a time and in order: so few that the latest are all in the memory
 * of a live session, or all in its store. False: some are not there; those before were taken. */
typedef void sample_taker(void *taker, const struct sample *samples, size_t count);
bool samples_in_turn(sample_source *source, void *context, int64_t first, int64_t last,
                     sample_taker *take, void *taker);

#endif
