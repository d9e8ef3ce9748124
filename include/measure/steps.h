/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_STEPS_H
#define HOLDLINE_MEASURE_STEPS_H

#include "measure/least_squares.h"
#include "measure/status.h"

#include <stdbool.h>

/* Steps per change: how many millimetres the body's height followed each millimetre (or degree) of
 * a part's change, over this rider's setups: weighted least squares of height on the changes
 * against the first setup. An association within one session, and only where the setups can tell
 * the changes apart. */
#define STEPS_FACTORS_MAX 6 /* pad height, pad reach, extension tilt, spacers, ... */
#define STEPS_SETUPS_MAX 40

struct steps_setup {
    double change[STEPS_FACTORS_MAX]; /* against the first setup, mm or degrees */
    double height_mm;
    double u_mm; /* standard uncertainty of its height: holds and ties */
};

struct steps_input {
    const struct steps_setup *setups; /* the first one among them, with changes 0 */
    int setup_count;
    int factor_count;
    double df; /* degrees of freedom behind u_mm (the comparison's repeatability) */
};

enum steps_state {
    STEPS_KNOWN,
    STEPS_NOT_CHANGED,    /* no setup changes it */
    STEPS_NOT_TOLD_APART, /* always changed together with others: change it alone */
};
const char *steps_state_words(enum steps_state state); /* 'known', 'not changed', ... */

struct steps_factor {
    enum steps_state state;
    double per_unit, half_width; /* mm a mm (or a degree), 95 %; with STEPS_KNOWN */
};

struct steps {
    enum measure_status status;
    int factor_count;
    struct steps_factor factor[STEPS_FACTORS_MAX];
    double df;
    double widened;   /* 1, or how much worse than u_mm the straight-line model fits (Birge 1932) */
    int change_alone; /* a factor which a setup that changes nothing else would tell apart; -1 =
                         none */
    struct least_squares fit;
};

/* MEASURE_TOO_FEW under 2 setups; MEASURE_CONSTANT when nothing was changed. */
enum measure_status steps_fit(const struct steps_input *input, struct steps *steps);

struct steps_forecast {
    bool possible; /* the setups so far determine this combination of changes */
    double height_change_mm,
        half_width_mm; /* against the first setup, 95 %: of its expected height */
};
/* change: factor_count values against the first setup. */
struct steps_forecast steps_forecast(const struct steps *steps, const double *change);

struct steps_limits {
    double now[STEPS_FACTORS_MAX]; /* against the first setup */
    double low[STEPS_FACTORS_MAX]; /* what parts, makers and rider allow */
    double high[STEPS_FACTORS_MAX];
    double step[STEPS_FACTORS_MAX]; /* one change worth making; 0 = leave this alone */
};
enum steps_purpose {
    STEPS_NOTHING, /* no change inside the limits */
    STEPS_LOWER,   /* expected to lower, and the interval of its effect excludes 0 */
};
const char *steps_purpose_word(enum steps_purpose purpose); /* 'none', 'lower', 'learn' */
struct steps_suggestion {
    enum steps_purpose purpose;
    int factor;
    double change[STEPS_FACTORS_MAX]; /* the whole setup, against the first */
    struct steps_forecast forecast;   /* against the first; possible or not */
};
/* One step of one factor from where the bike is now: the one that is expected to lower most, else
 * one whose effect would be learnt. A suggestion, no more: limits are the caller's, comfort and
 * sight are the rider's. */
void steps_suggest(const struct steps *steps, const struct steps_limits *limits,
                   struct steps_suggestion *suggestion);

#endif
