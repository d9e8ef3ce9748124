/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_HOLD_MEASURES_H
#define HOLDLINE_MEASURE_HOLD_MEASURES_H

#include "base/member.h"
#include "measure/hold.h"

/* Every number of a hold's summary that leaves the program, one row each: the exports and their
 * schema walk these rows. A new measure is a member of hold_summary, its function, and a row. */

/* A column stands with its group's, groups in this order; JSON keeps the order of the rows. */
enum hold_group {
    HOLD_READINGS,
    HOLD_KEPT,
    HOLD_HEIGHT,
    HOLD_INTERVAL,
    HOLD_STEADINESS,
    HOLD_AIM,
    HOLD_BAND,
    HOLD_GROUPS,
};

/* What must be there that it means something. */
enum hold_needs {
    NEEDS_NOTHING,
    NEEDS_SUMMARY,
    NEEDS_INTERVAL,
    NEEDS_SPECTRUM,
    NEEDS_CREEP,
    NEEDS_STEP, /* one was found */
    NEEDS_TARGET,
    NEEDS_BAND,
};

struct hold_measure {
    const char *key;     /* JSON's name for it, with its unit */
    const char *heading; /* CSV's; NULL: it has no column */
    struct member member;
    int decimals; /* of its column; JSON is not rounded */
    enum hold_group group;
    enum hold_needs needs;
    const char *unit;  /* 'share': 0 to 1 */
    const char *words; /* what it is */
};
extern const struct hold_measure hold_measures[];
extern const int hold_measure_count;

bool hold_measure_there(const struct hold_measure *measure, const struct hold_summary *summary);

#endif
