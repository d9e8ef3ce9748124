/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_APP_STANDARD_OUTPUT_H
#define HOLDLINE_APP_STANDARD_OUTPUT_H

#include "base/problem.h"

/* Width in cells for text on standard output: the terminal's, at most 120; 80 where it is no
 * terminal. */
int standard_output_width(void);
/* Rows of the terminal that standard output is; 0 where it is none. */
int standard_output_rows(void);

/* Has its reader gone away ('| head')? That is no failure. */
bool standard_output_is_left(void);
/* Empties standard output. False with a sentence when it did not go (a full disk); a reader that
 * went away (a closed pipe) is no failure. */
bool standard_output_end(struct problem *problem);

#endif
