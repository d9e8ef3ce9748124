/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_ANALYSIS_CHECK_H
#define HOLDLINE_ANALYSIS_CHECK_H

#include "base/problem.h"
#include "base/words.h"
#include "record/record.h"

#include <stddef.h>

/* Checks of the sensors before trusting them: what is to be done, step by step, and what follows
 * from the readings. Pure; the live session, scripts and 'holdline check' run the same ones. */

/* One thing the person (or the rider) is asked to do while readings are taken. */
struct check_phase {
    char ask[160];   /* 'lay the block of 25 mm on the plate, under the head's beam' */
    double pause_s;  /* time to do it before readings are taken; INFINITY = until told to go */
    double length_s; /* of the readings */
    /* What the virtual rig is told when the pause, and when the readings begin; "" = nothing. */
    char rig_before[96], rig_during[64];
};

struct check_plan {
    enum check_kind kind;
    int channel; /* -1: all */
    double asked_mm[CHECK_PHASES_MAX];
    double block_u_mm; /* standard uncertainty of the block's thickness */
    int phase_count;
    struct check_phase phase[CHECK_PHASES_MAX];
};

/* From the words 'still 60s', 'still head 60s', 'step head block=25 10s', 'beam head block=50 5s',
 * 'rider 20s', 'calibrate head 200 400 600 5s', first word at place 'first'; pause=8s or pause=key
 * (each next step waits to be told). False with a sentence. */
bool check_plan_read(const struct words *words, int first, const struct placing_record *placing,
                     struct check_plan *plan, struct problem *problem);
/* What the virtual rig is told when all is over. */
extern const char *const check_rig_after[]; /* ended by NULL */

/* The readings of one phase. */
struct check_stretch {
    const struct sample *samples;
    size_t count;
};

/* What was found, in the order in which it is told; in words: say/check.h. The values behind each:
 * numbers of its sentence. */
enum check_found {
    CHECK_FOUND_STATUS, /* not measured: enum measure_status */
    /* still */
    CHECK_FOUND_NOISE,     /* mm */
    CHECK_FOUND_DRIFT,     /* mm a minute, half-width */
    CHECK_FOUND_AVERAGING, /* s, mm that it leaves */
    CHECK_FOUND_AVERAGING_LONGEST,
    CHECK_FOUND_STUCK,
    CHECK_FOUND_BLOCKED,
    CHECK_FOUND_JUMPS,
    CHECK_FOUND_NOISY,
    CHECK_FOUND_DROPS,
    CHECK_FOUND_WANDERS,
    CHECK_FOUND_DRIFTS,
    CHECK_FOUND_WARMS_UP,     /* minutes that it will */
    CHECK_FOUND_RIPPLE,       /* mm, Hz as it shows, Hz beyond half the rate, the rate */
    CHECK_FOUND_RIPPLE_MAINS, /* Hz */
    /* step */
    CHECK_FOUND_BLOCK_READS, /* thickness, reading, its 95 %, limit; mm */
    CHECK_FOUND_BLOCK_NOT_SEEN,
    CHECK_FOUND_SCALE,       /* error, its 95 %; per cent */
    CHECK_FOUND_SCALE_COSTS, /* mm, at a range in mm */
    CHECK_FOUND_TOO_NEAR,    /* mm to what it looked at, the nearest that is sure; so the next */
    CHECK_FOUND_PLATE_TOO_NEAR,
    CHECK_FOUND_SCALE_OPEN, /* how well it is known, the error that is looked for; per cent */
    CHECK_FOUND_SCATTER,
    CHECK_FOUND_SHIFTED, /* mm against the first step test */
    /* calibration */
    CHECK_FOUND_LINE,        /* gain, offset in mm */
    CHECK_FOUND_LINE_ERRORS, /* gain's 95 %, scatter, furthest off in mm */
    CHECK_FOUND_TWO_DISTANCES,
    CHECK_FOUND_WRONG_DISTANCES,
    CHECK_FOUND_NOT_STRAIGHT,
    /* beam */
    CHECK_FOUND_FOLLOWS_HAND,  /* mm */
    CHECK_FOUND_FOLLOWS_BLOCK, /* mm, thickness */
    CHECK_FOUND_WRONG_WAY,
    CHECK_FOUND_WRONG_AMOUNT, /* mm, thickness */
    CHECK_FOUND_NO_RESPONSE,
    CHECK_FOUND_SWAPPED,
    CHECK_FOUND_CROSSTALK, /* per cent of the checked one's */
    CHECK_FOUND_MOVES_BY_ITSELF,
    CHECK_FOUND_ALONE,
    /* rider */
    CHECK_FOUND_BAD_READINGS, /* per cent */
    CHECK_FOUND_TWO_LEVELS,   /* mm apart */
    CHECK_FOUND_NO_NOD,
    CHECK_FOUND_NOD_WRONG_WAY,
    CHECK_FOUND_NO_RISE,
    CHECK_FOUND_RISE_WRONG_WAY,
    CHECK_FOUND_HANDS,
    CHECK_FOUND_NO_BODY,
    CHECK_FOUND_HEAD_AND_BODY,
    CHECK_FOUND_BODY,
    CHECK_FOUND
};
#define CHECK_FINDINGS_MAX 96
#define CHECK_FINDING_VALUES 4
struct check_findings {
    int count;
    struct check_finding {
        enum check_found kind;
        int channel;
        double value[CHECK_FINDING_VALUES];
    } finding[CHECK_FINDINGS_MAX];
};

/* Fills findings, and verdict and numbers of the check (kind, channel and asked_mm from the plan).
 * Readings are calibrated as the placing says, but for a calibration's own. */
void check_judge(const struct check_plan *plan, const struct placing_record *placing,
                 const struct check_stretch *stretches, struct check_record *check,
                 struct check_findings *findings);
/* One more; count values. */
void check_find(struct check_findings *findings, enum check_found kind, int channel, int count,
                const double *values);

/* A number of a check; NAN when it is not there. phase 0 but for the rider test. */
double check_value(const struct check_record *check, enum check_quantity quantity, int channel,
                   int phase);

/* When it ended, on the session axis, by its identifier; NAN where that tells no time of the
 * session.
 */
double check_time_s(const struct session_record *record, const struct check_record *check);

/* Of a placing the latest of each kind and channel, oldest first; gives their number. What was
 * found before the sensors were fixed anew says nothing of them now. */
#define CHECK_LATEST_MAX 24
int check_latest(const struct session_record *record, int placing, int latest[CHECK_LATEST_MAX]);

/* A step that was seen, and reads too long or too short. */
bool check_wants_calibration(const struct check_record *check);

/* Step tests of one channel and placing, the first since a calibration and this one, more than 2 mm
 * apart: the sensor changed meanwhile. */
bool check_step_shifted(const struct session_record *record, int check, double *shift_mm);

/* The rider test's phases. */
enum { RIDER_PEDALS, RIDER_NODS, RIDER_HANDS, RIDER_RISES, RIDER_PHASES };

#endif
