/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RECORD_DRAG_RECORD_H
#define HOLDLINE_RECORD_DRAG_RECORD_H

#include "base/uuid.h"
#include "measure/drag_leg.h"
#include "measure/ride.h"

#include <stdbool.h>

/* A day of runs beside the holds: what was said of rider, course and air, and each run with its
 * laps or legs. Of a ride no sample is kept but what its legs come to: mass, tyres and air are
 * worked in afterwards, so they can be put right, and a replay needs no file (analysis/drag.h). */

#define AIRS_MAX 40
#define RUNS_MAX 100
#define LEGS_MAX 800
#define LEG_PIECES_MAX 40
#define DRAG_TEXT_SIZE 96
#define LAPS_TEXT_SIZE 32

enum course_kind { COURSE_NOT_SAID, COURSE_LAPS, COURSE_OUT_AND_BACK };

/* Of the day; in the session's own row. NAN: not given. */
struct drag_settings {
    double mass_kg; /* rider, bike and all on it */
    double rolling; /* coefficient of rolling resistance; NAN: the usual one */
    enum course_kind course;
    double course_length_m; /* of a lap, or of one way */
    double rise_m;          /* out and back: where the way out ends over where it begins, over
                               course_length_m; NAN: not known */
    bool indoors;           /* no wind */
    double matters_m2;      /* D; NAN: the usual one */
};

/* The air, as it was read. */
struct air_record {
    struct uuid uuid;
    double temperature_c, pressure_hpa, humidity_percent;
    double wind_m_per_s; /* how much there was, from wherever; NAN: not said */
    double at_min;       /* time of day, minutes after midnight; NAN: not said */
    int after_run;       /* number of the run before it; 0: before the first */
    bool undone;
};

struct run_record {
    struct uuid uuid;
    int number; /* 1, 2, ... in the order in which they were ridden */
    int setup;
    char file[DRAG_TEXT_SIZE]; /* its name, without folders */
    char file_sum[24];         /* a checksum of what was read, in hexadecimal */
    char laps[LAPS_TEXT_SIZE]; /* which were asked for: '2..5'; "": all */
    double at_min;             /* as of the air */
    enum ride_source speed_from;
    double power_w, heart_per_min; /* means over the legs; NAN: not known */
    double effort;                 /* as the rider said, 0 to 10; NAN: not asked */
    bool steps; /* of speed, for rolling resistance: in no comparison of setups */
    bool rejected;
    char reject_reason[DRAG_TEXT_SIZE];
    bool undone;
};

/* A stretch of about DRAG_PIECE_M of a leg, for the picture of residual force. */
struct leg_piece {
    double work_j, speed_m_per_s, out_m_per_s;
};

/* One lap, or one way. */
struct leg_record {
    struct uuid uuid;
    int run;
    int number; /* 1, 2, ... of the run */
    bool back;  /* the other way than out */
    int pair;   /* out and back of a run have the same, from 1 on; 0: of none, as a lap */
    struct drag_leg sums;
    bool left_out; /* with the reason, by the reader or by hand */
    char reason[DRAG_TEXT_SIZE];
    double piece_m; /* length of each piece; 0: none */
    int piece_count;
    struct leg_piece piece[LEG_PIECES_MAX];
    bool undone;
};

void drag_settings_clear(struct drag_settings *settings);
void air_record_clear(struct air_record *air);
void run_record_clear(struct run_record *run);
void leg_record_clear(struct leg_record *leg);

/* '2..5', '3' of the numbers that laps have in their file; NULL or "": all of them. False where it
 * is neither. */
bool run_laps_range(const char *text, int *from, int *to);

#endif
