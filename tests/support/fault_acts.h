/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_TESTS_SUPPORT_FAULT_ACTS_H
#define HOLDLINE_TESTS_SUPPORT_FAULT_ACTS_H

#include "support/fault_world.h"

#include "base/random.h"

#include <stddef.h>
#include <stdint.h>

/* What may happen to a session of a fault_world, one by one, by chance. */

struct fault_acting {
    struct fault_world world;
    struct random_source random;
    int64_t committed;  /* the last line that a reader found in the store; -1: none yet */
    int64_t resized_us; /* when the terminal's size was changed last; 0: never */
    char done[1200];    /* what was done, and when */
    size_t done_used;
};

/* 0 to count - 1. */
int fault_pick(struct fault_acting *acting, int count);

/* Does one of them; gives which. NULL behind the last. */
int fault_act(struct fault_acting *acting);
const char *fault_act_name(int which);
/* Disk or memory is to fail while the program starts; only the page of the world is there yet. */
void fault_at_start(struct fault_acting *acting);

/* Into what was done. */
void fault_note(struct fault_acting *acting, const char *what);

#endif
