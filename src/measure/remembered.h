/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_MEASURE_REMEMBERED_H
#define HOLDLINE_SRC_MEASURE_REMEMBERED_H

#include <stdbool.h>
#include <stddef.h>

/* What was worked out last: the same question has the same answer, to the bit. Kept by the thread
 * (_Thread_local), all zero at first. Inside the layer only. */
#define REMEMBERED 64
#define REMEMBERED_NUMBERS 26
struct remembered {
    size_t next;
    struct {
        size_t count; /* numbers of the question; 0: an empty place */
        double asked[REMEMBERED_NUMBERS], answer;
    } last[REMEMBERED];
};

/* count: 1 to REMEMBERED_NUMBERS. */
bool remembered_find(const struct remembered *remembered, const double *asked, size_t count,
                     double *answer);
void remembered_keep(struct remembered *remembered, const double *asked, size_t count,
                     double answer);

#endif
