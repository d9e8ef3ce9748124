/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_DRAG_H
#define HOLDLINE_ANALYSIS_DRAG_H

#include "measure/compare.h"
#include "measure/drag_run.h"
#include "measure/rolling.h"
#include "record/record.h"

/* A day of runs: each lap's or pair's drag area, each run's, and the setups against each other on
 * the runs' values, by the same comparison as heights (docs/measures.md, 'Drag'). No samples: all
 * is in the record. */

/* What the day lacks, so that no run has a number; the first that is found. */
enum drag_lack {
    DRAG_LACKS_NOTHING,
    DRAG_LACKS_COURSE,
    DRAG_LACKS_MASS,
    DRAG_LACKS_AIR,
};
/* Why there are numbers and no verdict. */
enum drag_withheld {
    DRAG_WITHHELD_NOT,
    DRAG_WITHHELD_WIND_NOT_SAID, /* laps in the open, and nobody said how much wind there was */
    DRAG_WITHHELD_WIND,          /* over DRAG_LAP_WIND_MOST on laps */
};
enum drag_run_state {
    DRAG_RUN_COUNTS,
    DRAG_RUN_REJECTED,
    DRAG_RUN_NO_LEGS,    /* none is left */
    DRAG_RUN_SATELLITES, /* its speed is theirs: a number, and not in the comparison */
    DRAG_RUN_LACKS,      /* see enum drag_lack */
    DRAG_RUN_STEPS,      /* of speed: for rolling resistance, and not in the comparison */
    DRAG_RUN_STATES
};

enum drag_leg_state {
    DRAG_LEG_USED,
    DRAG_LEG_LEFT_OUT, /* by the reader or by hand, with the record's reason */
    DRAG_LEG_ALONE,    /* its other way is left out, or not there */
    DRAG_LEG_NO_FORCE, /* nothing is left for the air: no drag fits */
    DRAG_LEG_WINDY,    /* over DRAG_PAIR_WIND_MOST along the course */
    DRAG_LEG_NO_RIDER, /* outside DRAG_LEAST_M2 to DRAG_MOST_M2: a unit, a mass, a scale is wrong */
    DRAG_LEG_NOT_WORKED, /* the day lacks something */
    DRAG_LEG_STATES
};
struct drag_leg_result {
    enum drag_leg_state state;
    double drag_m2;      /* of the lap, or of the pair: then of both its legs */
    double wind_m_per_s; /* as the leg met it, + from ahead; 0 on laps */
    bool gusty;          /* the pair before it met a wind that was further off */
    bool leaves;         /* its force leaves what it is elsewhere, at one place: to be looked at */
    int leaves_piece;    /* there, and at the next one, */
    double leaves_n;     /* so far on the mean; + more force than is explained */
    bool uneven;         /* the pair's ways are not equally long by the wheel */
};

struct drag_run_result {
    enum drag_run_state state;
    double density_kg_per_m3;
    struct drag_run_mean mean; /* of its laps or pairs; count 0: no number */
    int legs, legs_used;
    double speed_m_per_s, speed_squared; /* means over the length used */
    double wind_m_per_s;                 /* mean of its pairs', way out; NAN on laps */
    bool gusty;
    double leg_length_m;  /* mean of a lap or way used, by the wheel */
    bool other_length;    /* by over DRAG_LENGTH_APART from the middle of the day's runs */
    double longer;        /* than that, as a share */
    double residual_sd_n; /* of a piece of the course; NAN: too few */
};

struct drag_setup_result {
    int runs;       /* that count */
    int left_out;   /* others of it */
    bool few;       /* under DRAG_RUNS_MIN, and over 0: too few to tell anything */
    double drag_m2; /* plain mean of its runs, few or not */
    double speed_m_per_s, speed_squared, density_kg_per_m3;
    bool unlike;      /* ridden at another speed than the baseline: rolling does not cancel */
    double unlike_m2; /* standard uncertainty that this adds to the difference */
    double leg_length_m;
    bool other_wheel; /* its laps or ways are not as long by the wheel as the baseline's */
    double longer;    /* than those, as a share */
    double wheel_m2;  /* standard uncertainty that this adds */
    struct drag_level level;
    double level_half_width_m2;            /* 95 %, of its level */
    double power_w, heart_per_min, effort; /* means over its runs; NAN: not known */
};

/* Where the day's rolling resistance is from. */
enum drag_rolling_state {
    DRAG_ROLLING_USUAL, /* nobody said another, and no steps were ridden */
    DRAG_ROLLING_SAID,
    DRAG_ROLLING_STEPS, /* by the steps of a run, joined with what is usual */
    DRAG_ROLLING_STATES
};
enum drag_steps_state {
    DRAG_STEPS_NONE, /* were ridden */
    DRAG_STEPS_GOOD,
    DRAG_STEPS_FEW,     /* under DRAG_STEPS_MIN laps or pairs */
    DRAG_STEPS_NARROW,  /* speeds too much alike */
    DRAG_STEPS_WIND,    /* laps on which the wind is not known, or too much */
    DRAG_STEPS_NO_TYRE, /* no tyre rolls like that: what was typed or recorded is wrong */
    DRAG_STEPS_STATES
};
struct drag_rolling {
    enum drag_rolling_state from;
    enum drag_steps_state state;
    int run;   /* the latest of steps that stands; -1: none */
    int steps; /* laps or pairs of it that are used */
    double slowest_m_per_s, fastest_m_per_s;
    struct rolling_line line; /* where state is DRAG_STEPS_GOOD */
    double u_rolling;         /* what the rider's coefficient is known to */
};

struct drag_analysis {
    int runs; /* in the record */
    enum drag_lack lack;
    enum drag_withheld withheld;
    double wind_said_m_per_s; /* the most that was said; NAN: none */
    double matters_m2;
    double lap_length_m; /* mean of the runs that count, by the wheel; NAN: none, or no laps */
    bool lap_differs;    /* from the course's length, by over DRAG_WHEEL_APART */
    struct drag_rider rider;
    struct drag_rolling rolling;
    struct drag_leg_result leg[LEGS_MAX];
    struct drag_run_result run[RUNS_MAX];
    struct drag_setup_result setup[SETUPS_MAX];
    struct comparison compare; /* m2; setups as in the record, those with few runs not in it */
};

void drag_make(const struct session_record *record, struct drag_analysis *drag);

/* What the rider's model leaves of piece p of a leg, N; NAN where the leg has no number. */
double drag_residual_of(const struct session_record *record, const struct drag_analysis *drag,
                        int leg, int piece);
/* Where on the course so many pieces of a leg end, m from where the way out begins: a way back is
 * ridden towards it. */
double drag_piece_place_m(const struct session_record *record, int leg, double pieces);
/* Speed that a line of break-even is worked out for: the mean of all runs that count; NAN. */
double drag_usual_speed(const struct session_record *record, const struct drag_analysis *drag);
/* What how runs repeat is a share of: the mean of the setups' drag areas that are compared; NAN. */
double drag_usual_m2(const struct drag_analysis *drag);

#endif
