/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SRC_MEASURE_COMPARE_SECOND_H
#define HOLDLINE_SRC_MEASURE_COMPARE_SECOND_H

#include "compare_limits.h"

/* The second opinion of a comparison whose holds differ much in length. Inside the layer only. */

/* How long the holds are, and whether they differ much: shortest_s, longest_s, uneven. */
void compare_lengths(const struct compare_input *input, struct comparison *comparison);
/* The weighted differences, where the holds are uneven and each one's standard error is known. The
 * differences themselves are there. */
void compare_second(const struct fit *fit, const struct compare_limits *limits,
                    struct comparison *comparison);

#endif
