/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_MEASURE_HOLD_POSITION_H
#define HOLDLINE_SRC_MEASURE_HOLD_POSITION_H

#include "hold_model.h"
#include "series.h"

#include "measure/block.h"
#include "measure/filter.h"
#include "measure/spectrum.h"

/* Block means of a hold and where its settled part begins. Inside the layer only. */
struct settled {
    struct block *all;    /* owned */
    struct block *blocks; /* the kept ones */
    size_t count;
    double from_s;
    size_t first; /* first kept sample */
    double kept_s, valid_share;
    bool not_settled;
    struct hold_model model;
};

/* cut: drop the beginning that had not settled (docs/measures.md, 'One hold': blocks of 2.5 s, at
 * most a third). with_line: for creep. settled_free in any case. */
enum measure_status settle(const struct series *series, bool cut, bool with_line,
                           struct settled *settled);
void settled_free(struct settled *settled);
/* Whether an interval may be given (docs/measures.md, 'One hold'). */
bool settled_carries_interval(const struct settled *settled);

/* Steadiness about the mean and about the target, and the bands, over evenly sampled stretches. */
struct steady {
    bool filtered;
    struct low_pass filter;
    struct spectrum *spectrum;        /* owned until steady_end; NULL: too little for one */
    double about_mm, sum, squares, n; /* of what was filtered, about that height */
};
/* longest_s: what follows without a gap, at most. */
void steady_begin(struct steady *steady, double rate_hz, double longest_s, double about_mm);
/* Readings from that one on; what comes later is another stretch. */
void steady_add(struct steady *steady, const struct series *series, size_t from);
void steady_tell(const struct steady *steady, double target_mm, struct hold_summary *out);
void steady_end(struct steady *steady);

/* The mean's interval out of the kept blocks. */
void hold_interval(const struct settled *settled, struct hold_summary *out);
/* The line of the model, and of the blocks. */
enum measure_status hold_creep(const struct series *series, struct settled *settled,
                               struct hold_summary *out);

/* Everything about where and how steady: all of the summary but the band. */
enum measure_status hold_position(const struct series *series, struct settled *settled,
                                  const struct hold_settings *settings,
                                  struct hold_summary *summary);

#endif
