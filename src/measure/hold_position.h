/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_MEASURE_HOLD_POSITION_H
#define HOLDLINE_SRC_MEASURE_HOLD_POSITION_H

#include "hold_model.h"
#include "series.h"

#include "measure/block.h"

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

/* Everything about where and how steady: all of the summary but the band. */
enum measure_status hold_position(const struct series *series, struct settled *settled,
                                  const struct hold_settings *settings,
                                  struct hold_summary *summary);

#endif
