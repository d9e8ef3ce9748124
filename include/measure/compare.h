/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_MEASURE_COMPARE_H
#define HOLDLINE_MEASURE_COMPARE_H

#include "measure/moderated.h"
#include "measure/status.h"

#include <stdbool.h>

/* Comparison of setups on the means of holds (docs/measures.md, 'Setups against each other'):
 * setups fixed, holds the unit, pooled repeatability with what earlier sessions know of it, a
 * setup's own where its holds differ more than the others', trial order where the design carries
 * it, t intervals of each setup, simultaneous intervals of all differences from the baseline
 * (Dunnett), tie uncertainty in quadrature once per build, verdicts read off the intervals. */
#define COMPARE_SETUPS_MAX 40
#define COMPARE_HOLDS_MAX 400
#define COMPARE_BUILDS_MAX 100

struct compare_hold {
    int setup;    /* 0 .. setup_count-1 */
    int build;    /* 0 .. build_count-1 */
    double order; /* trial order in the session: 1, 2, ... over all holds of the kind compared */
    double value; /* the hold's mean height, mm (or log RMS etc.) */
    /* For the second opinion on holds of unequal length; 0 where not known. */
    double mean_se; /* standard error of the value within the hold */
    double kept_s;  /* how much of the hold it rests on */
};

struct compare_build {
    int setup;
    bool tied; /* false: its holds say how holds repeat, and nothing about the setup's height */
    double u_build;  /* standard uncertainty of its shift, its own part */
    double u_common; /* the part shared with every build of the same position_group */
    int position_group;
    /* Where builds of several sessions are compared: what is one number for all builds of a session
     * (how well its sensors' heights over the bottom bracket are known), beside the parts above. */
    double u_session;
    int session;
};

struct compare_input {
    const struct compare_hold *holds;
    int hold_count;
    const struct compare_build *builds;
    int build_count;
    int setup_count;
    int baseline;         /* setup compared against, usually 0 */
    double matters;       /* D */
    bool higher_is_up;    /* a larger value is 'higher' (true) or 'lower' (false) */
    bool shares;          /* values are shares, 0 to 1: nothing lies beyond */
    bool nothing_usual;   /* no usual repeatability has a say, however few there are: no heights */
    struct spread learnt; /* of one hold, from earlier sessions; df 0: nothing is */
};

enum verdict {
    VERDICT_NONE,              /* the baseline itself, or no holds */
    VERDICT_NOT_COMPARABLE,    /* reason in words */
    VERDICT_LESS_THAN_MATTERS, /* differs, but by less than matters */
    VERDICT_NO_DIFFERENCE,     /* no difference that matters */
    VERDICT_LOWER,
    VERDICT_HIGHER,
    VERDICT_CANNOT_TELL,
};

enum compare_advice {
    ADVICE_NONE,
    ADVICE_MORE_HOLDS,
    ADVICE_PLATE,
    ADVICE_BUILD_AGAIN,
    ADVICE_TIE,
    ADVICE_RETURN_TO_FIRST
};

/* Why nothing can be compared, or told: say/difference.h has the words. */
enum compare_reason {
    REASON_NONE,
    REASON_HOLDS,          /* more holds, advice_holds of each, would settle it */
    REASON_MANY_HOLDS,     /* more than MORE_HOLDS_MOST would */
    REASON_SENSOR_HEIGHT,  /* the sensors' height, known to tie_error: the plate would */
    REASON_TIE_LEAVES,     /* the tie leaves tie_error, plate or not */
    REASON_ORDER_TOGETHER, /* setup and trial order go together */
    REASON_ORDER_MATTERED, /* and height changed with the order */
    REASON_NOT_TIED,
    REASON_BASELINE_NOT_TIED,
    REASON_BASELINE_NO_HOLDS,
    REASON_BASELINE_NO_GUIDED_HOLDS,
    REASON_ALWAYS_IN_BAND, /* both setups, in each hold */
    REASON_NEVER_IN_BAND,
    REASON_NO_SPREAD,       /* the holds of each setup are all the same */
    REASON_NOT_REPEATED,    /* no setup was held twice */
    REASON_SENSOR_OR_RIDER, /* builds of a setup disagree on this channel alone */
    REASON_STEPPED,         /* this channel's level stepped within a hold, and no other's */
    COMPARE_REASONS
};

