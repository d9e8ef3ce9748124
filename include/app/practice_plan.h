/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_PRACTICE_PLAN_H
#define HOLDLINE_APP_PRACTICE_PLAN_H

#include "base/problem.h"

/* What a coach wants practised, a file of lines as scripts have them (docs/practice.md):
 *
 *     target head=884 chest=771
 *     band head=+10/-15 chest=+8/-12
 *     practice length=60s pieces=5 power=210W
 *     note "breathe low"
 *
 * Nothing else may stand in it. */
struct practice_plan {
    char target[96], band[96]; /* what follows the word; "" = as before */
    char practice[96];         /* ' length=60s pieces=5' */
    char note[256];            /* 'note "..."'; "" = none */
};

/* False with a problem that names the line. */
bool practice_plan_read(const char *path, struct practice_plan *plan, struct problem *problem);

#endif
