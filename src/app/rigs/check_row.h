/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_APP_RIGS_CHECK_ROW_H
#define HOLDLINE_SRC_APP_RIGS_CHECK_ROW_H

#include "base/problem.h"
#include "base/words.h"
#include "record/record.h"

#include <stdbool.h>

/* 'check RIG all': which checks, one after the other, of which sensors. */
#define CHECK_ROW_MAX (2 + 2 * CHANNELS_MAX)
struct check_row {
    int count;
    struct words check[CHECK_ROW_MAX]; /* each as behind 'check RIG' */
};

bool check_row_wanted(const struct words *words);
/* 'all block=25 [block_u=0.05] [pause=8s] [rider]': still, the step of each sensor, the beam of
 * each, and the rider where one is on the bike. False with a sentence. */
bool check_row_make(const struct words *words, const struct placing_record *placing,
                    struct check_row *row, struct problem *problem);

#endif
