/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_RIG_PLAIN_CODES_H
#define HOLDLINE_RIG_PLAIN_CODES_H

#include "measure/rules.h"
#include "rig/decimal.h"

#include <stdbool.h>
#include <stdint.h>

/* Numbers that boards print instead of a range when nothing came back: 8190, 65535, 9999. They are
 * come to at a bound, lie far from the ranges, and are the same to the last figure each time. */
struct plain_codes {
    bool started;
    int32_t last_tenth_mm; /* the last that was a range */
    int32_t code_tenth_mm, candidate_tenth_mm;
    bool has_code;
    int times; /* the candidate was come to */
};

/* Whether it lies so far from the last range that it might be a code; else it becomes the last.
 * Asked for each reading. */
static inline bool plain_codes_jump(struct plain_codes *codes, int32_t tenth_mm)
{
    const int64_t jump = (int64_t)(CODE_JUMP_MM * 10.0);
    int64_t step = (int64_t)tenth_mm - codes->last_tenth_mm;
    if (codes->started && step < jump && step > -jump) {
        codes->last_tenth_mm = tenth_mm;
        return false;
    }
    return true;
}
/* Of one that might be: is it? One that no one knows lies over the ranges, or the way back to them
 * would be another. Else it becomes the last range. number: as it was sent. */
bool plain_codes_is_code(struct plain_codes *codes, int32_t tenth_mm, const struct decimal *number);

#endif
