/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_PLAN_REPORT_H
#define HOLDLINE_APP_PLAN_REPORT_H

#include "base/problem.h"
#include "measure/plan.h"

#include <stdio.h>

/* What 'holdline plan' answers: every number of holds that was looked at, the one to ride, and why.
 */

struct plan_answer {
    double hold_sd_mm;       /* as it was said */
    struct plan_input input; /* minutes_left INFINITY: as long as it takes */
    const char *tie_words;   /* 'by a plate' */
    char from[128];          /* where the SD comes from, in words */
    int candidate_count;     /* of 1, 2, ... rounds, until one is well enough and one is too long */
    struct plan candidate[PLAN_ROUNDS_MAX];
    int chosen;       /* -1: nothing fits */
    int well_enough;  /* the first with a power of 0.8, fitting or not; -1: none */
    int fewer_setups; /* where nothing fits: so many would; 0: not even two */
    double fewer_minutes;
};

/* Fills the answer from input (given). False with a sentence when nothing can be planned from it.
 */
bool plan_answer_make(const struct plan_input *input, struct plan_answer *answer,
                      struct problem *problem);

bool plan_answer_text(FILE *stream, const struct plan_answer *answer, int width,
                      struct problem *problem);
bool plan_answer_json(FILE *stream, const struct plan_answer *answer, struct problem *problem);

#endif
