/* SPDX-FileCopyrightText: 2026 The Holdline authors
 * SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef HOLDLINE_SAY_SLIP_H
#define HOLDLINE_SAY_SLIP_H

#include "analysis/slip.h"

#include <stddef.h>

/* 'head: setup 1, build 2 is 15 mm lower than build 1, and nothing else moved: sensor or rider?';
 * "" where no question is open. */
void say_slip(char *text, size_t size, const struct session_record *record,
              const struct analysis *analysis);

/* What follows from the answer. */
const char *say_slipped(enum answer slipped);

#endif
