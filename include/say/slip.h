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

/* A hold within which the channel's sensor moved, and what that did to later ones is open
 * (analysis/step_in_hold.h): what is to be done. */
void say_step_open(char *text, size_t size, const struct analysis *analysis, int channel);

/* What follows from the answer. */
const char *say_slipped(enum answer slipped);

/* A hold's level on a channel that is hardly the rider's (analysis/far_level.h): by how much, from
 * which hold, and what to look at; "" where it is not. */
void say_far_level(char *text, size_t size, const struct session_record *record,
                   const struct analysis *analysis, int hold, int channel);

#endif
