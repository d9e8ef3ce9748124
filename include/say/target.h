/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_TARGET_H
#define HOLDLINE_SAY_TARGET_H

#include <stdbool.h>
#include <stddef.h>

/* What a target's capture waits for, and what came of it. half_width_mm: of the channel that is
 * known worst, NAN = not known on all of them. */
struct target_wait {
    double elapsed_s, planned_s; /* planned: until the length is proposed, that moment */
    bool proposed, settled;
    double half_width_mm, until_mm;
};

/* '0:31 of 0:45  known to ±4, wanted ±3 mm, 14 s left' */
void say_target_waits(char *text, size_t size, const struct target_wait *wait);
/* 'target kept, known to ±3 mm' */
void say_target_kept(char *text, size_t size, double half_width_mm, double until_mm, bool settled);

#endif