struct setup_estimate {
    int holds, builds;
    bool has_interval;
    double mean;               /* at the mean trial order, where the order is taken out */
    double half_width;         /* 95 %, pooled repeatability and ties */
    double standard_error, df; /* of the mean, without anything assumed */
    bool assumed;              /* a usual repeatability has a say in it: too little is known yet */
    bool borrowed_repeatability; /* one hold only */
    /* its holds differ from each other more than the others' (Cochran 1941): its interval, and
     * those of its differences, are from its own spread */
    bool own_spread;
    double spread;   /* its own SD, from SPREAD_HOLDS_MIN holds on; else NAN */
    bool built_once; /* the re-assembly error is hidden */
    bool tied;
};

struct setup_difference {
    enum verdict verdict;
    double difference; /* setup minus baseline; negative = lower */
    bool has_interval;
    double low, high; /* 95 %, of all differences together; the verdict is read off it */
    /* standard_error: holds, ties, and a trial order that is not taken out; tie_error: the ties'
     * part. The half-width is sqrt(limit_holds^2 holds + limit_known^2 rest), reaching on to what
     * is left of the difference without the order where it may be the order's. */
    double standard_error, tie_error;
    /* Where holds differ much in length, a second opinion beside it: the same with each hold
     * weighted by how well its own mean is known (measure/random_effects.h, Paule and Mandel), 95
     * %. No verdict hangs on it. */
    bool has_second;
    double second_difference, second_low, second_high;
    enum compare_advice advice;
    int first_setup;  /* number of the one to go back to; 0 = not known here (analysis fills it) */
    int advice_holds; /* ADVICE_MORE_HOLDS: how many more of this setup and of the baseline, each */
    enum compare_reason reason; /* for NOT_COMPARABLE, and for the advice */
};

struct comparison {
    enum measure_status status;
    int setup_count, baseline;
    double matters;
    bool shares; /* as in the input */
    bool has_repeatability;
    double repeatability, repeatability_low, repeatability_high; /* s_r with its 95 % interval */
    double repeatability_df; /* of this session's holds and of what was learnt */
    /* SDs and what they are worth: of this session's holds alone, and learnt before; df 0: none */
    double repeatability_here, repeatability_here_df;
    double repeatability_learnt, repeatability_learnt_df;
    /* every setup compared has holds enough to show whether it repeats as the others do */
    bool spread_seen;
    bool provisional;           /* df under PROVISIONAL_DF */
    double smallest_detectable; /* 95 %, single hold against single hold, t based */
    bool order_fitted;
    double order_per_hold, order_half_width;
    double shortest_s, longest_s; /* kept parts of the holds compared; 0 where not known */
    bool uneven;        /* they differ by UNEVEN_TIMES and more: a second opinion stands beside */
    double order_index; /* share of the order's variation between setups (R^2) */
    int compared;       /* differences whose intervals hold together */
    double limit_holds, limit_known; /* standard errors that they reach (measure/many_to_one.h) */
    struct setup_estimate setup[COMPARE_SETUPS_MAX];
    struct setup_difference difference[COMPARE_SETUPS_MAX]; /* against the baseline */
};

/* MEASURE_TOO_FEW without holds, MEASURE_CONSTANT when the holds of each setup are all the same
 * (means, no intervals; of shares that are all 1, or all 0, with two holds of each: no difference),
 * MEASURE_BAD_SETTING, MEASURE_NOT_FINITE. */
enum measure_status compare_setups(const struct compare_input *input,
                                   struct comparison *comparison);
/* Is a setup's difference not in the middle of its interval: does that reach on, where the order of
 * the holds may have a part in it? Heights and the like; a share is not in its middle near 0 and 1.
 */
bool compare_reaches_on(const struct comparison *comparison, int setup);

#endif
