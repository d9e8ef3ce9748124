/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_RIDES_RUN_LEGS_H
#define HOLDLINE_APP_RIDES_RUN_LEGS_H

#include "base/words.h"
#include "measure/ride.h"
#include "record/record.h"

/* Laps or ways of one run, as a ride's file has them. */
struct run_leg {
    const char *way;               /* 'lap', 'out', 'back' */
    int pair;                      /* from 1 on; 0 = none */
    struct drag_leg sums;          /* length 0: nothing could be worked out */
    char left_out[DRAG_TEXT_SIZE]; /* the reason; "" = it counts */
    double piece_m;
    int piece_count;
    struct leg_piece piece[LEG_PIECES_MAX];
};
struct run_legs {
    double power_w, heart_per_min; /* over those that count; NAN */
    size_t beside;                 /* stretches between lap marks that are no laps or ways */
    int count;
    struct run_leg leg[LEGS_MAX];
};

/* By what words say of the borders ('times=35..128,140..233', 'line=47.1,8.2,90',
 * 'other_line=...'), else lap marks in the file, else the length of the track; of 'laps=2..5' only
 * those. NULL with a problem: no border is to be found, or nothing of it counts. */
struct run_legs *run_legs_cut(const struct ride *ride, const struct words *words,
                              const struct drag_settings *course, struct problem *problem);
void run_legs_free(struct run_legs *legs);

#endif
